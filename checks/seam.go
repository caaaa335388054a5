package checks

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// seam is an edge of the detail between exactly two triangles: t runs along it from v to w, o
// from w to v.
type seam struct{ v, w, t, o int32 }

var seamsFact = fact[[]seam]{findSeams}

// seams are the edges between two triangles of which one at least is detail, in the order of
// their lower vertex. Edges that do not join two triangles facing the same way are left out:
// file.solid reports them.
func (s *Subject) seams() []seam { return seamsFact.of(s) }

var acrossFact = fact[[][3]int32]{func(s *Subject) [][3]int32 { return mesh.Neighbours(s.Part.Mesh, nil) }}

// findSeams counts the detail's edges into buckets by their lower vertex.
func findSeams(s *Subject) []seam {
	m, of, across := s.Part.Mesh, s.Surfaces().Of, acrossFact.of(s)
	// Each edge once: where its triangle runs upwards.
	each := func(do func(e seam)) {
		for t, tri := range m.Triangles {
			for k, o := range across[t] {
				v, w := tri[k], tri[(k+1)%3]
				if o >= 0 && v < w && (of[t] == Detail || of[o] == Detail) {
					do(seam{v, w, int32(t), o})
				}
			}
		}
	}
	start := make([]int32, len(m.Vertices)+1)
	each(func(e seam) { start[e.v]++ })
	sum := int32(0)
	for v, n := range start {
		start[v] = sum
		sum += n
	}
	list := make([]seam, sum)
	each(func(e seam) {
		list[start[e.v]] = e
		start[e.v]++
	})
	begin := int32(0)
	for v := range m.Vertices {
		slices.SortFunc(list[begin:start[v]], func(a, b seam) int { return cmp.Compare(a.w, b.w) })
		begin = start[v]
	}
	return list
}

// facets are what the draw and the cutters ask of every triangle: its outward normal, of length 1
// or zero for a triangle without area, and its area.
type facets struct {
	normal []r3.Vector
	area   []float64
}

var facetsFact = fact[*facets]{func(s *Subject) *facets {
	m := s.Part.Mesh
	f := &facets{make([]r3.Vector, len(m.Triangles)), make([]float64, len(m.Triangles))}
	for t := range m.Triangles {
		v := m.AreaVector(t)
		f.area[t] = v.Norm()
		if f.area[t] > 0 {
			f.normal[t] = v.Mul(1 / f.area[t])
		}
	}
	return f
}}

// altitudeMM is the least height of triangle t: twice its area over its longest edge.
func (s *Subject) altitudeMM(t int32) float64 {
	a, b, c := s.Part.Mesh.Corners(int(t))
	longest := max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2())
	if longest == 0 {
		return 0
	}
	return 2 * facetsFact.of(s).area[t] / math.Sqrt(longest)
}
