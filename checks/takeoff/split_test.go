package takeoff_test

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/checks/takeoff"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

const cutters = `blank: {height: 41, side_stock: 0.5, seat_stock: 0.3}
making:
  smallest_cutter: 1
  twist_drill: {diameter: {least: 1, most: 20}, depth_ratio: 4}
  gun_drill: {diameter: {least: 4, most: 20}, depth_ratio: 60}
  cutters:
    - {name: flat 4, kind: flat, diameter: 4, stick_out: 24}
    - {name: bull 12, kind: bull, diameter: 12, corner_radius: 1, stick_out: 60}
    - {name: flat 0.5, kind: flat, diameter: 0.5, stick_out: 3}
    - {name: flat 10, kind: flat, diameter: 10, stick_out: 50}
`

// counted is a whole number of thousandths of a cubic millimetre, as reports print it.
func counted(t *testing.T, what string, v float64) int64 {
	t.Helper()
	n := math.Round(v * 1000)
	if n/1000 != v {
		t.Errorf("%s: %v is no whole number of thousandths", what, v)
	}
	return int64(n)
}

// addsUp holds the parts to the whole: faced, cut, drilled and burned come to what is removed, and that
// is blank minus insert (and more, where metal is missing).
func addsUp(t *testing.T, off *takeoff.Takeoff) {
	t.Helper()
	sum := counted(t, "faced", off.FacedMM3.Value)
	for _, u := range off.SetUps {
		for _, c := range u.Cuts {
			sum += counted(t, u.Name+" "+c.Cutter, c.RemovedMM3.Value)
			if c.RemovedMM3.Value < 0 || !(c.RemovedMM3.Error > 0) {
				t.Errorf("%s %s: %v", u.Name, c.Cutter, c.RemovedMM3)
			}
		}
	}
	for _, h := range off.Drilled {
		sum += counted(t, "drilled", h.RemovedMM3.Value)
	}
	burned := counted(t, "burned", off.BurnMM3.Value)
	sum += burned
	left := counted(t, "left", off.LeftMM3.Value)
	sum += left
	for i, b := range off.Burns {
		if n := counted(t, "burn", b.VolumeMM3.Value); b.Left == "" {
			burned -= n
		} else {
			left -= n
		}
		if (b.Left == "") != (b.Electrode > 0) || b.Electrode > len(off.Electrodes) || i > 0 && b.Left == "" && off.Burns[i-1].Left != "" {
			t.Errorf("burn %d: left %q, electrode %d of %d", i, b.Left, b.Electrode, len(off.Electrodes))
		}
	}
	if burned != 0 || left < 0 {
		t.Errorf("the regions miss what is burned by %d thousandths, and what is left by %d", burned, left)
	}
	places := 0
	for _, e := range off.Electrodes {
		places += e.Places * e.Positions
	}
	for _, b := range off.Burns {
		if b.Left == "" {
			places--
		}
	}
	if places != 0 {
		t.Errorf("the electrodes burn %d places too many: %+v", places, off.Electrodes)
	}
	for _, a := range off.Finish {
		percent := 0
		for _, x := range a.Reached {
			percent += x.Percent
		}
		if percent != 100 {
			t.Errorf("%s %q: %d %% of it are cleared: %v", a.Kind, a.Class, percent, a.Reached)
		}
	}
	if want := counted(t, "removed", off.RemoveMM3.Value); sum != want {
		t.Errorf("the parts come to %d thousandths of a mm3, the stock to %d", sum, want)
	}
	balance := off.BlankMM3.Value - off.InsertMM3.Value + off.OutsideMM3.Value
	if math.Abs(balance-off.RemoveMM3.Value) > 0.0006+off.RemoveMM3.Error {
		t.Errorf("removed %.4f, blank minus insert %.4f", off.RemoveMM3.Value, balance)
	}
}

// near asks for the value within the stated error, and for an error that says something.
func near(t *testing.T, what string, f takeoff.Figure, want, share float64) {
	t.Helper()
	within(t, what, f, want)
	if f.Error > share*want {
		t.Errorf("%s: ±%.3f of %.3f says nothing", what, f.Error, want)
	}
}

func cutsOf(off *takeoff.Takeoff, name string) []takeoff.Cut {
	for _, u := range off.SetUps {
		if u.Name == name {
			return u.Cuts
		}
	}
	return nil
}

func milled(off *takeoff.Takeoff, name string) takeoff.Figure {
	var sum takeoff.Figure
	for _, c := range cutsOf(off, name) {
		sum.Value += c.RemovedMM3.Value
		sum.Error += c.RemovedMM3.Error
	}
	return sum
}

// A block with a step all along one side, a pocket with a step in it and a slot in the left side. What is
// faced is a skin of 0.52 around, 0.67 above and 0.3 below; square corners of the pocket keep
// r^2 (1 - pi/4) a millimetre of depth with the 4 mm cutter, four for the upper and four for the lower
// pocket, the lower one's inside the upper.
func TestStepsAndPockets(t *testing.T) {
	step := box(20, -60, 34.03, 60, 60, 50)
	upper := box(-30, -20, 30.03, 10, 20, 50)
	lower := box(-20, -10, 22.03, 0, 10, 50)
	slot := box(-60, -8, 10, -41.98, 8, 24)
	s := subject(t, frame(t, cutters), meshtest.BlockWithPockets(nominal, step, upper, lower, slot).Mesh)
	off := of(t, s)
	addsUp(t, off)
	const w, l, h = 99.96, 59.96, 40.03
	near(t, "faced", off.FacedMM3, 101*61*41-w*l*h, 0.01)
	corner := func(r, depth float64) float64 { return 4 * r * r * (1 - math.Pi/4) * depth }
	left := corner(2, 10) + corner(2, 8)
	whole := (49.98-20)*l*6 + 40*40*10 + 20*20*8
	near(t, "from the top", milled(off, "top"), whole-left, 0.1)
	near(t, "from the left", milled(off, "left"), 8*16*14-corner(2, 8), 0.3)
	if len(off.SetUps) != 2 {
		t.Errorf("%d set-ups: %v", len(off.SetUps), off.SetUps)
	}
	top := cutsOf(off, "top")
	if len(top) < 2 || top[0].Cutter != "bull 12" || top[0].Rest || !top[len(top)-1].Rest || top[len(top)-1].Cutter != "flat 4" {
		t.Errorf("the cutters go %v; largest first, the last to rest-mill, none under the smallest planned with", top)
	}
	// The bull cutter leaves its corner radius along the floors and 6 mm in the upright corners: the
	// step's floor has one inner edge, the pockets' four each.
	if off.CuttersFrom != takeoff.CuttersInRules {
		t.Errorf("cutters from %q", off.CuttersFrom)
	}
	corners := 0
	for _, b := range off.Burns {
		if b.Kind != "corner" {
			t.Errorf("to burn: %+v", b)
			continue
		}
		corners++
		if math.Abs(b.DepthMM-10) > 0.1 && math.Abs(b.DepthMM-8) > 0.1 && b.At.X > -41.98 {
			t.Errorf("a corner %.3f deep at %v, want 10 or 8", b.DepthMM, b.At)
		}
	}
	// The slot's corners are found by count only, for it is no detail; the pockets' eight have their
	// formula.
	if corners < 8 || corners > 12 {
		t.Errorf("%d corners to burn, want 8 and at most the slot's 4", corners)
	}
	formula := 0.0
	for _, b := range off.Burns {
		if b.At.X > -41.98 {
			formula += b.VolumeMM3.Value
			within(t, "a corner", b.VolumeMM3, b.DepthMM*4*(1-math.Pi/4))
		}
	}
	if math.Abs(formula-left) > 0.1*left {
		t.Errorf("the pockets' corners come to %.2f, want %.2f", formula, left)
	}
	within(t, "burned", takeoff.Figure{Value: off.BurnMM3.Value + off.LeftMM3.Value, Error: off.BurnMM3.Error + off.LeftMM3.Error}, left+corner(2, 8))
}

// A window of 40 x 30 with corners of R3, 40.03 deep. A cutter of radius 6 leaves 6^2 (1 - pi/4) in a square
// corner, of which the drawn radius keeps 3^2 (1 - pi/4): the rest of four corners is the thinner cutter's,
// which leaves nothing.
func TestPocketWithCornerRadii(t *testing.T) {
	const radius, w, l, h = 3, 40, 30, 40.03
	var hole []r2.Point
	for _, c := range []struct{ x, y, from float64 }{{1, 1, 0}, {-1, 1, 90}, {-1, -1, 180}, {1, -1, 270}} {
		const steps = 30
		for i := range steps + 1 {
			s, k := math.Sincos((c.from + 90*float64(i)/steps) * math.Pi / 180)
			hole = append(hole, r2.Point{X: c.x*(w/2-radius) + radius*k, Y: c.y*(l/2-radius) + radius*s})
		}
	}
	plate := meshtest.Prism(meshtest.Rectangle(r2.Point{X: -49.98, Y: -29.98}, r2.Point{X: 49.98, Y: 29.98}), [][]r2.Point{hole}, 0, h)
	off := of(t, subject(t, frame(t, `blank: {height: 41, side_stock: 0.5, seat_stock: 0.3}
making:
  smallest_cutter: 4
  cutters:
    - {name: flat 12, kind: flat, diameter: 12, stick_out: 60}
    - {name: flat 4, kind: flat, diameter: 4, stick_out: 60}
  reach_ratio: 20
`), plate.Mesh))
	addsUp(t, off)
	corner := 4 * (1 - math.Pi/4) * h
	top := cutsOf(off, "top")
	if len(top) != 2 || top[0].Cutter != "flat 12" || top[1].Cutter != "flat 4" {
		t.Fatalf("cuts: %+v", top)
	}
	near(t, "the wide cutter", top[0].RemovedMM3, w*l*h-6*6*corner, 0.05)
	if got, want := top[1].RemovedMM3.Value, (6*6-radius*radius)*corner; math.Abs(got-want) > 0.1*want {
		t.Errorf("the thin cutter takes %.1f mm3, want %.1f", got, want)
	}
	if len(off.Electrodes) > 0 {
		t.Errorf("to burn: %+v", off.Burns)
	}
}

// A plate with two blind holes for a twist drill, one through hole too deep for it, one too wide for any
// drill, and one across.
func TestDrilledPlate(t *testing.T) {
	const sides = 48
	hole := func(x, y, r float64) []r2.Point { return meshtest.Regular(r2.Point{X: x, Y: y}, r, sides) }
	plate := meshtest.Prism(meshtest.Rectangle(r2.Point{X: -49.98, Y: -29.98}, r2.Point{X: 49.98, Y: 29.98}),
		[][]r2.Point{hole(-30, 10, 3), hole(-30, -10, 3), hole(0, 0, 11), hole(30, 0, 8)}, 0, 40.03)
	s := subject(t, frame(t, cutters), plate.Mesh)
	off := of(t, s)
	addsUp(t, off)
	// The polygon of the holes has less area than the circle through its corners.
	share := sides / (2 * math.Pi) * math.Sin(2*math.Pi/sides)
	want := []takeoff.Hole{
		{Count: 1, DiameterMM: 22, Method: takeoff.Bored},
		{Count: 2, DiameterMM: 6, Method: takeoff.Gun},
		{Count: 1, DiameterMM: 16, Method: takeoff.Twist},
	}
	if len(off.Drilled) != len(want) {
		t.Fatalf("drilled: %+v", off.Drilled)
	}
	for i, w := range want {
		h := off.Drilled[i]
		if h.Count != w.Count || math.Abs(h.DiameterMM-w.DiameterMM) > 0.001 || h.Method != w.Method || !h.Through || math.Abs(h.DepthMM-40.03) > 0.001 {
			t.Errorf("hole %d: %+v, want %+v", i, h, w)
		}
		near(t, h.Method, h.RemovedMM3, float64(w.Count)*share*math.Pi/4*w.DiameterMM*w.DiameterMM*40.03, 0.05)
	}
	if v := milled(off, "top"); v.Value > 1 || len(off.Burns) > 0 {
		t.Errorf("for cutters: %v, to burn: %v", v, off.Burns)
	}
}

func round(t *testing.T, profile []r2.Point, cutters string) *checks.Subject {
	t.Helper()
	f, err := rules.LoadFS(fstest.MapFS{"f.yaml": {Data: []byte(`frame: Round
pocket:
  outline: {circle: {diameter: 100}}
  depth: 40
  clearance: {least: 0.01, most: 0.04}
  proud: {least: 0.02, most: 0.05}
blank: {height: 41}
making:
  smallest_cutter: 6
  cutters:
` + cutters)}}, "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return subject(t, f, meshtest.Revolve("round", profile, 240).Mesh)
}

// A spherical cavity of radius 20. A flat cutter of radius r goes down to where the ball is as wide as
// it, and leaves the cap under that: height R - sqrt(R^2 - r^2). A ball cutter takes the cap.
func TestSphericalCavity(t *testing.T) {
	const radius, rings = 20, 60
	profile := []r2.Point{{X: 0, Y: 0}, {X: 49.98, Y: 0}, {X: 49.98, Y: 40.03}}
	for i := range rings + 1 {
		s, c := math.Sincos(math.Pi / 2 * float64(i) / rings)
		profile = append(profile, r2.Point{X: radius * c, Y: 40.03 - radius*s})
	}
	profile[len(profile)-1].X = 0
	off := of(t, round(t, profile, "    - {name: flat 10, kind: flat, diameter: 10, stick_out: 60}\n    - {name: ball 6, kind: ball, diameter: 6, stick_out: 60}\n"))
	addsUp(t, off)
	// What the polygon of 240 sides that stands for the insert's round side leaves of the circle.
	skirt := 49.98 * 49.98 * 40.03 * (math.Pi - 120*math.Sin(math.Pi/120))
	h := radius - math.Sqrt(radius*radius-25)
	capped := math.Pi * h * h * (3*radius - h) / 3
	// The facets lie within the ball: they take less, by about the square of half the turn between
	// them, 1.4e-4 around and 2.3e-4 along.
	ball := 2 * math.Pi / 3 * radius * radius * radius * (1 - 3e-4)
	top := cutsOf(off, "top")
	if len(top) != 2 || top[0].Cutter != "flat 10" || top[1].Cutter != "ball 6" || !top[1].Rest {
		t.Fatalf("cuts: %v", top)
	}
	near(t, "flat", top[0].RemovedMM3, ball-capped+skirt, 0.1)
	if got := top[1].RemovedMM3.Value; math.Abs(got-capped) > 0.15*capped {
		t.Errorf("the ball cutter takes the cap: %.2f, want %.2f", got, capped)
	}
	if len(off.Burns) > 0 {
		t.Errorf("to burn: %v", off.Burns)
	}
	kinds := map[string]float64{}
	for _, a := range off.Finish {
		kinds[a.Kind] += a.AreaMM2.Value
	}
	// Of the half ball 2 pi R^2 sin 10 deg is wall.
	if want := 2 * math.Pi * radius * radius * math.Sin(10*math.Pi/180); math.Abs(kinds[takeoff.Wall]-want) > 0.06*want {
		t.Errorf("wall %.1f mm2, want %.1f", kinds[takeoff.Wall], want)
	}
	if want := 2 * math.Pi * radius * radius * (1 - math.Sin(10*math.Pi/180)); math.Abs(kinds[takeoff.FreeForm]-want) > 0.02*want {
		t.Errorf("free-form %.1f mm2, want %.1f", kinds[takeoff.FreeForm], want)
	}
}

// A conical cavity with its point down, 45 degrees. A ball of radius r rests in it along the circle of
// radius r cos a at the height r cos^2 a / sin a over the point: what is left is that cone less the cap
// of the ball, of height r (1 - sin a).
func TestConicalCavity(t *testing.T) {
	const deep, r = 20, 3
	profile := []r2.Point{{X: 0, Y: 0}, {X: 49.98, Y: 0}, {X: 49.98, Y: 40.03}, {X: deep, Y: 40.03}, {X: 0, Y: 40.03 - deep}}
	off := of(t, round(t, profile, "    - {name: ball 10, kind: ball, diameter: 10, stick_out: 60}\n    - {name: ball 6, kind: ball, diameter: 6, stick_out: 60}\n"))
	addsUp(t, off)
	sin, cos := math.Sincos(math.Pi / 4)
	h := r * (1 - sin)
	left := math.Pi/3*(r*cos)*(r*cos)*r*cos*cos/sin - math.Pi*h*h*(3*r-h)/3
	const turn = 2 * math.Pi / 240
	whole := math.Pi / 3 * deep * deep * deep * math.Sin(turn) / turn
	near(t, "ball", milled(off, "top"), whole-left, 0.1)
	if len(off.Burns) != 1 || math.Abs(off.Burns[0].VolumeMM3.Value-left) > 0.2*left {
		t.Errorf("left at the point: %v, want one region of %.2f mm3", off.Burns, left)
	}
}

// Without cutters in the rules a named list serves, and the takeoff says so.
func TestDefaultCuttersAreNamed(t *testing.T) {
	s := subject(t, frame(t, "blank: {height: 41}\n"), meshtest.BlockWithPockets(nominal, box(-25, -11, 25, 25, 11, 50)).Mesh)
	off := of(t, s)
	addsUp(t, off)
	if off.CuttersFrom != takeoff.CuttersByDefault || !strings.Contains(off.CuttersFrom, "default") {
		t.Errorf("cutters from %q", off.CuttersFrom)
	}
}

// Random pockets from all sides: the parts add up whatever there is to remove.
func TestPartsAddUpOnRandomBlocks(t *testing.T) {
	rng := meshtest.Random(t)
	f := frame(t, cutters)
	for range 4 {
		var pockets []geom.Box
		for range 1 + rng.IntN(4) {
			w, l, d := 3+30*rng.Float64(), 3+20*rng.Float64(), 1+25*rng.Float64()
			x, y := -45+(90-w)*rng.Float64(), -25+(50-l)*rng.Float64()
			switch rng.IntN(3) {
			case 0:
				pockets = append(pockets, box(x, y, 40.03-d, x+w, y+l, 50))
			case 1:
				pockets = append(pockets, box(x, y, -5, x+w, y+l, min(d, 20)))
			default:
				pockets = append(pockets, box(x, -40, 10, x+w, -29.98+min(d, 15), 10+min(l, 20)))
			}
		}
		addsUp(t, of(t, subject(t, f, meshtest.BlockWithPockets(nominal, pockets...).Mesh)))
	}
}
