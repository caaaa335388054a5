package checks

import (
	"pocketgauge/mesh/difference"
	"pocketgauge/rules"
)

var zoneOpen = Check{
	ID:    "zone.open",
	Title: "What the frame reaches into is free of metal",
	Doc: `Clamps, the ejector tie-in, hoses and locating keys reach into the insert; metal left there keeps it
out of the frame or breaks the clamp. Measured: the metal inside the zone, by cutting the insert's
surface at the zone's planes: exact for boxes and straight outlines, however thin the sliver. Judged by
how deep the metal reaches into the zone, with 0.005 mm let pass as flush; the volume is told. A round zone is measured as a
prism of many sides, and what that is off is in the uncertainty.
The frame states what it lets pass beyond (zones.allowance).`,
	Unit:       MM,
	Keys:       []string{"zones.must: open", "zones.allowance"},
	Mend:       `Cut the zone free: the slot or pocket is missing, too small or in the wrong place.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		return zonesThatMust(s, rules.Open, s.metalIn)
	},
}

func (s *Subject) metalIn(z *rules.Zone, shape *difference.Zone) Reading {
	in, err := difference.InZone(s.Part.Mesh, shape, difference.Options{})
	if err != nil {
		return NotMeasured(z.Name.Value, err.Error())
	}
	return zoneReading(s, z, shape, "Metal in the zone", in.Both, in.RegionsBoth)
}

// openFaults counts the zones that metal reaches into.
func openFaults(s *Subject) int {
	return zoneFaults(s, rules.Open, func(shape *difference.Zone) (difference.Quantity, float64, error) {
		return difference.Intrusion(s.Part.Mesh, shape)
	}, s.metalIn)
}
