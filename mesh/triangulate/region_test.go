package triangulate

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/geom"
)

// seed is printed with every failure; set TRIANGULATE_SEED to replay.
func seed(t testing.TB) *rand.Rand {
	s := uint64(20251125)
	if v := os.Getenv("TRIANGULATE_SEED"); v != "" {
		s, _ = strconv.ParseUint(v, 10, 64)
	}
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("replay with TRIANGULATE_SEED=%d", s)
		}
	})
	return rand.New(rand.NewPCG(s, 1))
}

func rat(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }

// cross2 is twice the area of a, b, c in exact arithmetic.
func cross2(a, b, c r2.Point) *big.Rat {
	sub := func(x, y float64) *big.Rat { return new(big.Rat).Sub(rat(x), rat(y)) }
	l := new(big.Rat).Mul(sub(b.X, a.X), sub(c.Y, a.Y))
	return l.Sub(l, new(big.Rat).Mul(sub(b.Y, a.Y), sub(c.X, a.X)))
}

// within is the sign of the determinant of the lifted points in exact arithmetic, as rows of
// (x, y, x^2+y^2, 1) rather than of differences.
func within(a, b, c, d r2.Point) int {
	lift := func(p r2.Point) *big.Rat {
		x, y := rat(p.X), rat(p.Y)
		return new(big.Rat).Add(new(big.Rat).Mul(x, x), new(big.Rat).Mul(y, y))
	}
	m := func(p r2.Point, q, r, s r2.Point) *big.Rat { return new(big.Rat).Mul(lift(p), cross2(q, r, s)) }
	s := m(a, b, c, d)
	s.Sub(s, m(b, a, c, d))
	s.Add(s, m(c, a, b, d))
	s.Sub(s, m(d, a, b, c))
	return s.Sign()
}

// loopsOf joins loops of points into points and segments.
func loopsOf(loops ...[]r2.Point) (points []r2.Point, segments [][2]int32) {
	for _, l := range loops {
		o := int32(len(points))
		n := int32(len(l))
		points = append(points, l...)
		for i := range n {
			segments = append(segments, [2]int32{o + i, o + (i+1)%n})
		}
	}
	return points, segments
}

// loopArea2 is twice the signed area of closed chains in exact arithmetic.
func loopArea2(points []r2.Point, segments [][2]int32) *big.Rat {
	s := new(big.Rat)
	for _, e := range segments {
		a, b := points[e[0]], points[e[1]]
		s.Add(s, new(big.Rat).Sub(new(big.Rat).Mul(rat(a.X), rat(b.Y)), new(big.Rat).Mul(rat(a.Y), rat(b.X))))
	}
	return s
}

// audit holds the invariants T1 to T4 against exact arithmetic. area2 is nil when unknown.
func audit(points []r2.Point, segments [][2]int32, tris [][3]int32, area2 *big.Rat) error {
	type edge [2]int32
	half := map[edge]int32{}
	sum := new(big.Rat)
	for _, t := range tris {
		a := cross2(points[t[0]], points[t[1]], points[t[2]])
		if a.Sign() <= 0 {
			return fmt.Errorf("T1: triangle %v has area %v", t, a)
		}
		sum.Add(sum, a)
		for i := range 3 {
			e := edge{t[i], t[(i+1)%3]}
			if _, dup := half[e]; dup {
				return fmt.Errorf("T2: edge %v is used twice", e)
			}
			half[e] = t[(i+2)%3]
		}
	}
	if area2 != nil && sum.Cmp(area2) != 0 {
		f, _ := sum.Float64()
		g, _ := area2.Float64()
		return fmt.Errorf("T2: area %g, want %g", f/2, g/2)
	}
	// Pieces of segments: an edge of the triangulation on a segment.
	on := func(e edge) (many int) {
		for _, s := range segments {
			if s == e || s[0] == e[1] && s[1] == e[0] {
				many++
				continue
			}
			a, b := points[s[0]], points[s[1]]
			between := func(p r2.Point) bool {
				return min(a.X, b.X) <= p.X && p.X <= max(a.X, b.X) && min(a.Y, b.Y) <= p.Y && p.Y <= max(a.Y, b.Y) &&
					cross2(a, b, p).Sign() == 0
			}
			if between(points[e[0]]) && between(points[e[1]]) {
				many++
			}
		}
		return many
	}
	quick := map[edge]int{}
	for _, s := range segments {
		quick[edge{min(s[0], s[1]), max(s[0], s[1])}]++
	}
	for e, c := range half {
		d, both := half[edge{e[1], e[0]}]
		if !both {
			if n := quick[edge{min(e[0], e[1]), max(e[0], e[1])}]; n%2 == 0 && on(e)%2 == 0 {
				return fmt.Errorf("T2: edge %v is bare and on no segment", e)
			}
			continue
		}
		if e[0] > e[1] || quick[edge{e[0], e[1]}] > 0 {
			continue
		}
		if within(points[e[0]], points[e[1]], points[c], points[d]) > 0 && on(e) == 0 {
			return fmt.Errorf("T4: edge %v with corners %d and %d is not Delaunay", e, c, d)
		}
	}
	return nil
}

// links audits the mesh within: neighbours, marks, incidence, orientation everywhere.
func (w *Workspace) links() error {
	for t := range w.tris {
		a := &w.tris[t]
		if geom.Orient2D(w.points[a.v[0]], w.points[a.v[1]], w.points[a.v[2]]) <= 0 {
			return fmt.Errorf("triangle %d turns the wrong way", t)
		}
		for i, n := range a.n {
			if n == none {
				if a.inside && a.odd>>i&1 == 0 {
					return fmt.Errorf("triangle %d is inside and its side %d open", t, i)
				}
				continue
			}
			b := &w.tris[n]
			j := w.indexOf(n, int32(t))
			if b.n[j] != int32(t) || b.v[after[j]] != a.v[before[i]] || b.v[before[j]] != a.v[after[i]] {
				return fmt.Errorf("triangles %d and %d do not meet", t, n)
			}
			if a.fixed>>i&1 != b.fixed>>j&1 || a.odd>>i&1 != b.odd>>j&1 {
				return fmt.Errorf("triangles %d and %d disagree on their edge", t, n)
			}
			if (a.inside != b.inside) != (a.odd>>i&1 == 1) {
				return fmt.Errorf("triangles %d and %d: inside does not change at the boundary alone", t, n)
			}
		}
	}
	for v, t := range w.at {
		if t == none && v < far {
			continue
		}
		if !slices.Contains(w.tris[t].v[:], int32(v)) {
			return fmt.Errorf("point %d is not at triangle %d", v, t)
		}
	}
	return nil
}

func check(t *testing.T, w *Workspace, points []r2.Point, segments [][2]int32, area2 *big.Rat) {
	t.Helper()
	if err := w.Region(points, segments); err != nil {
		t.Fatal(err)
	}
	if err := w.links(); err != nil {
		t.Fatal(err)
	}
	if err := audit(w.Points(), segments, w.Triangles(), area2); err != nil {
		t.Fatal(err)
	}
}

func circle(c r2.Point, r float64, n int, turn float64) []r2.Point {
	l := make([]r2.Point, n)
	for i := range l {
		s, co := math.Sincos(turn + 2*math.Pi*float64(i)/float64(n))
		l[i] = r2.Point{X: c.X + r*co, Y: c.Y + r*s}
	}
	return l
}

// star is a simple polygon: radii about a centre at rising angles.
func star(r *rand.Rand, c r2.Point, n int, lo, hi float64) []r2.Point {
	l := make([]r2.Point, n)
	for i := range l {
		s, co := math.Sincos(2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n))
		d := lo + (hi-lo)*r.Float64()
		l[i] = r2.Point{X: c.X + d*co, Y: c.Y + d*s}
	}
	return l
}

func reversed(l []r2.Point) []r2.Point { l = slices.Clone(l); slices.Reverse(l); return l }

func TestSquare(t *testing.T) {
	var w Workspace
	p, s := loopsOf([]r2.Point{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 1, Y: 1}, {X: 0, Y: 1}})
	check(t, &w, p, s, rat(2))
	if n := len(w.Triangles()); n != 2 {
		t.Errorf("%d triangles, want 2", n)
	}
}

// A polygon of n corners in all with h holes has n + 2h - 2 triangles (Euler).
func TestEulerCountsAndAreaOfPolygonsWithHoles(t *testing.T) {
	r := seed(t)
	var w Workspace
	for round := range 20 {
		n := 4 + r.IntN(20)
		if round%5 == 0 {
			n = 100 + r.IntN(100)
		}
		outer := star(r, r2.Point{}, n, 9, 14)
		loops := [][]r2.Point{outer}
		holes := r.IntN(5)
		if n < 8 {
			holes = 0 // the chords of few corners may cut through the middle
		}
		for h := range holes {
			s, c := math.Sincos(2 * math.Pi * float64(h) / 5)
			loops = append(loops, reversed(star(r, r2.Point{X: 3 * c, Y: 3 * s}, 3+r.IntN(n), 0.5, 1.5)))
		}
		p, s := loopsOf(loops...)
		check(t, &w, p, s, loopArea2(p, s))
		if got, want := len(w.Triangles()), len(p)+2*holes-2; got != want {
			t.Errorf("round %d: %d triangles, want %d", round, got, want)
		}
	}
}

func TestPointsOnACircleAndAGrid(t *testing.T) {
	var w Workspace
	for _, n := range []int{3, 4, 8, 64, 128, 360} {
		p, s := loopsOf(circle(r2.Point{X: 100, Y: -7}, 10, n, 0.1))
		check(t, &w, p, s, loopArea2(p, s))
		if len(w.Triangles()) != n-2 {
			t.Errorf("%d-gon: %d triangles", n, len(w.Triangles()))
		}
	}
	for _, n := range []int{2, 3, 5, 9, 17} {
		// The square's sides run through the points on them.
		var p []r2.Point
		for i := range n * n {
			p = append(p, r2.Point{X: float64(i % n), Y: float64(i / n)})
		}
		a, b, c, d := int32(0), int32(n-1), int32(n*n-1), int32(n*n-n)
		s := [][2]int32{{a, b}, {b, c}, {c, d}, {d, a}}
		check(t, &w, p, s, rat(float64(2*(n-1)*(n-1))))
		if got, want := len(w.Triangles()), 2*(n-1)*(n-1); got != want {
			t.Errorf("grid %d: %d triangles, want %d", n, got, want)
		}
		if got, want := len(w.Touches()), 4*(n-2); got != want {
			t.Errorf("grid %d: %d touches, want %d", n, got, want)
		}
	}
}

// A comb has long segments far from Delaunay, so that many edges must be opened.
func TestLongSegments(t *testing.T) {
	r := seed(t)
	var w Workspace
	for round := range 40 {
		n := 3 + r.IntN(60)
		h := math.Pow(10, -3*r.Float64())
		var lower, upper []r2.Point
		for i := range n {
			x := float64(i) + 0.5*r.Float64()
			lower = append(lower, r2.Point{X: x, Y: -h * r.Float64()})
			upper = append(upper, r2.Point{X: x, Y: h * (1 + r.Float64())})
		}
		// One long side along the middle: a polygon above and one below, as two loops.
		a, b := r2.Point{X: -1000, Y: 0.5 * h}, r2.Point{X: 1000 + float64(n), Y: 0.5 * h}
		p := append([]r2.Point{a, b}, upper...)
		p = append(p, lower...)
		var s [][2]int32
		prev := int32(0)
		for i := range n {
			s = append(s, [2]int32{prev, int32(2 + i)})
			prev = int32(2 + i)
		}
		s = append(s, [2]int32{prev, 1}, [2]int32{1, 0}, [2]int32{0, 1})
		prev = 0
		for i := range n {
			s = append(s, [2]int32{prev, int32(2 + n + i)})
			prev = int32(2 + n + i)
		}
		s = append(s, [2]int32{prev, 1})
		check(t, &w, p, s, nil)
		if round == 0 && len(w.Triangles()) == 0 {
			t.Error("nothing inside")
		}
	}
}

func TestErrorsNameTheFault(t *testing.T) {
	var w Workspace
	sq := []r2.Point{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 1, Y: 1}, {X: 0, Y: 1}}
	var crossing *Crossing
	if err := w.Region(sq, [][2]int32{{0, 2}, {2, 1}, {1, 3}, {3, 0}}); !errors.As(err, &crossing) || *crossing != (Crossing{0, 2}) {
		t.Errorf("bow tie: %v", err)
	}
	if w.Triangles() != nil {
		t.Error("triangles after an error")
	}
	p, s := loopsOf(sq, circle(r2.Point{X: 1, Y: 0.5}, 0.25, 5, 0))
	if err := w.Region(p, s); !errors.As(err, &crossing) || crossing.A != 1 || crossing.B < 4 {
		t.Errorf("hole across the side: %v", err)
	}
	var repeated *Repeated
	p, s = loopsOf(sq, []r2.Point{{X: 0.5, Y: 0.5}, {X: 1, Y: 1}, {X: 0.7, Y: 0.8}})
	if err := w.Region(p, s); !errors.As(err, &repeated) || *repeated != (Repeated{2, 5}) {
		t.Errorf("repeated: %v", err)
	}
	var open *Open
	if err := w.Region(sq, [][2]int32{{0, 1}, {1, 2}, {2, 3}}); !errors.As(err, &open) || open.Point != 0 {
		t.Errorf("open: %v", err)
	}
	var unusable *Unusable
	if err := w.Region([]r2.Point{{X: 0}, {X: math.NaN()}, {Y: 1}}, nil); !errors.As(err, &unusable) || unusable.Point != 1 {
		t.Errorf("not a number: %v", err)
	}
	if err := w.Region(sq, [][2]int32{{0, 4}}); err == nil {
		t.Error("no error for a segment to nowhere")
	}
	if err := w.Region(nil, nil); err != nil || len(w.Triangles()) != 0 {
		t.Errorf("nothing: %v", err)
	}
}

// A segment there and back, as a seam, is an edge that parts nothing.
func TestSegmentTwice(t *testing.T) {
	var w Workspace
	p, s := loopsOf([]r2.Point{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}})
	p = append(p, r2.Point{X: 1, Y: 2})
	s = append(s, [2]int32{0, 4}, [2]int32{4, 0})
	check(t, &w, p, s, rat(32))
	if len(w.Triangles()) != 4 {
		t.Errorf("%d triangles, want 4", len(w.Triangles()))
	}
}

// Controls: the audit must see a triangle turned, one left out and an edge flipped the wrong way.
func TestAuditSeesFaults(t *testing.T) {
	var w Workspace
	p, s := loopsOf([]r2.Point{{X: 0, Y: 0}, {X: 4, Y: -1}, {X: 8, Y: 0}, {X: 4, Y: 1}})
	check(t, &w, p, s, rat(16))
	good := slices.Clone(w.Triangles())
	bad := [][][3]int32{
		{{good[0][0], good[0][2], good[0][1]}, good[1]},
		good[:1],
		{{0, 1, 2}, {0, 2, 3}},
	}
	for i, b := range bad {
		if audit(p, s, b, rat(16)) == nil {
			t.Errorf("fault %d was not seen", i)
		}
	}
	if err := audit(p, s, [][3]int32{{0, 1, 3}, {1, 2, 3}}, rat(16)); err != nil {
		t.Error(err)
	}
}

func TestInsertAndRefine(t *testing.T) {
	r := seed(t)
	var w Workspace
	for range 2 {
		p, s := loopsOf(star(r, r2.Point{}, 40, 9, 14), reversed(circle(r2.Point{}, 4, 24, 0.05)))
		area := loopArea2(p, s)
		check(t, &w, p, s, area)
		for range 200 {
			q := r2.Point{X: 30*r.Float64() - 15, Y: 30*r.Float64() - 15}
			before := len(w.Points())
			i, ok := w.Insert(q)
			if ok && (int(i) != before || w.Points()[i] != q) {
				t.Fatalf("point %d at %v", i, w.Points()[i])
			}
			if d := math.Hypot(q.X, q.Y); ok && d < 3.9 || !ok && d > 4.1 && d < 8 {
				t.Fatalf("%v: taken %v", q, ok)
			}
		}
		if _, ok := w.Insert(p[0]); ok {
			t.Error("a corner was taken")
		}
		if _, ok := w.Insert(r2.Point{X: 1e9}); ok {
			t.Error("a far point was taken")
		}
		if err := w.links(); err != nil {
			t.Fatal(err)
		}
		if err := audit(w.Points(), s, w.Triangles(), area); err != nil {
			t.Fatal(err)
		}
		small := func(c [3]int32) (r2.Point, bool) {
			a, b, d := w.Points()[c[0]], w.Points()[c[1]], w.Points()[c[2]]
			return a.Add(b).Add(d).Mul(1.0 / 3), b.Sub(a).Cross(d.Sub(a)) > 2
		}
		n, settled := w.Refine(10000, small)
		if !settled || n == 0 {
			t.Fatalf("%d inserted, settled %v", n, settled)
		}
		for _, c := range w.Triangles() {
			if _, bad := small(c); bad {
				t.Fatalf("triangle %v is still bad", c)
			}
		}
		if err := w.links(); err != nil {
			t.Fatal(err)
		}
		if err := audit(w.Points(), s, w.Triangles(), area); err != nil {
			t.Fatal(err)
		}
		if n, settled := w.Refine(3, func(c [3]int32) (r2.Point, bool) {
			p, _ := small(c)
			return p, true
		}); settled || n != 3 {
			t.Errorf("limit: %d inserted, settled %v", n, settled)
		}
	}
}

// The same input gives the same triangles, whatever the workspace did before.
func TestReuseGivesTheSame(t *testing.T) {
	r := seed(t)
	var used Workspace
	for range 20 {
		p, s := loopsOf(star(r, r2.Point{}, 3+r.IntN(300), 9, 14))
		var w Workspace
		if err := w.Region(p, s); err != nil {
			t.Fatal(err)
		}
		if err := used.Region(p, s); err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(w.Triangles(), used.Triangles()) {
			t.Fatal("different triangles")
		}
	}
}

func TestWarmWorkspaceAllocatesNothing(t *testing.T) {
	r := seed(t)
	var w Workspace
	p, s := loopsOf(star(r, r2.Point{}, 500, 9, 14), reversed(circle(r2.Point{}, 4, 24, 0.05)))
	run := func() {
		if w.Region(p, s) != nil || len(w.Triangles()) == 0 {
			t.Fatal("no triangles")
		}
	}
	run()
	if n := testing.AllocsPerRun(5, run); n > 0 {
		t.Errorf("%v allocations", n)
	}
}

// Loops of three segments between points of a small lattice, each taken unless it crosses one
// already there: corners on segments, segments on segments, loops that touch and overlap. What is
// inside is asked again by counting the crossings of a ray.
func TestTangledLoopsOfALattice(t *testing.T) {
	r := seed(t)
	var w Workspace
	touches, inner := 0, 0
	for round := range 100 {
		side := 3 + r.IntN(6)
		var p []r2.Point
		for i := range side * side {
			if r.IntN(3) > 0 {
				p = append(p, r2.Point{X: float64(i % side), Y: float64(i / side)})
			}
		}
		if round%2 == 1 {
			// Turned, the lattice no longer lines up exactly, but all but.
			for i, q := range p {
				p[i] = r2.Point{X: 0.8*q.X - 0.6*q.Y, Y: 0.6*q.X + 0.8*q.Y}
			}
		}
		n := len(p)
		if n < 4 {
			continue
		}
		var s [][2]int32
		for range 40 {
			a, b, c := int32(r.IntN(n)), int32(r.IntN(n)), int32(r.IntN(n))
			if a == b || b == c || c == a {
				continue
			}
			more := [][2]int32{{a, b}, {b, c}, {c, a}}
			free := true
			for _, m := range more {
				for _, o := range s {
					free = free && !cross(p, m, o)
				}
			}
			if free {
				s = append(s, more...)
			}
		}
		check(t, &w, p, s, nil)
		touches += len(w.Touches())
		area := 0.0
		for _, c := range w.Triangles() {
			area += cross64(p[c[0]], p[c[1]], p[c[2]]) / 2
		}
		if want := evenOddArea(p, s); math.Abs(area-want) > 1e-9 {
			t.Fatalf("round %d: area %g, want %g", round, area, want)
		}
		inner += len(w.Triangles())
	}
	if touches < 100 || inner < 500 {
		t.Errorf("%d touches, %d triangles: the test is blind", touches, inner)
	}
}

func cross64(a, b, c r2.Point) float64 { return b.Sub(a).Cross(c.Sub(a)) }

// evenOddArea sweeps: between two neighbouring heights of points no segments cross, so each slab
// is trapezoids between the segments in order of their middle, every other one inside.
func evenOddArea(p []r2.Point, s [][2]int32) float64 {
	var ys []float64
	for _, q := range p {
		ys = append(ys, q.Y)
	}
	slices.Sort(ys)
	area := 0.0
	for i := 1; i < len(ys); i++ {
		lo, hi := ys[i-1], ys[i]
		var xs []float64
		for _, e := range s {
			a, b := p[e[0]], p[e[1]]
			if min(a.Y, b.Y) <= lo && max(a.Y, b.Y) >= hi && lo < hi {
				xs = append(xs, a.X+(b.X-a.X)*((lo+hi)/2-a.Y)/(b.Y-a.Y))
			}
		}
		slices.Sort(xs)
		for k := 1; k < len(xs); k += 2 {
			area += (xs[k] - xs[k-1]) * (hi - lo)
		}
	}
	return area
}

// Points a few bits apart, far from the origin and at sizes far from one.
func TestAtTheEdgeOfNumbers(t *testing.T) {
	r := seed(t)
	var w Workspace
	for _, scale := range []float64{1, 0x1p190, 0x1p-190, 1e-9} {
		for _, shift := range []float64{0, 1, 1e6} {
			l := star(r, r2.Point{}, 30, 9, 14)
			for i := range l {
				l[i] = r2.Point{X: l[i].X*scale + shift, Y: l[i].Y*scale - shift}
			}
			p, s := loopsOf(l)
			err := w.Region(p, s)
			if err == nil {
				if err := w.links(); err != nil {
					t.Fatal(err)
				}
				if err := audit(p, s, w.Triangles(), loopArea2(p, s)); err != nil {
					t.Fatalf("scale %g shift %g: %v", scale, shift, err)
				}
				continue
			}
			// Rounding may have made points one or sides cross; it must not have where there was
			// room.
			if shift == 0 || scale >= 1 && scale < 1e9 || shift == 1 && scale == 1e-9 {
				t.Errorf("scale %g shift %g: %v", scale, shift, err)
			}
		}
	}
	ulp := 0x1p-52
	var l []r2.Point
	for i := range 40 {
		l = append(l, r2.Point{X: 1 + ulp*float64(i), Y: 1 + ulp*float64(i*i%7)})
	}
	l = append(l, r2.Point{X: 1 + 20*ulp, Y: 2})
	p, s := loopsOf(l)
	check(t, &w, p, s, loopArea2(p, s))
	// What lies nearer than 2^-200 to zero is zero.
	p, s = loopsOf([]r2.Point{{X: 0x1p-1060, Y: 0}, {X: 1, Y: -0x1p-900}, {X: 1, Y: 1}, {X: -0x1p-300, Y: 1}})
	check(t, &w, p, s, nil)
	var unusable *Unusable
	if err := w.Region([]r2.Point{{X: 0x1p201}, {X: 1}, {Y: 1}}, nil); !errors.As(err, &unusable) {
		t.Errorf("too far: %v", err)
	}
}

// A triangle or quadrilateral takes a way of its own. It must agree with the long way, which is
// taken when the segments come in another order, on how many triangles there are and on the
// error, and must bear insertions.
func TestFewCornersEitherWay(t *testing.T) {
	r := seed(t)
	var short, long Workspace
	regions := 0
	for round := range 600 {
		n := 3 + round%2
		var p []r2.Point
		for range n {
			p = append(p, r2.Point{X: float64(r.IntN(5)) / 3, Y: float64(r.IntN(5)) / 7})
		}
		_, s := loopsOf(p)
		turned := append(slices.Clone(s[1:]), s[0])
		err, other := short.Region(p, s), long.Region(p, turned)
		if (err == nil) != (other == nil) {
			t.Fatalf("%v: %v one way, %v the other", p, err, other)
		}
		if err != nil {
			continue
		}
		a := slices.Clone(short.Triangles())
		if len(a) != len(long.Triangles()) {
			t.Fatalf("%v: %v one way, %v the other", p, a, long.Triangles())
		}
		area := new(big.Rat)
		for _, c := range long.Triangles() {
			area.Add(area, cross2(p[c[0]], p[c[1]], p[c[2]]))
		}
		if len(a) > 0 {
			regions++
		}
		for k := range 3 {
			if err := short.links(); err != nil {
				t.Fatalf("%v: %v", p, err)
			}
			if err := audit(short.Points(), s, short.Triangles(), area); err != nil {
				t.Fatalf("%v: %v", p, err)
			}
			if k == 0 {
				short.Insert(r2.Point{X: r.Float64(), Y: r.Float64()})
				continue
			}
			short.Refine(4, func(c [3]int32) (r2.Point, bool) {
				q := short.Points()
				return q[c[0]].Add(q[c[1]]).Add(q[c[2]]).Mul(1.0 / 3), true
			})
		}
	}
	if regions < 150 {
		t.Errorf("%d regions: the test is blind", regions)
	}
}
