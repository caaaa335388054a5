package checks

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// seam is an edge of the detail between exactly two triangles: t runs along it from v to w, o
// from w to v.
type seam struct{ v, w, t, o int32 }

var seamsFact = fact[[]seam]{findSeams}

// seams are the edges between two triangles of which one at least is detail, in the order of
// their lower vertex. Edges that do not join two triangles facing the same way are left out:
// file.solid reports them.
func (s *Subject) seams() []seam { return seamsFact.of(s) }

// edgeUse is one use of an edge in the bucket of its lower vertex: the upper one, and in the lowest
// bit whether the use runs upwards.
type edgeUse struct {
	far      uint32
	triangle int32
}

// findSeams counts the uses of edges into buckets by their lower vertex, as mesh.NewAudit does,
// but only edges both of whose ends belong to the detail: most of a block is none.
func findSeams(s *Subject) []seam {
	m, of := s.Part.Mesh, s.Surfaces().Of
	touched := make([]bool, len(m.Vertices))
	for t, tri := range m.Triangles {
		if of[t] == Detail {
			touched[tri[0]], touched[tri[1]], touched[tri[2]] = true, true, true
		}
	}
	start := make([]int32, len(m.Vertices)+1)
	for _, tri := range m.Triangles {
		for k := range 3 {
			if p, q := tri[k], tri[(k+1)%3]; touched[p] && touched[q] {
				start[min(p, q)]++
			}
		}
	}
	sum := int32(0)
	for v, n := range start {
		start[v] = sum
		sum += n
	}
	uses := make([]edgeUse, sum)
	for t, tri := range m.Triangles {
		for k := range 3 {
			p, q := tri[k], tri[(k+1)%3]
			if !touched[p] || !touched[q] {
				continue
			}
			use := edgeUse{uint32(q)<<1 | 1, int32(t)}
			if p > q {
				p, use.far = q, uint32(p)<<1
			}
			uses[start[p]] = use
			start[p]++
		}
	}
	list := make([]seam, 0, sum/2)
	begin := int32(0)
	for v := range m.Vertices {
		bucket := uses[begin:start[v]]
		begin = start[v]
		slices.SortFunc(bucket, func(a, b edgeUse) int { return cmp.Or(cmp.Compare(a.far, b.far), cmp.Compare(a.triangle, b.triangle)) })
		for i := 0; i+1 < len(bucket); {
			j := i + 1
			for j < len(bucket) && bucket[j].far>>1 == bucket[i].far>>1 {
				j++
			}
			if j-i == 2 && bucket[i].far != bucket[i+1].far {
				a, b := bucket[i], bucket[i+1] // a runs down, for its lowest bit is 0
				if of[a.triangle] == Detail || of[b.triangle] == Detail {
					list = append(list, seam{v: int32(v), w: int32(b.far >> 1), t: b.triangle, o: a.triangle})
				}
			}
			i = j
		}
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
