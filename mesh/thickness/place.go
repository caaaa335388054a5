package thickness

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/tol"
)

// place is a point of a facet abc: a + u (b-a) + v (c-a), with u and v in parts of placeOne. It
// takes 8 bytes where coordinates take 24, and what it stands for is on the facet to the rounding
// of binary64, wherever the point was that it was made from: a distance between two places is one
// between two points of the mesh.
type place struct{ u, v uint32 }

const (
	placeOne = math.MaxUint32
	// sliverSquare is the squared sine of the angle under which a facet is taken for its two sides
	// at a. Areas, which u and v are the ratios of, err by a unit of rounding over the sine; sides
	// miss the point by the sine. Both are worth the square root of a unit here.
	sliverSquare = 2 * tol.RoundoffDouble
	// placeShare of a facet's size is the most that a place lies off the point it was made from: two
	// such roots.
	placeShare = 0x1p-25
)

// placeOf is the place of facet t at p, a point of it.
func (f *Field) placeOf(t int32, p r3.Vector) place {
	a, b, c := f.tree.Mesh().Corners(int(t))
	e, g, d := b.Sub(a), c.Sub(a), p.Sub(a)
	n := e.Cross(g)
	n2 := n.Norm2()
	var u, v float64
	if e2, g2 := e.Norm2(), g.Norm2(); n2 > sliverSquare*e2*g2 {
		u, v = d.Cross(g).Dot(n)/n2, e.Cross(d).Dot(n)/n2
	} else if along, other := d.Dot(e), d.Dot(g); along > other || !(other > 0) {
		if along > 0 {
			u = along / e2
		}
	} else {
		v = other / g2
	}
	u = max(0, min(1, u))
	v = max(0, min(1-u, v))
	return place{uint32(u*placeOne + 0.5), uint32(v * placeOne)}
}

// pointAt is the point that a place of facet t stands for.
func (f *Field) pointAt(t int32, at place) r3.Vector {
	a, b, c := f.tree.Mesh().Corners(int(t))
	const part = 1.0 / placeOne
	return a.Add(b.Sub(a).Mul(float64(at.u) * part)).Add(c.Sub(a).Mul(float64(at.v) * part))
}
