package checks

import (
	"fmt"

	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

var zoneUncut = Check{
	ID:    "zone.uncut",
	Title: "What belongs to the blank is left as the blank has it",
	Doc: `Faces that the shop grinds once, on the blank, are references for every set-up after; a cut there
costs the reference. Measured: the part of the zone that the blank fills and the insert does not.
Judged by depth. A zone that the blank itself does not fill cannot be judged, and says so.
0.005 mm is let pass as flush, beyond it what the frame states (zones.allowance).`,
	Unit:       MM,
	Keys:       []string{"zones.must: uncut", "zones.allowance", "blank"},
	Mend:       `Leave this part of the blank alone: move the detail or the bore.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		return zonesThatMust(s, rules.Uncut, func(z *rules.Zone, shape *difference.Zone) Reading {
			blank, err := s.Blank()
			if err != nil {
				return NotMeasured(z.Name.Value, err.Error())
			}
			of, err := difference.Between(shape.Mesh(), blank.Mesh, difference.Options{RegionsOfA: true, MostRegions: 1})
			if err != nil {
				return NotMeasured(z.Name.Value, err.Error())
			}
			if len(of.RegionsA) > 0 && of.RegionsA[0].DepthMM > tol.FlushMM {
				return NotMeasured(z.Name.Value, fmt.Sprintf("the blank leaves %.3g mm3 of this zone empty; draw the zone within the blank", of.AOnly.MM3))
			}
			return hollowReading(s, z, shape, "Metal cut from the zone")
		})
	},
}
