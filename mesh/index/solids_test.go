package index

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
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

func inverted(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for _, t := range m.Triangles {
		out.Triangles = append(out.Triangles, [3]int32{t[0], t[2], t[1]})
	}
	return out
}

func joined(ms ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, m := range ms {
		base := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, t := range m.Triangles {
			out.Triangles = append(out.Triangles, [3]int32{t[0] + base, t[1] + base, t[2] + base})
		}
	}
	return out
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

func randomMotion(rng *rand.Rand) geom.Motion {
	axis := r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
	shift := r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Mul(20)
	return geom.Translate(shift).After(geom.Rotate(axis, rng.Float64()*2*math.Pi))
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

// benchMesh is POCKETGAUGE_BENCH_DATA/name, or a shell of a million facets with a word on why. Not a
// full sphere: to its centre every facet is nearest.
func benchMesh(tb testing.TB, name string) *mesh.Mesh {
	dir := os.Getenv("POCKETGAUGE_BENCH_DATA")
	if dir == "" {
		tb.Logf("POCKETGAUGE_BENCH_DATA is not set: measuring a synthetic shell instead of %s", name)
		return joined(sphere(50, 700, 351), inverted(sphere(45, 700, 351)))
	}
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		tb.Skipf("no benchmark data: %v", err)
	}
	n := int(binary.LittleEndian.Uint32(b[80:]))
	m := &mesh.Mesh{Triangles: make([][3]int32, n)}
	seen := make(map[[3]float32]int32, n/2)
	for i := range n {
		for k := range 3 {
			var p [3]float32
			for a := range 3 {
				p[a] = math.Float32frombits(binary.LittleEndian.Uint32(b[84+50*i+12+12*k+4*a:])) + 0
			}
			v, ok := seen[p]
			if !ok {
				v = int32(len(m.Vertices))
				seen[p] = v
				m.Vertices = append(m.Vertices, r3.Vector{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])})
			}
			m.Triangles[i][k] = v
		}
	}
	return m
}
