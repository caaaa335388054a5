package checks

import "fmt"

var ejectClear = Check{
	ID:    "eject.clear",
	Title: "Every ejector pin is clear of the ejector set's own rods and supports",
	Doc: `Return pins, supports and rods stand in the ejector box; a pin in their way cannot be fitted. Measured:
for each place that the frame keeps clear, the least gap from its circle to the wall of a pin's bore, seen
from above; negative is within it.
The limit is the frame's: nothing within it, its play included in the diameter that it states.`,
	Unit: MM,
	Keys: []string{"ejection.keep_clear"},
	Mend: `Move the pin away from what stands there.`,
	Measure: func(s *Subject) []Reading {
		if len(s.Pins()) == 0 {
			return nil
		}
		var list []Reading
		for _, k := range s.Frame.Ejection.KeepClear {
			r, pin := worstPin(s, AtLeast(0), true, func(p *Pin) (float64, float64) {
				return p.Plan().Sub(k.At.At).Norm() - (p.DiameterMM+k.DiameterMM.Value)/2, s.placeError(p)
			})
			r.Of = k.Name.Value
			r.Says = fmt.Sprintf("The nearest pin, of diameter %.3g mm, is %.2f mm clear of it.", pin.DiameterMM, r.Value)
			if r.Value < 0 {
				r.Says = fmt.Sprintf("A pin of diameter %.3g mm reaches %.2f mm into it.", pin.DiameterMM, -r.Value)
			}
			list = append(list, r)
		}
		return list
	},
}
