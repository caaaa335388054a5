package brep

import (
	"flag"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/shape"
)

var seedFlag = flag.Uint64("seed", 0, "replay the property tests with this seed")

func random(t testing.TB) *rand.Rand {
	seed := *seedFlag
	if seed == 0 {
		seed = rand.Uint64()
	}
	t.Logf("replay with -seed %d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

func known[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// A sweep and what it is recognised as are the same points with the same normals.
func TestCanonicalSurfacesAreTheSame(t *testing.T) {
	r := random(t)
	number := func() float64 { return 4*r.Float64() - 2 }
	vector := func() r3.Vector { return vec(number(), number(), number()) }
	kinds := map[mesh.SurfaceKind]int{}
	turnedOnce, straightOnce := false, false
	for range 400 {
		m := geom.Frame(vector(), vector(), vector())
		p := shape.Place(m)
		sign := float64(1 - 2*r.IntN(2))
		lift := p.Z.Mul(number())
		sweeps := map[mesh.SurfaceKind]shape.Surface{
			mesh.Plane:    known(shape.NewExtrusion(known(shape.NewLine(vector(), vector())), vector())),
			mesh.Cylinder: known(shape.NewExtrusion(known(shape.NewCircle(m, 1+r.Float64())), p.Z.Mul(sign*2))),
			mesh.Cone: known(shape.NewRevolution(known(shape.NewLine(p.Origin.Add(p.X.Mul(number())).Add(lift),
				p.X.Mul(number()).Add(p.Z.Mul(sign*(0.5+r.Float64()))))), p.Origin, p.Z)),
			mesh.Torus: known(shape.NewRevolution(known(shape.NewCircle(geom.Frame(p.Origin.Add(p.X.Mul(3+r.Float64())).Add(lift),
				p.Y.Mul(sign), p.X.Add(p.Z)), 1)), p.Origin, p.Z)),
		}
		if r.IntN(2) == 0 { // the other way to a cylinder
			sweeps[mesh.Cylinder] = known(shape.NewRevolution(known(shape.NewLine(p.Origin.Add(p.Y.Mul(1+r.Float64())), p.Z.Mul(sign))), p.Origin, p.Z))
		}
		for kind, sweep := range sweeps {
			simple, turned := canonical(sweep)
			if got := simple.Face().Kind; got != kind {
				t.Errorf("a %T is recognised as a %v, want %v", sweep, got, kind)
				continue
			}
			kinds[kind]++
			turnedOnce, straightOnce = turnedOnce || turned, straightOnce || !turned
			for range 4 {
				u, v := 6*r.Float64(), number()
				q, du, dv := sweep.First(u, v)
				n := du.Cross(dv)
				uv, off := simple.Parameters(q, r2.Point{}, false)
				_, eu, ev := simple.First(uv.X, uv.Y)
				o := eu.Cross(ev)
				if turned {
					o = o.Mul(-1)
				}
				if n.Norm() < 1e-3 {
					continue // near an apex
				}
				if c := n.Dot(o) / (n.Norm() * o.Norm()); off > 1e-9 || !(c > 1-1e-6) {
					t.Errorf("%v: %g off, normals at cosine %v (turned %v)", kind, off, c, turned)
				}
			}
		}
	}
	if len(kinds) != 4 || !turnedOnce || !straightOnce {
		t.Errorf("control: kinds %v, turned %v, not turned %v", kinds, turnedOnce, straightOnce)
	}
	// What is only nearly a cylinder stays what it is.
	for _, s := range []shape.Surface{
		known(shape.NewExtrusion(known(shape.NewCircle(geom.Identity(), 1)), vec(1e-6, 0, 1))),
		known(shape.NewRevolution(known(shape.NewLine(vec(1, 0, 0), vec(0, 0.1, 1))), vec(0, 0, 0), vec(0, 0, 1))),
		known(shape.NewRevolution(known(shape.NewLine(vec(1, 0, 0), vec(1, 0, 0))), vec(0, 0, 0), vec(0, 0, 1))),
		known(shape.NewRevolution(known(shape.NewCircle(geom.Frame(vec(0, 0, 0), vec(0, 1, 0), vec(1, 0, 0)), 1)), vec(0, 0, 0), vec(0, 0, 1))),
	} {
		if simple, turned := canonical(s); simple != s || turned {
			t.Errorf("a %T is taken for a %v", s, simple.Face().Kind)
		}
	}
}
