package checks_test

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// base is a frame with one of everything that is judged. Its pocket is 100 by 60 and 40 deep; an
// insert of 99.96 by 59.96 by 40.03 sits in the middle of every limit.
const base = `frame: Test
pocket:
  outline:
    rectangle: {width: 100, length: 60}
  depth: 40
  clearance: {least: 0.01, most: 0.04}
  proud: {least: 0.02, most: 0.05}
  seat_bearing: 75 %
` + uprightWalls + `
`

// The walls of pockets made of boxes stand straight along the draw; what that is worth is tested
// beside draw.zero-draft.
const uprightWalls = "draw: {draft: {zero_draft_area: 10000 mm2}}"

const zones = `zones:
  - name: clamp slot
    must: open
    shape: {box: {min: [-52, -10, 10], max: [-45, 10, 20]}}
    says: The clamp reaches in here.
  - name: pad
    must: solid
    shape: {box: {min: [30, 10, 0], max: [44, 24, 4]}}
  - name: bench face
    must: uncut
    shape: {box: {min: [-20, 27, 2], max: [20, 29.9, 8]}}
`

const blank = "blank: {height: 41, side_stock: 0.2}\n"

const wall = "steel: {wall: {any: 2.5}}\n"

const whole = zones + blank + wall

func frame(t *testing.T, more string) *rules.Frame {
	t.Helper()
	f, err := rules.LoadFS(fstest.MapFS{"f.yaml": {Data: []byte(base + more)}}, "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func at(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

func box(x0, y0, z0, x1, y1, z1 float64) geom.Box {
	return geom.Box{Min: at(x0, y0, z0), Max: at(x1, y1, z1)}
}

// nominal is the block that sits in the middle of every limit of base, and slot what its clamp
// slot takes away; detail is a cavity in its parting face, off the middle both ways.
var (
	nominal = box(-49.98, -29.98, 0, 49.98, 29.98, 40.03)
	slot    = box(-60, -10, 10, -45, 10, 20)
	detail  = box(-20, -12, 25, 30, 10, 50)
)

func cleanSolid() *meshtest.Solid { return meshtest.BlockWithPockets(nominal, slot, detail) }

func partOf(m *mesh.Mesh, roundoff, chord float64) *mesh.Part {
	return &mesh.Part{Name: "insert", Mesh: m, Audit: mesh.NewAudit(m), Faces: []mesh.Face{{}}, Roundoff: roundoff, ChordMM: chord}
}

func exact(m *mesh.Mesh) *mesh.Part { return partOf(m, tol.RoundoffDouble, 0) }

func run(t *testing.T, f *rules.Frame, p *mesh.Part) ([]checks.Finding, *checks.Subject) {
	t.Helper()
	s, err := checks.NewSubject(f, p)
	if err != nil {
		t.Fatal(err)
	}
	return checks.Run(s)
}

func find(t *testing.T, list []checks.Finding, id, of string) *checks.Finding {
	t.Helper()
	for i := range list {
		if list[i].Check.ID == id && (of == "" || list[i].Of == of) {
			return &list[i]
		}
	}
	t.Fatalf("no finding of %s [%s]", id, of)
	return nil
}

// wantOnly fails where a finding other than the one named is no pass.
func wantOnly(t *testing.T, name string, list []checks.Finding, id string) {
	t.Helper()
	for _, f := range list {
		if f.Verdict != checks.Pass && f.Check.ID != id {
			t.Errorf("%s: %s [%s] is %v too: %s%s", name, f.Check.ID, f.Of, f.Verdict, f.Says, f.Why)
		}
	}
}

func TestCleanInsertPassesEverything(t *testing.T) {
	list, s := run(t, frame(t, whole), exact(cleanSolid().Mesh))
	seen := map[string]bool{}
	for _, f := range list {
		seen[f.Check.ID] = true
		if f.Verdict != checks.Pass {
			t.Errorf("%s [%s] is %v: %s%s", f.Check.ID, f.Of, f.Verdict, f.Says, f.Why)
		}
		if !f.Measured || f.Says == "" {
			t.Errorf("%s: a pass says what was measured: %+v", f.Check.ID, f.Reading)
		}
	}
	for _, c := range checks.Catalogue {
		switch family, _, _ := strings.Cut(c.ID, "."); {
		case family != "file" && family != "fit" && family != "zone" && c.ID != "steel.wall" && c.ID != "stock.metal", c.ID == "fit.edge-break":
			// These rules need not ask it anything.
		case !seen[c.ID]:
			t.Errorf("%s gave no reading", c.ID)
		}
	}
	if checks.Overall(list) != checks.Pass {
		t.Errorf("overall %v", checks.Overall(list))
	}
	if !s.Motion.IsIdentity() {
		t.Errorf("a clean insert was moved: %+v", s.Motion)
	}
	for _, c := range []struct {
		id, of string
		value  float64
		within float64
	}{
		{"fit.outline", "", 0.02, 1e-9},
		{"fit.clearance", "", 0.02, 1e-9},
		{"fit.height", "", 0.03, 1e-9},
		{"fit.seat", "", 100 * 99.96 * 59.96 / 6000, 1e-9},
		{"zone.open", "clamp slot", 0, 0},
		{"zone.solid", "pad", 0, 0},
		{"zone.uncut", "bench face", 0, 0},
		{"stock.metal", "", 0, 0},
		{"file.unit", "", 1, 0},
		{"file.solid", "", 0, 0},
	} {
		meshtest.WantNear(t, c.id, find(t, list, c.id, c.of).Value, c.value, c.within)
	}
	// Stock: a blank of 100.4 by 60.4 by 41, less the block and what is cut from it.
	st, err := s.Stock()
	if err != nil {
		t.Fatal(err)
	}
	want := 100.4*60.4*41 - cleanSolid().Faceted.VolumeMM3
	meshtest.WantNear(t, "stock to remove", st.Remove.MM3, want, st.Remove.ErrorMM3+1e-6)
}

// Each case is the clean insert with one defect whose size is known, and what one check must
// make of it; every other check must stay silent.
func TestEachCheckFiresOnItsDefectAlone(t *testing.T) {
	shifted := func(b geom.Box, lo, hi r3.Vector) geom.Box {
		return geom.Box{Min: b.Min.Add(lo), Max: b.Max.Add(hi)}
	}
	wide := shifted(nominal, at(0, 0, 0), at(0.07, 0, 0))
	narrow := shifted(nominal, at(0, 0, 0), at(-0.08, 0, 0))
	high := shifted(nominal, at(0, 0, 0), at(0, 0, 0.3))
	low := shifted(nominal, at(0, 0, 0), at(0, 0, -0.1))
	under := box(-44, -25, -1, 28, 8, 0.5)
	padCut := box(25, 5, -1, 50, 30, 3)
	cut := func(pockets ...geom.Box) *mesh.Mesh {
		return meshtest.BlockWithPockets(nominal, append([]geom.Box{slot, detail}, pockets...)...).Mesh
	}
	for _, c := range []struct {
		name, rules string
		m           *mesh.Mesh
		id, of      string
		value       float64
		within      float64 // how far the value may lie off; a depth is a lower bound
		limit       float64
		says, mend  string
	}{
		{"right side 0.07 too wide", whole, meshtest.BlockWithPockets(wide, slot, detail).Mesh, "fit.outline", "", -0.05, 1e-9, 0.01, "0.050 mm into the right", "0.060 mm off the right side"},
		{"right side 0.08 too narrow", whole, meshtest.BlockWithPockets(narrow, slot, detail).Mesh, "fit.clearance", "right", 0.1, 1e-9, 0.04, "0.1000 mm", "right side out by 0.060 mm"},
		{"parting face 0.3 high", whole, meshtest.BlockWithPockets(high, slot, detail).Mesh, "fit.height", "", 0.33, 1e-9, 0.05, "40.330 mm above the seat", "Lower the parting face by 0.280 mm"},
		{"parting face 0.1 low", whole, meshtest.BlockWithPockets(low, slot, detail).Mesh, "fit.height", "", -0.07, 1e-9, 0.02, "0.070 mm below", "Raise the parting face by 0.090 mm"},
		{"seat cut away", whole, cut(under), "fit.seat", "", 100 * (99.96*59.96 - 72*33) / 6000, 1e-9, 75, "bears the insert", ""},
		{"clamp slot forgotten", whole, meshtest.BlockWithPockets(nominal, detail).Mesh, "zone.open", "clamp slot", 3.5, 0.2, tol.FlushMM, "996 mm3", "slot"},
		{"pad cut into", whole, cut(padCut), "zone.solid", "pad", 3, 0.1, tol.FlushMM, "588 mm3", ""},
		{"bench face cut", whole, cut(box(-5, 28, 3, 5, 31, 6)), "zone.uncut", "bench face", 1.9, 0.1, tol.FlushMM, "57 mm3", ""},
		{"thin wall", whole, cut(box(31.5, -12, 25, 41, 10, 50)), "steel.wall", "", 1.5, 1e-6, 2.5, "1.500 mm", ""},
		{"taller than its blank", zones + "blank: {height: 40.02}\n", meshtest.BlockWithPockets(shifted(nominal, at(0, 0, 0), at(0, 0, 0.015)), slot, detail).Mesh, "stock.metal", "", 0.025, 0.003, tol.FlushMM, "mm out of the blank", ""},
	} {
		list, _ := run(t, frame(t, c.rules), exact(c.m))
		wantOnly(t, c.name, list, c.id)
		f := find(t, list, c.id, c.of)
		if f.Verdict != checks.Fail || checks.Overall(list) != checks.Fail {
			t.Errorf("%s: %s is %v, overall %v; want fail (%s%s)", c.name, c.id, f.Verdict, checks.Overall(list), f.Says, f.Why)
		}
		meshtest.WantNear(t, c.name+": value", f.Value, c.value, c.within)
		if math.Abs(f.Nearest-c.limit) > 1e-12 {
			t.Errorf("%s: the limit is %g, want %g", c.name, f.Nearest, c.limit)
		}
		meshtest.WantNear(t, c.name+": margin", math.Abs(f.Margin), math.Abs(f.Value-f.Nearest), 1e-12)
		if !(f.Uncertainty >= 0 && f.Uncertainty < 0.01*math.Max(1, f.Value)) {
			t.Errorf("%s: uncertainty %g", c.name, f.Uncertainty)
		}
		if !strings.Contains(f.Says, c.says) || !strings.Contains(f.Advice(), c.mend) || f.Advice() == "" {
			t.Errorf("%s:\nsays %q, want %q\nmend %q, want %q", c.name, f.Says, c.says, f.Advice(), c.mend)
		}
		if !f.Located {
			t.Errorf("%s: no place is shown", c.name)
		} else if b := geom.BoxOf(c.m.Vertices).Expand(0.5); !b.Contains(f.At) {
			t.Errorf("%s: the place %v lies off the insert", c.name, f.At)
		}
	}
}

// One cause is one finding: what fits once its unit or its placement is put right is told so,
// and judged as put right.
func TestWrongUnitTurnAndMoveAreOneFindingEach(t *testing.T) {
	solid := cleanSolid()
	quarter := func(axis r3.Vector, n float64) geom.Motion {
		m := geom.Rotate(axis, n*math.Pi/2)
		for i, row := range m.Rotation {
			m.Rotation[i] = at(math.Round(row.X), math.Round(row.Y), math.Round(row.Z))
		}
		return m
	}
	for _, c := range []struct {
		name   string
		motion geom.Motion
		id     string
		value  float64
		says   string
		mend   string
	}{
		{"drawn in inches", geom.ScaleBy(1 / 25.4), "file.unit", 25.4, "drawn in inches", "unit: in"},
		{"drawn in mm, read in inches", geom.ScaleBy(25.4), "file.unit", 1 / 25.4, "drawn in millimetres", "unit: mm"},
		{"turned a quarter", quarter(at(0, 0, 1), 1), "fit.placement", 1, "turn it a quarter back about z", "Turn it a quarter back about z."},
		{"turned half round", quarter(at(0, 0, 1), 2), "fit.placement", 1, "turn it half round about z", "Turn it half round about z."},
		{"upside down", geom.Translate(at(0, 0, 40.03)).After(quarter(at(1, 0, 0), 2)), "fit.placement", 2, "turn it over about x", "Turn it over about x, then move it 40.030 mm along z."},
		{"5 mm aside", geom.Translate(at(5, 0, 0)), "fit.placement", 1, "move it -5.000 mm along x", "Move it -5.000 mm along x."},
		{"drawn from its own corner", geom.Translate(at(49.98, 29.98, -10)), "fit.placement", 1, "move it -49.980 mm along x", "10.000 mm along z"},
	} {
		// Storing in STL rounds what scaling and turning leave.
		list, s := run(t, frame(t, whole), partOf(solid.Mesh.Moved(c.motion), tol.RoundoffSTL, 0))
		wantOnly(t, c.name, list, c.id)
		fails := 0
		for _, f := range list {
			if f.Verdict == checks.Fail {
				fails++
			}
		}
		f := find(t, list, c.id, "")
		if fails != 1 || f.Verdict != checks.Fail {
			t.Errorf("%s: %d findings fail, %s is %v (%s)", c.name, fails, c.id, f.Verdict, f.Says)
		}
		meshtest.WantNear(t, c.name+": value", f.Value, c.value, 1e-12)
		if !strings.Contains(f.Says, c.says) || !strings.Contains(f.Advice(), c.mend) {
			t.Errorf("%s:\nsays %q, want %q\nmend %q, want %q", c.name, f.Says, c.says, f.Advice(), c.mend)
		}
		// What was judged in the end is the insert where it belongs.
		want := solid.Faceted.CentroidMM
		meshtest.WantNearVector(t, c.name+": centroid as judged", s.Measures().CentroidMM, want, 1e-6)
	}
	// A size that is merely wrong is no unit.
	small := meshtest.Box(at(-47, -27, 0), at(47, 27, 40.03))
	list, _ := run(t, frame(t, ""), exact(small.Mesh))
	if f := find(t, list, "file.unit", ""); f.Verdict != checks.Pass || f.Value != 1 {
		t.Errorf("an insert 6 mm too small: unit %v, %g", f.Verdict, f.Value)
	}
	if f := find(t, list, "fit.clearance", ""); f.Verdict != checks.Fail {
		t.Errorf("an insert 6 mm too small: clearance %v", f.Verdict)
	}
}

func TestSurfacesThatAreNoSolid(t *testing.T) {
	clean := cleanSolid()
	second := meshtest.Box(at(80, 0, 0), at(90, 10, 10))
	void := geom.Box{Min: at(0, 20, 10), Max: at(10, 25, 15)}
	hollow := clean.With(meshtest.Box(void.Min, void.Max).InsideOut())
	// Two pockets that meet along one upright edge: the edge is of four facets, and sound.
	corner := meshtest.BlockWithPockets(nominal, slot, box(-20, -12, 25, 0, 0, 50), box(0, 0, 25, 20, 12, 50))
	for _, c := range []struct {
		name    string
		m       *mesh.Mesh
		verdict checks.Verdict
		value   float64
		says    string
	}{
		{"a facet is missing", clean.Without(7), checks.Fail, 3, "3 open edges"},
		{"inside out", clean.InsideOut().Mesh, checks.Fail, 1, "inside out"},
		{"two bodies", clean.With(second).Mesh, checks.Fail, 1, "2 separate bodies"},
		{"a hollow within", hollow.Mesh, checks.Pass, 0, "1 hollow(s)"},
		{"pockets that meet along an edge", corner.Mesh, checks.Pass, 0, "Closed"},
	} {
		list, _ := run(t, frame(t, zones+blank), exact(c.m))
		f := find(t, list, "file.solid", "")
		if f.Verdict != c.verdict || f.Value != c.value || !strings.Contains(f.Says, c.says) {
			t.Errorf("%s: %v, %g, %q; want %v, %g, %q", c.name, f.Verdict, f.Value, f.Says, c.verdict, c.value, c.says)
		}
		open := c.name == "a facet is missing" || c.name == "inside out"
		for _, f := range list {
			if !f.Check.NeedsSolid {
				continue
			}
			if open && (f.Verdict != checks.NotJudged || f.Measured || f.Why == "") {
				t.Errorf("%s: %s is %v with value %g; a number here means nothing", c.name, f.Check.ID, f.Verdict, f.Value)
			}
			if c.verdict == checks.Pass && f.Verdict != checks.Pass {
				t.Errorf("%s: %s is %v: %s%s", c.name, f.Check.ID, f.Verdict, f.Says, f.Why)
			}
		}
	}
}

// A limit inside the uncertainty is neither met nor broken.
func TestLimitsWithinTheUncertaintyAreBorderline(t *testing.T) {
	side := func(gap, top float64) *mesh.Mesh {
		return meshtest.Box(at(-50+gap, -30+gap, 0), at(50-gap, 30-gap, 40+top)).Mesh
	}
	const chord = 0.002
	for _, c := range []struct {
		name, id string
		m        *mesh.Mesh
		more     string
		value    float64
		within   float64
	}{
		{"a micrometre over the least clearance", "fit.outline", side(0.011, 0.03), "", 0.011, 1e-9},
		{"a micrometre under the least clearance", "fit.outline", side(0.009, 0.03), "", 0.009, 1e-9},
		{"a micrometre over the most clearance", "fit.clearance", side(0.041, 0.03), "", 0.041, 1e-9},
		{"a micrometre of metal in a zone", "zone.open", side(0.02, 0.03), "zones: [{name: top, must: open, shape: {box: {min: [-10, -10, 40.024], max: [10, 10, 50]}}}]\n", 0.006, 0.002}, // a depth is a lower bound
		{"a micrometre out of the blank", "stock.metal", side(0.02, 0.03), "blank: {height: 40.024, side_stock: 0.2}\n", 0.006, 0.002},
	} {
		list, _ := run(t, frame(t, c.more), partOf(c.m, tol.RoundoffDouble, chord))
		f := find(t, list, c.id, "")
		if f.Verdict != checks.Borderline {
			t.Errorf("%s: %s is %v (%g, limit %g, ±%g)", c.name, c.id, f.Verdict, f.Value, f.Nearest, f.Uncertainty)
		}
		meshtest.WantNear(t, c.name, f.Value, c.value, c.within)
		if most := max(2*chord, 25*c.within); f.Uncertainty < chord || f.Uncertainty > most {
			t.Errorf("%s: uncertainty %g, want %g to %g", c.name, f.Uncertainty, chord, most)
		}
		wantOnly(t, c.name, list, c.id)
		if checks.Overall(list) != checks.Borderline {
			t.Errorf("%s: overall %v", c.name, checks.Overall(list))
		}
	}
	// The height knows no chord, only storage: on the limit itself that decides nothing.
	list, _ := run(t, frame(t, ""), partOf(side(0.02, 0.05), tol.RoundoffSTL, 0))
	if f := find(t, list, "fit.height", ""); f.Verdict != checks.Borderline || !(f.Uncertainty > 0 && f.Uncertainty < 1e-4) {
		t.Errorf("a height on its limit is %v (±%g)", f.Verdict, f.Uncertainty)
	}
}

// What looks wrong and is right must not be rejected.
func TestRightThoughItLooksWrong(t *testing.T) {
	step := []float64{-60, -49.98, 49.98, 60}
	flange := meshtest.Grid(step, []float64{-40, -29.98, 29.98, 40}, []float64{0, 40.01, 40.03}, func(i, j, k int) bool { return k == 1 || i == 1 && j == 1 })
	core := meshtest.Grid([]float64{-49.98, -10, 10, 49.98}, []float64{-29.98, -8, 8, 29.98}, []float64{0, 40.03, 55}, func(i, j, k int) bool { return k == 0 || i == 1 && j == 1 })
	loose := meshtest.Box(at(-49.98, -29.98, 0), at(49, 29, 40.03))
	for _, c := range []struct {
		name, rules string
		m           *mesh.Mesh
	}{
		{"a flange above the pocket is wider than it", "judge: {steel.wall: \"off\"}\n", // it is a foil, which is another matter
			flange.Mesh},
		{"a core stands above the parting face", "", core.Mesh},
		{"sides that do not locate are loose", strings.Replace(base, "  seat_bearing: 75 %\n", "  seat_bearing: 75 %\n  locating: [left, front]\n", 1), loose.Mesh},
		{"the pad's zone ends flush with a cut", "zones: [{name: pad, must: solid, shape: {box: {min: [31, -5, 20], max: [44, 5, 39]}}}]\n", meshtest.BlockWithPockets(nominal, box(-20, -12, 25, 31, 10, 50)).Mesh},
		{"little metal is allowed in the zone", "zones: [{name: slot, must: open, allowance: {volume: 1000 mm3}, shape: {box: {min: [-52, -10, 10], max: [-45, 10, 20]}}}]\n", meshtest.Box(nominal.Min, nominal.Max).Mesh},
		{"a zone of the other half", "zones: [{name: slot, must: open, half: moving, shape: {box: {min: [-10, -10, 0], max: [10, 10, 10]}}}]\n", meshtest.Box(nominal.Min, nominal.Max).Mesh},
	} {
		var f *rules.Frame
		if strings.HasPrefix(c.rules, "frame:") {
			var err error
			if f, err = rules.LoadFS(fstest.MapFS{"f.yaml": {Data: []byte(c.rules)}}, "f.yaml"); err != nil {
				t.Fatal(err)
			}
		} else {
			f = frame(t, c.rules)
		}
		list, _ := run(t, f, exact(c.m))
		wantOnly(t, c.name, list, "none")
		if v := checks.Overall(list); v != checks.Pass {
			t.Errorf("%s: %v", c.name, v)
		}
	}
}

// A round pocket with flats, and an insert of flat facets in it: the corners of the facets lie on
// the circle, which is where the clearance is least.
func TestRoundPocket(t *testing.T) {
	f, err := rules.LoadFS(fstest.MapFS{"f.yaml": {Data: []byte(`frame: Round
pocket:
  outline: {circle: {diameter: 110, flats: [{outward: 90 deg, distance: 51}]}}
  depth: 36
  clearance: {least: 0.01, most: 0.04}
  proud: {least: 0.02, most: 0.05}
  seat_bearing: 80 %
`)}}, "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	disc := func(radius, flat float64) *mesh.Mesh {
		ring := meshtest.Regular(r2.Point{}, radius, 180)
		// Cut at y = flat: where an edge crosses, the crossing takes the place of what is beyond.
		var cut []r2.Point
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			if p.Y <= flat {
				cut = append(cut, p)
			}
			if (p.Y < flat) != (q.Y < flat) {
				cut = append(cut, p.Add(q.Sub(p).Mul((flat-p.Y)/(q.Y-p.Y))))
			}
		}
		return meshtest.Prism(cut, nil, 0, 36.03).Mesh
	}
	list, _ := run(t, f, exact(disc(54.98, 50.98)))
	wantOnly(t, "clean disc", list, "none")
	meshtest.WantNear(t, "clearance", find(t, list, "fit.outline", "").Value, 0.02, 1e-9)
	list, _ = run(t, f, exact(disc(54.98, 51.1)))
	wantOnly(t, "flat forgotten by 0.12", list, "fit.outline")
	if o := find(t, list, "fit.outline", ""); o.Verdict != checks.Fail || !strings.Contains(o.Says, "flat 1") {
		t.Errorf("flat too far out: %v, %s", o.Verdict, o.Says)
	}
	list, _ = run(t, f, exact(disc(54.9, 50.98)))
	wantOnly(t, "disc too small", list, "fit.clearance")
	meshtest.WantNear(t, "gap", find(t, list, "fit.clearance", "").Value, 0.1, 1e-9)
}

// Sides of unlike length have unlike limits under one ISO 286 fit, and the stricter side counts
// even where the other is nearer to every corner.
func TestEachSideIsHeldAgainstItsOwnFit(t *testing.T) {
	load := func() *rules.Frame {
		f, err := rules.LoadFS(fstest.MapFS{"f.yaml": {Data: []byte(`frame: Fit
pocket:
  outline: {rectangle: {width: 164, length: 116}}
  depth: 42
  fit: H7/g6
`)}}, "f.yaml")
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	// g6 is -14 to -39 micrometres on 164 mm and -12 to -34 on 116 mm: 0.007 and 0.006 per side.
	good := meshtest.Box(at(-81.9929, -57.9939, 0), at(81.9929, 57.9939, 42.02))
	list, _ := run(t, load(), exact(good.Mesh))
	wantOnly(t, "both sides within", list, "none")
	short := meshtest.Box(at(-81.9932, -57.9939, 0), at(81.9932, 57.9939, 42.02))
	list, _ = run(t, load(), exact(short.Mesh))
	wantOnly(t, "0.0068 left and right", list, "fit.outline")
	if f := find(t, list, "fit.outline", ""); f.Verdict != checks.Fail || math.Abs(f.Nearest-0.007) > 1e-9 {
		t.Errorf("0.0068 mm where 0.007 is asked: %v against %g", f.Verdict, f.Nearest)
	}
}

func TestSeverities(t *testing.T) {
	wide := meshtest.Box(at(-49.98, -29.98, 0), at(50.05, 29.98, 40.03)).Mesh
	list, _ := run(t, frame(t, "judge: {fit.outline: warn}\n"), exact(wide))
	if f := find(t, list, "fit.outline", ""); f.Verdict != checks.Warned {
		t.Errorf("warn gives %v", f.Verdict)
	}
	if v := checks.Overall(list); v != checks.Pass {
		t.Errorf("a warning comes to %v", v)
	}
	list, _ = run(t, frame(t, "judge: {fit.outline: \"off\"}\n"), exact(wide))
	for _, f := range list {
		if f.Check.ID == "fit.outline" {
			t.Errorf("off gives %v", f.Verdict)
		}
	}
}

func TestFindingsDoNotDependOnWhoMeasuresFirst(t *testing.T) {
	f := frame(t, whole)
	a, _ := run(t, f, exact(cleanSolid().Mesh))
	b, _ := run(t, f, exact(cleanSolid().Mesh))
	if len(a) != len(b) {
		t.Fatalf("%d and %d findings", len(a), len(b))
	}
	for i := range a {
		if a[i].Reading != b[i].Reading || a[i].Judged != b[i].Judged {
			t.Errorf("%s: %+v and %+v", a[i].Check.ID, a[i].Reading, b[i].Reading)
		}
	}
}

func mapFS(text string) fstest.MapFS { return fstest.MapFS{"f.yaml": {Data: []byte(text)}} }
