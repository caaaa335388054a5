package checks

import (
	"fmt"

	"pocketgauge/mesh/tol"
)

var drawZeroDraft = Check{
	ID:    "draw.zero-draft",
	Title: "No more of the detail stands straight along the draw than is let pass",
	Doc: `An upright face holds the part by friction over its whole height, and its shut-off wears from the first
shot. Measured: the area of the detail's faces that lean by no more than 0.05 deg either way; exact for planes, and cones
and cylinders about the draw, of a STEP file, else by facets. Limit: draw.draft.zero_draft_area, by default none; short shut-offs
are sometimes let pass (common practice, no source). Bores along the draw are no detail, and an upright round pocket is not told from one; upright faces under an undercut
are freed with it and left to draw.undercut.`,
	Unit:       MM2,
	Keys:       []string{"draw.direction", "draw.draft.zero_draft_area"},
	Mend:       `Give the upright faces the draft that the rules ask for.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Draw.Draft.ZeroAreaMM2
		if !limit.Set {
			return nil
		}
		d := draftsFact.of(s)
		hidden := undercutsFact.of(s).hidden
		r := Reading{Measured: true, Limit: AtMost(limit.Value), Says: "No face of the detail stands straight along the draw."}
		places, specks := 0, 0
		var most patch
		for _, p := range s.patches(func(t int32) bool {
			return abs(float64(d.of[t])) <= tol.ZeroDraft && !hidden[t]
		}) {
			if p.areaMM2 < tol.DraftNoiseMM2 {
				specks++
				continue
			}
			places++
			r.Value += p.areaMM2
			for _, t := range p.triangles {
				// Moving its corners by the storage error changes a triangle by its border times that.
				a, b, c := s.Part.Mesh.Corners(int(t))
				r.Uncertainty += s.StorageMM() * (b.Sub(a).Norm() + c.Sub(b).Norm() + a.Sub(c).Norm())
			}
			if p.areaMM2 > most.areaMM2 {
				most = p
			}
		}
		if places > 0 {
			t := s.widest(most.triangles)
			r.At, r.Located = s.middle(t), true
			r.Says = fmt.Sprintf("%.1f mm2 of the detail stand straight along the draw, in %d place(s); the largest is %s of %.1f mm2.", r.Value, places, s.SurfaceName(t), most.areaMM2)
		}
		if specks > 0 {
			r.Says += fmt.Sprintf(" %d place(s) under %g mm2 are not counted.", specks, tol.DraftNoiseMM2)
		}
		return []Reading{r}
	},
}
