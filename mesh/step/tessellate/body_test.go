package tessellate

import (
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/shape"
)

// A panic in a worker reaches whoever waits for it.
func TestPanicReachesTheCaller(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(2))
	defer func() {
		if r, _ := recover().(string); !strings.Contains(r, "on purpose") {
			t.Errorf("recovered %q", r)
		}
	}()
	parallel.Chunks(100, 1, func(_, from, _, _ int) {
		if from == 50 {
			panic("on purpose")
		}
	})
	t.Error("no panic")
}

// circle is a whole circle as an edge.
func circleEdge(t *testing.T, radius float64) *brep.Edge {
	t.Helper()
	c, err := shape.NewCircle(geom.Identity(), radius)
	if err != nil {
		t.Fatal(err)
	}
	v := &brep.Vertex{Point: c.Point(0)}
	return &brep.Edge{Curve: c, Start: v, End: v, T0: 0, T1: 2 * math.Pi}
}

// parts is how many a closed edge is divided into.
func parts(e *brep.Edge, chord, angle float64) int {
	ts, _ := divide(e, true, nil, chord, angle, mostParts, nil)
	return len(ts) + 1
}

// A chord over the angle a stands off by r (1 - cos(a/2)): the least number of parts whose chords
// stay within it, and one less would not do.
func TestCircleIsDividedInAsFewAsCanBe(t *testing.T) {
	const wide = math.Pi // no limit on the angle that matters
	for _, radius := range []float64{0.5, 3, 40, 1000} {
		for _, chord := range []float64{0.1, 0.01, 0.001} {
			n := parts(circleEdge(t, radius), chord, wide)
			sagitta := func(n int) float64 { return radius * (1 - math.Cos(math.Pi/float64(n))) }
			if sagitta(n) > chord*(1+1e-9) || n > 3 && sagitta(n-1) <= chord*(1-1e-9) {
				t.Errorf("radius %g, chord %g: %d parts, %g and with one less %g", radius, chord, n, sagitta(n), sagitta(n-1))
			}
		}
	}
	// The angle rules small circles.
	if n := parts(circleEdge(t, 1e-3), 0.01, math.Pi/9); n != 18 {
		t.Errorf("%d parts of 20 degrees", n)
	}
}

// Forwards and backwards an edge has the same points.
func TestDivisionIsTheSameBackwards(t *testing.T) {
	c, err := shape.NewEllipse(geom.Identity(), 9, 2)
	if err != nil {
		t.Fatal(err)
	}
	a, b := &brep.Vertex{Point: c.Point(0.3)}, &brep.Vertex{Point: c.Point(2.9)}
	there, _ := divide(&brep.Edge{Curve: c, Start: a, End: b, T0: 0.3, T1: 2.9}, false, nil, 0.01, 0.35, mostParts, nil)
	back, _ := divide(&brep.Edge{Curve: c, Start: b, End: a, T0: 2.9, T1: 0.3}, false, nil, 0.01, 0.35, mostParts, nil)
	if len(there) < 5 || len(there) != len(back) {
		t.Fatalf("%d and %d points", len(there), len(back))
	}
	for i := range there {
		if d := math.Abs(there[i] - back[len(back)-1-i]); d > 1e-3 {
			t.Errorf("point %d is %g apart", i, d)
		}
	}
}

// Radon's rule is exact to the fifth degree and the lesser one to the second: over the triangle
// (0,0), (1,0), (0,1) the mean of x^a y^b is 2 a! b! / (a+b+2)!.
func TestQuadratureDegrees(t *testing.T) {
	factorial := func(n int) float64 { return math.Gamma(float64(n) + 1) }
	type place struct{ x, y, radon, lesser float64 }
	third := 1.0 / 3
	places := []place{{third, third, radonW0, 1 - lesserB}}
	for _, r := range [][3]float64{{radonA, radonWA, 0}, {radonB, radonWB, lesserB / 3}} {
		places = append(places, place{r[0], r[0], r[1], r[2]}, place{1 - 2*r[0], r[0], r[1], r[2]}, place{r[0], 1 - 2*r[0], r[1], r[2]})
	}
	for degree := range 7 {
		worst, worstLesser := 0.0, 0.0
		for a := range degree + 1 {
			b := degree - a
			want := 2 * factorial(a) * factorial(b) / factorial(degree+2)
			radon, lesser := 0.0, 0.0
			for _, p := range places {
				f := math.Pow(p.x, float64(a)) * math.Pow(p.y, float64(b))
				radon += p.radon * f
				lesser += p.lesser * f
			}
			worst, worstLesser = max(worst, math.Abs(radon-want)), max(worstLesser, math.Abs(lesser-want))
		}
		if (worst < 1e-15) != (degree <= 5) {
			t.Errorf("degree %d: Radon's rule is off by %g", degree, worst)
		}
		if (worstLesser < 1e-15) != (degree <= 2) {
			t.Errorf("degree %d: the lesser rule is off by %g", degree, worstLesser)
		}
	}
}

// A boundary that crosses itself is clipped into as many triangles as closing it takes, and their
// signed areas add up to its own.
func TestClippedBowTie(t *testing.T) {
	w := &worker{most: math.MaxInt64}
	points := []r2.Point{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 3}, {X: 3.9, Y: 3.2}, {X: 4.1, Y: 3.1}, {X: 0, Y: 4}}
	var r ring
	for i, p := range points {
		r.nodes = append(r.nodes, node{uv: p, id: int32(i), edge: -1})
	}
	rings := []ring{r}
	w.gatherBoundary(rings)
	w.flat = append(w.flat, w.uv...)
	plan := w.clip(rings)
	if len(plan) != len(points)-2 {
		t.Fatalf("%d triangles of %d corners", len(plan), len(points))
	}
	sum := 0.0
	for _, tri := range plan {
		a, b, c := w.uv[tri[0]], w.uv[tri[1]], w.uv[tri[2]]
		sum += b.Sub(a).Cross(c.Sub(a))
	}
	if math.Abs(sum-r.area()) > 1e-12 {
		t.Errorf("area %v, want %v", sum, r.area())
	}
}

// The foot of the perpendicular: a point off a cylinder is that far off, however far along the
// guess is.
func TestDistanceTakesSlipOut(t *testing.T) {
	c, err := shape.NewCylinder(geom.Identity(), 10)
	if err != nil {
		t.Fatal(err)
	}
	p := r3.Vector{X: 10.01, Z: 3}
	for _, slip := range []float64{0, 0.01, 0.05} {
		if d := offSurface(c, r2.Point{X: slip, Y: 3 + slip}, p); math.Abs(d-0.01) > 1e-4 {
			t.Errorf("slip %g: %g off, want 0.01", slip, d)
		}
	}
}
