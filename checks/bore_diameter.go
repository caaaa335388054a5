package checks

import "fmt"

var boreDiameter = Check{
	ID:    "bore.diameter",
	Title: "Every hole that the frame needs has its diameter",
	Doc: `A hole drilled for the wrong thread is lost, and with it the block. Measured: the diameter of the step of the bore that is nearest to what is asked: exact where a STEP
file names the cylinder, else of the circle fitted to the facets, with twice the largest distance of a corner from it in the uncertainty.
Limit: the hole's own least and most.
A core hole's limits are those of its thread's standard, a dowel's those of its ISO 286 fit.`,
	Unit:       MM,
	Keys:       []string{"bores.diameter"},
	Mend:       `Give the hole the diameter that the frame's drawing gives.`,
	NeedsSolid: true,
	Asks:       (*Subject).asksBores,
	Measure: func(s *Subject) []Reading {
		return s.ofEachDemanded(func(d *demandedBore) (Reading, bool) {
			r := Reading{Measured: true, Value: d.step.DiameterMM, Uncertainty: d.step.DiameterErrorMM + 2*s.StorageMM(), Limit: bandOf(d.DiameterMM.Least, d.DiameterMM.Most)}
			r.Says = fmt.Sprintf("%v has a diameter of %.3f mm.", upperFirst(d.String()), r.Value)
			return r, true
		})
	},
}
