package difference

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

func boxMesh(lo, hi r3.Vector) *mesh.Mesh {
	z, err := BoxZone(geom.Box{Min: lo, Max: hi})
	if err != nil {
		panic(err)
	}
	return z.Mesh()
}

func prism(outline []r2.Point, height float64) *mesh.Mesh {
	z, err := PrismZone(outline, geom.Identity(), height)
	if err != nil {
		panic(err)
	}
	return z.Mesh()
}

func regular(n int, radius float64) []r2.Point {
	var p []r2.Point
	for k := range n {
		s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		p = append(p, r2.Point{X: radius * c, Y: radius * s})
	}
	return p
}

// lShape is a 20 x 20 square without its upper right 10 x 10, extruded: area 300.
func lShape(height float64) *mesh.Mesh {
	return prism([]r2.Point{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 10}, {X: 10, Y: 10}, {X: 10, Y: 20}, {X: 0, Y: 20}}, height)
}

// randomSolid is a box, a prism, a near-cylinder, an L or a bumpy ball, placed at random.
func randomSolid(rng *rand.Rand) *mesh.Mesh {
	size := func() float64 { return 2 + 10*rng.Float64() }
	var m *mesh.Mesh
	switch rng.IntN(5) {
	case 0:
		m = boxMesh(r3.Vector{}, vec(size(), size(), size()))
	case 1:
		m = prism(regular(3+rng.IntN(5), size()), size())
	case 2:
		m = prism(regular(24+rng.IntN(24), size()), size())
	case 3:
		m = lShape(size())
	default:
		m = meshtest.Bumpy(10, size(), 1, 3)
	}
	return m.Moved(meshtest.RandomMotion(rng, 5))
}

func randomConvex(rng *rand.Rand) *mesh.Mesh {
	size := func() float64 { return 2 + 10*rng.Float64() }
	var m *mesh.Mesh
	if rng.IntN(2) == 0 {
		m = boxMesh(r3.Vector{}, vec(size(), size(), size()))
	} else {
		m = prism(regular(3+rng.IntN(9), size()), size())
	}
	return m.Moved(meshtest.RandomMotion(rng, 5))
}

func wantNear(t *testing.T, what string, got Quantity, want float64) {
	t.Helper()
	if !(math.Abs(got.MM3-want) <= got.ErrorMM3) {
		t.Errorf("%s: %v +- %.2g, want %v", what, got.MM3, got.ErrorMM3, want)
	}
}
