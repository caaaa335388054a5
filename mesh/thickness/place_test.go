package thickness

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/meshtest"
)

// TestPlacesAreWhereTheyWereMade: a place is off its point by no more than placeShare of the facet,
// on facets of any shape down to needles and such without area, and always on the facet.
func TestPlacesAreWhereTheyWereMade(t *testing.T) {
	rng := meshtest.Random(t)
	vector := func() r3.Vector {
		return r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
	}
	worst := 0.0
	for k := range 20000 {
		a := vector().Mul(100)
		e := vector().Mul(math.Pow(10, 4*rng.Float64()-2))
		c := a.Add(vector().Mul(math.Pow(10, 4*rng.Float64()-2)))
		b := a.Add(e)
		switch k % 4 {
		case 1: // a needle as fine as 1e-14
			c = a.Add(e.Mul(2*rng.Float64() - 1)).Add(e.Ortho().Mul(e.Norm() * math.Pow(10, -14*rng.Float64())))
		case 2: // none of it
			c = a.Add(e.Mul(4*rng.Float64() - 2))
		case 3:
			c = [2]r3.Vector{a, b}[rng.IntN(2)]
		}
		m := &mesh.Mesh{Vertices: []r3.Vector{a, b, c}, Triangles: [][3]int32{{0, 1, 2}}}
		f := &Field{tree: index.Build(m)}
		u, v := rng.Float64(), rng.Float64()
		if u+v > 1 {
			u, v = 1-u, 1-v
		}
		if k%5 == 0 {
			u, v = float64(rng.IntN(2)), 0
		}
		p := a.Add(b.Sub(a).Mul(u)).Add(c.Sub(a).Mul(v))
		size := max(b.Sub(a).Norm(), c.Sub(b).Norm(), a.Sub(c).Norm())
		got := f.pointAt(0, f.placeOf(0, p))
		// The corners, up to some hundred, are rounded themselves.
		rounding := 1e3 * 0x1p-50
		off := got.Sub(p).Norm()
		if off > placeShare*size+rounding {
			t.Fatalf("facet %v %v %v: %v becomes %v, %g off", a, b, c, p, got, off)
		}
		// FootOn takes the finest needles for their edges.
		if foot := f.tree.FootOn(got, 0); foot.Distance > rounding+placeShare*size {
			t.Fatalf("facet %v %v %v: %v lies %g off it", a, b, c, got, foot.Distance)
		}
		worst = max(worst, off/size)
	}
	if worst < placeShare/1e6 {
		t.Errorf("no place is off by more than %g of its facet: nothing was tested", worst)
	}
}
