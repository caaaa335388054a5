package checks

import "fmt"

var ejectBearing = Check{
	ID:    "eject.bearing",
	Title: "Every ejector pin is guided over the right length",
	Doc: `Too short a guide lets the pin tilt and the melt flash past it; too long a one binds and galls.
Measured: how far down from the detail each pin's bore keeps its diameter; steps of one diameter that
something crosses count together, the crossing itself does not.
15 to 20 mm are named in a published guideline for inserts; the default is 12 to 25 mm.`,
	Unit: MM,
	Keys: []string{"ejection.bearing.least", "ejection.bearing.most"},
	Mend: `Relieve the bore from below, half a millimetre wider, so that the guided length is what the shop asks for.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Ejection.BearingMM
		if !limit.Set() || len(s.Pins()) == 0 {
			return nil
		}
		length := func(p *Pin) (float64, float64) { return p.BearingMM, 2 * s.SurfaceMM() }
		var list []Reading
		if limit.Least.Set {
			r, pin := worstPin(s, AtLeast(limit.Least.Value), true, length)
			r.Of = "shortest"
			r.Says = fmt.Sprintf("The pin with the shortest guide, of diameter %.3g mm, is guided over %.1f mm.", pin.DiameterMM, r.Value)
			list = append(list, r)
		}
		if limit.Most.Set {
			r, pin := worstPin(s, AtMost(limit.Most.Value), false, length)
			r.Of = "longest"
			r.Says = fmt.Sprintf("The pin with the longest guide, of diameter %.3g mm, is guided over %.1f mm.", pin.DiameterMM, r.Value)
			list = append(list, r)
		}
		return list
	},
}
