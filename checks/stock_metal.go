package checks

import (
	"fmt"
	"slices"

	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

var stockMetal = Check{
	ID:    "stock.metal",
	Title: "The insert can be cut from its blank",
	Doc: `Metal that the model has and the blank has not would have to be welded on. Measured: the insert
without the blank, as connected places; judged by how far the metal stands out of the blank. The
finding also tells the stock to remove, blank minus insert: exact where the insert lies inside a convex
blank, else by rays with the error stated.
0.005 mm is let pass as flush. What stands out through the pocket's side is fit.outline's finding.`,
	Unit:       MM,
	Keys:       []string{"blank.height", "blank.model", "blank.side_stock", "blank.seat_stock"},
	Mend:       `Choose a larger blank, or bring the model back within it.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		if !s.Frame.Blank.HeightMM.Set && s.BlankModel == nil {
			return nil
		}
		st, err := s.Stock()
		if err != nil {
			return []Reading{NotMeasured("", err.Error())}
		}
		r := Reading{Measured: true, Limit: AtMost(tol.FlushMM), Uncertainty: s.SurfaceMM() + st.BlankErrorMM}
		// Metal in a slot or bore that the blank comes with is told by the check of that slot, and metal that stands out
		// through the pocket's side by fit.outline.
		outside := slices.DeleteFunc(slices.Clone(st.Outside), func(o difference.Region) bool {
			return s.toldByOutline(&o) || slices.ContainsFunc(blankFeaturesFact.of(s), func(f blankFeature) bool { return f.holds(o.Box, o.PitchMM) })
		})
		if len(outside) > 0 {
			deepest := outside[0]
			for _, o := range outside[1:] {
				if o.DepthMM > deepest.DepthMM {
					deepest = o
				}
			}
			r.Value, r.At, r.Located = deepest.DepthMM, deepest.DeepestPoint, true
			r.Says = fmt.Sprintf("Metal stands %.3f mm out of the blank: %s mm3 in %d place(s). ", deepest.DepthMM, volumeText(st.OutsideVolume, s), len(outside))
		}
		r.Says += fmt.Sprintf("Stock to remove: %.1f cm3", st.Remove.MM3/1000)
		if s.Steel != nil && s.Steel.DensityKGM3.Set {
			r.Says += fmt.Sprintf(", %.2f kg of %s", st.Remove.MM3*1e-9*s.Steel.DensityKGM3.Value, s.Steel.Grade.Value)
		}
		r.Says += "."
		return []Reading{r}
	},
}

// toldByOutline reports whether a place out of the blank is part of what fit.outline rejects: it stands out of the pocket's outline too,
// and does so below the frame's face.
func (s *Subject) toldByOutline(o *difference.Region) bool {
	p := o.DeepestPoint
	if d, _ := s.Pocket.Clearance(flat(p.X, p.Y)); d >= 0 || o.Box.Min.Z >= s.DepthMM() || s.Frame.SeverityOf(fitOutline.ID) == rules.SeverityOff {
		return false
	}
	return slices.ContainsFunc(s.read(&fitOutline), func(r Reading) bool { return Judge(r).Verdict == Fail })
}

// Stock is what an insert and its blank do not share.
type Stock struct {
	// Remove is blank minus insert, OutsideVolume insert minus blank.
	Remove, OutsideVolume difference.Quantity
	Outside               []difference.Region
	// BlankErrorMM is how far the blank's mesh stands off the blank.
	BlankErrorMM float64
	BlankMM3     difference.Quantity
	Method       string
	Exact        bool
}

// Stock compares the insert with its blank, once.
func (s *Subject) Stock() (*Stock, error) {
	f := stockFact.of(s)
	return f.value, f.err
}

var stockFact = fact[found[*Stock]]{func(s *Subject) found[*Stock] { return foundOf(s.compareWithBlank()) }}

func (s *Subject) compareWithBlank() (*Stock, error) {
	blank, err := s.Blank()
	if err != nil {
		return nil, err
	}
	d, err := difference.Between(s.Part.Mesh, blank.Mesh, difference.Options{RegionsOfA: true, NoiseMM: tol.FlushMM})
	if err != nil {
		return nil, fmt.Errorf("comparing insert and blank: %w", err)
	}
	st := &Stock{
		Remove: d.BOnly, OutsideVolume: d.AOnly, Outside: d.RegionsA,
		BlankErrorMM: blank.ChordMM, BlankMM3: d.VolumeB, Method: d.Method, Exact: d.Exact,
	}
	// The surfaces are known to a few micrometres at best, and the volume moves by as much
	// times their area.
	m := s.Measures()
	st.Remove.ErrorMM3 += m.VolumeErrorMM3
	round := blankFact.of(s).value.roundMM3
	st.BlankMM3.MM3 += round
	st.Remove.MM3 += round
	if len(st.Outside) > 0 {
		// Some of the rounding may hold metal that stands out of the mesh of the blank.
		st.Remove.ErrorMM3 += round
		st.OutsideVolume.ErrorMM3 += round
	}
	return st, nil
}
