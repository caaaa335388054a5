package cavity_test

import (
	"math"
	"reflect"
	"runtime"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/cavity"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

func box(x0, y0, z0, x1, y1, z1 float64) geom.Box {
	return geom.Box{Min: r3.Vector{X: x0, Y: y0, Z: z0}, Max: r3.Vector{X: x1, Y: y1, Z: z1}}
}

// The halves of most tests meet at z = 40; each is 40 high.
var (
	lower = box(-50, -30, 0, 50, 30, 40)
	upper = box(-50, -30, 40, 50, 30, 80)
)

const gap = 0.02

func between(t testing.TB, fixed, moving *mesh.Mesh, opt cavity.Options) *cavity.Room {
	t.Helper()
	if opt.GapMM == 0 {
		opt.GapMM = gap
	}
	opt.FlushMM = 0.005
	r, err := cavity.Between(fixed, moving, opt)
	if err != nil {
		t.Fatal(err)
	}
	if r.OddRays+r.FoldedRays > 0 {
		t.Errorf("%d odd and %d folded rays on sound meshes", r.OddRays, r.FoldedRays)
	}
	return r
}

func block(b geom.Box, pockets ...geom.Box) *mesh.Mesh {
	return meshtest.BlockWithPockets(b, pockets...).Mesh
}

// within fails where a stated error does not cover the true one, or is so large that it says
// nothing.
func within(t testing.TB, what string, got, stated, want, mostStated float64) {
	t.Helper()
	meshtest.WantNear(t, what, got, want, stated)
	if stated > mostStated {
		t.Errorf("%s: stated error %.3g, want at most %.3g", what, stated, mostStated)
	}
}

func one(t testing.TB, r *cavity.Room) cavity.Solid {
	t.Helper()
	if len(r.Solids) != 1 {
		t.Fatalf("%d solids, want one: %+v", len(r.Solids), r.Solids)
	}
	return r.Solids[0]
}

func TestBoxCavity(t *testing.T) {
	r := between(t, block(lower, box(-20, -12, 25, 30, 10, 50)), block(upper), cavity.Options{})
	s := one(t, r)
	within(t, "volume", s.VolumeMM3, s.VolumeErrorMM3, 50*22*15, 40)
	within(t, "area", s.AreaMM2, s.AreaErrorMM2, 50*22, 2.5)
	within(t, "contact", r.ContactMM2, r.ContactErrorMM2, 100*60-50*22, 6)
	meshtest.WantNearVector(t, "low corner", s.Box.Min, r3.Vector{X: -20, Y: -12, Z: 25}, 2*r.PitchMM)
	meshtest.WantNearVector(t, "high corner", s.Box.Max, r3.Vector{X: 30, Y: 10, Z: 40}, 2*r.PitchMM)
	if len(r.Gaps)+len(r.Clashes)+len(r.Gates) > 0 {
		t.Errorf("a sound pair has %v, %v, %v", r.Gaps, r.Clashes, r.Gates)
	}
	if n := r.SolidAt(r3.Vector{X: 5, Y: -1, Z: 30}); n != 0 {
		t.Errorf("a point in the cavity is in solid %d", n)
	}
	for _, p := range []r3.Vector{{X: 5, Y: -1, Z: 24.9}, {X: -25, Y: 0, Z: 39}, {X: 200}} {
		if n := r.SolidAt(p); n != -1 {
			t.Errorf("%v, in metal, is in solid %d", p, n)
		}
	}
	if _, mm := r.Thickness(0, 0); math.Abs(mm-15) > 1e-5 {
		t.Errorf("room of %g mm, want 15", mm)
	}
}

// Both halves cut: the room is what either leaves.
func TestHemisphereUnderACore(t *testing.T) {
	const sides, rings = 96, 24
	ball, core := 20.0, 17.0
	arc := func(radius float64) (p []r2.Point) {
		for i := 0; i <= rings; i++ {
			a := math.Pi / 2 * float64(i) / rings
			p = append(p, r2.Point{X: radius * math.Cos(a), Y: radius * math.Sin(a)})
		}
		p[rings].X = 0
		return p
	}
	// The fixed half: a disc with half a ball taken out of its top at z = 40.
	profile := []r2.Point{{X: 0, Y: 0}, {X: 45, Y: 0}, {X: 45, Y: 40}}
	for _, p := range arc(ball) {
		profile = append(profile, r2.Point{X: p.X, Y: 40 - p.Y})
	}
	fixed := meshtest.Revolve("bowl", profile, sides)
	// The moving half: a disc with a smaller half ball on its underside.
	profile = nil
	down := arc(core)
	for i := range down {
		p := down[rings-i]
		profile = append(profile, r2.Point{X: p.X, Y: 40 - p.Y})
	}
	profile = append(profile, r2.Point{X: 45, Y: 40}, r2.Point{X: 45, Y: 80}, r2.Point{X: 0, Y: 80})
	moving := meshtest.Revolve("core", profile, sides)
	disc := meshtest.Cylinder(45, 40, sides).Faceted.VolumeMM3
	want := 2*disc - fixed.Faceted.VolumeMM3 - moving.Faceted.VolumeMM3
	if exact := 2 * math.Pi / 3 * (ball*ball*ball - core*core*core); math.Abs(want-exact) > 0.01*exact {
		t.Fatalf("the test's own solids leave %g, want about %g", want, exact)
	}
	r := between(t, fixed.Mesh, moving.Mesh, cavity.Options{})
	s := one(t, r)
	within(t, "volume", s.VolumeMM3, s.VolumeErrorMM3, want, 0.004*want)
	flat := 0.5 * sides * math.Sin(2*math.Pi/sides)
	within(t, "area", s.AreaMM2, s.AreaErrorMM2, flat*ball*ball, 3)
	within(t, "contact", r.ContactMM2, r.ContactErrorMM2, flat*(45*45-ball*ball), 4)
	if len(r.Gaps) > 0 {
		t.Errorf("a shell has gaps %+v", r.Gaps)
	}
}

// Two cavities, a runner between them 4 wide and 3 deep, and a sprue of 3 x 3 in its middle.
func pockets(rightDepth float64) []geom.Box {
	return []geom.Box{
		box(-40, -10, 35, -15, 10, 50), box(15, -10, 40-rightDepth, 40, 10, 50),
		box(-15, -2, 37, 15, 2, 50), box(-1.5, -1.5, -10, 1.5, 1.5, 50),
	}
}

func TestTwoCavitiesAndTheirRunner(t *testing.T) {
	r := between(t, block(lower, pockets(5)...), block(upper), cavity.Options{})
	var parts, runners []cavity.Solid
	for _, s := range r.Solids {
		if s.Body != 0 || len(s.Gates) != 1 {
			t.Errorf("body %d with gates %v, want body 0 with one gate", s.Body, s.Gates)
		}
		if s.Kind == cavity.Part {
			parts = append(parts, s)
		} else {
			runners = append(runners, s)
		}
	}
	if len(parts) != 2 || len(runners) != 1 || len(r.Gates) != 1 {
		t.Fatalf("%d parts, %d runners, %d gates", len(parts), len(runners), len(r.Gates))
	}
	meshtest.WantNearVector(t, "gate", r.Gates[0].At, r3.Vector{Z: 38.5}, 0.1)
	meshtest.WantNear(t, "gate's area", r.Gates[0].AreaMM2, 9, 1)
	total := 0.0
	for _, s := range parts {
		// The border between part and runner is a matter of widths: it may lie off by the
		// reach of the opening, 1.3 times the runner's half width and a ray.
		meshtest.WantNear(t, "volume of a part", s.VolumeMM3, 25*20*5, 4*3*(1.3*2+r.PitchMM))
		meshtest.WantNear(t, "way to a part", s.FlowMM, 15, s.FlowErrorMM+1.3*2)
		total += s.VolumeMM3
	}
	if d := math.Abs(parts[0].VolumeMM3 - parts[1].VolumeMM3); d > parts[0].VolumeErrorMM3+parts[1].VolumeErrorMM3 {
		t.Errorf("equal cavities come out %g mm3 apart", d)
	}
	total += runners[0].VolumeMM3
	// The room over the sprue is stopped at the runner's floor.
	meshtest.WantNear(t, "all of it", total, 2*25*20*5+30*4*3, parts[0].VolumeErrorMM3*4)

	// Control: one cavity is a tenth deeper.
	r = between(t, block(lower, pockets(5.5)...), block(upper), cavity.Options{})
	var volumes []float64
	for _, s := range r.Solids {
		if s.Kind == cavity.Part {
			volumes = append(volumes, s.VolumeMM3)
		}
	}
	if len(volumes) != 2 || math.Abs(max(volumes[0], volumes[1])-min(volumes[0], volumes[1])-250) > 30 {
		t.Errorf("volumes %v, want 250 mm3 apart", volumes)
	}
}

// A sprue that lands on the part makes no runner of it.
func TestGateOnThePart(t *testing.T) {
	r := between(t, block(lower, box(-20, -12, 35, 30, 10, 50), box(-3, -2, -1, 1, 2, 50)), block(upper), cavity.Options{})
	s := one(t, r)
	if s.Kind != cavity.Part || len(s.Gates) != 1 || s.FlowMM != 0 {
		t.Errorf("%+v, want a part with its gate", s)
	}
	within(t, "volume", s.VolumeMM3, s.VolumeErrorMM3, 50*22*5, 15)
}

// Holes of the moving half are stopped level with their rim, and are no gates.
func TestPinsDoNotDrainTheCavity(t *testing.T) {
	pins := []geom.Box{box(-10, -5, 30, -6, -1, 90), box(20, 3, 30, 24, 7, 90), box(40, 20, 30, 44, 24, 90)}
	r := between(t, block(lower, box(-20, -12, 35, 30, 10, 50)), block(upper, pins...), cavity.Options{})
	s := one(t, r)
	within(t, "volume", s.VolumeMM3, s.VolumeErrorMM3, 50*22*5, 15)
	if len(s.Gates)+len(r.Gates)+len(r.Gaps) > 0 {
		t.Errorf("gates %v, gaps %v of a cavity with pins", r.Gates, r.Gaps)
	}
	within(t, "contact", r.ContactMM2, r.ContactErrorMM2, 100*60-50*22-4*4, 6)
}

// A vent of depth 0.1 from the cavity to a groove of 0.6 that runs out of the block.
func vented() *mesh.Mesh {
	return block(lower, box(-20, -12, 25, 30, 10, 50), box(30, -3, 39.9, 36, 3, 50), box(36, -3, 39.4, 60, 3, 50))
}

func TestLeakIsDammedAndNamed(t *testing.T) {
	tight := between(t, vented(), block(upper), cavity.Options{GapMM: 0.11})
	s := one(t, tight)
	within(t, "volume behind a vent that holds", s.VolumeMM3, s.VolumeErrorMM3, 50*22*15, 40)
	if len(tight.Gaps) > 0 {
		t.Errorf("a vent within the limit gives gaps %+v", tight.Gaps)
	}
	meshtest.WantNear(t, "widest gap that holds", tight.TightestMM, 0.1, 1e-5)

	open := between(t, vented(), block(upper), cavity.Options{})
	s = one(t, open)
	// Some of the land, 6 x 6 x 0.1 mm, is on the cavity's side of the dam.
	meshtest.WantNear(t, "volume behind a leak", s.VolumeMM3, 50*22*15+1.8, s.VolumeErrorMM3+1.8)
	if len(open.Gaps) != 1 || !open.Gaps[0].Leak {
		t.Fatalf("gaps %+v, want one leak", open.Gaps)
	}
	g := open.Gaps[0]
	meshtest.WantNear(t, "width of the leak", g.WidthMM, 0.1, 1e-5)
	if g.At.X < 29.5 || g.At.X > 36.5 || math.Abs(g.At.Y) > 3.5 || math.Abs(g.At.Z-39.95) > 0.01 {
		t.Errorf("the leak is shown at %v", g.At)
	}
	// Control: a hole in the wall as high as the cavity is no gap, and no cavity is left.
	if r := between(t, block(lower, box(-20, -12, 25, 60, 10, 50)), block(upper), cavity.Options{}); len(r.Solids) > 0 {
		t.Errorf("a trough that is open at its end holds %+v", r.Solids)
	}
}

// A core that should shut off stands 0.05 short of the other half, over 10 x 8.
func TestFilmOverACore(t *testing.T) {
	fixed := meshtest.Grid([]float64{-50, -20, -5, 5, 30, 50}, []float64{-30, -12, -4, 4, 10, 30}, []float64{0, 25, 39.95, 40}, func(i, j, k int) bool {
		cavityHere := i >= 1 && i <= 3 && j >= 1 && j <= 3
		core := i == 2 && j == 2
		return k == 0 || !cavityHere || core && k == 1
	})
	r := between(t, fixed.Mesh, block(upper), cavity.Options{})
	if len(r.Gaps) != 1 || r.Gaps[0].Leak {
		t.Fatalf("gaps %+v, want one within the part", r.Gaps)
	}
	meshtest.WantNear(t, "gap", r.Gaps[0].WidthMM, 0.05, 1e-5)
	meshtest.WantNear(t, "area", r.Gaps[0].AreaMM2, 80, 10*4*r.PitchMM)
	// Control: at a limit of 0.06 it holds, and the part has a hole.
	r = between(t, fixed.Mesh, block(upper), cavity.Options{GapMM: 0.06})
	if len(r.Gaps) > 0 {
		t.Errorf("gaps %+v under the limit", r.Gaps)
	}
	s := one(t, r)
	within(t, "area with a hole", s.AreaMM2, s.AreaErrorMM2, 50*22-80, 3)
	meshtest.WantNear(t, "widest gap that holds", r.TightestMM, 0.05, 1e-5)
}

// A lens thins out to nothing at its rim, at ten degrees, and flashes nowhere.
func TestThinEdgeOfAPartIsNoGap(t *testing.T) {
	depth := 20 * math.Tan(10*math.Pi/180)
	profile := []r2.Point{{X: 0, Y: 0}, {X: 45, Y: 0}, {X: 45, Y: 40}, {X: 20, Y: 40}, {X: 0, Y: 40 - depth}}
	fixed := meshtest.Revolve("dish", profile, 96)
	moving := meshtest.Cylinder(45, 40, 96).Moved(geom.Translate(r3.Vector{Z: 40}))
	r := between(t, fixed.Mesh, moving.Mesh, cavity.Options{})
	s := one(t, r)
	want := meshtest.Cylinder(45, 40, 96).Faceted.VolumeMM3 - fixed.Faceted.VolumeMM3
	// What is thinner than the gap counts as closed: a rim of 0.02 mm / tan 10 degrees.
	rim := 2 * math.Pi * 20 * gap * gap / math.Tan(10*math.Pi/180) / 2
	meshtest.WantNear(t, "volume", s.VolumeMM3, want, s.VolumeErrorMM3+rim)
	if len(r.Gaps) > 0 {
		t.Errorf("gaps %+v", r.Gaps)
	}
}

// The moving half has a core of 10 x 8 that reaches 0.3 into the floor of the cavity.
func TestClash(t *testing.T) {
	moving := meshtest.Grid([]float64{-50, 0, 10, 50}, []float64{-30, -4, 4, 30}, []float64{24.7, 40, 80}, func(i, j, k int) bool { return k == 1 || i == 1 && j == 1 })
	r := between(t, block(lower, box(-20, -12, 25, 30, 10, 50)), moving.Mesh, cavity.Options{})
	if len(r.Clashes) != 1 {
		t.Fatalf("%d clashes", len(r.Clashes))
	}
	c := r.Clashes[0]
	within(t, "volume", c.VolumeMM3, c.VolumeErrorMM3, 10*8*0.3, 1)
	meshtest.WantNear(t, "along the draw", c.AlongMM, 0.3, 1e-5)
	for _, p := range c.Middles {
		if p.X < 0 || p.X > 10 || math.Abs(p.Y) > 4 || math.Abs(p.Z-24.85) > 1e-5 {
			t.Errorf("%v is not in the middle of the clash", p)
		}
	}
	s := one(t, r)
	within(t, "volume of the room", s.VolumeMM3, s.VolumeErrorMM3, (50*22-80)*15, 60)
}

// Stated errors hold for boxes anywhere, turned anyhow, the control at twice the error fails.
func TestStatedErrorsHold(t *testing.T) {
	rng := meshtest.Random(t)
	missed, n := 0, 30
	var share float64
	for range n {
		w, l, h := 5+30*rng.Float64(), 5+20*rng.Float64(), 1+10*rng.Float64()
		x, y := 10*rng.Float64()-5-w/2, 6*rng.Float64()-3-l/2
		turn := geom.Rotate(r3.Vector{Z: 1}, rng.Float64()*math.Pi)
		fixed := meshtest.BlockWithPockets(lower, box(x, y, 40-h, x+w, y+l, 50)).Moved(turn).Mesh
		moving := meshtest.BlockWithPockets(upper).Moved(turn).Mesh
		r := between(t, fixed, moving, cavity.Options{PitchMM: 0.4})
		s := one(t, r)
		share += math.Abs(s.VolumeMM3-w*l*h) / s.VolumeErrorMM3 / float64(n)
		if math.Abs(s.VolumeMM3-w*l*h) > s.VolumeErrorMM3 || math.Abs(s.AreaMM2-w*l) > s.AreaErrorMM2 {
			missed++
			t.Logf("%g x %g x %g at %g, %g: volume off by %g of %g, area by %g of %g", w, l, h, x, y, s.VolumeMM3-w*l*h, s.VolumeErrorMM3, s.AreaMM2-w*l, s.AreaErrorMM2)
		}
	}
	// 99.9 % by the estimate's own words; one in thirty is let pass.
	if missed > 1 {
		t.Errorf("%d of %d stated errors do not hold", missed, n)
	}
	if share < 0.02 {
		t.Errorf("errors are stated %g times too large", 1/share)
	}
}

func TestSameAtAnyNumberOfCores(t *testing.T) {
	fixed, moving := vented(), block(upper)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	a := between(t, fixed, moving, cavity.Options{PitchMM: 0.3})
	runtime.GOMAXPROCS(3)
	b := between(t, fixed, moving, cavity.Options{PitchMM: 0.3})
	if !reflect.DeepEqual(a.Solids, b.Solids) || !reflect.DeepEqual(a.Gaps, b.Gaps) || a.ContactMM2 != b.ContactMM2 {
		t.Errorf("one core: %+v %+v\nthree: %+v %+v", a.Solids, a.Gaps, b.Solids, b.Gaps)
	}
}

func TestNothingToMeasure(t *testing.T) {
	if _, err := cavity.Between(block(lower), block(upper), cavity.Options{}); err == nil {
		t.Error("no greatest gap is no error")
	}
	if _, err := cavity.Between(&mesh.Mesh{}, &mesh.Mesh{}, cavity.Options{GapMM: gap}); err == nil {
		t.Error("no metal is no error")
	}
	r := between(t, block(lower), block(upper), cavity.Options{})
	if len(r.Solids)+len(r.Gaps)+len(r.Clashes) > 0 {
		t.Errorf("two plain blocks leave %+v, %+v, %+v", r.Solids, r.Gaps, r.Clashes)
	}
}
