package checks

import (
	"fmt"

	"pocketgauge/rules"
)

var ejectStroke = Check{
	ID:    "eject.stroke",
	Title: "The ejector stroke clears the part",
	Doc: `The pins must push the part all the way off its cores. Measured: the height of the highest part along
the draw, with the halves closed, and what the shop wants beyond it, against the stroke of the frame's
ejector set. Needs the other half; judged with the half that has the pins.
What the stroke must have beyond the part is 5 mm where the rules state none (Pye, Injection Mould Design).`,
	Unit: MM,
	Keys: []string{"ejection.stroke", "ejection.stroke_spare"},
	Mend: `Choose a frame with more stroke, or turn the part so that it is lower along the draw.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Ejection.StrokeMM
		if !limit.Set || s.Half != rules.Moving {
			return nil
		}
		p, err := s.Pair()
		if p == nil || err != nil || len(p.Parts()) == 0 {
			return nil
		}
		spare := s.Frame.Ejection.StrokeSpareMM.Value
		h := p.heightMM()
		r := Reading{Measured: true, Value: h + spare, Uncertainty: 2 * p.ErrorMM, Limit: AtMost(limit.Value)}
		r.Says = fmt.Sprintf("The part is %.1f mm high along the draw and wants %.1f mm of stroke.", h, r.Value)
		return []Reading{r}
	},
}
