package checks

import (
	"fmt"
	"math"
)

var ejectSpacing = Check{
	ID:    "eject.spacing",
	Title: "Ejector pins stand far enough apart for their heads",
	Doc: `The heads of the pins lie side by side in the ejector plate and need room there. Measured: the least
distance between the axes of two bores for pins, where they come out at the detail.
Heads are 6 mm wide on pins of 3 mm, 8 on 4 and 10 on 5 (ISO 6751, from memory), and want a millimetre between them.`,
	Unit: MM,
	Keys: []string{"ejection.pin_spacing"},
	Mend: `Move the pins apart.`,
	Measure: func(s *Subject) []Reading {
		limit, pins := s.Frame.Ejection.PinSpacingMM, s.Pins()
		if !limit.Set || len(pins) < 2 {
			return nil
		}
		r := Reading{Measured: true, Value: math.Inf(1), Limit: AtLeast(limit.Value), Located: true}
		for i := range pins {
			for j := range i {
				if d := pins[i].Plan().Sub(pins[j].Plan()).Norm(); d < r.Value {
					r.Value, r.At = d, pins[i].Top.Add(pins[j].Top).Mul(0.5)
					r.Uncertainty = s.placeError(&pins[i]) + s.placeError(&pins[j])
				}
			}
		}
		r.Says = fmt.Sprintf("Of %d pins the nearest two stand %.2f mm apart, axis to axis.", len(pins), r.Value)
		return []Reading{r}
	},
}
