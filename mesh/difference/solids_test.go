package difference

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
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

// bumpy is a closed surface over the sphere: r = radius + depth*sin(k theta)*sin(k phi).
func bumpy(n int, radius, depth, k float64) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: []r3.Vector{{Z: radius}, {Z: -radius}}}
	at := func(i, j int) int32 {
		if i == 0 {
			return 0
		}
		if i == n {
			return 1
		}
		return int32(2 + (i-1)*2*n + j%(2*n))
	}
	for i := 1; i < n; i++ {
		for j := range 2 * n {
			th, ph := math.Pi*float64(i)/float64(n), math.Pi*float64(j)/float64(n)
			r := radius + depth*math.Sin(k*th)*math.Sin(k*ph)
			m.Vertices = append(m.Vertices, vec(r*math.Sin(th)*math.Cos(ph), r*math.Sin(th)*math.Sin(ph), r*math.Cos(th)))
		}
	}
	for i := range n {
		for j := range 2 * n {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			if b != c {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c})
			}
			if a != d {
				m.Triangles = append(m.Triangles, [3]int32{a, c, d})
			}
		}
	}
	return m
}

func randomMotion(rng *rand.Rand, reach float64) geom.Motion {
	axis := vec(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64())
	m := geom.Rotate(axis, rng.Float64()*2*math.Pi)
	m.Translation = vec(rng.Float64()-0.5, rng.Float64()-0.5, rng.Float64()-0.5).Mul(2 * reach)
	return m
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
		m = bumpy(10, size(), 1, 3)
	}
	return m.Moved(randomMotion(rng, 5))
}

func randomConvex(rng *rand.Rand) *mesh.Mesh {
	size := func() float64 { return 2 + 10*rng.Float64() }
	var m *mesh.Mesh
	if rng.IntN(2) == 0 {
		m = boxMesh(r3.Vector{}, vec(size(), size(), size()))
	} else {
		m = prism(regular(3+rng.IntN(9), size()), size())
	}
	return m.Moved(randomMotion(rng, 5))
}

// joined is the meshes as one.
func joined(list ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, m := range list {
		n := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, t := range m.Triangles {
			out.Triangles = append(out.Triangles, [3]int32{t[0] + n, t[1] + n, t[2] + n})
		}
	}
	return out
}

func wantNear(t *testing.T, what string, got Quantity, want float64) {
	t.Helper()
	if !(math.Abs(got.MM3-want) <= got.ErrorMM3) {
		t.Errorf("%s: %v +- %.2g, want %v", what, got.MM3, got.ErrorMM3, want)
	}
}
