package checks

import (
	"fmt"

	"pocketgauge/mesh/measure"
)

var fitOutline = Check{
	ID:    "fit.outline",
	Title: "The insert goes into the pocket all the way down",
	Doc: `A block one tenth too wide does not drop in, and grinding it after the detail is cut spoils the
datum. Measured: the signed distance from the insert's whole surface, from the seat to the parting
face, to the pocket's outline (not its bounding box), exact for straight and round outlines. The least
is reported, with the side of the pocket it is nearest to, against the clearance that the fit asks of
the insert there.
The limit is the pocket's clearance, or what its ISO 286 fit leaves at that size; H7/g6 is usual for an insert that is set in by hand (common practice, no source).`,
	Unit: MM,
	Keys: []string{"pocket.outline", "pocket.fit", "pocket.clearance"},
	Mend: `Take the excess off the named side in CAD.`,
	Measure: func(s *Subject) []Reading {
		segments := s.Frame.Pocket.Outline.Segments()
		worst, found := 0, false
		clear := s.clearances()
		margin := func(i int) float64 { return clear[i].LeastMM - clear[i].ErrorMM - segments[i].ClearanceMM.Lo }
		for i, c := range clear {
			if c.Touched && (!found || margin(i) < margin(worst)) {
				worst, found = i, true
			}
		}
		if !found {
			return []Reading{NotMeasured("", "no part of the insert lies between the seat and the parting face")}
		}
		c, piece := clear[worst], segments[worst]
		r := Reading{
			Measured: true, Value: c.LeastMM, Uncertainty: c.ErrorMM, Limit: AtLeast(piece.ClearanceMM.Lo),
			At: c.At, Located: true,
		}
		short := piece.ClearanceMM.Lo - c.LeastMM
		switch {
		case c.LeastMM < -c.ErrorMM:
			r.Says = fmt.Sprintf("The insert stands %.3f mm into the %s of the pocket, %.1f mm above the seat.", -c.LeastMM, sideName(piece.Name), c.At.Z)
			r.Mend = fmt.Sprintf("Take at least %.3f mm off the %s side.", short, sideName(piece.Name))
		case short > 0:
			r.Says = fmt.Sprintf("The insert keeps %.4f mm from the %s of the pocket where the fit asks for %.4f mm.", c.LeastMM, sideName(piece.Name), piece.ClearanceMM.Lo)
			r.Mend = fmt.Sprintf("Take at least %.4f mm off the %s side.", short, sideName(piece.Name))
		default:
			r.Says = fmt.Sprintf("Everywhere inside the outline; nearest to its %s.", sideName(piece.Name))
		}
		return []Reading{r}
	},
}

// clearances are measured once for fit.outline and fit.clearance.
func (s *Subject) clearances() []measure.Clearance { return clearancesFact.of(s) }

var clearancesFact = fact[[]measure.Clearance]{func(s *Subject) []measure.Clearance {
	storage, surface := s.StorageMM(), s.SurfaceMM() // errorOf would look them up for every triangle
	return measure.Clearances(s.Part.Mesh, s.Pocket, 0, s.DepthMM(), func(t int) float64 {
		if s.isFlat(t) {
			return storage
		}
		return surface
	})
}}

func sideName(name string) string {
	if name == "" {
		return "outline"
	}
	return name
}
