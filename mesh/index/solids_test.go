package index

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// sphere is a closed latitude-longitude sphere of radius r with 2*n*(m-1) triangles.
func sphere(r float64, n, m int) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: []r3.Vector{{Z: r}}}
	for j := 1; j < m; j++ {
		sp, cp := math.Sincos(math.Pi * float64(j) / float64(m))
		for i := range n {
			st, ct := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			out.Vertices = append(out.Vertices, r3.Vector{X: r * sp * ct, Y: r * sp * st, Z: r * cp})
		}
	}
	out.Vertices = append(out.Vertices, r3.Vector{Z: -r})
	last := int32(len(out.Vertices) - 1)
	at := func(j, i int) int32 { return int32(1 + (j-1)*n + i%n) }
	for i := range n {
		out.Triangles = append(out.Triangles, [3]int32{0, at(1, i), at(1, i+1)})
		for j := 1; j < m-1; j++ {
			out.Triangles = append(out.Triangles,
				[3]int32{at(j, i), at(j+1, i), at(j+1, i+1)}, [3]int32{at(j, i), at(j+1, i+1), at(j, i+1)})
		}
		out.Triangles = append(out.Triangles, [3]int32{last, at(m-1, i+1), at(m-1, i)})
	}
	return out
}

func box(lo, hi r3.Vector) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		p := lo
		if i&1 != 0 {
			p.X = hi.X
		}
		if i&2 != 0 {
			p.Y = hi.Y
		}
		if i&4 != 0 {
			p.Z = hi.Z
		}
		m.Vertices = append(m.Vertices, p)
	}
	m.Triangles = [][3]int32{{0, 2, 3}, {0, 3, 1}, {4, 5, 7}, {4, 7, 6}, {0, 1, 5}, {0, 5, 4}, {2, 6, 7}, {2, 7, 3}, {0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5}}
	return m
}

// soup is n random small triangles: nothing closed, much overlap.
func soup(rng *rand.Rand, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range n {
		c := r3.Vector{X: rng.Float64() * 50, Y: rng.Float64() * 20, Z: rng.Float64() * 5}
		for range 3 {
			m.Vertices = append(m.Vertices, c.Add(r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
		}
		m.Triangles = append(m.Triangles, [3]int32{int32(3 * i), int32(3*i + 1), int32(3*i + 2)})
	}
	return m
}

func randomDirection(rng *rand.Rand) r3.Vector {
	return r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Normalize()
}

// seeded prints its seed when the test fails, so that it can be put in place of the fixed one.
func seeded(t testing.TB, seed uint64) *rand.Rand {
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("random seed %d", seed)
		}
	})
	return rand.New(rand.NewPCG(seed, 1))
}
