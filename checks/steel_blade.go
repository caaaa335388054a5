package checks

import (
	"fmt"

	"pocketgauge/mesh/thickness"
)

var steelBlade = Check{
	ID:    "steel.blade",
	Title: "Standing ribs and pins of the detail are not too slender",
	Doc: `A thin rib of steel that stands free in a cavity is bent by the melt, and by the cutter before it. Measured: thin
places between two faces of the detail, sampled over the detail at a stated pitch, that have metal at one end and stand free at the
other; the height is the extent of the samples, good to about a pitch and a half in all, over the least
thickness. Ribs thicker than a stated thickness are no blades; those thinner than walls may be are
steel.wall's and not judged again. A rib held at both ends is none. The limit is common practice, no source.`,
	Unit:       Plain,
	Keys:       []string{"steel.blade_slenderness", "steel.blade_thickness", "measuring.pitch"},
	Mend:       `Make the rib lower or thicker, or let it in as a piece of its own.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit, thick := s.Frame.Steel.BladeSlenderness, s.Frame.Steel.BladeThicknessMM
		surfaces := s.Surfaces()
		if !limit.Set || !thick.Set || len(rolesFact.of(s).detail) == 0 {
			return nil
		}
		field, err := thickness.Walls(s.Tree(), thickness.Options{
			PitchMM: s.PitchMM(), LimitMM: bladeSearch * thick.Value, Roundoff: s.Part.Roundoff,
			Keep: func(t int32) bool { return surfaces.Of[t] == Detail },
		})
		if err != nil {
			return []Reading{NotMeasured("", err.Error())}
		}
		least := s.Frame.Steel.Wall.AnyMM.Value // zero where not set
		var regions []thickness.Region
		for _, g := range field.Regions(thick.Value, func(a, b int32) bool { return surfaces.Of[a] == Detail && surfaces.Of[b] == Detail }) {
			if g.ValueMM >= least && g.AreaMM2 >= s.Frame.Steel.Wall.NoiseMM2.Value {
				regions = append(regions, g)
			}
		}
		r := Reading{Measured: true, Limit: AtMost(limit.Value)}
		r.Says = fmt.Sprintf("No rib or pin of at most %g mm stands free, so far as samples %.2g mm apart tell.", thick.Value, field.PitchMM)
		for _, b := range field.Blades(regions, 0) {
			if b.Slenderness <= r.Value {
				continue
			}
			g := &regions[b.Region]
			r.Value = b.Slenderness
			r.Uncertainty = (b.ErrorMM + b.Slenderness*(g.ErrorMM+2*s.SurfaceMM())) / b.ThicknessMM
			r.At, r.Located = g.A.Add(g.B).Mul(0.5), true
			what := "rib"
			if b.Pin {
				what = "pin"
			}
			r.Says = fmt.Sprintf("The most slender %s stands %.1f mm high and is %.2f mm thick.", what, b.HeightMM, b.ThicknessMM)
		}
		return []Reading{r}
	},
}

// bladeSearch is how much thicker than the thickest blade a place may be and still be part of
// one: it grows towards its root (mesh/thickness, blades).
const bladeSearch = 1.7
