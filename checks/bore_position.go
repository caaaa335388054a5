package checks

import "fmt"

var borePosition = Check{
	ID:    "bore.position",
	Title: "Every hole that the frame needs stands where it should",
	Doc: `A screw finds its thread within a few tenths, a dowel within hundredths. Measured: the distance of the bore's axis from the
place that the rules file names, square to the bore: exact where a STEP file names the cylinder, else of the axis fitted to the facets. Limit: the
hole's own position, 0.1 mm where it states none (common practice, no source; a dowel needs less).`,
	Unit:       MM,
	Keys:       []string{"bores.position"},
	Mend:       `Move the hole to the place that the frame's drawing gives.`,
	NeedsSolid: true,
	Asks:       (*Subject).asksBores,
	Measure: func(s *Subject) []Reading {
		return s.ofEachDemanded(func(d *demandedBore) (Reading, bool) {
			if !d.PositionMM.Set {
				return Reading{}, false
			}
			r := Reading{Measured: true, Value: d.offMM, Uncertainty: s.StorageMM() + d.is.DiameterErrorMM, Limit: AtMost(d.PositionMM.Value)}
			off := d.At.At.Sub(d.is.Mouth)
			off = off.Sub(d.is.Into.Mul(off.Dot(d.is.Into)))
			r.Says = fmt.Sprintf("The axis of %v stands %.3f mm off.", d, d.offMM)
			if d.offMM > d.PositionMM.Value {
				r.Mend = fmt.Sprintf("Move the hole by %s mm.", placeText(off))
			}
			return r, true
		})
	},
}
