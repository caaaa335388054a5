package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
)

// rounded is a rectangle of width x length with corners of radius r about the origin.
func rounded(width, length, r float64) []Piece {
	x, y := width/2, length/2
	p := func(a, b float64) r2.Point { return r2.Point{X: a, Y: b} }
	arc := func(c, s, e r2.Point) Piece {
		return Piece{Name: "corner", Start: s, End: e, Arc: true, Center: c, RadiusMM: r, CCW: true}
	}
	return []Piece{
		{Name: "front", Start: p(-x+r, -y), End: p(x-r, -y)}, arc(p(x-r, -y+r), p(x-r, -y), p(x, -y+r)),
		{Name: "right", Start: p(x, -y+r), End: p(x, y-r)}, arc(p(x-r, y-r), p(x, y-r), p(x-r, y)),
		{Name: "back", Start: p(x-r, y), End: p(-x+r, y)}, arc(p(-x+r, y-r), p(-x+r, y), p(-x, y-r)),
		{Name: "left", Start: p(-x, y-r), End: p(-x, -y+r)}, arc(p(-x+r, -y+r), p(-x, -y+r), p(-x+r, -y)),
	}
}

func circle(r float64) []Piece {
	a, b := r2.Point{X: r}, r2.Point{X: -r}
	return []Piece{
		{Name: "round", Start: a, End: b, Arc: true, RadiusMM: r, CCW: true},
		{Name: "round", Start: b, End: a, Arc: true, RadiusMM: r, CCW: true},
	}
}

// ell is an L: a 40 square without its upper right 20 square.
func ell() []Piece {
	pts := []r2.Point{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 20}, {X: 20, Y: 20}, {X: 20, Y: 40}, {X: 0, Y: 40}}
	var ps []Piece
	for i, a := range pts {
		ps = append(ps, Piece{Start: a, End: pts[(i+1)%len(pts)]})
	}
	return ps
}

func must(t *testing.T, p []Piece) *Region {
	t.Helper()
	r, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.12g, want %.12g within %g", what, got, want, within)
	}
}

const rounding = 1e-12

func TestAreasAgreeWithFormulas(t *testing.T) {
	near(t, "rounded rectangle", must(t, rounded(100, 60, 5)).AreaMM2(), 100*60-(4-math.Pi)*25, 1e-9)
	near(t, "circle", must(t, circle(35)).AreaMM2(), math.Pi*35*35, 1e-9)
	near(t, "L", must(t, ell()).AreaMM2(), 1200, rounding)
}

func TestConvexity(t *testing.T) {
	if !must(t, rounded(100, 60, 5)).Convex() || !must(t, circle(3)).Convex() {
		t.Error("a rounded rectangle and a circle are convex")
	}
	if must(t, ell()).Convex() {
		t.Error("an L is not convex")
	}
}

// The signed distance of a rounded rectangle has a closed form: that of the inner rectangle
// without its corner rounding, less the radius (from memory; a standard construction of implicit modelling).
func roundedClosedForm(q r2.Point, width, length, r float64) float64 {
	dx, dy := math.Abs(q.X)-(width/2-r), math.Abs(q.Y)-(length/2-r)
	outside := math.Hypot(max(dx, 0), max(dy, 0))
	return r - outside - min(max(dx, dy), 0)
}

func TestClearanceOfRoundedRectangle(t *testing.T) {
	r := must(t, rounded(100, 60, 5))
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		q := r2.Point{X: rng.Float64()*160 - 80, Y: rng.Float64()*120 - 60}
		got, _ := r.Clearance(q)
		want := roundedClosedForm(q, 100, 60, 5)
		if math.Abs(got-want) > 1e-12*100 {
			t.Fatalf("clearance at %v is %.15g, want %.15g", q, got, want)
		}
	}
	// Control: the closed form of a rectangle 0.01 mm wider must not agree.
	got, _ := r.Clearance(r2.Point{X: 49, Y: 0})
	if math.Abs(got-roundedClosedForm(r2.Point{X: 49}, 100.01, 60, 5)) < 0.004 {
		t.Error("the closed form cannot tell a width 0.01 mm off")
	}
}

func TestClearanceAtReflexCorner(t *testing.T) {
	r := must(t, ell())
	for _, c := range []struct {
		x, y, want float64
	}{
		{19, 19, math.Sqrt2}, // inside, nearest the reflex corner
		{21, 21, -1},         // outside, nearest a leg
		{10, 30, 10}, {30, 10, 10}, {-3, -4, -5}, {43, 24, -5}, {20, 20, 0},
	} {
		got, _ := r.Clearance(r2.Point{X: c.x, Y: c.y})
		near(t, "clearance in the L", got, c.want, rounding)
	}
}

func TestCircleWithFlat(t *testing.T) {
	// A circle of radius 10 cut by the flat x = 8.
	h := 6.0
	top, low := r2.Point{X: 8, Y: h}, r2.Point{X: 8, Y: -h}
	r := must(t, []Piece{
		{Name: "flat", Start: low, End: top},
		{Name: "round", Start: top, End: low, Arc: true, RadiusMM: 10, CCW: true},
	})
	theta := 2 * math.Atan2(h, 8) // the flat's chord angle
	near(t, "area", r.AreaMM2(), math.Pi*100-100*(theta-math.Sin(theta))/2, 1e-10)
	d, i := r.Clearance(r2.Point{X: 5})
	near(t, "to the flat", d, 3, rounding)
	if i != 0 {
		t.Errorf("nearest piece %d, want the flat", i)
	}
	d, _ = r.Clearance(r2.Point{X: -9})
	near(t, "to the round", d, 1, rounding)
	near(t, "gap to the flat far aside", r.Gap(0, r2.Point{X: 7.5, Y: 9}), 0.5, rounding)
	if b := r.Bounds(); b.X.Hi != 8 || b.X.Lo != -10 || b.Y.Hi != 10 {
		t.Errorf("bounds %v", b)
	}
}

func TestLeastOverTriangleAgreesWithSampling(t *testing.T) {
	r := must(t, ell())
	rng := rand.New(rand.NewPCG(3, 4))
	point := func() r2.Point { return r2.Point{X: rng.Float64() * 45, Y: rng.Float64() * 45} }
	const slack = 1e-3
	for range 200 {
		a, b, c := point(), point(), point()
		got, _, _ := r.LeastOverTriangle(a, b, c, slack)
		sampled := math.Inf(1)
		const n = 60
		for i := 0; i <= n; i++ {
			for j := 0; i+j <= n; j++ {
				u, v := float64(i)/n, float64(j)/n
				q := a.Mul(1 - u - v).Add(b.Mul(u)).Add(c.Mul(v))
				d, _ := r.Clearance(q)
				sampled = min(sampled, d)
			}
		}
		spacing := 45 * math.Sqrt2 / n // a sample lies within this of any point
		if got > sampled+slack || got < sampled-spacing {
			t.Fatalf("triangle %v %v %v: least %.6g, sampling finds %.6g", a, b, c, got, sampled)
		}
	}
}

func TestNewRefusesWhatIsNoOutline(t *testing.T) {
	reversed := ell()
	for i := range reversed {
		reversed[i].Start, reversed[i].End = reversed[i].End, reversed[i].Start
	}
	for l, r := 0, len(reversed)-1; l < r; l, r = l+1, r-1 {
		reversed[l], reversed[r] = reversed[r], reversed[l]
	}
	if _, err := New(reversed); err == nil {
		t.Error("a clockwise outline is accepted")
	}
	open := ell()[:5]
	if _, err := New(open); err == nil {
		t.Error("an open outline is accepted")
	}
}

func BenchmarkClearance(b *testing.B) {
	r, err := New(rounded(100, 60, 5))
	if err != nil {
		b.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	q := make([]r2.Point, 1024)
	for i := range q {
		q[i] = r2.Point{X: rng.Float64()*100 - 50, Y: rng.Float64()*60 - 30}
	}
	b.ReportAllocs()
	sum, i := 0.0, 0
	for b.Loop() {
		d, _ := r.Clearance(q[i&1023])
		sum += d
		i++
	}
	if math.IsNaN(sum) {
		b.Fatal("not a number")
	}
}

// By the angle from the start, for arcs of all sweeps, either way round; not within rounding of their ends.
func TestSpansAgreesWithAngles(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	outside := 0
	for range 4000 {
		from, sweep := 2*math.Pi*rng.Float64(), 2*math.Pi*rng.Float64()
		p := Piece{Arc: true, RadiusMM: 3, CCW: rng.IntN(2) == 0, Center: r2.Point{X: 5, Y: -2}}
		at := func(angle float64) r2.Point {
			if !p.CCW {
				angle = -angle
			}
			s, c := math.Sincos(from + angle)
			return p.Center.Add(r2.Point{X: c, Y: s}.Mul(3))
		}
		p.Start, p.End = at(0), at(sweep)
		along := 2 * math.Pi * rng.Float64()
		if math.Abs(along-sweep) < 1e-9 || along < 1e-9 || along > 2*math.Pi-1e-9 {
			continue
		}
		q := p.Center.Add(at(along).Sub(p.Center).Mul(0.1 + rng.Float64()))
		if got, want := p.spans(q), along <= sweep; got != want {
			t.Fatalf("an arc of %g from %g, ccw %v, spans %g: %v, want %v", sweep, from, p.CCW, along, got, want)
		}
		if along > sweep {
			outside++
		}
	}
	if outside < 1000 {
		t.Errorf("only %d points lay outside", outside)
	}
	for _, p := range circle(2) {
		if q := p.Start.Mul(0.5); !p.spans(q) || !p.spans(p.End) || !p.spans(p.Center) {
			t.Error("half a circle does not span its ends and centre")
		}
		if q := p.Start.Ortho().Mul(-1); p.spans(q) {
			t.Error("half a circle spans the other half")
		}
	}
}

// Nowhere in what Inner gives is the line nearer than asked, nor a piece that is faced from there.
func TestInnerKeepsOffTheLine(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for _, c := range []struct {
		name    string
		pieces  []Piece
		some    bool
		leastMM float64
	}{
		{"sharp corners", rounded(100, 60, 0.001), true, 95 * 55},
		{"round corners", rounded(100, 60, 8), true, 70 * 30},
		{"a circle, which is faced from everywhere", circle(40), false, 0},
		{"an L", ell(), false, 0},
	} {
		r := must(t, c.pieces)
		in := r.Inner(1)
		if in.IsEmpty() == c.some || c.some && in.Size().X*in.Size().Y < c.leastMM {
			t.Errorf("%s: %v", c.name, in)
		}
		for range 1000 {
			q := r2.Point{X: in.X.Lo + rng.Float64()*in.X.Length(), Y: in.Y.Lo + rng.Float64()*in.Y.Length()}
			if !c.some {
				break
			}
			if d, _ := r.Clearance(q); d < 1-rounding {
				t.Fatalf("%s: at %v the line is %g mm away", c.name, q, d)
			}
			for k := range r.Pieces {
				if (r.Faces(k, q) || !r.Pieces[k].Arc) && r.Gap(k, q) < 1-rounding {
					t.Fatalf("%s: at %v piece %d is %g mm away", c.name, q, k, r.Gap(k, q))
				}
				if r.Pieces[k].Arc && r.Faces(k, q) {
					t.Fatalf("%s: %v faces arc %d", c.name, q, k)
				}
			}
		}
	}
}
