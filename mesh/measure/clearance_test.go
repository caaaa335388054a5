package measure_test

import (
	"math"
	"runtime"
	"slices"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/outline"
)

const rounding = 1e-12

func flat(x, y float64) r2.Point { return r2.Point{X: x, Y: y} }

// polygon is an outline of straight pieces, given counter-clockwise.
func polygon(t *testing.T, at ...r2.Point) *outline.Region {
	t.Helper()
	var pieces []outline.Piece
	for i, p := range at {
		pieces = append(pieces, outline.Piece{Start: p, End: at[(i+1)%len(at)]})
	}
	r, err := outline.New(pieces)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func round(t *testing.T, radius float64) *outline.Region {
	t.Helper()
	a, b := flat(radius, 0), flat(-radius, 0)
	r, err := outline.New([]outline.Piece{
		{Name: "back", Start: a, End: b, Arc: true, RadiusMM: radius, CCW: true},
		{Name: "front", Start: b, End: a, Arc: true, RadiusMM: radius, CCW: true},
	})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// front, right, back, left
func rectangle(t *testing.T, width, length float64) *outline.Region {
	x, y := width/2, length/2
	return polygon(t, flat(-x, -y), flat(x, -y), flat(x, y), flat(-x, y))
}

func exactly(int) float64 { return 0 }

func TestClearanceOfABlockInARectangle(t *testing.T) {
	r := rectangle(t, 100, 60)
	block := meshtest.Box(point(-49, -28, 0), point(49.5, 29.2, 50))
	got := measure.Clearances(block.Mesh, r, 0, 40, exactly)
	for k, want := range []float64{2, 0.5, 0.8, 1} { // front, right, back, left
		if !got[k].Faced || !got[k].Touched {
			t.Fatalf("side %d: faced %v, touched %v", k, got[k].Faced, got[k].Touched)
		}
		meshtest.WantNear(t, "gap", got[k].GapMM, want, rounding)
		meshtest.WantNear(t, "least clearance", got[k].LeastMM, want, rounding)
	}
	if p := got[1].At; p.X != 49.5 {
		t.Errorf("the least clearance to the right is at %v, want x = 49.5", p)
	}
	// Control: a block a hundredth wider on the right is told apart.
	wide := measure.Clearances(meshtest.Box(point(-49, -28, 0), point(49.51, 29.2, 50)).Mesh, r, 0, 40, exactly)
	meshtest.WantNear(t, "gap of the wider block", wide[1].GapMM, 0.49, rounding)
}

// A side that is nearest to no corner of the block is measured too: the fit may ask more of it
// than of the sides that are nearer.
func TestClearanceOfASideThatNoCornerIsNearestTo(t *testing.T) {
	r := rectangle(t, 164, 116)
	block := meshtest.Box(point(-81.9932, -57.994, 0), point(81.9932, 57.994, 42))
	got := measure.Clearances(block.Mesh, r, 0, 42, exactly)
	for k, want := range []float64{0.006, 0.0068, 0.006, 0.0068} {
		if !got[k].Touched {
			t.Errorf("side %d is not measured", k)
			continue
		}
		meshtest.WantNear(t, "least clearance", got[k].LeastMM, want, rounding*100)
	}
}

func TestClearanceLooksOnlyBetweenTheHeights(t *testing.T) {
	r := rectangle(t, 100, 60)
	// A flange from z = 40 up is 5 mm wider than the pocket each way.
	body := meshtest.Grid([]float64{-55, -49, 49, 55}, []float64{-35, -29, 29, 35}, []float64{0, 40, 50},
		func(i, j, k int) bool { return k == 1 || i == 1 && j == 1 })
	least := func(low, high float64) float64 {
		worst := math.Inf(1)
		for _, c := range measure.Clearances(body.Mesh, r, low, high, exactly) {
			if c.Touched {
				worst = min(worst, c.LeastMM)
			}
		}
		return worst
	}
	meshtest.WantNear(t, "under the flange", least(0, 39.99), 1, rounding)
	// The flange's corners stand out by 5 both ways.
	meshtest.WantNear(t, "with the flange", least(0, 50), -5*math.Sqrt2, rounding)
	// A cone that leaves the pocket at z = 30: its side is cut at the height, not taken whole.
	cone := meshtest.ConeFrustum(20, 50, 50, 720)
	ring := round(t, 38)
	c := measure.Clearances(cone.Mesh, ring, 0, 20, exactly)
	meshtest.WantNear(t, "cone cut at 20", min(c[0].LeastMM, c[1].LeastMM), 38-32, 1e-9)
	if none := measure.Clearances(cone.Mesh, ring, 60, 70, exactly); none[0].Touched || none[0].Faced || none[1].Touched {
		t.Errorf("above the body there is nothing, got %+v", none)
	}
}

func TestClearanceOfARoundInsert(t *testing.T) {
	r := round(t, 55)
	const radius, off = 54.9, 0.04
	disc := meshtest.Cylinder(radius, 30, 180).Moved(geom.Translate(point(0, off, 0)))
	got := measure.Clearances(disc.Mesh, r, 0, 30, func(int) float64 { return 0.002 })
	// The corner at 90 degrees lies on the line of centres.
	meshtest.WantNear(t, "back", got[0].LeastMM, 55-radius-off, 1e-9)
	meshtest.WantNear(t, "gap at the back", got[0].GapMM, 55-radius-off, 1e-9)
	// Of the front half, the corners on the x axis are nearest.
	meshtest.WantNear(t, "front", got[1].GapMM, 55-math.Hypot(radius, off), 0.002)
	if got[0].ErrorMM != 0.002 || got[0].GapErrorMM != 0.002 {
		t.Errorf("the errors are %g and %g, want the facets' 0.002", got[0].ErrorMM, got[0].GapErrorMM)
	}
}

func TestClearanceInAnOutlineThatIsNotConvex(t *testing.T) {
	// An L, and an L-shaped block half a millimetre inside it everywhere.
	r := polygon(t, flat(0, 0), flat(40, 0), flat(40, 20), flat(20, 20), flat(20, 40), flat(0, 40))
	if r.Convex() {
		t.Fatal("an L is not convex")
	}
	block := meshtest.Prism([]r2.Point{flat(0.5, 0.5), flat(39.5, 0.5), flat(39.5, 19.5), flat(19.5, 19.5), flat(19.5, 39.5), flat(0.5, 39.5)}, nil, 0, 10)
	least := func(m *mesh.Mesh) float64 {
		worst := math.Inf(1)
		for _, c := range measure.Clearances(m, r, 0, 10, exactly) {
			if c.Touched {
				worst = min(worst, c.LeastMM)
			}
		}
		return worst
	}
	meshtest.WantNear(t, "L in L", least(block.Mesh), 0.5, measure.ClearanceSlackMM)
	// A square bar across the notch: its corners lie inside the L, its middle outside, and the
	// corner of the notch is the place. The distance from (20, 20) to the bar's near edge is
	// found along the diagonal: the bar's far edge runs from (30, 19) to (19, 30).
	bar := meshtest.Prism([]r2.Point{flat(29, 18), flat(30, 19), flat(19, 30), flat(18, 29)}, nil, 0, 10)
	// Its far edge x + y = 49 reaches 4.5 beyond both lines x = 20 and y = 20 in the middle.
	meshtest.WantNear(t, "bar across the notch", least(bar.Mesh), -4.5, measure.ClearanceSlackMM)
	// Control: the corners alone would call it well inside.
	for _, q := range []r2.Point{flat(29, 18), flat(30, 19), flat(19, 30), flat(18, 29)} {
		if d, _ := r.Clearance(q); d < 0.9 {
			t.Errorf("corner %v has clearance %g; the case shows nothing", q, d)
		}
	}
}

func TestClearancesAreTheSameOnAnyNumberOfCores(t *testing.T) {
	r := round(t, 55)
	s := meshtest.Sphere(54, 300, 100)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := measure.Clearances(s.Mesh, r, -20, 30, exactly)
	for _, cores := range []int{2, 5} {
		runtime.GOMAXPROCS(cores)
		if got := measure.Clearances(s.Mesh, r, -20, 30, exactly); !slices.Equal(got, one) {
			t.Errorf("on %d cores %+v, on one %+v", cores, got, one)
		}
	}
}

func TestLevelsOfAStaircase(t *testing.T) {
	// Steps at z = 5, 8 and 8, 12 over a floor at 0.
	heights := []float64{5, 8, 8, 12}
	xs, zs := []float64{0, 10, 20, 30, 40}, []float64{0, 5, 8, 12}
	s := meshtest.Grid(xs, []float64{0, 7}, zs, func(i, j, k int) bool { return zs[k+1] <= heights[i] })
	up := measure.Levels(s.Mesh, true, 0.001)
	want := []struct{ z, area float64 }{{5, 70}, {8, 140}, {12, 70}}
	if len(up) != len(want) {
		t.Fatalf("%d levels, want %d", len(up), len(want))
	}
	for i, w := range want {
		meshtest.WantNear(t, "height", up[i].ZMM, w.z, rounding)
		meshtest.WantNear(t, "area", up[i].AreaMM2, w.area, 1e-10)
		if !slices.IsSorted(up[i].Triangles) || len(up[i].Triangles) != 2*int(w.area/70) {
			t.Errorf("level %g has triangles %v", w.z, up[i].Triangles)
		}
	}
	down := measure.Levels(s.Mesh, false, 0.001)
	if len(down) != 1 || down[0].ZMM != 0 {
		t.Fatalf("downward levels %+v, want the floor alone", down)
	}
	meshtest.WantNear(t, "floor", down[0].AreaMM2, 280, 1e-10)
	if l, ok := measure.Largest(up, 0); !ok || l.ZMM != 8 {
		t.Errorf("the largest level is at %g, want 8", l.ZMM)
	}
	if l, ok := measure.Largest(up, 9); !ok || l.ZMM != 12 {
		t.Errorf("the largest level above 9 is at %g, want 12", l.ZMM)
	}
	if _, ok := measure.Largest(up, 13); ok {
		t.Error("there is no level above 13")
	}
	if l, ok := measure.Largest([]measure.Level{{ZMM: 1, AreaMM2: 5}, {ZMM: 2, AreaMM2: 5}}, 0); !ok || l.ZMM != 2 {
		t.Errorf("of equal levels the higher wins, got %g", l.ZMM)
	}
	// A side that leans by more than the allowance is no level.
	if l := measure.Levels(meshtest.Wedge(10, 10, 0.1).Mesh, true, 0.05); len(l) != 0 {
		t.Errorf("a slope of a hundredth came out as the levels %+v", l)
	}
}

func TestWidestBarePlaceOfASeat(t *testing.T) {
	// A floor of 100 by 60 of which a rectangle of 40 by 20 in the middle, (-20..20, -10..10), is
	// cut away: nothing bears within a disc of radius 10 on its long axis.
	r := rectangle(t, 100, 60)
	s := meshtest.Grid([]float64{-50, -20, 20, 50}, []float64{-30, -10, 10, 30}, []float64{0, 10}, func(i, j, k int) bool { return i != 1 || j != 1 })
	floor := measure.Levels(s.Mesh, false, 0.001)[0]
	bare := measure.WidestBare(s.Mesh, floor.Triangles, r, 1.0/160)
	meshtest.WantNear(t, "pitch", bare.PitchMM, 100.0/160, rounding)
	meshtest.WantNear(t, "radius", bare.RadiusMM, 10, bare.PitchMM)
	if math.Abs(bare.At.X) > 10+bare.PitchMM || math.Abs(bare.At.Y) > bare.PitchMM {
		t.Errorf("the widest bare place is at %v, want the middle of the cut", bare.At)
	}
	// With nothing bearing at all it is the inscribed circle, within the 8 % of the sweep.
	all := measure.WidestBare(s.Mesh, nil, r, 1.0/160)
	if all.RadiusMM < 30-2*all.PitchMM || all.RadiusMM > 30*1.08+2*all.PitchMM {
		t.Errorf("with nothing bearing the radius is %g, want 30", all.RadiusMM)
	}
	// Control: a floor that bears everywhere has no bare place.
	whole := meshtest.Box(point(-50, -30, 0), point(50, 30, 5))
	if b := measure.WidestBare(whole.Mesh, measure.Levels(whole.Mesh, false, 0.001)[0].Triangles, r, 1.0/160); b.RadiusMM > 2*b.PitchMM {
		t.Errorf("a whole floor has a bare place of radius %g", b.RadiusMM)
	}
}
