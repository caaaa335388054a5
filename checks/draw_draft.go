package checks

import (
	"fmt"
	"math"
	"regexp"
	"strconv"

	"pocketgauge/mesh/tol"
)

var drawDraft = Check{
	ID:    "draw.draft",
	Title: "Every face of the detail leans away from the draw far enough",
	Doc: `A face without its draft rubs along the part all the way out: the part sticks, shows drag marks or is torn,
and a texture is scraped off. Measured: the angle between the draw and each face of the detail, exact for planes, and for cones and
cylinders about the draw, of a STEP file; else facet by facet, with what storing the corners and spanning
a round face may have tilted a facet in the uncertainty. The least is reported, with the area of the
detail by its draft. Faces without any draft are draw.zero-draft's, faces that hang over and what lies under them
draw.undercut's. Limit: for the finish that the workspace names its own (draw.draft.by_finish), else
draw.draft.least, and where the finish's name states a depth, such as "grain 0.05 mm", draw.draft.per_texture_depth for it.
Design guides give 0.5 deg as the least and 1 deg as the usual, and 1 to 1.5 deg more for each 0.025 mm of texture (resin makers' tooling notes).
0.02 deg under the limit is let pass, for faces are drawn at exactly the limit. Not seen: places smaller than 0.2 mm2 (counted, not
judged); draft that a sculpted face loses within one facet.`,
	Unit:       Degree,
	Keys:       []string{"draw.direction", "draw.draft.least", "draw.draft.by_finish", "draw.draft.per_texture_depth"},
	Mend:       `Lean the face back so that it widens towards the parting face.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit, rule := s.draftLimit()
		if math.IsNaN(limit) || limit <= 0 {
			return nil
		}
		search := min(draftSearch*limit, math.Pi/2)
		d := draftsFact.of(s)
		hidden := undercutsFact.of(s).hidden
		r := Reading{
			Measured: true, Value: degrees(search), Limit: AtLeast(degrees(limit - tol.DraftSlack)),
			Says: fmt.Sprintf("No face of the detail has less draft than %.3g deg.", degrees(search)),
		}
		specks, short, shortArea := 0, 0, 0.0
		least := math.Inf(1)
		for _, p := range s.patches(func(t int32) bool {
			x := float64(d.of[t])
			return x > tol.ZeroDraft && x < search && !hidden[t]
		}) {
			if p.areaMM2 < tol.DraftNoiseMM2 {
				specks++
				continue
			}
			steepest := p.triangles[0]
			area := 0.0
			for _, t := range p.triangles {
				if d.of[t]-d.error[t] < d.of[steepest]-d.error[steepest] {
					steepest = t
				}
				if float64(d.of[t]) < limit-tol.DraftSlack {
					area += facetsFact.of(s).area[t]
				}
			}
			if area > 0 {
				short++
				shortArea += area
			}
			if x := float64(d.of[steepest] - d.error[steepest]); x < least {
				least = x
				r.Value, r.Uncertainty = degrees(float64(d.of[steepest])), degrees(float64(d.error[steepest]))
				r.At, r.Located = s.middle(steepest), true
				r.Says = fmt.Sprintf("The least draft is %.3g deg, on %s.", r.Value, s.SurfaceName(steepest))
			}
		}
		if short > 0 {
			r.Says += fmt.Sprintf(" %d place(s), %.1f mm2, have less than %.3g deg (%s).", short, shortArea, degrees(limit), rule)
			r.Mend = fmt.Sprintf("Lean these faces back to %.3g deg, so that they widen towards the parting face.", degrees(limit))
		}
		if specks > 0 {
			r.Says += fmt.Sprintf(" %d place(s) under %g mm2 are not judged.", specks, tol.DraftNoiseMM2)
		}
		r.Says += d.histogram(s)
		if d.narrowMM2 >= tol.DraftNoiseMM2 {
			r.Says += fmt.Sprintf(" Facets of %.1f mm2 in all are too narrow to tell.", d.narrowMM2)
		}
		return []Reading{r}
	},
}

// draftSearch is how far above the limit faces are looked at, so that a passing insert shows how
// close it came.
const draftSearch = 1.5

// draftLimit is the least draft that the rules ask for with the finish of the detail, in radians,
// and where it comes from. NaN where they ask for none.
func (s *Subject) draftLimit() (radians float64, rule string) {
	draft := &s.Frame.Draw.Draft
	l := draft.For(s.Finish)
	if !l.Set {
		return math.NaN(), ""
	}
	for i := range draft.ByFinish {
		if draft.ByFinish[i].Finish.Value == s.Finish {
			return l.Value, "finish " + s.Finish
		}
	}
	if depth := textureDepthMM(s.Finish); depth > 0 && draft.PerTextureDepth.Set {
		return l.Value + depth*draft.PerTextureDepth.Value, fmt.Sprintf("for a texture %g mm deep", depth)
	}
	return l.Value, "draw.draft.least"
}

var depthInName = regexp.MustCompile(`([0-9]+(?:\.[0-9]+)?) ?(mm|um|µm)\b`)

// textureDepthMM is the depth that the name of a finish states, 0 for none.
func textureDepthMM(finish string) float64 {
	m := depthInName.FindStringSubmatch(finish)
	if m == nil {
		return 0
	}
	x, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		return 0
	}
	if m[2] != "mm" {
		x /= 1000
	}
	return x
}
