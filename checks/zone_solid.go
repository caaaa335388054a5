package checks

import (
	"pocketgauge/mesh/difference"
	"pocketgauge/rules"
)

var zoneSolid = Check{
	ID:    "zone.solid",
	Title: "What the frame presses on is whole",
	Doc: `Pads and bearing faces carry the frame's screws, clamps and ejector plate; a pocket or bore cut
into one weakens it or lets it leak. Measured: the part of the zone without metal, volume exact for
boxes and straight outlines. Judged by how deep the hollow reaches into the zone.`,
	Unit:       MM,
	Keys:       []string{"zones.must: solid", "zones.allowance"},
	Mend:       `Keep the detail and the bores out of the zone.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		return zonesThatMust(s, rules.Solid, func(z *rules.Zone, shape *difference.Zone) Reading {
			return hollowReading(s, z, shape, "Metal missing from the zone")
		})
	},
}

// hollowReading measures what of a zone holds no metal.
func hollowReading(s *Subject, z *rules.Zone, shape *difference.Zone, fault string) Reading {
	d, err := difference.Between(shape.Mesh(), s.Part.Mesh, difference.Options{})
	if err != nil {
		return NotMeasured(z.Name.Value, err.Error())
	}
	return zoneReading(s, z, shape, fault, d.AOnly, d.RegionsA)
}
