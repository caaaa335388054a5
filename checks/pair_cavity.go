package checks

import (
	"fmt"
	"strings"

	"pocketgauge/mesh/cavity"
)

var pairCavity = Check{
	ID:    "pair.cavity",
	Title: "The closed halves hold cavities, and a gate feeds each",
	Doc: `What the closed halves enclose is what is moulded. A cavity that is not closed cannot be filled, and
one without a gate stays empty. Measured: the room between the halves in the closed position, in connected
pieces; parts and runners are told apart by width, from the gate on; a gate is a hole through the fixed
half that ends in the piece. Volumes and areas are sums over rays along the draw, with the error of
sampling stated (99.9 %); the sprue below its mouth is not counted, and room behind an undercut is not
seen. That each cavity has a gate is asked only where any gate is modelled.
The limit is none.`,
	Unit: Count,
	Mend: `Close the cavity where it is open to the outside, or lead the runner to the cavity at the place shown.`,
	Measure: func(s *Subject) []Reading {
		return ofPair(s, func(p *Pair) []Reading {
			parts := p.Parts()
			r := Reading{Of: "closed", Measured: true, Value: float64(len(parts)), Limit: AtLeast(1)}
			if len(parts) == 0 {
				r.Says = "The closed halves enclose no room: whatever lies between them is open to the outside."
				return []Reading{r}
			}
			r.At, r.Located = parts[0].Middle, true
			r.Says = describeRoom(p)
			list := []Reading{r}
			if len(p.Room.Gates) > 0 {
				g := Reading{Of: "without a gate", Measured: true, Limit: AtMost(0)}
				for _, c := range parts {
					if len(c.Gates) == 0 {
						g.Value++
						g.At, g.Located = c.Middle, true
					}
				}
				g.Says = "A gate feeds each cavity."
				if g.Value > 0 {
					g.Says = fmt.Sprintf("No gate feeds %.0f of %d cavities.", g.Value, len(parts))
				}
				list = append(list, g)
			}
			return list
		})
	},
}

func describeRoom(p *Pair) string {
	parts := p.Parts()
	var volume, area, runner float64
	for _, c := range p.Room.Solids {
		if c.Kind == cavity.Part {
			volume, area = volume+c.VolumeMM3, area+c.AreaMM2
		} else {
			runner += c.VolumeMM3
		}
	}
	var b strings.Builder
	if len(parts) == 1 {
		fmt.Fprintf(&b, "One cavity of %.2f cm3 and %.1f cm2 seen along the draw", volume/1000, area/100)
	} else {
		fmt.Fprintf(&b, "%d cavities, together %.2f cm3 and %.1f cm2 seen along the draw", len(parts), volume/1000, area/100)
	}
	if runner > 0 {
		fmt.Fprintf(&b, ", and %.2f cm3 of runner", runner/1000)
	}
	fmt.Fprintf(&b, ", without the sprue (rays %.2g mm apart).", p.Room.PitchMM)
	return b.String()
}
