package difference

import (
	"cmp"
	"math"
	"slices"
)

// convexPlanes are the planes of s if it is convex: every vertex on or under the plane of every
// facet. off is the most by which a vertex stands above one of them, or a facet's corner off
// the plane it was counted to, so that the body of the planes and that of the mesh differ by at
// most area*off. It is bounded by slack, for the rounding of stored vertices.
func (s *solid) convexPlanes(slack float64) (planes []Plane, off float64, ok bool) {
	// A convex body of MostPlanes planes needs few triangles, unless its sides were cut up
	// finely; beyond this many the search would cost more than it is likely to gain.
	const mostTriangles = 1 << 15
	if len(s.Triangles) > mostTriangles {
		return nil, 0, false
	}
	// Large facets first: their planes are the most certain, and small ones then lie on them.
	order := make([]int32, len(s.Triangles))
	area := make([]float64, len(s.Triangles))
	for t := range order {
		order[t] = int32(t)
		area[t] = s.AreaVector(t).Norm()
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(area[b], area[a]) })
next:
	for _, t := range order {
		a, b, c := s.Corners(int(t))
		n := s.AreaVector(int(t)).Normalize()
		for _, p := range planes {
			stray := max(math.Abs(p.above(a)), math.Abs(p.above(b)), math.Abs(p.above(c)))
			if stray <= slack {
				// A sliver has no normal to speak of; a facet that faces the other way would
				// be the far side of a plate thinner than the slack, which is not worth having.
				off = max(off, stray)
				continue next
			}
		}
		if area[t] == 0 || len(planes) == MostPlanes {
			return nil, 0, false
		}
		p := Plane{n, n.Dot(a)}
		for _, v := range s.Vertices {
			d := p.above(v)
			if d > slack {
				return nil, 0, false
			}
			off = max(off, d)
		}
		planes = append(planes, p)
	}
	return planes, off, len(planes) > 3 && s.volume.MM3 > 0
}
