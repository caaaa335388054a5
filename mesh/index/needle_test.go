package index

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

// TestPointsOfNeedlesAreOnThem: the points of a triangle, however sharp, are nearest to themselves, and
// a point over one is as far from it as it was lifted.
func TestPointsOfNeedlesAreOnThem(t *testing.T) {
	rng := meshtest.Random(t)
	for range 20000 {
		a := randomDirection(rng).Mul(100)
		e := randomDirection(rng).Mul(math.Pow(10, 4*rng.Float64()-2))
		c := a.Add(e.Mul(4*rng.Float64() - 2)).Add(e.Ortho().Mul(e.Norm() * math.Pow(10, -14*rng.Float64())))
		b := a.Add(e)
		tree := Build(&mesh.Mesh{Vertices: []r3.Vector{a, b, c}, Triangles: [][3]int32{{0, 1, 2}}})
		u, v := rng.Float64(), rng.Float64()
		if u+v > 1 {
			u, v = 1-u, 1-v
		}
		p := a.Add(b.Sub(a).Mul(u)).Add(c.Sub(a).Mul(v))
		lift := 0.0
		// The normal of a needle is good to the rounding of its corners over its width, not more.
		if n := b.Sub(a).Cross(c.Sub(a)); n.Norm() > 1e-3*e.Norm2() {
			lift = rng.Float64()
			p = p.Add(n.Normalize().Mul(lift))
		}
		size := max(e.Norm(), c.Sub(b).Norm(), a.Sub(c).Norm())
		if foot := tree.FootOn(p, 0); math.Abs(foot.Distance-lift) > 4*math.Sqrt(sliverShare)*size+1e-11 {
			t.Fatalf("triangle %v %v %v: %v is %g from it, not %g", a, b, c, p, foot.Distance, lift)
		}
	}
}
