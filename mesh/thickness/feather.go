package thickness

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"pocketgauge/mesh/geom"
)

// FeatherEdge is a run of mesh edges at which the measured side ends in an acute wedge.
type FeatherEdge struct {
	// Angle is the most acute of the wedge's angles along the run, exact for the facets.
	Angle s1.Angle
	// A and B are the ends of the mesh edge with that angle, Triangles its two facets.
	A, B      r3.Vector
	Triangles [2]int32
	// LengthMM is the sum over all mesh edges of the run.
	LengthMM float64
	Edges    int
	Bounds   geom.Box
}

// sliverHeights is how many times the rounding of coordinates a facet must be high over an edge
// for its angle there to mean anything: at eight, rounding turns it by at most an eighth.
const sliverHeights = 8

type wedge struct {
	low, high int32
	angle     float64
	triangles [2]int32
	length    float64
}

// FeatherEdges are all runs of edges more acute than the facing angle, most acute first. Only
// edges of exactly two facets, one each way, are judged, and among them only those whose two
// triangles are sampled and that accept allows (nil for all).
func (f *Field) FeatherEdges(accept func(a, b int32) bool) []FeatherEdge {
	wedges := f.wedges(accept)
	if len(wedges) == 0 {
		return nil
	}
	// Runs are joined over shared vertices.
	run := map[int32]int32{}
	root := func(v int32) int32 {
		if _, ok := run[v]; !ok {
			run[v] = v
		}
		for run[v] != v {
			run[v] = run[run[v]]
			v = run[v]
		}
		return v
	}
	for _, w := range wedges {
		a, b := root(w.low), root(w.high)
		run[max(a, b)] = min(a, b)
	}
	m := f.tree.Mesh()
	number := map[int32]int{}
	var out []FeatherEdge
	for _, w := range wedges {
		r := root(w.low)
		n, ok := number[r]
		if !ok {
			n = len(out)
			number[r] = n
			out = append(out, FeatherEdge{Angle: math.MaxFloat64, Bounds: geom.EmptyBox()})
		}
		e := &out[n]
		a, b := m.Vertices[w.low], m.Vertices[w.high]
		if s1.Angle(w.angle) < e.Angle {
			e.Angle, e.A, e.B, e.Triangles = s1.Angle(w.angle), a, b, w.triangles
		}
		e.LengthMM += w.length
		e.Edges++
		e.Bounds = e.Bounds.AddPoint(a).AddPoint(b)
	}
	slices.SortStableFunc(out, func(x, y FeatherEdge) int { return cmp.Compare(x.Angle, y.Angle) })
	return out
}

// wedges walks every edge once, from its facet of the lower index.
func (f *Field) wedges(accept func(a, b int32) bool) []wedge {
	m := f.tree.Mesh()
	var out []wedge
	for i, t := range m.Triangles {
		for k, o := range f.across[i] {
			if o <= int32(i) {
				continue
			}
			if w, ok := f.wedge(t[k], t[(k+1)%3], int32(i), o, accept); ok {
				out = append(out, w)
			}
		}
	}
	return out
}

// wedge judges the edge from vertex p to q, in which facets s and t meet.
func (f *Field) wedge(p, q, s, t int32, accept func(a, b int32) bool) (wedge, bool) {
	n, o := f.normal[s], f.normal[t]
	// More acute than the facing angle: inward normals opposed within it.
	if -n.Dot(o) < f.facing {
		return wedge{}, false
	}
	if !f.Sampled(s) || !f.Sampled(t) {
		return wedge{}, false
	}
	if accept != nil && !accept(s, t) && !accept(t, s) {
		return wedge{}, false
	}
	m := f.tree.Mesh()
	low, high := min(p, q), max(p, q)
	a, b := m.Vertices[low], m.Vertices[high]
	edge := b.Sub(a)
	apex := f.apex(t, low, high).Sub(a)
	// Convex where the other facet bends towards the inward normal; else it is a crack of the
	// other side.
	if !(apex.Dot(n) > 0) {
		return wedge{}, false
	}
	length := edge.Norm()
	for _, id := range [2]int32{s, t} {
		if h := f.apex(id, low, high).Sub(a).Cross(edge).Norm() / length; h < sliverHeights*f.RoundingMM {
			return wedge{}, false
		}
	}
	angle := math.Pi - math.Atan2(n.Cross(o).Norm(), n.Dot(o))
	return wedge{low, high, angle, [2]int32{s, t}, length}, true
}

func (f *Field) apex(t, a, b int32) r3.Vector {
	m := f.tree.Mesh()
	for _, v := range m.Triangles[t] {
		if v != a && v != b {
			return m.Vertices[v]
		}
	}
	return m.Vertices[a]
}
