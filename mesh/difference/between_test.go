package difference

import (
	"flag"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/meshtest/corpus"
)

var seedFlag = flag.Uint64("difference.seed", 20, "seed of the random solids; printed on failure")

// sample compares a and b by dexels whatever they are.
func sample(t testing.TB, a, b *mesh.Mesh, opt Options) *Result {
	t.Helper()
	sa, err := newSolid(a, "a")
	if err != nil {
		t.Fatal(err)
	}
	sb, err := newSolid(b, "b")
	if err != nil {
		t.Fatal(err)
	}
	r := &Result{VolumeA: sa.volume, VolumeB: sb.volume}
	if err := r.sampled(sa, sb, opt.withDefaults()); err != nil {
		t.Fatal(err)
	}
	return r
}

// The stated errors of sampling are honest (F2): of 1000 random pairs, a solid and a convex one,
// the exact clip lies within them for at least 99 in 100. The control halves and again halves
// the errors and must find them broken more often than that.
func TestSamplingErrorIsHonest(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seedFlag, 1))
	pairs, outside, tight := 0, 0, 0
	var worst, ratio float64
	for pairs < 1000 {
		a, b := randomSolid(rng), randomConvex(rng)
		exact, err := Between(a, b, Options{MostRegions: -1})
		if err != nil {
			t.Fatal(err)
		}
		if !exact.Exact {
			t.Fatalf("method %q", exact.Method)
		}
		if exact.Both.MM3 == 0 {
			continue
		}
		pairs++
		r := sample(t, a, b, Options{MostRegions: -1, MostRays: 1 << 14, Seed: rng.Uint64()})
		for _, q := range [][2]Quantity{{r.AOnly, exact.AOnly}, {r.BOnly, exact.BOnly}, {r.Both, exact.Both}} {
			off := math.Abs(q[0].MM3-q[1].MM3) - q[1].ErrorMM3
			worst = max(worst, off/q[0].ErrorMM3)
			if off > q[0].ErrorMM3 {
				outside++
				break
			}
		}
		off := math.Abs(r.Both.MM3 - exact.Both.MM3)
		ratio += off / r.Both.ErrorMM3
		if off > r.Both.ErrorMM3/4 {
			tight++
		}
	}
	t.Logf("seed %d: %d of %d outside; mean error/stated %.3f, worst %.2f; %d outside a quarter", *seedFlag, outside, pairs, ratio/float64(pairs), worst, tight)
	if outside*100 > pairs {
		t.Errorf("-difference.seed=%d: %d of %d true values lie outside the stated error", *seedFlag, outside, pairs)
	}
	if tight*100 <= pairs {
		t.Errorf("control: only %d of %d lie outside a quarter of the stated error, which is then no measure of it", tight, pairs)
	}
}

// Solids in step with any axis-parallel grid: boxes with sides along the axes.
func TestSamplingErrorIsHonestForAlignedBoxes(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seedFlag, 2))
	outside := 0
	const pairs = 300
	for range pairs {
		corner := func() (r3.Vector, r3.Vector) {
			lo := vec(rng.Float64()*10, rng.Float64()*10, rng.Float64()*10)
			return lo, lo.Add(vec(5+rng.Float64()*10, 5+rng.Float64()*10, 5+rng.Float64()*10))
		}
		a0, a1 := corner()
		b0, b1 := corner()
		both := geom.Box{Min: a0, Max: a1}.Intersection(geom.Box{Min: b0, Max: b1})
		r := sample(t, boxMesh(a0, a1), boxMesh(b0, b1), Options{MostRegions: -1, MostRays: 1 << 14, Seed: rng.Uint64()})
		if math.Abs(r.Both.MM3-both.VolumeMM3()) > r.Both.ErrorMM3 {
			outside++
		}
	}
	t.Logf("seed %d: %d of %d outside", *seedFlag, outside, pairs)
	if outside*100 > pairs {
		t.Errorf("-difference.seed=%d: %d of %d outside the stated error", *seedFlag, outside, pairs)
	}
}

// twoBosses is a plate with two posts; raise lifts the top of the second. Both versions have
// the same facets but for that post.
func twoBosses(raise float64) *mesh.Mesh {
	return meshtest.Joined(
		lShape(5),
		boxMesh(vec(2, 2, 5), vec(4, 4, 9)),
		boxMesh(vec(14, 3, 5), vec(16, 6, 9+raise)),
	)
}

// A revision that adds 0.4 mm to a post of 2 x 3: one region of 2.4 mm3 added, nothing lost.
func TestRevision(t *testing.T) {
	r, err := Between(twoBosses(0.4), twoBosses(0), Options{})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "added", r.AOnly, 2.4)
	wantNear(t, "lost", r.BOnly, 0)
	if r.AOnly.ErrorMM3 > 0.01 {
		t.Errorf("error %g", r.AOnly.ErrorMM3)
	}
	if len(r.RegionsA) != 1 || len(r.RegionsB) != 0 {
		t.Fatalf("regions %+v and %+v, want one and none", r.RegionsA, r.RegionsB)
	}
	g := r.RegionsA[0]
	if !near(g.Box, geom.Box{Min: vec(14, 3, 9), Max: vec(16, 6, 9.4)}, g.PitchMM) {
		t.Errorf("box %v", g.Box)
	}
	if math.Abs(g.DepthMM-0.4) > 1e-5 {
		t.Errorf("depth %v, want 0.4", g.DepthMM)
	}
	if d := r.RegionsA[0].VolumeMM3 - 2.4; math.Abs(d) > g.ErrorMM3+1e-3 {
		t.Errorf("region of %v +- %g", g.VolumeMM3, g.ErrorMM3)
	}
	same, err := Between(twoBosses(0.4), twoBosses(0.4), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if same.AOnly.MM3 != 0 || same.BOnly.MM3 != 0 || !same.Exact {
		t.Errorf("a solid differs from itself: %+v", same)
	}
}

// Blank minus insert with coincident faces: an L in the blank that it was cut from.
func TestInsertInItsBlank(t *testing.T) {
	r, err := Between(boxMesh(r3.Vector{}, vec(20, 20, 8)), lShape(8), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Exact {
		t.Errorf("method %q", r.Method)
	}
	wantNear(t, "to remove", r.AOnly, 800)
	wantNear(t, "sticking out", r.BOnly, 0)
	if len(r.RegionsA) != 1 || len(r.RegionsB) != 0 {
		t.Fatalf("regions %+v and %+v", r.RegionsA, r.RegionsB)
	}
	g := r.RegionsA[0]
	if !near(g.Box, geom.Box{Min: vec(10, 10, 0), Max: vec(20, 20, 8)}, g.PitchMM) {
		t.Errorf("box %v", g.Box)
	}
	if math.Abs(g.VolumeMM3-800) > g.ErrorMM3+1e-5 || g.ErrorMM3 > 1 {
		t.Errorf("region of %v +- %g, want 800", g.VolumeMM3, g.ErrorMM3)
	}
	if math.Abs(g.DepthMM-8) > 1e-5 {
		t.Errorf("depth %v, want 8", g.DepthMM)
	}
	// An insert that sticks out of the blank by 0.01 mm along one side of the L.
	out, err := Between(boxMesh(r3.Vector{}, vec(19.99, 20, 8)), lShape(8), Options{})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "sticking out", out.BOnly, 0.01*10*8)
	if len(out.RegionsB) != 1 || math.Abs(out.RegionsB[0].DepthMM-0.01) > 1e-6 {
		t.Errorf("regions %+v, want one 0.01 deep", out.RegionsB)
	}
}

// A mesh that came inside out is measured as the body it encloses, and the result says so.
func TestInsideOut(t *testing.T) {
	l := lShape(8)
	out := &mesh.Mesh{Vertices: l.Vertices}
	for _, tri := range l.Triangles {
		out.Triangles = append(out.Triangles, [3]int32{tri[1], tri[0], tri[2]})
	}
	r, err := Between(boxMesh(r3.Vector{}, vec(20, 20, 8)), out, Options{MostRegions: -1})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "to remove", r.AOnly, 800)
	if !r.TurnedB || r.TurnedA {
		t.Errorf("turned %v and %v", r.TurnedA, r.TurnedB)
	}
}

// Two solids that are not convex and share no facet: the dexel route, against a closed form.
func TestTwoBentSolids(t *testing.T) {
	a := lShape(10)
	b := lShape(10).Moved(geom.Translate(vec(3, 2, 4)))
	r, err := Between(a, b, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// In plan: the union of bars [0,20]x[0,10] and [0,10]x[10,20] with the same moved by (3, 2).
	// [3,20]x[2,10] + ([3,10]x[10,20]) + upper part of b's lower bar over a's: y 10..12, x 3..10 is in
	// the second already; b's lower bar y 10..12 lies over a only for x 3..10.
	want := (17*8 + 7*10.0) * 6
	wantNear(t, "common", r.Both, want)
	wantNear(t, "only A", r.AOnly, 3000-want)
	if e := r.Both.ErrorMM3 / want; e > 5e-4 {
		t.Errorf("error %g of the volume", e)
	}
}

func TestDifferenceOnAnyNumberOfCores(t *testing.T) {
	a := meshtest.Bumpy(30, 10, 1, 5)
	b := meshtest.Bumpy(31, 10, 1, 4).Moved(geom.Translate(vec(0.5, 0.2, 0.1)))
	insert := meshtest.Bumpy(40, 9, 1, 7)
	blank := boxMesh(vec(-9.5, -9.5, -9.5), vec(11, 11, 11))
	var first []*Result
	for _, n := range []int{1, 2, 3, 5} {
		old := runtime.GOMAXPROCS(n)
		r, err := Between(a, b, Options{MostRays: 1 << 17})
		if err != nil {
			t.Fatal(err)
		}
		s, err := Between(blank, insert, Options{})
		runtime.GOMAXPROCS(old)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = []*Result{r, s}
		}
		if !reflect.DeepEqual(first, []*Result{r, s}) {
			t.Errorf("%d cores give another result", n)
		}
	}
}

// A rigid motion of both changes no reading by more than the two stated errors.
func TestMotionChangesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seedFlag, 3))
	a := lShape(10)
	b := lShape(10).Moved(geom.Translate(vec(3, 2, 4)))
	at, err := Between(a, b, Options{MostRegions: -1, MostRays: 1 << 16})
	if err != nil {
		t.Fatal(err)
	}
	for k := range 100 {
		m := meshtest.RandomMotion(rng, 300)
		r, err := Between(a.Moved(m), b.Moved(m), Options{MostRegions: -1, MostRays: 1 << 16})
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(r.Both.MM3 - at.Both.MM3); d > r.Both.ErrorMM3+at.Both.ErrorMM3 {
			t.Errorf("motion %d: common volume moves by %g", k, d)
		}
	}
}

// The same for the exact route: an insert with a rough relief, flush with its blank.
func TestMotionChangesNoClip(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seedFlag, 4))
	insert := meshtest.Joined(lShape(8), meshtest.Bumpy(12, 3, 0.5, 3).Moved(geom.Translate(vec(15, 15, 4))))
	blank := boxMesh(r3.Vector{}, vec(20, 19, 8))
	at, err := Between(blank, insert, Options{MostRegions: -1})
	if err != nil {
		t.Fatal(err)
	}
	for k := range 100 {
		m := meshtest.RandomMotion(rng, 300)
		r, err := Between(blank.Moved(m), insert.Moved(m), Options{MostRegions: -1})
		if err != nil {
			t.Fatal(err)
		}
		if !r.Exact {
			t.Fatalf("motion %d: method %q", k, r.Method)
		}
		for _, q := range [][2]Quantity{{r.AOnly, at.AOnly}, {r.BOnly, at.BOnly}, {r.Both, at.Both}} {
			if d := math.Abs(q[0].MM3 - q[1].MM3); d > q[0].ErrorMM3+q[1].ErrorMM3 || q[0].ErrorMM3 > 1e-6 {
				t.Errorf("-difference.seed=%d motion %d: moves by %g, errors %g and %g", *seedFlag, k, d, q[0].ErrorMM3, q[1].ErrorMM3)
			}
		}
	}
}

func BenchmarkBlankMinusInsert(b *testing.B) {
	for _, name := range []string{"insert_100k.stl", "insert_1m.stl", "insert_5m.stl", "insert_cad_32.stl"} {
		b.Run(name, func(b *testing.B) {
			m := corpus.Mesh(b, name)
			box := m.Bounds()
			blank := boxMesh(box.Min, box.Max)
			for _, c := range []struct {
				name    string
				regions int
			}{{"volumes", -1}, {"regions", 0}} {
				b.Run(c.name, func(b *testing.B) {
					for b.Loop() {
						r, err := Between(blank, m, Options{MostRegions: c.regions})
						if err != nil {
							b.Fatal(err)
						}
						b.ReportMetric(r.AOnly.MM3, "mm3")
						b.ReportMetric(r.AOnly.ErrorMM3, "error-mm3")
						b.ReportMetric(float64(len(r.RegionsA)), "regions")
					}
				})
			}
		})
	}
}

// BenchmarkCoincidentFaces is blank minus insert where the blank's sides lie in the insert's, where
// they stand off it by a millimetre, and where only the upper half is compared, so that the
// blank's floor cuts through the insert: by the clip and by sampling.
func BenchmarkCoincidentFaces(b *testing.B) {
	for _, name := range []string{"insert_1m.stl", "insert_cad_32.stl"} {
		m := corpus.Mesh(b, name)
		box := m.Bounds()
		off := vec(1, 1, 1)
		middle := box.Center()
		for _, c := range []struct {
			name   string
			lo, hi r3.Vector
		}{
			{"coincident", box.Min, box.Max},
			{"apart", box.Min.Sub(off), box.Max.Add(off)},
			{"half", vec(box.Min.X-1, box.Min.Y-1, middle.Z+0.0123), box.Max.Add(off)},
		} {
			blank := boxMesh(c.lo, c.hi)
			for _, route := range []string{"clip", "sampled"} {
				b.Run(name+"/"+c.name+"/"+route, func(b *testing.B) {
					cpu := meshtest.CPUSeconds()
					for b.Loop() {
						var r *Result
						if route == "clip" {
							var err error
							if r, err = Between(blank, m, Options{MostRegions: -1}); err != nil {
								b.Fatal(err)
							}
						} else {
							r = sample(b, blank, m, Options{MostRegions: -1})
						}
						b.ReportMetric(r.AOnly.MM3, "mm3")
						b.ReportMetric(r.AOnly.ErrorMM3/r.AOnly.MM3*1e6, "error-ppm")
					}
					b.ReportMetric((meshtest.CPUSeconds()-cpu)/float64(b.N)*1e3, "cpu-ms")
				})
			}
		}
	}
}

// BenchmarkDexelRoute is the same volume without the short cut for a convex blank.
func BenchmarkDexelRoute(b *testing.B) {
	for _, name := range []string{"insert_100k.stl", "insert_1m.stl", "insert_cad_32.stl"} {
		b.Run(name, func(b *testing.B) {
			m := corpus.Mesh(b, name)
			box := m.Bounds()
			blank := boxMesh(box.Min, box.Max)
			for b.Loop() {
				r := sample(b, blank, m, Options{MostRegions: -1})
				b.ReportMetric(r.AOnly.MM3, "mm3")
				b.ReportMetric(r.AOnly.ErrorMM3/r.AOnly.MM3*1e6, "error-ppm")
			}
		})
	}
}
