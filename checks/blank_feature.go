package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/roles"
	"pocketgauge/mesh/tol"
)

// blankFeature is a slot or a bore that the blank comes with.
type blankFeature struct {
	bore *roles.Bore // nil for a slot
	box  geom.Box
	// triangles of the blank; of a bore its wall alone, for its end is where another drill may go on.
	triangles []int32
}

func (f *blankFeature) String() string {
	if f.bore != nil {
		return fmt.Sprintf("bore of %.2f mm at %s", f.bore.DiameterMM, placeText(f.bore.Mouth))
	}
	return "slot at " + placeText(f.box.Center())
}

// holds reports whether a box, known to within, lies within what the feature takes up.
func (f *blankFeature) holds(b geom.Box, within float64) bool {
	box := f.box.Expand(within + tol.FlushMM)
	return box.Contains(b.Min) && box.Contains(b.Max)
}

var blankFeaturesFact = fact[[]blankFeature]{findBlankFeatures}

// findBlankFeatures finds what of the blank's model is neither its underside, its top nor its sides: bores by
// their form, the rest by what hangs together. An edge break along the outline is no feature.
func findBlankFeatures(s *Subject) []blankFeature {
	if s.BlankModel == nil || !s.BlankModel.Audit.Closed() {
		return nil
	}
	m := s.BlankModel.Mesh
	box := m.Bounds()
	within := 2*math.Sqrt(3)*s.BlankModel.Roundoff*box.MaxAbs() + tol.LevelMM
	skin := make([]bool, len(m.Triangles))
	for _, up := range [...]bool{false, true} {
		for _, l := range measure.Levels(m, up, within) {
			if z := box.Min.Z; !up && l.ZMM <= z+within || up && l.ZMM >= box.Max.Z-within {
				for _, t := range l.Triangles {
					skin[t] = true
				}
			}
		}
	}
	edge := max(s.Frame.Pocket.EdgeBreakMM.Most.Value, tol.SideMM) + s.BlankModel.ChordMM
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		near := true
		for _, p := range [...]r3.Vector{a, b, c} {
			if d, _ := s.Pocket.Clearance(flat(p.X, p.Y)); d > edge {
				near = false
			}
		}
		skin[t] = skin[t] || near
	}
	found := roles.Find(s.BlankModel, func(t int32) bool { return skin[t] })
	var out []blankFeature
	for i := range found.Bores {
		f := blankFeature{bore: &found.Bores[i], box: geom.EmptyBox()}
		for _, t := range f.bore.Triangles {
			f.add(m, t)
			if n := m.AreaVector(int(t)); abs(n.Dot(f.bore.Into)) <= tol.UprightSine*n.Norm() {
				f.triangles = append(f.triangles, t)
			}
		}
		out = append(out, f)
	}
	pieces := mesh.NewForest(len(m.Vertices))
	rest := func(t int) bool { return !skin[t] && found.BoreOf[t] < 0 }
	for t, tri := range m.Triangles {
		if rest(t) {
			pieces.Join(tri[0], tri[1])
			pieces.Join(tri[0], tri[2])
		}
	}
	number := map[int32]int{}
	for t, tri := range m.Triangles {
		if !rest(t) {
			continue
		}
		root := pieces.Root(tri[0])
		k, ok := number[root]
		if !ok {
			k = len(out)
			number[root] = k
			out = append(out, blankFeature{box: geom.EmptyBox()})
		}
		out[k].add(m, int32(t))
		out[k].triangles = append(out[k].triangles, int32(t))
	}
	return out
}

func (f *blankFeature) add(m *mesh.Mesh, t int32) {
	a, b, c := m.Corners(int(t))
	f.box = f.box.AddPoint(a).AddPoint(b).AddPoint(c)
}
