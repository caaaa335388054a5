package checks

import (
	"fmt"

	"pocketgauge/rules"
)

var pressHeight = Check{
	ID:    "press.height",
	Title: "The press closes on the height of the frame",
	Doc: `A press closes on mould heights within a range; a frame outside it cannot be clamped. Measured: nothing
of the model: the frame's closed height of the rules against the press's range of the rules, with what the
closed halves stand proud of the frame added where the other half is known. How the mould is mounted is for
the press's manual, local codes and licensed practice. Judged with the fixed half.
The limit is the press's own, from its manual.`,
	Unit: MM,
	Keys: []string{"press.frame_height", "press.shut_height"},
	Mend: `Use another press, or a frame of another height.`,
	Measure: func(s *Subject) []Reading {
		press := &s.Frame.Press
		if !press.FrameHeightMM.Set || !press.ShutHeightMM.Set() || s.Half == rules.Moving {
			return nil
		}
		r := Reading{Measured: true, Value: press.FrameHeightMM.Value, Limit: Band{
			Least: press.ShutHeightMM.Least.Value, HasLeast: press.ShutHeightMM.Least.Set,
			Most: press.ShutHeightMM.Most.Value, HasMost: press.ShutHeightMM.Most.Set,
		}}
		r.Says = fmt.Sprintf("The closed frame is %.4g mm high, as the rules state it.", r.Value)
		if p, err := s.Pair(); p != nil && err == nil {
			a, _ := p.Fixed.partingFace()
			b, _ := p.Moving.partingFace()
			proud := a.ZMM - p.Fixed.DepthMM() + b.ZMM - p.Moving.DepthMM()
			if proud > 0 {
				r.Value += proud
				r.Uncertainty = p.ErrorMM
				r.Says = fmt.Sprintf("The closed frame is %.3f mm high, %.3f mm of it what the inserts stand proud.", r.Value, proud)
			}
		}
		return []Reading{r}
	},
}
