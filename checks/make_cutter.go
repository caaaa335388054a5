package checks

import (
	"fmt"

	"pocketgauge/mesh/tol"
)

var makeCutter = Check{
	ID:    "make.cutter",
	Title: "A cutter that the shop has gets into every corner and slot",
	Doc: `What no cutter gets into must be eroded: an electrode to draw, cut and burn for each place, days where minutes
were quoted. Measured: the diameter of the largest cutter that gets everywhere: twice the least radius of the detail's inner
corners that run along the draw, 0 for a sharp one, or the width of the narrowest slot, whichever is less. Corner radii come from the file's
cylinders and rings, else from cuts square to the corner, by what the surface turns over how far, from wall to wall: where a round is so coarsely meshed that
it may be a chamfer, the uncertainty says so; widths from rays across the slot, from samples of the walls at half the measuring pitch: a narrow place smaller
than that may be missed. Sharp corners at the foot of a wall are make.bottom-radius's. Limit: making.smallest_cutter, where
making.sharp_corners says refuse; where it says allow, as most mould shops have a spark erosion machine, the places are counted and let pass.
The smallest cutter to plan with is 0.5 to 1 mm (common practice, no source).`,
	Unit:       MM,
	Keys:       []string{"making.smallest_cutter", "making.sharp_corners"},
	Mend:       `Round the inner corner to at least the radius of the smallest cutter, widen the slot, or allow spark erosion.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		smallest := s.Frame.Making.SmallestCutterMM
		if !smallest.Set {
			return nil
		}
		r := Reading{Measured: true, Value: cutSearch * smallest.Value}
		if s.Frame.Making.SharpCorners.Value == "refuse" {
			r.Limit = AtLeast(smallest.Value - tol.FlushMM)
		}
		r.Says = fmt.Sprintf("A cutter of %g mm gets into every corner and slot of the detail.", r.Value)
		sharp, small, height := 0, 0, 0.0
		for _, c := range cornersFact.of(s) {
			if !c.upright {
				continue
			}
			if d := 2 * c.radiusMM; d < smallest.Value-tol.FlushMM {
				if c.sharp {
					sharp++
				} else {
					small++
				}
				height += c.highMM - c.lowMM
			}
			if 2*c.radiusMM < r.Value {
				r.Value, r.Uncertainty = 2*c.radiusMM, 2*c.errorMM
				r.At, r.Located = c.at, true
				r.Says = fmt.Sprintf("The tightest inner corner has a radius of %.3f mm.", c.radiusMM)
				if c.sharp {
					r.Says = "An inner corner is sharp."
				}
			}
		}
		list := slotsFact.of(s)
		narrow := 0.0
		for _, w := range list.list {
			if w.widthMM < smallest.Value-tol.FlushMM {
				narrow += list.pitchMM * list.pitchMM / 2 // both walls are sampled
			}
			if w.widthMM < r.Value {
				r.Value, r.Uncertainty = w.widthMM, 2*s.SurfaceMM()
				r.At, r.Located = w.at, true
				r.Says = fmt.Sprintf("The narrowest slot is %.3f mm wide and %.2f mm deep.", w.widthMM, w.depthMM)
			}
		}
		if sharp+small > 0 {
			r.Says += fmt.Sprintf(" %d sharp and %d small inner corner(s), %.1f mm high in all, are under the smallest cutter of %g mm.", sharp, small, height, smallest.Value)
		}
		if narrow > 0 {
			r.Says += fmt.Sprintf(" Slots under the smallest cutter of %g mm have walls of about %.1f mm2.", smallest.Value, narrow)
		}
		if !r.Limit.HasLeast && (sharp+small > 0 || narrow > 0) {
			r.Says += " They are left for spark erosion or wire, as making.sharp_corners allows."
		}
		return []Reading{r}
	},
}
