package checks

import "fmt"

var pairContact = Check{
	ID:    "pair.contact",
	Title: "The parting faces bear the clamp force",
	Doc: `Before the melt comes, the whole clamp force rests on where the two parting faces touch; where that is
too little, the edges of the cavity are hammered down and the mould flashes for good. Measured: the area
on which the closed halves lie within 0.005 mm of each other, on rays along the draw with the error of
sampling stated, and the clamp force over it. The halves are taken to bear all of the force, as inserts do
that stand proud of their frame.
The limit is press.parting_pressure; 80 to 110 MPa is said of pre-hardened steel (common practice, no source).`,
	Unit: MPa,
	Keys: []string{"press.parting_pressure", "press.clamp_force"},
	Mend: `Leave more of the parting face to bear, or run the insert in a smaller press or at less clamp force.`,
	Measure: func(s *Subject) []Reading {
		force, limit := s.Frame.Press.ClampForceN, s.Frame.Press.PartingPressureMPa
		if !force.Set || !limit.Set {
			return nil
		}
		return ofPair(s, func(p *Pair) []Reading {
			area, within := p.Room.ContactMM2, p.Room.ContactErrorMM2
			if !(area > within) {
				return []Reading{NotMeasured("", "the halves touch on too little to be measured")}
			}
			r := Reading{Measured: true, Value: force.Value / area, Limit: AtMost(limit.Value)}
			r.Uncertainty = force.Value/(area-within) - r.Value
			r.Says = fmt.Sprintf("The parting faces touch on %.1f cm2 and bear %.0f MPa under a clamp force of %.0f kN.", area/100, r.Value, force.Value/1000)
			return []Reading{r}
		})
	},
}
