package checks

import (
	"fmt"

	"pocketgauge/mesh/tol"
)

var ejectDiameter = Check{
	ID:    "eject.diameter",
	Title: "The ejector pins are of diameters that the shop stocks",
	Doc: `Pins are bought by the box; a bore of another diameter waits for a special. Measured: the diameter of
each pin's bore at the detail against the nearest that is stocked; up to 0.05 mm is the play of the bore.
0.05 mm of play is let pass (common practice, no source); what is stocked the shop says.`,
	Unit: MM,
	Keys: []string{"ejection.pin_diameters"},
	Mend: `Draw the bore to a stocked diameter.`,
	Measure: func(s *Subject) []Reading {
		stocked := s.Frame.Ejection.PinDiametersMM
		if !stocked.Set || len(stocked.Values) == 0 || len(s.Pins()) == 0 {
			return nil
		}
		r, pin := worstPin(s, AtMost(tol.PinPlayMM), false, func(p *Pin) (float64, float64) {
			off := inf
			for _, d := range stocked.Values {
				off = min(off, abs(p.DiameterMM-d))
			}
			return off, p.DiameterErrorMM
		})
		r.Says = fmt.Sprintf("Of %d pins the one furthest from a stocked diameter has %.3f mm.", len(s.Pins()), pin.DiameterMM)
		return []Reading{r}
	},
}
