package checks

import (
	"fmt"

	"pocketgauge/mesh/tol"
)

var makeBottomRadius = Check{
	ID:    "make.bottom-radius",
	Title: "Walls meet floors with the radius that the shop's cutters leave",
	Doc: `Steel cracks from a sharp inner corner at the foot of a core, and a cutter with a corner radius lives longer than a sharp one.
Measured: the least radius of the detail's inner corners that run across the draw, 0 for a sharp one: from the file's cylinders and rings, else from
cuts square to the corner (as for make.cutter; a fillet of three facets or fewer is hard to tell from a chamfer, and the uncertainty says so). Limit: making.bottom_radius; nothing is asked where it is 0, for a flat end mill leaves a sharp corner. 0.2 to 0.5 mm is
usual (common practice, no source).`,
	Unit:       MM,
	Keys:       []string{"making.bottom_radius"},
	Mend:       `Round the foot of the wall to the bottom radius of the shop's cutters.`,
	NeedsSolid: true,
	Asks:       func(s *Subject) bool { return s.Frame.Making.BottomRadiusMM.Value > 0 },
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Making.BottomRadiusMM
		r := Reading{Measured: true, Value: cutSearch * limit.Value, Limit: AtLeast(limit.Value - tol.FlushMM)}
		r.Says = fmt.Sprintf("No foot of a wall has a radius under %g mm.", r.Value)
		count, length := 0, 0.0
		for _, c := range cornersFact.of(s) {
			if c.upright {
				continue
			}
			if c.radiusMM < limit.Value-tol.FlushMM {
				count++
				length += c.lengthMM
			}
			if c.radiusMM < r.Value {
				r.Value, r.Uncertainty = c.radiusMM, c.errorMM
				r.At, r.Located = c.at, true
				r.Says = fmt.Sprintf("The least radius at the foot of a wall is %.3f mm.", c.radiusMM)
				if c.sharp {
					r.Says = "The foot of a wall is sharp."
				}
			}
		}
		if count > 0 {
			r.Says += fmt.Sprintf(" %d corner(s) are under %g mm.", count, limit.Value)
		}
		return []Reading{r}
	},
}
