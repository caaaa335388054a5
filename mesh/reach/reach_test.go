package reach

import (
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/meshtest/corpus"
)

var seedFlag = flag.Uint64("reach.seed", 11, "seed of the random motions; printed on failure")

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

func boxMesh(lo, hi r3.Vector) *mesh.Mesh {
	z, err := difference.BoxZone(geom.Box{Min: lo, Max: hi})
	if err != nil {
		panic(err)
	}
	return z.Mesh()
}

// plate is an outline extruded from z0 up, by way of zones, which triangulate it.
func plate(outline []r2.Point, z0, height float64) *mesh.Mesh {
	z, err := difference.PrismZone(outline, geom.Translate(vec(0, 0, z0)), height)
	if err != nil {
		panic(err)
	}
	return z.Mesh()
}

// pocketed is a block of side by side, floor + depth high, with a pocket of the given outline,
// open at the top. The block is cut open along a slit from the pocket's first corner to the
// block's: an outline with a hole becomes one loop with a slit of 0.001 mm, whose area the
// callers ignore.
func pocketed(side, floor, depth float64, pocket []r2.Point) *mesh.Mesh {
	bottom := boxMesh(vec(0, 0, 0), vec(side, side, floor))
	const slit = 0.001
	p0 := pocket[0]
	// From the block's lower left corner along to the pocket's first corner and back.
	loop := []r2.Point{{X: slit, Y: 0}, {X: side, Y: 0}, {X: side, Y: side}, {X: 0, Y: side}, {X: 0, Y: 0}}
	loop = append(loop, r2.Point{X: p0.X - slit, Y: p0.Y})
	for k := len(pocket) - 1; k >= 1; k-- {
		loop = append(loop, pocket[k])
	}
	loop = append(loop, r2.Point{X: p0.X, Y: p0.Y - slit/2})
	return meshtest.Joined(bottom, plate(loop, floor, depth))
}

func rectangle(x0, y0, x1, y1 float64) []r2.Point {
	return []r2.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

func from(t testing.TB, insert, blank *mesh.Mesh, cutters []Cutter, opt Options) *Result {
	t.Helper()
	r, err := From(insert, blank, vec(0, 0, 1), cutters, opt)
	if err != nil {
		t.Fatal(err)
	}
	sum := r.undercut + r.residue
	for _, x := range r.removed {
		if x < 0 {
			t.Errorf("a cutter adds %d quanta", -x)
		}
		sum += x
	}
	if sum != r.stock { // invariant R1
		t.Errorf("stock of %d quanta, but %d removed, undercut and left", r.stock, sum)
	}
	return r
}

func wantNear(t *testing.T, what string, got Quantity, want float64) {
	t.Helper()
	if !(math.Abs(got.MM3-want) <= got.ErrorMM3) {
		t.Errorf("%s: %.4f +- %.4f, want %.4f", what, got.MM3, got.ErrorMM3, want)
	}
	t.Logf("%s: %.4f +- %.4f, want %.4f", what, got.MM3, got.ErrorMM3, want)
}

// cornerRest is what a cutter of radius r leaves in a corner of angle a between two walls, per
// depth: the kite between the tangent points, r^2/tan(a/2), less the circle's sector.
func cornerRest(a, r float64) float64 { return r * r * (1/math.Tan(a/2) - (math.Pi-a)/2) }

// Square, triangular and narrow pockets: a flat cutter leaves cornerRest in each corner.
func TestRestInCorners(t *testing.T) {
	const depth = 8
	for _, c := range []struct {
		name   string
		pocket []r2.Point
		angles []float64
		r      float64
	}{
		{"square", rectangle(10, 10, 34, 34), []float64{90, 90, 90, 90}, 4},
		{"equilateral", []r2.Point{{X: 8, Y: 10}, {X: 38, Y: 10}, {X: 23, Y: 10 + 15*math.Sqrt(3)}}, []float64{60, 60, 60}, 3},
		{"30-60-90", []r2.Point{{X: 6, Y: 10}, {X: 6 + 18*math.Sqrt(3), Y: 10}, {X: 6 + 18*math.Sqrt(3), Y: 28}}, []float64{30, 60, 90}, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			insert := pocketed(44, 5, depth, c.pocket)
			want := 0.0
			for _, a := range c.angles {
				want += cornerRest(a*math.Pi/180, c.r) * depth
			}
			r := from(t, insert, boxMesh(vec(0, 0, 0), vec(44, 44, 5+depth)), []Cutter{{DiameterMM: 2 * c.r}}, Options{PitchMM: 0.08})
			wantNear(t, "residue", r.Residue, want)
			if r.Residue.ErrorMM3 > want/4 {
				t.Errorf("error %g of %g says little", r.Residue.ErrorMM3, want)
			}
			if math.Abs(r.Residue.MM3-1.5*want) <= r.Residue.ErrorMM3 {
				t.Error("control: half as much again passes")
			}
			corners := 0
			for _, g := range r.Regions {
				if g.Kind != Narrow && g.Kind != Corner {
					t.Errorf("a corner is called %v", g.Kind)
				}
				if g.Volume.MM3 > 0.05*want {
					corners++
				}
			}
			if corners != len(c.angles) {
				t.Errorf("%d corners found, want %d: %+v", corners, len(c.angles), r.Regions)
			}
		})
	}
}

// A second, smaller cutter takes what the smaller corner rest allows.
func TestSecondCutterTakesTheRest(t *testing.T) {
	insert := pocketed(44, 5, 8, rectangle(10, 10, 34, 34))
	blank := boxMesh(vec(0, 0, 0), vec(44, 44, 13))
	r := from(t, insert, blank, []Cutter{{DiameterMM: 10}, {DiameterMM: 4}}, Options{PitchMM: 0.08})
	rest := func(d float64) float64 { return 4 * cornerRest(math.Pi/2, d/2) * 8 }
	wantNear(t, "first", r.Steps[0].Removed, 24*24*8-rest(10))
	wantNear(t, "second", r.Steps[1].Removed, rest(10)-rest(4))
	wantNear(t, "residue", r.Residue, rest(4))
	if r.Steps[1].Left.MM3 > r.Steps[0].Left.MM3 {
		t.Error("more is left after another cutter")
	}
}

// A ball leaves (1 - pi/4) R^2 per length along the foot of a straight wall; a bull nose the
// same of its corner radius.
func TestRestAtTheFootOfAWall(t *testing.T) {
	insert := meshtest.Joined(boxMesh(vec(0, 0, 0), vec(40, 40, 5)), boxMesh(vec(0, 0, 5), vec(15, 40, 17)))
	blank := boxMesh(vec(0, 0, 0), vec(40, 40, 17))
	for _, c := range []Cutter{{DiameterMM: 8, CornerRadiusMM: 4}, {DiameterMM: 10, CornerRadiusMM: 2}, {DiameterMM: 8}} {
		r := from(t, insert, blank, []Cutter{c}, Options{PitchMM: 0.08})
		want := (1 - math.Pi/4) * c.CornerRadiusMM * c.CornerRadiusMM * 40
		wantNear(t, "residue", r.Residue, want)
		if c.CornerRadiusMM > 0 && (len(r.Regions) == 0 || r.Regions[0].Kind != Corner) {
			t.Errorf("regions %+v, want a corner", r.Regions)
		}
	}
}

// A slot of 4 mm: nothing of it for 6 mm, all but its corners for 3 mm.
func TestSlot(t *testing.T) {
	insert := pocketed(40, 4, 6, rectangle(10, 18, 32, 22))
	blank := boxMesh(vec(0, 0, 0), vec(40, 40, 10))
	r := from(t, insert, blank, []Cutter{{DiameterMM: 6}}, Options{PitchMM: 0.05, MostRays: 1 << 21})
	wantNear(t, "residue", r.Residue, 22*4*6)
	if len(r.Regions) != 1 || r.Regions[0].Kind != Narrow {
		t.Fatalf("regions %+v, want one narrow", r.Regions)
	}
	g := r.Regions[0]
	if g.Box.Min.Sub(vec(10, 18, 4)).Norm() > 3*r.PitchMM || g.Box.Max.Sub(vec(32, 22, 10)).Norm() > 3*r.PitchMM {
		t.Errorf("box %v", g.Box)
	}
	if math.Abs(g.HeightMM-6) > 1e-4 {
		t.Errorf("height %v, want 6", g.HeightMM)
	}
	wantNear(t, "region", g.Volume, 22*4*6)
	r = from(t, insert, blank, []Cutter{{DiameterMM: 3}}, Options{PitchMM: 0.05, MostRays: 1 << 21})
	wantNear(t, "residue", r.Residue, 4*cornerRest(math.Pi/2, 1.5)*6)
}

// A slot exactly as wide as the cutter is not decided by a grid, and the error says so.
func TestSlotAsWideAsTheCutter(t *testing.T) {
	insert := pocketed(40, 4, 6, rectangle(10, 18, 32, 22))
	blank := boxMesh(vec(0, 0, 0), vec(40, 40, 10))
	r := from(t, insert, blank, []Cutter{{DiameterMM: 4}}, Options{PitchMM: 0.1})
	wantNear(t, "if it passes", r.Residue, 4*cornerRest(math.Pi/2, 2)*6)
	wantNear(t, "if it does not", r.Residue, 22*4*6)
	r = from(t, insert, blank, []Cutter{{DiameterMM: 4.4}}, Options{PitchMM: 0.1})
	if r.Residue.ErrorMM3 > 50 {
		t.Errorf("a cutter 0.4 mm too wide is in doubt by %g mm3", r.Residue.ErrorMM3)
	}
}

// Stated errors hold: pockets of random shape and place, a flat cutter, the residue in closed
// form.
func TestReachErrorIsHonest(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seedFlag, 3))
	outside, tight := 0, 0
	const rounds = 200
	for range rounds {
		// A parallelogram with angles a and pi-a.
		a := (50 + 80*rng.Float64()) * math.Pi / 180
		w, h, r, depth := 8+6*rng.Float64(), 8+6*rng.Float64(), 1+2*rng.Float64(), 2+4*rng.Float64()
		sin, cos := math.Sincos(a)
		o := 3 + max(0, -h*cos)
		pocket := []r2.Point{{X: o, Y: 3}, {X: o + w, Y: 3}, {X: o + w + h*cos, Y: 3 + h*sin}, {X: o + h*cos, Y: 3 + h*sin}}
		m := geom.Rotate(vec(0, 0, 1), rng.Float64()*2*math.Pi)
		m.Translation = vec(rng.Float64(), rng.Float64(), rng.Float64())
		res, err := From(pocketed(30, 2, depth, pocket).Moved(m), boxMesh(vec(0, 0, 0), vec(30, 30, 2+depth)).Moved(m),
			vec(0, 0, 1), []Cutter{{DiameterMM: 2 * r}}, Options{PitchMM: 0.2})
		if err != nil {
			t.Fatal(err)
		}
		want := 2 * (cornerRest(a, r) + cornerRest(math.Pi-a, r)) * depth
		off := math.Abs(res.Residue.MM3 - want)
		if off > res.Residue.ErrorMM3 {
			outside++
		}
		if off > res.Residue.ErrorMM3/8 {
			tight++
		}
	}
	t.Logf("%d of %d outside the error, %d outside an eighth of it", outside, rounds, tight)
	if outside*100 > rounds {
		t.Errorf("-reach.seed=%d: %d of %d outside the stated error", *seedFlag, outside, rounds)
	}
	if tight*100 <= rounds {
		t.Errorf("control: an eighth of the stated error holds too")
	}
}

// A pocket deeper than the stick-out. The holder is wider than the pocket: nothing below the
// stick-out. Then a pocket wider than the holder: below the stick-out the cutter keeps from the
// walls by the holder's radius less its own.
func TestStickOut(t *testing.T) {
	insert := pocketed(44, 4, 16, rectangle(10, 10, 34, 34))
	blank := boxMesh(vec(0, 0, 0), vec(44, 44, 20))
	r := from(t, insert, blank, []Cutter{{DiameterMM: 6, StickOutMM: 10, HolderDiameterMM: 40}}, Options{PitchMM: 0.08})
	corners := 4 * cornerRest(math.Pi/2, 3)
	wantNear(t, "wide holder", r.Residue, 24*24*6+corners*10)
	wantNear(t, "held", r.Steps[0].Held, (24*24-corners)*6)
	deep := 0.0
	for _, g := range r.Regions {
		if g.Kind == Deep {
			deep += g.Volume.MM3
		}
	}
	if math.Abs(deep-(24*24-corners)*6) > r.Residue.ErrorMM3+r.Rest.MM3 {
		t.Errorf("deep regions hold %g", deep)
	}

	r = from(t, insert, blank, []Cutter{{DiameterMM: 6, StickOutMM: 10, HolderDiameterMM: 12}}, Options{PitchMM: 0.08})
	inner := 24.0 - 2*(6-3)
	wantNear(t, "narrow holder", r.Residue, (24*24-inner*inner+corners)*6+corners*10)

	free := from(t, insert, blank, []Cutter{{DiameterMM: 6}}, Options{PitchMM: 0.08})
	wantNear(t, "no holder", free.Residue, corners*16)
	if free.Residue.MM3 > r.Residue.MM3 || r.Residue.MM3 > 24*24*6+corners*10 {
		t.Error("a shorter stick-out leaves less")
	}
}

// A ledge of 5 x 40 over a gap of 3 mm: 600 mm3 are hidden.
func TestUndercut(t *testing.T) {
	insert := meshtest.Joined(boxMesh(vec(0, 0, 0), vec(20, 40, 10)), boxMesh(vec(0, 0, 10), vec(10, 40, 13)), boxMesh(vec(0, 0, 13), vec(15, 40, 18)))
	blank := boxMesh(vec(0, 0, 0), vec(20, 40, 18))
	r := from(t, insert, blank, []Cutter{{DiameterMM: 2}}, Options{PitchMM: 0.1})
	wantNear(t, "undercut", r.Undercut, 5*40*3)
	wantNear(t, "stock", r.Stock, 10*40*3+5*40*5)
	wantNear(t, "residue", r.Residue, 0)
	if len(r.Regions) != 1 || r.Regions[0].Kind != Undercut {
		t.Fatalf("regions %+v, want one undercut", r.Regions)
	}
	// From the open side nothing is hidden.
	side, err := From(insert, blank, vec(1, 0, 0), []Cutter{{DiameterMM: 2}}, Options{PitchMM: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	if side.Undercut.MM3 != 0 {
		t.Errorf("undercut of %g from the side", side.Undercut.MM3)
	}
}

// Passes of a ball s apart over a flat floor leave cusps of R - sqrt(R^2 - s^2/4), which is near
// s^2/(8R); the surface is made by letting the tip down on every tenth row only.
func TestCusps(t *testing.T) {
	insert := boxMesh(vec(0, 0, 0), vec(10, 10, 5))
	c := Cutter{DiameterMM: 6, CornerRadiusMM: 3}
	s, err := look(insert, boxMesh(vec(0, 0, 0), vec(10, 10, 8)), view{turn: facing(vec(0, 0, 1))}, []Cutter{c}, Options{PitchMM: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	pu, pv := s.grid.PitchMM()
	q := s.grid.QuantumMM()
	end := newShape(pu, pv, q, 3, c.profileMM)
	floor := s.grid.Place(5)
	for k := range s.view {
		s.view[k] = floor
	}
	const every = 10
	field := make([]int32, s.nu*s.nv)
	for k := range field {
		field[k] = floor
		if k/s.nu%every != 0 {
			field[k] = 1 << 28
		}
	}
	out := make([]int32, len(field))
	s.erode(end, field, out, nil, nil)
	top := int32(0)
	for j := 4 * every; j < 8*every; j++ {
		for i := 40; i < 80; i++ {
			top = max(top, out[j*s.nu+i]-floor)
		}
	}
	step := every * pv
	exact := 3 - math.Sqrt(9-step*step/4)
	if got := float64(top) * q; math.Abs(got-exact) > 2*q {
		t.Errorf("cusp of %v, want %v", got, exact)
	}
	if got := c.CuspMM(step); got != exact {
		t.Errorf("CuspMM(%v) = %v, want %v", step, got, exact)
	}
	if near := step * step / (8 * 3); math.Abs(near/exact-1) > 0.01 {
		t.Errorf("s^2/8R is %v, exactly %v", near, exact)
	}
	if got := (Cutter{DiameterMM: 6}).CuspMM(3); got != 0 {
		t.Errorf("a flat end leaves cusps of %v", got)
	}
}

// The search over pyramids against a plain double loop, on rough fields.
func TestDilateAgreesWithPlainLoops(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seedFlag, 1))
	for round := range 40 {
		nu, nv := 1+rng.IntN(70), 1+rng.IntN(70)
		field := make([]int32, nu*nv)
		for k := range field {
			field[k] = int32(rng.IntN(1 << (1 + round%20)))
		}
		radius := rng.Float64() * 14
		c := Cutter{DiameterMM: 2 * radius, CornerRadiusMM: radius * rng.Float64()}
		s := newShape(1, 1.1, 0.001, radius, c.profileMM)
		var p pyramid
		p.build(field, nu, nv)
		got := make([]int32, nu*nv)
		if round%2 == 0 {
			p.dilate(s, got, nil, nil)
		} else { // seeded with the field itself, which the footprint holds
			copy(got, field)
			p.dilate(s, got, nil, got)
		}
		for y := range nv {
			for x := range nu {
				want := int32(lowest)
				for b := range nv {
					for a := range nu {
						if h, in := c.profileMM(math.Hypot(float64(a-x), 1.1*float64(b-y))); in {
							want = max(want, field[b*nu+a]-int32(math.Round(h/0.001)))
						}
					}
				}
				if got[y*nu+x] != want {
					t.Fatalf("-reach.seed=%d round %d at %d,%d: %d, want %d", *seedFlag, round, x, y, got[y*nu+x], want)
				}
			}
		}
	}
}

func TestReachOnAnyNumberOfCoresAndNeverBelowTheInsert(t *testing.T) {
	insert := pocketed(30, 4, 10, []r2.Point{{X: 6, Y: 6}, {X: 22, Y: 9}, {X: 25, Y: 20}, {X: 14, Y: 17}, {X: 8, Y: 24}})
	blank := boxMesh(vec(0, 0, 0), vec(30, 30, 14))
	cutters := []Cutter{{DiameterMM: 8, StickOutMM: 6, HolderDiameterMM: 20}, {DiameterMM: 3, CornerRadiusMM: 1.5, StickOutMM: 12, HolderDiameterMM: 16}}
	var first *Result
	for _, n := range []int{1, 2, 3, 5} {
		old := runtime.GOMAXPROCS(n)
		r := from(t, insert, blank, cutters, Options{PitchMM: 0.15})
		runtime.GOMAXPROCS(old)
		for k, h := range r.Surface.heights {
			if h < r.View.heights[k] { // invariant R2
				t.Fatalf("ray %d is cut %d quanta into the insert", k, r.View.heights[k]-h)
			}
		}
		if first == nil {
			first = r
		}
		if !reflect.DeepEqual(first, r) {
			t.Errorf("%d cores give another result", n)
		}
	}
}

// A hundred rigid motions of insert, blank and direction change no reading by more than the
// stated errors of both.
func TestMotionChangesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seedFlag, 2))
	insert := pocketed(30, 4, 10, []r2.Point{{X: 6, Y: 6}, {X: 22, Y: 9}, {X: 25, Y: 20}, {X: 14, Y: 17}, {X: 8, Y: 24}})
	blank := boxMesh(vec(0, 0, 0), vec(30, 30, 14))
	cutters := []Cutter{{DiameterMM: 6, StickOutMM: 6, HolderDiameterMM: 12}, {DiameterMM: 3, CornerRadiusMM: 1.5}}
	at := from(t, insert, blank, cutters, Options{PitchMM: 0.35})
	for k := range 100 {
		m := geom.Rotate(vec(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()), rng.Float64()*6)
		m.Translation = vec(rng.Float64(), rng.Float64(), rng.Float64()).Mul(200)
		r, err := From(insert.Moved(m), blank.Moved(m), m.Direction(vec(0, 0, 1)), cutters, Options{PitchMM: 0.35})
		if err != nil {
			t.Fatal(err)
		}
		for i := range cutters {
			a, b := at.Steps[i].Removed, r.Steps[i].Removed
			if math.Abs(a.MM3-b.MM3) > a.ErrorMM3+b.ErrorMM3 {
				t.Errorf("-reach.seed=%d motion %d: cutter %d removes %v, before %v", *seedFlag, k, i, b, a)
			}
		}
		if math.Abs(at.Residue.MM3-r.Residue.MM3) > at.Residue.ErrorMM3+r.Residue.ErrorMM3 {
			t.Errorf("-reach.seed=%d motion %d: residue %v, before %v", *seedFlag, k, r.Residue, at.Residue)
		}
	}
}

func TestRefusals(t *testing.T) {
	m := boxMesh(vec(0, 0, 0), vec(1, 1, 1))
	up := vec(0, 0, 1)
	good := []Cutter{{DiameterMM: 1}}
	if _, err := From(m, m, up, nil, Options{}); !errors.Is(err, ErrNoCutters) {
		t.Errorf("no cutters: %v", err)
	}
	for _, c := range []Cutter{{}, {DiameterMM: -1}, {DiameterMM: 2, CornerRadiusMM: 1.5}, {DiameterMM: math.NaN()}, {DiameterMM: 2, StickOutMM: 9}} {
		if _, err := From(m, m, up, []Cutter{c}, Options{}); err == nil {
			t.Errorf("%+v was taken", c)
		}
	}
	if _, err := From(m, m, r3.Vector{}, good, Options{}); err == nil {
		t.Error("no direction was taken")
	}
	if _, err := From(m, m, up, good, Options{PitchMM: 1e-6}); err == nil {
		t.Error("a grid of 10^12 rays was taken")
	}
	open := &mesh.Mesh{Vertices: m.Vertices, Triangles: m.Triangles[1:]}
	if _, err := From(open, m, up, good, Options{}); !errors.Is(err, difference.ErrNotClosed) {
		t.Errorf("open mesh: %v", err)
	}
}

func BenchmarkReach(b *testing.B) {
	cutters := []Cutter{
		{Name: "flat 12", DiameterMM: 12, StickOutMM: 40, HolderDiameterMM: 32},
		{Name: "bull 6 r1", DiameterMM: 6, CornerRadiusMM: 1, StickOutMM: 25, HolderDiameterMM: 25},
		{Name: "ball 4", DiameterMM: 4, CornerRadiusMM: 2, StickOutMM: 18, HolderDiameterMM: 20},
		{Name: "ball 2", DiameterMM: 2, CornerRadiusMM: 1, StickOutMM: 12, HolderDiameterMM: 16},
	}
	for _, name := range []string{"insert_100k.stl", "insert_1m.stl", "insert_cad_32.stl"} {
		b.Run(name, func(b *testing.B) {
			m := corpus.Mesh(b, name)
			box := m.Bounds()
			blank := boxMesh(box.Min, box.Max)
			for b.Loop() {
				r, err := From(m, blank, vec(0, 0, 1), cutters, Options{})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(r.Residue.MM3, "residue-mm3")
				b.ReportMetric(r.Residue.ErrorMM3, "error-mm3")
				b.ReportMetric(float64(len(r.View.heights))/1e6, "Mrays")
			}
		})
	}
}
