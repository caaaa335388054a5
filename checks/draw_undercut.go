package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/tol"
)

var drawUndercut = Check{
	ID:    "draw.undercut",
	Title: "Nothing of the detail holds the part back as the mould opens",
	Doc: `What lies under steel as seen along the draw locks the part in: it tears, or the mould needs a slide or a lifter that
nobody quoted. Measured: the faces of the detail that lean over by more than 0.05 deg, as connected places; the depth of a place is the
largest distance, square to the draw, from a point of it to its lip, on the facets themselves and on no grid, so that half a degree the
wrong way is found. Told with it: area, width, the volume beneath (by rays a millimetre apart), and the direction square to the
draw in which a slide would free it, tried every 5 deg. Limits: draw.undercut.depth, or any depth up to draw.undercut.volume; by default none, for
a straight draw. 0.005 mm is let pass. Not seen: undercuts in bores, in what is cut for the frame, and in the face of a part that is cut
by the other half; overhangs of less than 0.2 mm2.`,
	Unit:       MM,
	Keys:       []string{"draw.direction", "draw.undercut.depth", "draw.undercut.volume"},
	Mend:       `Lean the overhanging face back past the draw, or plan a slide for it and say so in draw.undercut.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Draw.UndercutDepthMM
		if !limit.Set {
			return nil
		}
		let := max(limit.Value, tol.FlushMM)
		r := Reading{Measured: true, Limit: AtMost(let), Says: "Nothing of the detail lies under metal as seen along the draw."}
		list := undercutsFact.of(s).list
		broken := 0
		for i := range list {
			u := &list[i]
			small := u.volumeMM3 <= s.Frame.Draw.UndercutVolumeMM3.Value
			if u.depthMM > let && !small {
				broken++
			}
			if r.Located && (small || r.Value > let) {
				continue
			}
			// The deepest that is not let pass for its volume; else the deepest of all.
			r.Value, r.Uncertainty = u.depthMM, 2*s.SurfaceMM()
			if r.Value <= let {
				// A depth is a lower bound; that matters only where it is within the limit.
				r.Uncertainty += u.depthErrorMM
			}
			r.At, r.Located = u.deepest, true
			if u.deepest == (r3.Vector{}) {
				r.At = s.middle(s.widest(u.over))
			}
			r.Says = fmt.Sprintf("An undercut %.3f mm deep: %.1f mm2 of the detail lean over the way out, %.1f mm wide, with %.3g mm3 beneath.", u.depthMM, u.areaMM2, u.widthMM, u.volumeMM3)
			if u.slide != (r3.Vector{}) {
				r.Says += fmt.Sprintf(" A slide that moves %.2f mm %s would free it.", u.travelMM, directionName(u.slide))
			} else {
				r.Says += " No single slide would free it: it is held on more than one side."
			}
			r.Limit = AtMost(let)
			if small {
				r.Limit = AtMost(math.Max(let, r.Value+r.Uncertainty))
			}
		}
		if broken > 1 {
			r.Says += fmt.Sprintf(" %d undercuts in all are over the limit.", broken)
		}
		return []Reading{r}
	},
}
