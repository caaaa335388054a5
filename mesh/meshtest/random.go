package meshtest

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

// SeedVariable is the environment variable that replays a run of random tests.
const SeedVariable = "POCKETGAUGE_SEED"

// Random is a source of random numbers for one test: new ones on each run, the seed printed
// when the test fails or runs verbosely, and replayed when SeedVariable holds it.
func Random(t testing.TB) *rand.Rand {
	t.Helper()
	seed := uint64(time.Now().UnixNano())
	if s := os.Getenv(SeedVariable); s != "" {
		n, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatalf("%s=%q is no seed: %v", SeedVariable, s, err)
		}
		seed = n
	}
	t.Logf("replay with %s=%d go test -run '^%s$'", SeedVariable, seed, t.Name())
	return Seeded(seed)
}

// Seeded is the source that a seed stands for.
func Seeded(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0)) }

// RandomMotion turns about an axis of any direction by any angle and moves by up to reach along
// each axis.
func RandomMotion(rng *rand.Rand, reach float64) geom.Motion {
	axis := r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
	m := geom.Rotate(axis, rng.Float64()*2*math.Pi)
	m.Translation = r3.Vector{X: rng.Float64()*2 - 1, Y: rng.Float64()*2 - 1, Z: rng.Float64()*2 - 1}.Mul(reach)
	return m
}

// RandomSolid is one of the shapes of this package with dimensions of 1 to 20 mm, where it is
// built (not turned or moved).
func RandomSolid(rng *rand.Rand) *Solid {
	size := func() float64 { return 1 + 19*rng.Float64() }
	sides := 3 + rng.IntN(40)
	switch rng.IntN(9) {
	case 0:
		return Box(r3.Vector{}, r3.Vector{X: size(), Y: size(), Z: size()})
	case 1:
		return Cylinder(size(), size(), sides)
	case 2:
		return ConeFrustum(size(), size(), size(), sides)
	case 3:
		r := size()
		return SphericalCap(r, r*(0.2+1.6*rng.Float64()), sides, 2+rng.IntN(12))
	case 4:
		return Sphere(size(), sides, 2+rng.IntN(20))
	case 5:
		r := size()
		return Torus(r*(1.2+rng.Float64()), r, sides, 3+rng.IntN(20))
	case 6:
		return Wedge(size(), size(), size())
	case 7:
		s := r3.Vector{X: size(), Y: size(), Z: size()}
		return LBlock(s, s.X*(0.2+0.6*rng.Float64()), s.Y*(0.2+0.6*rng.Float64()))
	default:
		s := r3.Vector{X: size(), Y: size(), Z: size()}
		in := geom.Box{Min: s.Mul(0.1 + 0.3*rng.Float64()), Max: s.Mul(0.6 + 0.3*rng.Float64())}
		return HollowBox(geom.Box{Max: s}, in)
	}
}
