package checks_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

// closed is the fixed half of a pair and its moving half, each in its own pocket.
func closed(t *testing.T, more string, fixed, moving *mesh.Mesh) *checks.Subject {
	t.Helper()
	half := func(m *mesh.Mesh, of rules.Half) *checks.Subject {
		s, err := checks.NewSubject(frame(t, more), exact(m))
		if err != nil {
			t.Fatal(err)
		}
		s.Half, s.Name = of, string(of)+" half"
		return s
	}
	a, b := half(fixed, rules.Fixed), half(moving, rules.Moving)
	a.Partner, b.Partner = b, a
	return a
}

// of are the findings of one check on s.
func of(t *testing.T, s *checks.Subject, id string) []checks.Finding {
	t.Helper()
	c := checks.ByID(id)
	if c == nil {
		t.Fatalf("no check %s", id)
	}
	var list []checks.Finding
	for _, r := range c.Measure(s) {
		list = append(list, checks.Finding{Check: c, Reading: r, Judged: checks.Judge(r)})
	}
	return list
}

// want holds the one finding of a check, or that of the name given, against what it must be.
func want(t *testing.T, what string, list []checks.Finding, name string, verdict checks.Verdict, value, within float64) {
	t.Helper()
	for _, f := range list {
		if f.Of != name {
			continue
		}
		if f.Verdict != verdict {
			t.Errorf("%s: %s [%s] is %v (%g, within %g): %s%s", what, f.Check.ID, f.Of, f.Verdict, f.Value, f.Uncertainty, f.Says, f.Why)
		}
		meshtest.WantNear(t, what+": "+f.Check.ID, f.Value, value, within)
		if f.Says == "" {
			t.Errorf("%s: %s says nothing", what, f.Check.ID)
		}
		return
	}
	t.Errorf("%s: no finding [%s] among %d", what, name, len(list))
}

func wantNone(t *testing.T, what string, list []checks.Finding) {
	t.Helper()
	for _, f := range list {
		t.Errorf("%s: %s [%s] speaks up: %v, %s%s", what, f.Check.ID, f.Of, f.Verdict, f.Says, f.Why)
	}
}

const nominalTop = 40.03 // of nominal

// cored is the block with a core standing on its parting face.
func cored(core geom.Box) *mesh.Mesh {
	x := []float64{nominal.Min.X, core.Min.X, core.Max.X, nominal.Max.X}
	y := []float64{nominal.Min.Y, core.Min.Y, core.Max.Y, nominal.Max.Y}
	return meshtest.Grid(x, y, []float64{0, nominalTop, core.Max.Z}, func(i, j, k int) bool { return k == 0 || i == 1 && j == 1 }).Mesh
}

func pocketed(pockets ...geom.Box) *mesh.Mesh {
	return meshtest.BlockWithPockets(nominal, pockets...).Mesh
}

func plain() *mesh.Mesh { return meshtest.Box(nominal.Min, nominal.Max).Mesh }

// The cavity is the box detail, from x = -20 to 30, y = -12 to 10 and 15.03 deep. Turned about y, a
// core for it lies from x = -30 to 20 on the moving half, turned about x from y = -10 to 12.
func TestPairClash(t *testing.T) {
	core := func(height float64) *mesh.Mesh { return cored(box(-28, -10, 0, 18, 8, nominalTop+height)) }
	s := closed(t, "", pocketed(detail), core(13))
	want(t, "walls of 2 mm", of(t, s, "pair.clash"), "", checks.Pass, 0, 0)
	s = closed(t, "", pocketed(detail), core(15.33))
	want(t, "0.3 too high", of(t, s, "pair.clash"), "", checks.Fail, 0.3, 1e-4)
	s = closed(t, "pair: {clash: {depth: 0.4}}\n", pocketed(detail), core(15.33))
	want(t, "0.4 to spot in", of(t, s, "pair.clash"), "", checks.Pass, 0.3, 1e-4)
	// Looks wrong and is right: the core bears on the floor.
	s = closed(t, "", pocketed(detail), core(15.03))
	want(t, "flush on the floor", of(t, s, "pair.clash"), "", checks.Pass, 0, 1e-4)
	// Turned about the wrong axis, 2 mm of the core's side stand in the wall of the cavity: the core
	// comes to lie from x = -28 to 18, and the cavity begins at -20.
	s = closed(t, "pair: {turned_about: x}\n", pocketed(detail), core(13))
	want(t, "turned about x", of(t, s, "pair.clash"), "", checks.Fail, 8, 0.5)
	s = closed(t, "pair: {turned_about: x}\n", pocketed(detail), cored(box(-18, -8, 0, 28, 10, nominalTop+13)))
	want(t, "drawn for x", of(t, s, "pair.clash"), "", checks.Pass, 0, 0)
	// A steep face that overlaps by little sideways overlaps by much along the draw; its depth is little.
	wedge := func(shift float64) *mesh.Mesh { return steepBlock(shift) }
	s = closed(t, "", wedgePocket(), wedge(0.1))
	want(t, "a steep shut-off", of(t, s, "pair.clash"), "", checks.Fail, 0.1*math.Cos(5*math.Pi/180), 2e-3)
}

func TestPairIsJudgedOnceAndOnlyWhereBothHalvesAreKnown(t *testing.T) {
	s := closed(t, "", pocketed(detail), plain())
	for _, c := range checks.Catalogue {
		if !strings.HasPrefix(c.ID, "pair.") {
			continue
		}
		wantNone(t, "moving half", of(t, s.Partner, c.ID))
		if lone, err := checks.NewSubject(s.Frame, s.Part); err == nil {
			lone.Half = rules.Fixed
			wantNone(t, "half on its own", of(t, lone, c.ID))
			lone.PartnerError = errors.New("b.stl: the file is not there")
			list := of(t, lone, c.ID)
			if c.ID != "pair.clash" {
				wantNone(t, "other half unreadable", list)
			} else if len(list) != 1 || list[0].Verdict != checks.NotJudged || !strings.Contains(list[0].Why, "b.stl") {
				t.Errorf("other half unreadable: %+v", list)
			}
		}
	}
	s.Partner.Half = rules.Fixed
	if list := of(t, s, "pair.clash"); len(list) != 1 || list[0].Verdict != checks.NotJudged || !strings.Contains(list[0].Why, "moving") {
		t.Errorf("two fixed halves: %+v", list)
	}
	open := closed(t, "", pocketed(detail), meshtest.Box(nominal.Min, nominal.Max).Without(0))
	if list := of(t, open, "pair.clash"); len(list) != 1 || list[0].Verdict != checks.NotJudged || !strings.Contains(list[0].Why, "closed solid") {
		t.Errorf("other half open: %+v", list)
	}
}

// Over a core of 10 x 8 in the cavity that ends short of the parting face by short.
func shortCore(short float64) *mesh.Mesh {
	return meshtest.Grid([]float64{nominal.Min.X, -20, -5, 5, 30, nominal.Max.X}, []float64{nominal.Min.Y, -12, -4, 4, 10, nominal.Max.Y},
		[]float64{0, 25, nominalTop - short, nominalTop}, func(i, j, k int) bool {
			inCavity := i >= 1 && i <= 3 && j >= 1 && j <= 3
			return k == 0 || !inCavity || i == 2 && j == 2 && k == 1
		}).Mesh
}

func TestPairFlash(t *testing.T) {
	s := closed(t, "", shortCore(0.05), plain())
	list := of(t, s, "pair.flash")
	want(t, "a core 0.05 short", list, "", checks.Fail, 0.05, 1e-4)
	if p := list[0].At; math.Abs(p.X) > 5.5 || math.Abs(p.Y) > 4.5 {
		t.Errorf("the gap is shown at %v", p)
	}
	s = closed(t, "", shortCore(0.012), plain())
	want(t, "a core 0.012 short", of(t, s, "pair.flash"), "", checks.Pass, 0.012, 1e-4)
	// A resin that holds back at more says so.
	s = closed(t, "", shortCore(0.05), plain())
	s.Resin = s.Frame.Resin("PC") // vent depth of 0.064 mm
	want(t, "a resin that bears the gap", of(t, s, "pair.flash"), "", checks.Pass, 0.05, 1e-4)
	// A vent that is too deep leads out of the block, and the cavity is there all the same.
	s = closed(t, "", pocketed(detail, box(30, -3, nominalTop-0.1, 36, 3, 50), box(36, -3, nominalTop-0.6, 60, 3, 50)), plain())
	list = of(t, s, "pair.flash")
	want(t, "a vent of 0.1", list, "", checks.Fail, 0.1, 1e-4)
	if !strings.Contains(list[0].Says, "1 of them lead to the outside") {
		t.Errorf("a leak is told as %q", list[0].Says)
	}
	want(t, "a vented cavity", of(t, s, "pair.cavity"), "closed", checks.Pass, 1, 0)
	// Looks wrong and is right: a lens thins out to nothing at its edge.
	s = closed(t, "", pocketed(detail), plain())
	want(t, "no gap", of(t, s, "pair.flash"), "", checks.Pass, 0, 0)
}

// Two cavities 25 x 20 and 5 deep, fed by a runner from a sprue in the middle.
func twoCavities(rightDepth, sprueX float64, runner bool) *mesh.Mesh {
	list := []geom.Box{box(-40, -10, nominalTop-5, -15, 10, 50), box(15, -10, nominalTop-rightDepth, 40, 10, 50), box(sprueX-1.5, -1.5, -10, sprueX+1.5, 1.5, 50)}
	list = append(list, box(-15, -2, nominalTop-3, sprueX+2, 2, 50))
	if runner {
		list = append(list, box(sprueX, -2, nominalTop-3, 15, 2, 50))
	}
	return pocketed(list...)
}

func TestPairCavity(t *testing.T) {
	s := closed(t, "", twoCavities(5, 0, true), plain())
	list := of(t, s, "pair.cavity")
	want(t, "two cavities", list, "closed", checks.Pass, 2, 0)
	want(t, "two cavities", list, "without a gate", checks.Pass, 0, 0)
	s = closed(t, "", twoCavities(5, 0, false), plain())
	list = of(t, s, "pair.cavity")
	want(t, "runner to one of two", list, "without a gate", checks.Fail, 1, 0)
	if list[1].At.X < 15 {
		t.Errorf("the cavity without a gate is shown at %v", list[1].At)
	}
	// Looks wrong and is right: no gate is drawn at all yet.
	s = closed(t, "", pocketed(detail), plain())
	list = of(t, s, "pair.cavity")
	want(t, "no gate drawn", list, "closed", checks.Pass, 1, 0)
	if len(list) != 1 {
		t.Errorf("without any gate drawn: %+v", list)
	}
	s = closed(t, "", pocketed(box(-20, -12, 25, 60, 10, 50)), plain())
	want(t, "a trough", of(t, s, "pair.cavity"), "closed", checks.Fail, 0, 0)
}

func TestPairBalance(t *testing.T) {
	volumes := func(depth float64) float64 {
		// What of the runner belongs to a part is the same for both.
		return 100 * (depth - 5) * 500 / ((5 + depth) / 2 * 500)
	}
	s := closed(t, "", twoCavities(5, 0, true), plain())
	want(t, "equal", of(t, s, "pair.balance"), "volumes", checks.Pass, 0, 0.5)
	s = closed(t, "", twoCavities(5.5, 0, true), plain())
	want(t, "a tenth deeper", of(t, s, "pair.balance"), "volumes", checks.Fail, volumes(5.5), 0.8)
	s = closed(t, "pair: {balance: 12 %}\n", twoCavities(5.5, 0, true), plain())
	want(t, "a family of two", of(t, s, "pair.balance"), "volumes", checks.Pass, volumes(5.5), 0.8)
	// From a sprue at x = 6 it is 21 mm to the left and 9 mm to the right, less what the opening
	// leaves of the runner to the parts.
	s = closed(t, "", twoCavities(5, 6, true), plain())
	list := of(t, s, "pair.balance")
	want(t, "a sprue off the middle", list, "volumes", checks.Pass, 0, 0.5)
	want(t, "a sprue off the middle", list, "ways from the gate", checks.Fail, 100*12.0/15, 30)
	s = closed(t, "", pocketed(detail), plain())
	wantNone(t, "one cavity", of(t, s, "pair.balance"))
}

func TestPairWall(t *testing.T) {
	const rule = "pair: {part_wall: {least: 1, most: 4}}\n"
	slab := func(depth float64) *checks.Subject {
		return closed(t, rule, pocketed(box(-20, -12, nominalTop-depth, 30, 10, 50)), plain())
	}
	for _, c := range []struct {
		depth       float64
		least, most checks.Verdict
	}{{3, checks.Pass, checks.Pass}, {0.8, checks.Fail, checks.Pass}, {5, checks.Pass, checks.Fail}} {
		s := slab(c.depth)
		list := of(t, s, "pair.wall")
		want(t, "a slab", list, "least", c.least, c.depth, 1e-3)
		want(t, "a slab", list, "most", c.most, c.depth, 0.02)
		w, ok := s.PartWall()
		if !ok {
			t.Fatal("no wall of a part")
		}
		meshtest.WantNear(t, "mean", w.MeanMM, c.depth, 0.02*c.depth)
	}
	// A box with walls and floor of 2: in its corners a ball of 2 x 2 sqrt(3)/(1+sqrt(3)) fits.
	s := closed(t, rule, pocketed(detail), cored(box(-28, -10, 0, 18, 8, nominalTop+13.03)))
	list := of(t, s, "pair.wall")
	want(t, "a box", list, "least", checks.Pass, 2, 1e-3)
	corner := 4 * math.Sqrt(3) / (1 + math.Sqrt(3))
	want(t, "a box", list, "most", checks.Pass, (2+corner)/2, (corner-2)/2+0.01)
	wantNone(t, "no limit", of(t, closed(t, "", pocketed(detail), plain()), "pair.wall"))
}

// The wall between the halves goes into the cooling time, before what the rules say of it.
func TestCoolingTimeTakesTheMeasuredWall(t *testing.T) {
	const rule = `pair: {part_wall: {most: 9}}
cooling: {cooling_time: 40 s}
resins: [{name: test, diffusivity: 0.1 mm2/s, melt_temperature: 230 degC, mould_temperature: 50 degC, eject_temperature: 90 degC}]
`
	s := closed(t, rule, pocketed(box(-20, -12, nominalTop-3, 30, 10, 50)), plain())
	s.Resin = s.Frame.Resin("test")
	// 3^2/(pi^2 0.1) ln(4/pi 180/40) s.
	want(t, "a slab of 3", of(t, s, "cool.time"), "", checks.Pass, 9/(math.Pi*math.Pi*0.1)*math.Log(4/math.Pi*180/40), 0.2)
}

func TestPairContact(t *testing.T) {
	area := 99.96*59.96 - 50*22
	for force, verdict := range map[string]checks.Verdict{"350 kN": checks.Pass, "430 kN": checks.Fail} {
		s := closed(t, "press: {clamp_force: "+force+"}\n", pocketed(detail), plain())
		n := map[string]float64{"350 kN": 350e3, "430 kN": 430e3}[force]
		want(t, force, of(t, s, "pair.contact"), "", verdict, n/area, 0.5)
	}
	wantNone(t, "no press", of(t, closed(t, "", pocketed(detail), plain()), "pair.contact"))
	// A relief of 0.3 around the cavity bears nothing: 20 x 59.96 of it.
	s := closed(t, "press: {clamp_force: 350 kN}\n", pocketed(detail, box(-60, -40, nominalTop-0.3, -29.98, 40, 50)), plain())
	want(t, "relieved", of(t, s, "pair.contact"), "", checks.Fail, 350e3/(area-20*59.96), 0.8)
}

func TestPress(t *testing.T) {
	press := func(more string) string {
		return "press: {cavity_pressure: {least: 25 MPa, most: 40 MPa}, " + more + "}\n"
	}
	pair := func(more string) *checks.Subject { return closed(t, press(more), pocketed(detail), plain()) }
	// 50 x 22 mm2 at 40 MPa.
	want(t, "enough", of(t, pair("clamp_force: 60 kN"), "press.clamp"), "", checks.Pass, 44, 0.2)
	want(t, "too small a press", of(t, pair("clamp_force: 50 kN"), "press.clamp"), "", checks.Fail, 44, 0.2)
	s := pair("clamp_force: 60 kN")
	s.Resin = s.Frame.Resin("PC") // up to 0.5 tonne-force per cm2
	want(t, "a stiffer resin", of(t, s, "press.clamp"), "", checks.Fail, 1100*0.5*98.0665/1000, 0.2)
	if list := of(t, closed(t, "press: {clamp_force: 60 kN}\n", pocketed(detail), plain()), "press.clamp"); len(list) != 1 || list[0].Verdict != checks.NotJudged {
		t.Errorf("no pressure is known: %+v", list)
	}
	// 50 x 22 x 15.03 mm3, of which 20 to 80 % of the barrel are let pass.
	const shot = 50 * 22 * 15.03 / 1000
	want(t, "a fitting barrel", of(t, pair("shot_volume: 30 cm3"), "press.shot"), "", checks.Pass, shot, 0.05)
	want(t, "too small a barrel", of(t, pair("shot_volume: 20 cm3"), "press.shot"), "", checks.Fail, shot, 0.05)
	want(t, "too large a barrel", of(t, pair("shot_volume: 100 cm3"), "press.shot"), "", checks.Fail, shot, 0.05)
	// Each half stands 0.03 proud of its pocket.
	want(t, "a frame that fits", of(t, pair("frame_height: 260, shut_height: {least: 200, most: 300}"), "press.height"), "", checks.Pass, 260.06, 1e-9)
	// The rules themselves refuse a frame that is too high by itself; what the inserts add, they cannot know.
	want(t, "too high a frame", of(t, pair("frame_height: 299.97, shut_height: {least: 200, most: 300}"), "press.height"), "", checks.Fail, 300.03, 1e-9)
	want(t, "opens wide enough", of(t, pair("frame_height: 260, daylight: 300"), "press.daylight"), "", checks.Pass, 40, 1e-9)
	want(t, "opens too little", of(t, pair("frame_height: 260, daylight: 285"), "press.daylight"), "", checks.Fail, 25, 1e-9)
	for _, id := range []string{"press.clamp", "press.shot", "press.height", "press.daylight"} {
		wantNone(t, "no press in the rules", of(t, closed(t, "", pocketed(detail), plain()), id))
		wantNone(t, "moving half", of(t, pair("clamp_force: 60 kN, shot_volume: 30 cm3, frame_height: 260, daylight: 300, shut_height: {least: 1}").Partner, id))
	}
}
