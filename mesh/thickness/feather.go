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

type edgeUse struct {
	high, triangle int32
	forward        bool
}

// wedges walks every edge once: uses are counted into buckets by their lower vertex and a
// bucket is sorted, as mesh.NewAudit does.
func (f *Field) wedges(accept func(a, b int32) bool) []wedge {
	m := f.tree.Mesh()
	start := make([]int32, len(m.Vertices)+1)
	each := func(do func(low int32, u edgeUse)) {
		for i, t := range m.Triangles {
			if f.normal[i] == (r3.Vector{}) {
				continue
			}
			for k := range 3 {
				p, q := t[k], t[(k+1)%3]
				do(min(p, q), edgeUse{max(p, q), int32(i), p < q})
			}
		}
	}
	each(func(low int32, _ edgeUse) { start[low]++ })
	sum := int32(0)
	for v, n := range start {
		start[v] = sum
		sum += n
	}
	uses := make([]edgeUse, sum)
	each(func(low int32, u edgeUse) {
		uses[start[low]] = u
		start[low]++
	})
	var out []wedge
	begin := int32(0)
	for v := range m.Vertices {
		bucket := uses[begin:start[v]]
		begin = start[v]
		slices.SortFunc(bucket, func(x, y edgeUse) int {
			return cmp.Or(cmp.Compare(x.high, y.high), cmp.Compare(x.triangle, y.triangle))
		})
		for i := 0; i < len(bucket); {
			j := i + 1
			for j < len(bucket) && bucket[j].high == bucket[i].high {
				j++
			}
			if j-i == 2 && bucket[i].forward != bucket[i+1].forward {
				if w, ok := f.wedge(int32(v), bucket[i], bucket[i+1], accept); ok {
					out = append(out, w)
				}
			}
			i = j
		}
	}
	return out
}

func (f *Field) wedge(low int32, s, t edgeUse, accept func(a, b int32) bool) (wedge, bool) {
	n, o := f.normal[s.triangle], f.normal[t.triangle]
	// More acute than the facing angle: inward normals opposed within it.
	if -n.Dot(o) < f.facing {
		return wedge{}, false
	}
	if f.First[s.triangle] == f.First[s.triangle+1] || f.First[t.triangle] == f.First[t.triangle+1] {
		return wedge{}, false
	}
	if accept != nil && !accept(s.triangle, t.triangle) && !accept(t.triangle, s.triangle) {
		return wedge{}, false
	}
	m := f.tree.Mesh()
	a, b := m.Vertices[low], m.Vertices[s.high]
	edge := b.Sub(a)
	apex := f.apex(t.triangle, low, s.high).Sub(a)
	// Convex where the other facet bends towards the inward normal; else it is a crack of the
	// other side.
	if !(apex.Dot(n) > 0) {
		return wedge{}, false
	}
	length := edge.Norm()
	for _, id := range [2]int32{s.triangle, t.triangle} {
		if h := f.apex(id, low, s.high).Sub(a).Cross(edge).Norm() / length; h < sliverHeights*f.RoundingMM {
			return wedge{}, false
		}
	}
	angle := math.Pi - math.Atan2(n.Cross(o).Norm(), n.Dot(o))
	return wedge{low, s.high, angle, [2]int32{s.triangle, t.triangle}, length}, true
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
