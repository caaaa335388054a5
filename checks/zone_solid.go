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
boxes and straight outlines. Judged by how deep the hollow reaches into the zone.
0.005 mm is let pass as flush, beyond it what the frame states (zones.allowance).`,
	Unit:       MM,
	Keys:       []string{"zones.must: solid", "zones.allowance"},
	Mend:       `Keep the detail and the bores out of the zone.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		return zonesThatMust(s, rules.Solid, s.missingIn)
	},
}

func (s *Subject) missingIn(z *rules.Zone, shape *difference.Zone) Reading {
	return hollowReading(s, z, shape, "Metal missing from the zone")
}

// fewRays find a hollow that is worth the name; what they do not find is looked for with all.
const fewRays = 1 << 14

// solidFaults counts the zones that are not whole.
func solidFaults(s *Subject) int {
	return zoneFaults(s, rules.Solid, func(shape *difference.Zone) (difference.Quantity, float64, error) {
		d, err := difference.Between(shape.Mesh(), s.Part.Mesh, difference.Options{RegionsOfA: true, RegionRays: fewRays})
		if err != nil {
			return difference.Quantity{}, 0, err
		}
		depth := 0.0
		for _, g := range d.RegionsA {
			depth = max(depth, g.DepthMM)
		}
		return d.AOnly, depth, nil
	}, s.missingIn)
}

// hollowReading measures what of a zone holds no metal.
func hollowReading(s *Subject, z *rules.Zone, shape *difference.Zone, fault string) Reading {
	d, err := difference.Between(shape.Mesh(), s.Part.Mesh, difference.Options{RegionsOfA: true})
	if err != nil {
		return NotMeasured(z.Name.Value, err.Error())
	}
	return zoneReading(s, z, shape, fault, d.AOnly, d.RegionsA)
}
