package checks

import (
	"fmt"

	"pocketgauge/mesh/tol"
)

var makeReach = Check{
	ID:    "make.reach",
	Title: "No slot or corner is deeper than its cutter reaches",
	Doc: `A thin cutter that sticks out far bends, chatters and breaks; beyond its reach the place must be eroded.
Measured: depth over the diameter of the cutter that fits: of each slot its depth over its width, from rays at samples of its walls, counted up
to where it has become twice as wide; of each inner corner along the draw its height over twice its radius. Places under the smallest cutter
are make.cutter's. Limit: making.reach_ratio; 4 to 6 is usual, 8 to 10 with cutters with a relieved neck (common practice, no source).
Not seen: the holder, which may touch a wall above a place that the cutter itself reaches.`,
	Unit:       Plain,
	Keys:       []string{"making.reach_ratio", "making.smallest_cutter"},
	Mend:       `Make the slot wider or less deep, enlarge the corner radius, or plan an electrode.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Making.ReachRatio
		if !limit.Set {
			return nil
		}
		smallest := s.Frame.Making.SmallestCutterMM.Value - tol.FlushMM
		r := Reading{Measured: true, Limit: AtMost(limit.Value), Says: fmt.Sprintf("No place of the detail is deeper than %.2g times the cutter that fits.", limit.Value/cutSearch)}
		take := func(depth, wide, err float64) bool {
			if wide < smallest || depth/wide <= max(r.Value, limit.Value/cutSearch) {
				return false
			}
			r.Value = depth / wide
			r.Uncertainty = r.Value * (2*s.SurfaceMM()/depth + err/wide)
			return true
		}
		for _, c := range cornersFact.of(s) {
			if c.upright && !c.sharp && take(c.highMM-c.lowMM, 2*c.radiusMM, 2*c.errorMM) {
				r.At, r.Located = c.at, true
				r.Says = fmt.Sprintf("An inner corner of radius %.3f mm is %.2f mm high.", c.radiusMM, c.highMM-c.lowMM)
			}
		}
		for _, w := range slotsFact.of(s).list {
			if take(w.depthMM, w.widthMM, 2*s.SurfaceMM()) {
				r.At, r.Located = w.at, true
				r.Says = fmt.Sprintf("A slot %.3f mm wide is %.2f mm deep.", w.widthMM, w.depthMM)
			}
		}
		return []Reading{r}
	},
}
