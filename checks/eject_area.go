package checks

import (
	"fmt"

	"pocketgauge/rules"
)

var ejectArea = Check{
	ID:    "eject.area",
	Title: "There are pins enough for the size of the part",
	Doc: `Too few pins push dents into the part or bend it while it lets go. Measured: the area of all parts and
runners seen along the draw, with the halves closed, over the number of ejector pins. Needs the other half;
judged with the half that has the pins.
How much is let pass depends on resin and draft, and the shop says it; a resin maker's published tooling notes ask for a square inch of pins' ends for 80 to 100 square inches of side wall.`,
	Unit: MM2,
	Keys: []string{"ejection.area_per_pin"},
	Mend: `Add pins, first where the part clings: at ribs, bosses and corners.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Ejection.AreaPerPinMM2
		if !limit.Set || s.Half != rules.Moving {
			return nil
		}
		p, err := s.Pair()
		if p == nil || err != nil || len(p.Room.Solids) == 0 {
			return nil
		}
		area, pins := p.area(), len(s.Pins())
		n := float64(max(pins, 1))
		r := Reading{Measured: true, Value: area.value / n, Uncertainty: area.within / n, Limit: AtMost(limit.Value)}
		r.Says = fmt.Sprintf("%d pins push %.1f cm2 of part: %.0f mm2 each.", pins, area.value/100, r.Value)
		if pins == 0 {
			r.Says = fmt.Sprintf("No pin is there to push %.1f cm2 of part.", area.value/100)
		}
		return []Reading{r}
	},
}
