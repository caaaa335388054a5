package proximity

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// Wall is the metal between two points of the surface.
type Wall struct {
	A, B r3.Vector
	// TriangleA and TriangleB are the facets that A and B lie on; -1 for an axis.
	TriangleA, TriangleB int32
	LengthMM             float64
}

// facing is the least cosine between the wall and the normals at its ends: at the edge where two
// faces meet squarely one of them is within 45 degrees of any line out of it, at a corner of
// three within 55.
const facing = 0.5

// opposed is how far the normals of two facets must be turned against each other, as the cosine
// between the one and the reverse of the other: fifty degrees. Facets more nearly square form a
// corner, and a line across a corner is no wall. It is five degrees more than half a square
// corner, so that a bore below the edge of a square pocket has a facet that both its faces see.
const opposed = 0.643

// thinner reports whether w comes before o.
func (w *Wall) thinner(o *Wall) bool {
	switch {
	case w.LengthMM != o.LengthMM:
		return w.LengthMM < o.LengthMM
	case w.TriangleA != o.TriangleA:
		return w.TriangleA < o.TriangleA
	}
	return w.TriangleB < o.TriangleB
}

// slack is what rounding may put between two computations of one distance on a mesh that reaches
// as far as reach: some thirty roundings.
func slack(reach float64) float64 { return 32 * tol.RoundoffDouble * reach }

// faces reports whether the line from a to b, of length 1 as d, enters metal through facet t.
func faces(m *mesh.Mesh, t int32, d r3.Vector) bool {
	n := m.AreaVector(int(t))
	return -n.Dot(d) >= facing*n.Norm() && n != (r3.Vector{})
}

// corners are the three points of a facet.
type corners [3]r3.Vector

func cornersOf(m *mesh.Mesh, t int32) (c corners) {
	c[0], c[1], c[2] = m.Corners(int(t))
	return c
}

// ball is a centre and a radius that hold the facet.
func (c *corners) ball() (r3.Vector, float64) {
	g := c[0].Add(c[1]).Add(c[2]).Mul(1.0 / 3)
	return g, math.Sqrt(max(c[0].Sub(g).Norm2(), c[1].Sub(g).Norm2(), c[2].Sub(g).Norm2()))
}

// nearest calls look with pairs of points, one of each facet, among which is the nearest pair of
// two facets that do not cross: the six corners with their feet on the other facet and the nine
// pairs of edges.
func nearest(p, q *corners, look func(a, b r3.Vector)) {
	for i := range 3 {
		look(p[i], foot(p[i], q))
		look(foot(q[i], p), q[i])
	}
	for i := range 3 {
		for j := range 3 {
			look(geom.NearestOfSegments(p[i], p[(i+1)%3], q[j], q[(j+1)%3]))
		}
	}
}

// foot is the point of the facet nearest to p: its plane falls into the inside of the facet and
// six regions nearest to a corner or an edge, told apart by signs of dot products (Ericson,
// Real-Time Collision Detection, 2005, section 5.1.5).
func foot(p r3.Vector, t *corners) r3.Vector {
	a, b, c := t[0], t[1], t[2]
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	d1, d2 := ab.Dot(ap), ac.Dot(ap)
	if d1 <= 0 && d2 <= 0 {
		return a
	}
	bp := p.Sub(b)
	d3, d4 := ab.Dot(bp), ac.Dot(bp)
	if d3 >= 0 && d4 <= d3 {
		return b
	}
	vc := d1*d4 - d3*d2
	if vc <= 0 && d1 >= 0 && d3 <= 0 && d1 > d3 {
		return a.Add(ab.Mul(d1 / (d1 - d3)))
	}
	cp := p.Sub(c)
	d5, d6 := ab.Dot(cp), ac.Dot(cp)
	if d6 >= 0 && d5 <= d6 {
		return c
	}
	vb := d5*d2 - d1*d6
	if vb <= 0 && d2 >= 0 && d6 <= 0 && d2 > d6 {
		return a.Add(ac.Mul(d2 / (d2 - d6)))
	}
	va := d3*d6 - d5*d4
	if va <= 0 && d4-d3 >= 0 && d5-d6 >= 0 && d4-d3+d5-d6 > 0 {
		return b.Add(c.Sub(b).Mul((d4 - d3) / (d4 - d3 + d5 - d6)))
	}
	sum := va + vb + vc
	if !(sum > 0) {
		return a // a facet without area: its edges are looked at anyway
	}
	return a.Add(ab.Mul(vb / sum)).Add(ac.Mul(vc / sum))
}
