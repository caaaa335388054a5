package dexel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/meshtest/corpus"
)

func block(size r3.Vector) *mesh.Mesh {
	m := &mesh.Mesh{}
	for k := range 8 {
		m.Vertices = append(m.Vertices, r3.Vector{X: size.X * float64(k&1), Y: size.Y * float64(k>>1&1), Z: size.Z * float64(k>>2)})
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Triangles = append(m.Triangles, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

// volume is the polyhedron's own, by the divergence theorem: the oracle of these tests.
func volume(m *mesh.Mesh) float64 {
	v := 0.0
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		v += a.Dot(b.Cross(c)) / 6
	}
	return v
}

func area(m *mesh.Mesh) float64 {
	s := 0.0
	for t := range m.Triangles {
		s += m.AreaVector(t).Norm()
	}
	return s
}

// A box whose sides fall on the cell borders is sampled without error, up to rounding to the
// quantum (package doc, Rounding).
func TestBoxVolume(t *testing.T) {
	m := block(r3.Vector{X: 40, Y: 30, Z: 20})
	for _, axis := range []Axis{X, Y, Z} {
		f, err := FieldOf(m, axis, 60, 60)
		if err != nil {
			t.Fatal(err)
		}
		if f.Tally.Odd != 0 || f.Tally.Folded != 0 || f.Tally.Rays != 3600 || f.Tally.Crossings != 7200 {
			t.Errorf("along %v: %+v", axis, f.Tally)
		}
		// Pitches are rounded up to whole quanta: 60 cells overhang by up to 60 quanta a side.
		slack := f.Grid.frame.RoundingMM3(area(m)) * 61
		if got := f.VolumeMM3(); math.Abs(got-24000) > slack {
			t.Errorf("along %v: volume %v, want 24000 within %g", axis, got, slack)
		}
	}
}

// Rays aimed exactly at vertices and along edges: a pyramid fan whose vertices all lie on grid
// points must leave no odd ray (invariant D2). The control opens the surface by one triangle.
func TestNoOddRayOnVerticesAndEdges(t *testing.T) {
	// A square of 16 x 16 unit cells, cut into triangles both ways at random, over a flat floor,
	// with integer heights; the grid has rays at all integer points.
	rng := rand.New(rand.NewPCG(4, 4))
	for round := range 50 {
		m := relief(rng, 16)
		box := geom.Box{Min: r3.Vector{X: -0.5, Y: -0.5, Z: -8}, Max: r3.Vector{X: 16.5, Y: 16.5, Z: 24}}
		f, err := NewFrame(box)
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.Snap(m)
		if err != nil {
			t.Fatal(err)
		}
		for _, axis := range []Axis{X, Y, Z} {
			u, v, _ := axis.plane()
			size := [3]float64{17, 17, 32}
			g, err := NewGrid(f, axis, box, int(size[u]), int(size[v]))
			if err != nil {
				t.Fatal(err)
			}
			field := NewField(g, s)
			if field.Tally.Odd != 0 {
				t.Fatalf("round %d along %v: %d odd rays of %d", round, axis, field.Tally.Odd, field.Tally.Rays)
			}
		}
		open := &mesh.Mesh{Vertices: m.Vertices, Triangles: m.Triangles[1:]}
		s, err = f.Snap(open)
		if err != nil {
			t.Fatal(err)
		}
		g, err := NewGrid(f, Z, box, 170, 170)
		if err != nil {
			t.Fatal(err)
		}
		if NewField(g, s).Tally.Odd == 0 {
			t.Fatal("control: a missing triangle was not seen")
		}
	}
}

// relief is a closed block with an integer relief on top, all vertices at integer points.
func relief(rng *rand.Rand, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	id := func(top, i, j int) int32 { return int32(top*(n+1)*(n+1) + i*(n+1) + j) }
	for top := range 2 {
		for i := range n + 1 {
			for j := range n + 1 {
				z := 0.0
				if top == 1 {
					z = float64(1 + rng.IntN(10))
				}
				m.Vertices = append(m.Vertices, r3.Vector{X: float64(i), Y: float64(j), Z: z})
			}
		}
	}
	quad := func(a, b, c, d int32) {
		if rng.IntN(2) == 0 {
			m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
		} else {
			m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{b, c, d})
		}
	}
	for i := range n {
		for j := range n {
			quad(id(1, i, j), id(1, i+1, j), id(1, i+1, j+1), id(1, i, j+1))
			quad(id(0, i, j), id(0, i, j+1), id(0, i+1, j+1), id(0, i+1, j))
		}
		quad(id(0, i, 0), id(0, i+1, 0), id(1, i+1, 0), id(1, i, 0))
		quad(id(0, i+1, n), id(0, i, n), id(1, i, n), id(1, i+1, n))
		quad(id(0, 0, i+1), id(0, 0, i), id(1, 0, i), id(1, 0, i+1))
		quad(id(0, n, i), id(0, n, i+1), id(1, n, i+1), id(1, n, i))
	}
	return m
}

// A second way to the same crossings: each ray against each triangle in rational-free floating
// point, at places where no ray is near an edge.
func TestAgreesWithDirectIntersection(t *testing.T) {
	m := meshtest.Bumpy(14, 10, 1, 3)
	for _, axis := range []Axis{X, Y, Z} {
		f, err := FieldOf(m, axis, 37, 41)
		if err != nil {
			t.Fatal(err)
		}
		g := f.Grid
		for j := range 41 {
			for i := range 37 {
				var want []float64
				p := g.Point(i, j, 0)
				for tri := range m.Triangles {
					a, b, c := m.Corners(tri)
					if w, ok := pierce(axis, p, a, b, c); ok {
						want = append(want, w)
					}
				}
				got := f.Crossings(i, j)
				if len(got) != len(want) {
					t.Fatalf("along %v ray %d,%d: %d crossings, want %d", axis, i, j, len(got), len(want))
				}
				for _, w := range want {
					best := math.Inf(1)
					for _, c := range got {
						best = min(best, math.Abs(g.Along(c.At())-w))
					}
					// A quantum of rounding across a slope s becomes s quanta along the ray.
					if best > 1e4*g.QuantumMM() {
						t.Errorf("along %v ray %d,%d: no crossing within %g of %v", axis, i, j, best, w)
					}
				}
			}
		}
	}
}

func pierce(axis Axis, p, a, b, c r3.Vector) (float64, bool) {
	u, v, w := axis.plane()
	pu, pv := component(p, u), component(p, v)
	e := func(p, q r3.Vector) float64 {
		return (component(q, u)-component(p, u))*(pv-component(p, v)) - (component(q, v)-component(p, v))*(pu-component(p, u))
	}
	x, y, z := e(b, c), e(c, a), e(a, b)
	if !((x > 0 && y > 0 && z > 0) || (x < 0 && y < 0 && z < 0)) {
		return 0, false
	}
	return (x*component(a, w) + y*component(b, w) + z*component(c, w)) / (x + y + z), true
}

// The rounding promised in the package doc, on a sheared box whose columns are all 10 mm long.
func TestRoundingBound(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		m := block(r3.Vector{X: 10, Y: 10, Z: 10})
		// Tilt top and bottom alike: every ray inside has exactly 10 mm of metal.
		gx, gy, off := rng.Float64()*4-2, rng.Float64()*4-2, rng.Float64()*100
		for i, p := range m.Vertices {
			m.Vertices[i].Z = p.Z + gx*p.X + gy*p.Y + off
		}
		f, err := FieldOf(m, Z, 50, 50)
		if err != nil {
			t.Fatal(err)
		}
		q := f.Grid.QuantumMM()
		for j := range 50 {
			for i := range 50 {
				for _, s := range f.Spans(nil, i, j) {
					// Each end: half a quantum for z, half for each of x and y across the slope, half
					// for the crossing itself.
					bound := 2 * (0.5 + 0.5*math.Abs(gx) + 0.5*math.Abs(gy) + 0.5) * q
					if d := math.Abs(float64(s.High-s.Low)*q - 10); d > bound {
						t.Fatalf("ray %d,%d: %g mm off, bound %g", i, j, d, bound)
					}
				}
			}
		}
	}
}

// The sum over the rays tends to the polyhedron's own volume, at least with the pitch; here the
// surface is smooth and 0.1 % is reached at 200 rays a side. The control is a coarse grid.
func TestVolumeConverges(t *testing.T) {
	m := meshtest.Bumpy(40, 10, 1, 5)
	want := volume(m)
	for _, axis := range []Axis{X, Y, Z} {
		off := func(n int) float64 {
			f, err := FieldOf(m, axis, n, n)
			if err != nil {
				t.Fatal(err)
			}
			return math.Abs(f.VolumeMM3()/want - 1)
		}
		if e := off(200); e > 0.001 {
			t.Errorf("along %v: %g off at 200 rays a side", axis, e)
		}
		if e := off(5); e < 0.001 {
			t.Errorf("control: along %v 5 rays a side are %g off", axis, e)
		}
	}
}

func TestSameOnAnyNumberOfCores(t *testing.T) {
	m := meshtest.Bumpy(60, 10, 1, 7)
	var sums []int64
	var first []Crossing
	for _, n := range []int{1, 2, 3, 7} {
		old := runtime.GOMAXPROCS(n)
		f, err := FieldOf(m, Y, 301, 299)
		runtime.GOMAXPROCS(old)
		if err != nil {
			t.Fatal(err)
		}
		sums = append(sums, f.LengthQuanta())
		var all []Crossing
		for j := range 299 {
			for i := range 301 {
				all = append(all, f.Crossings(i, j)...)
			}
		}
		if first == nil {
			first = all
		}
		if fmt.Sprint(all) != fmt.Sprint(first) {
			t.Errorf("%d cores: other crossings", n)
		}
	}
	for _, s := range sums {
		if s != sums[0] {
			t.Errorf("sums differ: %v", sums)
		}
	}
}

// Two blocks that overlap in one mesh: metal is their union, and the rays through both are
// reported as folded.
func TestOverlappingBodiesAreAUnion(t *testing.T) {
	a, b := block(r3.Vector{X: 10, Y: 10, Z: 10}), block(r3.Vector{X: 10, Y: 10, Z: 10})
	m := &mesh.Mesh{Vertices: a.Vertices, Triangles: a.Triangles}
	for _, p := range b.Vertices {
		m.Vertices = append(m.Vertices, p.Add(r3.Vector{Z: 4}))
	}
	for _, tri := range b.Triangles {
		m.Triangles = append(m.Triangles, [3]int32{tri[0] + 8, tri[1] + 8, tri[2] + 8})
	}
	f, err := FieldOf(m, Z, 10, 10)
	if err != nil {
		t.Fatal(err)
	}
	if f.Tally.Folded != 100 || f.Tally.Odd != 0 {
		t.Errorf("%+v, want 100 folded rays and no odd one", f.Tally)
	}
	if got := f.VolumeMM3(); math.Abs(got-1400) > 1e-3 {
		t.Errorf("volume %v, want 1400", got)
	}
}

// A probe's rays are those of a grid that pass through the same points.
func TestProbe(t *testing.T) {
	m := meshtest.Bumpy(30, 10, 1, 4)
	for _, axis := range []Axis{X, Y, Z} {
		f, err := FieldOf(m, axis, 40, 50)
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.Grid.frame.Snap(m)
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(1, 1))
		var points []r3.Vector
		var at [][2]int
		for range 500 {
			i, j := rng.IntN(40), rng.IntN(50)
			points = append(points, f.Grid.Point(i, j, int32(rng.IntN(1<<28))))
			at = append(at, [2]int{i, j})
		}
		g, row, err := NewProbe(f.Grid.frame, axis, points)
		if err != nil {
			t.Fatal(err)
		}
		probe := NewField(g, s)
		for k := range points {
			if got, want := probe.Crossings(0, row[k]), f.Crossings(at[k][0], at[k][1]); !slices.Equal(got, want) {
				t.Fatalf("along %v at %v: %v, want %v", axis, points[k], got, want)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	m := block(r3.Vector{X: 1, Y: 1, Z: 1})
	small, err := NewFrame(geom.Box{Max: r3.Vector{X: 0.1, Y: 0.1, Z: 0.1}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := small.Snap(m); err == nil {
		t.Error("a vertex outside the frame was taken")
	}
	m.Vertices[3].X = math.NaN()
	if _, err := FieldOf(m, Z, 4, 4); err == nil {
		t.Error("a vertex that is not a number was taken")
	}
	if _, err := NewFrame(geom.EmptyBox()); err == nil {
		t.Error("an empty frame was made")
	}
	if _, err := FieldOf(block(r3.Vector{X: 1, Y: 1, Z: 1}), Z, 0, 4); err == nil {
		t.Error("a grid of no rays was made")
	}
}

func FuzzNoOddRay(f *testing.F) {
	f.Add(uint64(1), uint8(5))
	f.Add(uint64(99), uint8(200))
	f.Fuzz(func(t *testing.T, seed uint64, side uint8) {
		rng := rand.New(rand.NewPCG(seed, 7))
		m := relief(rng, 4)
		for i := range m.Vertices {
			if rng.IntN(3) == 0 {
				m.Vertices[i] = r3.Vector{X: rng.NormFloat64() * 100, Y: rng.NormFloat64(), Z: rng.NormFloat64() * 1e-3}
			}
		}
		for _, axis := range []Axis{X, Y, Z} {
			field, err := FieldOf(m, axis, int(side)+1, 33)
			if err != nil {
				t.Fatal(err)
			}
			if field.Tally.Odd != 0 {
				t.Errorf("seed %d side %d along %v: %d odd rays", seed, side, axis, field.Tally.Odd)
			}
		}
	})
}

// BenchmarkField is the conversion of a mesh in memory to a field of 2000 x 2000 rays and its
// volume: what is timed between t0 and the sum in comparable programs.
func BenchmarkField(b *testing.B) {
	for _, name := range []string{"insert_100k.stl", "insert_1m.stl", "insert_5m.stl", "insert_cad_32.stl"} {
		b.Run(name, func(b *testing.B) {
			m := corpus.Mesh(b, name)
			for b.Loop() {
				f, err := FieldOf(m, Z, 2000, 2000)
				if err != nil {
					b.Fatal(err)
				}
				if f.Tally.Odd != 0 {
					b.Fatalf("%d odd rays", f.Tally.Odd)
				}
				b.ReportMetric(f.VolumeMM3(), "mm3")
				b.ReportMetric(float64(f.Tally.Crossings), "crossings")
			}
			b.ReportMetric(4e6*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mrays/s")
		})
	}
}
