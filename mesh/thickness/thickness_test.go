package thickness

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/meshtest/corpus"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// prism is the solid over a polygon, counter-clockwise and star-shaped from its first corner,
// between two heights.
func prism(polygon [][2]float64, low, high float64) *mesh.Mesh {
	n := int32(len(polygon))
	m := &mesh.Mesh{}
	for _, z := range []float64{low, high} {
		for _, p := range polygon {
			m.Vertices = append(m.Vertices, vec(p[0], p[1], z))
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.Triangles = append(m.Triangles, [3]int32{i, j, n + j}, [3]int32{i, n + j, n + i})
		if i > 0 && j > 0 {
			m.Triangles = append(m.Triangles, [3]int32{0, j, i}, [3]int32{n, n + i, n + j})
		}
	}
	return m
}

func block(x0, y0, z0, x1, y1, z1 float64) *mesh.Mesh {
	return prism([][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, z0, z1)
}

func sphere(r float64, n, m int) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: []r3.Vector{{Z: r}}}
	for j := 1; j < m; j++ {
		sp, cp := math.Sincos(math.Pi * float64(j) / float64(m))
		for i := range n {
			st, ct := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			out.Vertices = append(out.Vertices, vec(r*sp*ct, r*sp*st, r*cp))
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

// ring is a regular polygon of n sides circumscribed about radius r.
func ring(x, y, r float64, n int) [][2]float64 {
	out := make([][2]float64, n)
	for i := range out {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
		out[i] = [2]float64{x + r*c/math.Cos(math.Pi/float64(n)), y + r*s/math.Cos(math.Pi/float64(n))}
	}
	return out
}

func walls(t *testing.T, m *mesh.Mesh, o Options) *Field {
	t.Helper()
	if a := mesh.NewAudit(m); !a.Closed() {
		t.Fatalf("the test's own solid is open: %+v", a.Spots)
	}
	f, err := Walls(index.Build(m), o)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func seeded(t testing.TB, seed uint64) *rand.Rand {
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("random seed %d", seed)
		}
	})
	return rand.New(rand.NewPCG(seed, 1))
}

// TestBlockIsThreeWalls: a block is as thick as its sides are long and nowhere thinner; its
// corners and edges, where readings fall to nothing, are no walls.
func TestBlockIsThreeWalls(t *testing.T) {
	f := walls(t, block(0, 0, 0, 7, 5, 3), Options{Roundoff: 0x1p-53})
	got := f.Regions(0, nil)
	if len(got) != 3 {
		t.Fatalf("a block has %d walls: %+v", len(got), got)
	}
	area := [3]float64{35, 21, 15}
	for i, want := range []float64{3, 5, 7} {
		r := got[i]
		if math.Abs(r.ValueMM-want) > r.ErrorMM || !r.Refined {
			t.Errorf("wall %d is %v +- %v, want %v", i, r.ValueMM, r.ErrorMM, want)
		}
		if math.Abs(r.AreaMM2-area[i]) > 0.02*area[i] {
			t.Errorf("wall %d covers %v mm2, want %v", i, r.AreaMM2, area[i])
		}
		if d := r.B.Sub(r.A).Norm(); math.Abs(d-r.ValueMM) > r.ErrorMM {
			t.Errorf("the ends of wall %d are %v apart, said %v", i, d, r.ValueMM)
		}
	}
	if e := f.FeatherEdges(nil); len(e) != 0 {
		t.Errorf("a block has feather edges: %+v", e)
	}
	near := 0
	for _, s := range f.Samples {
		// Half a millimetre from an edge the ball is small, for the adjacent face touches it.
		if _, ball := f.Readings(&s); ball < 1.5 {
			near++
			if s.WallMM < 3-1e-6 {
				t.Fatalf("near an edge the wall reads %v", s.WallMM)
			}
		}
	}
	if near == 0 {
		t.Error("no ball was small: the test has lost its teeth")
	}
}

func TestRigidMotionsChangeNothing(t *testing.T) {
	rng := seeded(t, 21)
	// A block with a closed bore in it: walls from the bore to four faces.
	solid := meshtest.Joined(block(0, 0, 0, 9, 6, 4), meshtest.Inverted(prism(ring(3, 3, 1, 24), 1, 3)))
	// At 2.05 mm the five are apart by more than the reach over which samples are joined.
	o := Options{PitchMM: 0.3, LimitMM: 2.05, Roundoff: 0x1p-53}
	want := walls(t, solid, o).Regions(0, nil)
	if len(want) != 5 {
		t.Fatalf("%d walls: %+v", len(want), want)
	}
	for k := range 100 {
		motion := meshtest.RandomMotion(rng, 40)
		got := walls(t, solid.Moved(motion), o).Regions(0, nil)
		if len(got) != len(want) {
			t.Fatalf("motion %d: %d walls, were %d", k, len(got), len(want))
		}
		for i := range got {
			if math.Abs(got[i].ValueMM-want[i].ValueMM) > got[i].ErrorMM+want[i].ErrorMM {
				t.Fatalf("motion %d: wall %d is %v, was %v, error %v", k, i, got[i].ValueMM, want[i].ValueMM, got[i].ErrorMM)
			}
		}
	}
}

// TestMotionsChangeNoFeatherGapOrBlade: the same for the angle and length of a feather edge, a slot
// of the empty side, and the height of a rib, in one solid.
func TestMotionsChangeNoFeatherGapOrBlade(t *testing.T) {
	rng := seeded(t, 24)
	solid := prismOf([][2]float64{{0, 0}, {20, 0}, {20, 4}, {10.6, 4}, {10.6, 9}, {9.7, 9}, {9.7, 4}, {8.9, 4}, {8.9, 9}, {8, 9}, {8, 4}, {6, 4}, {-8, 0}},
		[][3]int{{0, 1, 3}, {1, 2, 3}, {0, 3, 6}, {3, 4, 6}, {4, 5, 6}, {0, 6, 7}, {0, 7, 10}, {7, 8, 10}, {8, 9, 10}, {0, 10, 11}, {0, 11, 12}}, 0, 12)
	angle := math.Atan2(4, 14)
	o := Options{PitchMM: 0.8, LimitMM: 1.5, Roundoff: 0x1p-53}
	inside := o
	inside.Side = Gap
	for k := range 100 {
		m := solid.Moved(meshtest.RandomMotion(rng, 40))
		f := walls(t, m, o)
		if e := f.FeatherEdges(nil); len(e) != 1 || math.Abs(e[0].Angle.Radians()-angle) > 1e-9 || math.Abs(e[0].LengthMM-12) > 1e-9 {
			t.Fatalf("motion %d: feather edges %+v, want one of %v and 12 mm", k, e, s1.Angle(angle))
		}
		b := f.Blades(f.Regions(1.2, nil), 3)
		if len(b) != 2 {
			t.Fatalf("motion %d: %d blades, want 2", k, len(b))
		}
		for _, b := range b {
			if math.Abs(b.ThicknessMM-0.9) > 1e-9 || math.Abs(b.HeightMM-5) > b.ErrorMM || math.Abs(b.LengthMM-12) > b.ErrorMM {
				t.Fatalf("motion %d: blade %+v", k, b)
			}
		}
		gaps := walls(t, m, inside).Regions(1.2, nil)
		if len(gaps) != 1 || math.Abs(gaps[0].ValueMM-0.8) > gaps[0].ErrorMM {
			t.Fatalf("motion %d: gaps %+v, want one of 0.8", k, gaps)
		}
	}
}

// TestRefinementReachesTheContinuousMinimum: walls whose thinnest place lies between samples.
func TestRefinementReachesTheContinuousMinimum(t *testing.T) {
	rng := seeded(t, 22)
	for range 30 {
		// A square bore turned by an odd angle: its corner comes within gap of the side y = 0.
		gap := 0.3 + rng.Float64()
		turn := 0.2 + rng.Float64()
		corners := make([][2]float64, 4)
		least := math.Inf(1)
		for i := range corners {
			s, c := math.Sincos(turn + math.Pi/2*float64(i))
			corners[i] = [2]float64{10 + 2*c, 2 * s}
			least = math.Min(least, 2*s)
		}
		for i := range corners {
			corners[i][1] += gap - least
		}
		solid := meshtest.Joined(block(0, 0, 0, 20, 12, 8), meshtest.Inverted(prism(corners, 2, 6)))
		got := walls(t, solid.Moved(meshtest.RandomMotion(rng, 40)), Options{PitchMM: 0.7}).Regions(2, nil)
		if len(got) == 0 || math.Abs(got[0].ValueMM-gap) > got[0].ErrorMM {
			t.Fatalf("turn %v: least wall %+v, want %v", turn, got, gap)
		}
	}
}

func TestSphericalShell(t *testing.T) {
	// Concentric spheres on the same grid: facets are parallel pairs, so the least wall is that
	// of the facet planes nearest each other, between 2*cos of the grid's angles and 2.
	const n, m = 60, 31
	shell := meshtest.Joined(sphere(10, n, m), meshtest.Inverted(sphere(8, n, m)))
	low := 2 * math.Cos(math.Pi/n) * math.Cos(math.Pi/(2*m))
	f := walls(t, shell, Options{PitchMM: 1})
	for _, s := range f.Samples {
		// The longest straight way through is that from a corner, within the flattening.
		if w := float64(s.WallMM); w < low-1e-4 || w > 2.1 {
			t.Fatalf("a shell of 2 mm reads %v at %v", w, f.Point(&s))
		}
	}
	// Not concentric: the least wall is where the spheres come nearest, along their centres.
	off := meshtest.Joined(sphere(10, n, m), meshtest.Inverted(sphere(8, n, m).Moved(geom.Translate(vec(0.6, 0.7, 0.8)))))
	want := 2 - vec(0.6, 0.7, 0.8).Norm()
	got := walls(t, off, Options{PitchMM: 1}).Regions(1.2, nil)
	sag := 10 * (1 - math.Cos(math.Pi/n)*math.Cos(math.Pi/(2*m)))
	if len(got) == 0 || math.Abs(got[0].ValueMM-want) > 2*sag {
		t.Fatalf("least wall %+v, want %v within %v", got, want, sag)
	}
	if least := leastBySampling(off, 1.5); got[0].ValueMM > least+1e-9 {
		t.Fatalf("least wall %v, sampling found %v", got[0].ValueMM, least)
	}
}

// leastBySampling walks a dense set of points of the second half of the triangles and asks for
// the nearest on the first: a second method, and an upper bound on the least wall.
func leastBySampling(m *mesh.Mesh, limit float64) float64 {
	half := len(m.Triangles) / 2
	outer := index.Build(&mesh.Mesh{Vertices: m.Vertices, Triangles: m.Triangles[:half]})
	best := limit
	for k := half; k < len(m.Triangles); k++ {
		a, b, c := m.Corners(k)
		const n = 12
		for i := range n + 1 {
			for j := range n + 1 - i {
				u, v := float64(i)/n, float64(j)/n
				if f, ok := outer.Nearest(a.Mul(1-u-v).Add(b.Mul(u)).Add(c.Mul(v)), best); ok {
					best = f.Distance
				}
			}
		}
	}
	return best
}

func TestBoreBesideCavity(t *testing.T) {
	// A bore of radius 2, its facets tangent, 1.3 mm from the wall of a pocket (the outer side
	// x = 0 here); the facet at angle pi faces it, parallel.
	solid := meshtest.Joined(block(0, 0, 0, 20, 12, 9), meshtest.Inverted(prism(ring(3.3, 6, 2, 32), 1, 8)))
	f := walls(t, solid, Options{})
	got := f.Regions(2, nil)
	bore := int32(12)
	want := 3.3 - 2.0
	for _, r := range got {
		a, b := r.TriangleA >= bore, r.TriangleB >= bore
		if a == b {
			continue
		}
		if math.Abs(r.ValueMM-1) < 1e-3 {
			continue // the ends of the bore are 1 mm under the faces
		}
		if math.Abs(r.ValueMM-want) > r.ErrorMM {
			t.Errorf("bore to side: %v, want %v", r.ValueMM, want)
		}
	}
	// By pairs: only between the bore's wall and the side x = 0 (its triangles have that normal).
	side := func(t int32) bool { return t < bore && f.Normal(t).X > 0.9 }
	pairs := f.Regions(0, func(a, b int32) bool { return side(a) && b >= bore || side(b) && a >= bore })
	if len(pairs) != 1 || math.Abs(pairs[0].ValueMM-want) > pairs[0].ErrorMM {
		t.Errorf("bore to side by pairs: %+v, want %v", pairs, want)
	}
	if none := f.Regions(0, func(a, b int32) bool { return false }); len(none) != 0 {
		t.Errorf("no pair allowed, yet %+v", none)
	}
}

func TestFeatherEdge(t *testing.T) {
	// A plate of 1 mm that tapers to nothing at x = 0: the plate must not drain away with it.
	plate := walls(t, prism([][2]float64{{0, 0}, {4, 0}, {20, 0}, {20, 1}, {4, 1}}, 0, 12), Options{})
	if got := plate.Thin(2, nil); len(got.Regions) != 1 || math.Abs(got.Regions[0].ValueMM-1) > got.Regions[0].ErrorMM || len(got.Tapers) == 0 || math.Abs(got.Tapers[0].At.X) > 1e-4 || len(got.Blocked) != 0 {
		t.Fatalf("plate with a tapered end: %d regions, tapers %+v, blocked %+v", len(got.Regions), got.Tapers, got.Blocked)
	}
	for _, degrees := range []float64{4, 15, 30, 44} {
		h := 10 * math.Tan(degrees*math.Pi/180)
		f := walls(t, prism([][2]float64{{0, 0}, {10, 0}, {10, h}}, 0, 12), Options{})
		got := f.FeatherEdges(nil)
		if len(got) == 0 || math.Abs(got[0].Angle.Degrees()-degrees) > 1e-6 || math.Abs(got[0].LengthMM-12) > 1e-9 {
			t.Fatalf("wedge of %v degrees: %+v", degrees, got)
		}
		for _, r := range f.Regions(0, nil) {
			if r.ValueMM < h/2 {
				t.Errorf("wedge of %v degrees: its flank is called a wall of %v", degrees, r.ValueMM)
			}
		}
	}
	// A truncated wedge is a wall, as thick as its end.
	f := walls(t, prism([][2]float64{{0, 0}, {10, -1}, {10, 1.4}, {0, 0.4}}, 0, 12), Options{})
	got := f.Regions(1, nil)
	if len(got) != 1 || math.Abs(got[0].ValueMM-0.4) > got[0].ErrorMM {
		t.Fatalf("truncated wedge: %+v", got)
	}
	if e := f.FeatherEdges(nil); len(e) != 0 {
		t.Errorf("truncated wedge: %+v", e)
	}
	// The control: to the room around it the same wedge has no acute edge.
	wedge := prism([][2]float64{{0, 0}, {10, 0}, {10, 3}}, 0, 12)
	if e := walls(t, wedge, Options{Side: Gap}).FeatherEdges(nil); len(e) != 0 {
		t.Errorf("feather edges of the room around a wedge: %+v", e)
	}
}

// notched is a block with a slot of the given width and depth cut into its top.
func notched(width, depth float64) *mesh.Mesh {
	return prismOf([][2]float64{{0, 0}, {20, 0}, {20, 10}, {10 + width/2, 10}, {10 + width/2, 10 - depth}, {10 - width/2, 10 - depth}, {10 - width/2, 10}, {0, 10}},
		[][3]int{{0, 1, 4}, {0, 4, 5}, {1, 2, 4}, {2, 3, 4}, {0, 5, 7}, {5, 6, 7}}, 0, 15)
}

func prismOf(polygon [][2]float64, cover [][3]int, low, high float64) *mesh.Mesh {
	n := int32(len(polygon))
	m := prism(polygon, low, high)
	m.Triangles = nil
	for i := range n {
		j := (i + 1) % n
		m.Triangles = append(m.Triangles, [3]int32{i, j, n + j}, [3]int32{i, n + j, n + i})
	}
	for _, c := range cover {
		a, b, d := int32(c[0]), int32(c[1]), int32(c[2])
		m.Triangles = append(m.Triangles, [3]int32{a, d, b}, [3]int32{n + a, n + b, n + d})
	}
	return m
}

func TestSlotOnTheEmptySide(t *testing.T) {
	m := notched(0.8, 6)
	got := walls(t, m, Options{Side: Gap}).Regions(0, nil)
	if len(got) != 1 || math.Abs(got[0].ValueMM-0.8) > got[0].ErrorMM {
		t.Fatalf("slot: %+v", got)
	}
	if want := 6.0 * 15; math.Abs(got[0].AreaMM2-want) > 0.02*want {
		t.Errorf("slot covers %v mm2, want %v", got[0].AreaMM2, want)
	}
	for _, r := range walls(t, m, Options{}).Regions(0, nil) {
		if r.ValueMM < 4-r.ErrorMM {
			t.Errorf("the slot is called a wall: %+v", r)
		}
	}
}

func TestBlades(t *testing.T) {
	// A rib 1.2 thick, 9 high, 20 long on a plate; the polygon lies across it.
	rib := prismOf([][2]float64{{0, 0}, {20, 0}, {20, 6}, {10.6, 6}, {10.6, 15}, {9.4, 15}, {9.4, 6}, {0, 6}},
		[][3]int{{0, 1, 3}, {1, 2, 3}, {0, 3, 6}, {3, 4, 6}, {4, 5, 6}, {0, 6, 7}}, 0, 20)
	rng := seeded(t, 23)
	motion := meshtest.RandomMotion(rng, 40)
	f := walls(t, rib.Moved(motion), Options{})
	got := f.Blades(f.Regions(3, nil), 3)
	if len(got) != 1 {
		t.Fatalf("blades: %+v", got)
	}
	b := got[0]
	if math.Abs(b.HeightMM-9) > b.ErrorMM || math.Abs(b.LengthMM-20) > b.ErrorMM || math.Abs(b.ThicknessMM-1.2) > 1e-4 || b.Pin {
		t.Errorf("rib: %+v", b)
	}
	if up := motion.Direction(vec(0, 1, 0)); b.Up.Dot(up) < 0.99 {
		t.Errorf("the rib stands along %v, want %v", b.Up, up)
	}
	// A web held at both ends is none: the middle of an H.
	web := prismOf([][2]float64{{0, 0}, {20, 0}, {20, 6}, {10.6, 6}, {10.6, 15}, {20, 15}, {20, 21}, {0, 21}, {0, 15}, {9.4, 15}, {9.4, 6}, {0, 6}},
		[][3]int{{0, 1, 3}, {1, 2, 3}, {0, 3, 10}, {0, 10, 11}, {3, 4, 10}, {4, 9, 10}, {4, 5, 6}, {4, 6, 7}, {4, 7, 9}, {7, 8, 9}}, 0, 20)
	f = walls(t, web, Options{})
	if got := f.Blades(f.Regions(3, nil), 3); len(got) != 0 {
		t.Errorf("a web is called a blade: %+v", got)
	}
}

func TestFieldDoesNotDependOnCores(t *testing.T) {
	m := meshtest.Joined(block(0, 0, 0, 9, 6, 4), meshtest.Inverted(prism(ring(3, 3, 1, 24), 1, 3)))
	tree := index.Build(m)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var samples []Sample
	var regions []Region
	for _, cores := range []int{1, 2, 3, 5} {
		runtime.GOMAXPROCS(cores)
		f, err := Walls(tree, Options{PitchMM: 0.3})
		if err != nil {
			t.Fatal(err)
		}
		r := f.Regions(0, nil)
		if samples == nil {
			samples, regions = f.Samples, r
		}
		if !reflect.DeepEqual(samples, f.Samples) || !reflect.DeepEqual(regions, r) {
			t.Fatalf("%d cores read otherwise", cores)
		}
	}
}

func TestOptionsAreChecked(t *testing.T) {
	tree := index.Build(block(0, 0, 0, 100, 100, 100))
	for _, o := range []Options{{PitchMM: -1}, {PitchMM: math.NaN()}, {Facing: 2 * s1.Radian}, {LimitMM: -3}, {MostSamples: -1}} {
		if _, err := Walls(tree, o); err == nil {
			t.Errorf("%+v was accepted", o)
		}
	}
	f, err := Walls(tree, Options{PitchMM: 0.5, MostSamples: 1000})
	if err != nil || len(f.Samples) > 1000 || f.PitchMM <= 0.5 {
		t.Errorf("%d samples at pitch %v, %v", len(f.Samples), f.PitchMM, err)
	}
	f, err = Walls(index.Build(&mesh.Mesh{}), Options{})
	if err != nil || len(f.Regions(0, nil)) != 0 || len(f.FeatherEdges(nil)) != 0 {
		t.Error("nothing has walls")
	}
}

func BenchmarkWalls(b *testing.B) {
	tree := index.Build(corpus.MeshOrShell(b, "insert_1m.stl"))
	var f *Field
	for b.Loop() {
		var err error
		if f, err = Walls(tree, Options{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(f.Samples))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Msamples/s")
}

func BenchmarkRegions(b *testing.B) {
	f, err := Walls(index.Build(corpus.MeshOrShell(b, "insert_1m.stl")), Options{})
	if err != nil {
		b.Fatal(err)
	}
	var got Thin
	for b.Loop() {
		got = f.Thin(2, nil)
	}
	b.Logf("%d regions of at most 2 mm, %d tapers and %d blocked among %d samples; %d feather edges", len(got.Regions), len(got.Tapers), len(got.Blocked), len(f.Samples), len(f.FeatherEdges(nil)))
	for _, r := range got.Regions[:min(5, len(got.Regions))] {
		b.Logf("%.5f mm over %.2f mm2 from %v to %v", r.ValueMM, r.AreaMM2, r.A, r.B)
	}
}

// TestNothingIsPassedOverInSilence: a reading that something lies across is named. On a good mesh
// there is none, so one is made: the sample's opposite is moved behind the next wall.
func TestNothingIsPassedOverInSilence(t *testing.T) {
	solid := meshtest.Joined(block(0, 0, 0, 20, 10, 2), block(0, 0, 5, 20, 10, 7), block(5, 2, 3, 6, 3, 4))
	f := walls(t, solid, Options{Roundoff: 0x1p-53})
	if got := f.Thin(3, nil); len(got.Blocked) != 0 || len(got.Regions) != 5 {
		t.Fatalf("%d regions, want 3 of the small block and 1 of each plate; blocked: %+v", len(got.Regions), got.Blocked)
	}
	low, high := int32(-1), int32(-1)
	for i, s := range f.Samples {
		if n := f.Normal(s.Triangle); n.Z > 0.9 && f.Point(&s).Z == 0 {
			low = int32(i)
		} else if n.Z < -0.9 && f.Point(&s).Z == 7 {
			high = s.Triangle
		}
	}
	s := &f.Samples[low]
	s.opposite, s.Partner, s.WallMM = f.placeOf(high, f.Point(s).Add(vec(0, 0, 7))), high, 0.5
	got := f.Thin(3, nil)
	if len(got.Blocked) != 1 || got.Blocked[0].A != f.Point(s) || got.Blocked[0].AreaMM2 <= 0 {
		t.Fatalf("a wall across two plates: blocked %+v", got.Blocked)
	}
	if len(got.Regions) != 5 {
		t.Errorf("beside it %d regions are left, want 5", len(got.Regions))
	}
}

// TestMinimumOfAFineMesh: the least wall of a plate whose one side is a shallow bowl with ripples a
// millimetre apart, both of fine facets, of which thousands lie within a pitch. It lies in the
// middle, and the search must not stop in the ripple it starts in.
func TestMinimumOfAFineMesh(t *testing.T) {
	for _, place := range [][2]float64{{4, 4}, {2.7, 5.3}, {5.4, 2.2}, {3.3, 3.9}, {6.1, 5.8}} {
		f := walls(t, rippledBowl(place[0], place[1]), Options{PitchMM: 3, Roundoff: 0x1p-53})
		got := f.Regions(3, nil)
		if len(got) != 1 || math.Abs(got[0].ValueMM-1.987) > got[0].ErrorMM || !got[0].Refined {
			t.Errorf("least wall of the bowl at %v: %+v, want 1.987", place, got)
		}
	}
}

// rippledBowl is a plate on facets of 0.1 mm, thinnest at (x0, y0): 2 - 0.01 - 0.003.
func rippledBowl(x0, y0 float64) *mesh.Mesh {
	const cells, size = 80, 8.0
	height := func(x, y float64) float64 {
		u, v := (x-x0)/6, (y-y0)/6
		return 2 - 0.01*(1-u*u)*(1-v*v) - 0.003*math.Cos(2*math.Pi*(x-x0))*math.Cos(2*math.Pi*(y-y0))
	}
	m := &mesh.Mesh{}
	at := func(i, j, k int) int32 { return int32((i*(cells+1)+j)*2 + k) }
	for i := range cells + 1 {
		for j := range cells + 1 {
			x, y := size*float64(i)/cells, size*float64(j)/cells
			m.Vertices = append(m.Vertices, vec(x, y, 0), vec(x, y, height(x, y)))
		}
	}
	quad := func(a, b, c, d int32) {
		m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
	}
	for i := range cells {
		quad(at(i, 0, 0), at(i+1, 0, 0), at(i+1, 0, 1), at(i, 0, 1))
		quad(at(i+1, cells, 0), at(i, cells, 0), at(i, cells, 1), at(i+1, cells, 1))
		quad(at(0, i+1, 0), at(0, i, 0), at(0, i, 1), at(0, i+1, 1))
		quad(at(cells, i, 0), at(cells, i+1, 0), at(cells, i+1, 1), at(cells, i, 1))
		for j := range cells {
			quad(at(i, j, 1), at(i+1, j, 1), at(i+1, j+1, 1), at(i, j+1, 1))
			quad(at(i, j, 0), at(i, j+1, 0), at(i+1, j+1, 0), at(i+1, j, 0))
		}
	}
	return m
}
