package checks_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/checks/plate"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

// strength are rules under which only deflections can be broken, and 50 MPa of melt.
const strength = "steel: {wall: {any: 0.5, detail_back: 0.5, detail_side: 0.5, detail_bore: 0.5}, feather_angle: 1 deg}\npress: {cavity_pressure: {most: 50 MPa}}\n"

// measured is the one reading of a check on an insert of 1.2311, E = 205 GPa.
func measured(t *testing.T, id, more string, m *mesh.Mesh) (checks.Reading, checks.Judged) {
	t.Helper()
	f := frame(t, more)
	s, err := checks.NewSubject(f, exact(m))
	if err != nil {
		t.Fatal(err)
	}
	s.Steel = f.SteelGrade("1.2311")
	list := checks.ByID(id).Measure(s)
	if len(list) != 1 {
		t.Fatalf("%s: %d readings", id, len(list))
	}
	return list[0], checks.Judge(list[0])
}

// A cavity of 50 x 22 with its floor at z = 25, and a gap of 20 x 16 cut into the back under it.
func TestFloorOverAGap(t *testing.T) {
	over := func(top float64, more ...geom.Box) *mesh.Mesh {
		return meshtest.BlockWithPockets(nominal, append([]geom.Box{detail, box(-10, -8, -1, 10, 8, top)}, more...)...).Mesh
	}
	steel := plate.Steel{ModulusMPa: 205000, Poisson: 0.3}
	for _, c := range []struct {
		name    string
		m       *mesh.Mesh
		thick   float64
		verdict checks.Verdict
		says    string
	}{
		{"2 mm thick", over(23), 2, checks.Fail, "15.9 by 20"},
		{"12 mm thick", over(13), 12, checks.Pass, "shear"},
	} {
		r, j := measured(t, "steel.floor", strength, c.m)
		if j.Verdict != c.verdict || !strings.Contains(r.Says, c.says) || !r.Located {
			t.Errorf("%s: %v, want %v: %s", c.name, j.Verdict, c.verdict, r.Says)
		}
		// The bracket holds what Roark's plate of 20 x 16 gives, and hardly more.
		p := plate.Rectangle{Steel: steel, LongMM: 20, ShortMM: 16, ThicknessMM: c.thick}
		least, most := p.BendingMM(50, plate.Fixed)+p.ShearMM(50), p.BendingMM(50, plate.Hinged)+p.ShearMM(50)
		low, high := r.Value-r.Uncertainty, r.Value+r.Uncertainty
		if low > least || high < most || low < 0.82*least || high > 1.15*most {
			t.Errorf("%s: %.5f to %.5f, the formulas have %.5f to %.5f", c.name, low, high, least, most)
		}
	}
	// By hand, for the thick one: shear 50 16^2/(8 (5/6) 78846 12) = 0.00203 is most of it.
	r, _ := measured(t, "steel.floor", strength, over(13))
	if r.Value < 0.00203 || r.Value > 0.004 {
		t.Errorf("thick floor: %g", r.Value)
	}
	// A thinner floor that no detail lies on carries nothing.
	beside := meshtest.BlockWithPockets(nominal, box(-20, -12, 25, -5, 10, 50), box(10, -8, -1, 26, 8, 39)).Mesh
	if r, j := measured(t, "steel.floor", strength, beside); j.Verdict != checks.Pass || r.Value != 0 || !strings.Contains(r.Says, "No detail") {
		t.Errorf("a gap beside the detail: %v, %s", j.Verdict, r.Says)
	}
	// A round gap is a disc: 50 10^4/64 D with D = 205000 2^3/(12 0.91) is 0.0520 mm, and the shear of a disc 0.0095.
	ring := meshtest.Regular(r2.Point{}, 10, 96)
	round := roundGap(ring, 23, 25)
	r, j := measured(t, "steel.floor", strength, round)
	if j.Verdict != checks.Fail || !strings.Contains(r.Says, "diameter 19.") {
		t.Errorf("round gap: %v, %s", j.Verdict, r.Says)
	}
	if low := r.Value - r.Uncertainty; low > 0.0615 || low < 0.82*0.0615 {
		t.Errorf("round gap: at least %.5f, want just under 0.0615", low)
	}
	// Without a pressure nothing is asked, without a modulus nothing is measured.
	s, err := checks.NewSubject(frame(t, ""), exact(over(23)))
	if err != nil {
		t.Fatal(err)
	}
	if list := checks.ByID("steel.floor").Measure(s); len(list) != 0 {
		t.Errorf("no pressure: %+v", list)
	}
	s, err = checks.NewSubject(frame(t, strength), exact(over(23)))
	if err != nil {
		t.Fatal(err)
	}
	if list := checks.ByID("steel.floor").Measure(s); len(list) != 1 || list[0].Measured || list[0].Why == "" {
		t.Errorf("no steel: %+v", list)
	}
}

// roundGap is the nominal block with a square groove of detail all along y, and a round blind hole
// from the seat up to gap, under the groove's floor.
func roundGap(ring []r2.Point, gap, floor float64) *mesh.Mesh {
	const w, l = 49.98, 29.98
	block := meshtest.Rectangle(r2.Point{X: -w, Y: -l}, r2.Point{X: w, Y: l})
	lower := meshtest.Prism(block, [][]r2.Point{ring}, 0, gap).Mesh
	upper := meshtest.BlockWithPockets(box(-w, -l, gap, w, l, 40.03), box(-20, -15, floor, 20, 15, 50)).Mesh
	// The two meet at z = gap, where the upper's bottom keeps only what closes the hole.
	m := &mesh.Mesh{}
	number := map[[3]float64]int32{}
	add := func(from *mesh.Mesh, keep func(t int) bool) {
		for t := range from.Triangles {
			if !keep(t) {
				continue
			}
			var tri [3]int32
			for k, v := range from.Triangles[t] {
				p := from.Vertices[v]
				key := [3]float64{p.X, p.Y, p.Z}
				n, ok := number[key]
				if !ok {
					n = int32(len(m.Vertices))
					number[key] = n
					m.Vertices = append(m.Vertices, p)
				}
				tri[k] = n
			}
			m.Triangles = append(m.Triangles, tri)
		}
	}
	at := func(from *mesh.Mesh, t int, z float64) bool {
		a, b, c := from.Corners(t)
		return a.Z == z && b.Z == z && c.Z == z
	}
	add(lower, func(t int) bool { return !at(lower, t, gap) })
	add(upper, func(t int) bool { return !at(upper, t, gap) })
	lid := meshtest.Prism(ring, nil, gap-1, gap).Mesh
	for i, p := range lid.Vertices {
		if p.Z == gap-1 {
			lid.Vertices[i].Z = -1000 // told apart from the top, and left out
		}
	}
	// The hole's end looks down: the prism's top, turned over.
	top := &mesh.Mesh{Vertices: lid.Vertices}
	for t, tri := range lid.Triangles {
		if at(lid, t, gap) {
			top.Triangles = append(top.Triangles, [3]int32{tri[0], tri[2], tri[1]})
		}
	}
	add(top, func(int) bool { return true })
	return m
}

// A cavity whose right wall is the thin one: 22 mm long, 25.03 mm high.
func TestSideSpread(t *testing.T) {
	wall := func(right float64) *mesh.Mesh {
		return meshtest.BlockWithPockets(nominal, box(30, -12, 15, right, 10, 50)).Mesh
	}
	steel := plate.Steel{ModulusMPa: 205000, Poisson: 0.3}
	for _, c := range []struct {
		name    string
		right   float64
		verdict checks.Verdict
	}{{"4 mm of wall", 46, checks.Fail}, {"10 mm of wall", 40, checks.Pass}} {
		r, j := measured(t, "steel.spread", strength, wall(c.right))
		thick := 49.98 - c.right
		p := plate.Wall{Steel: steel, HeightMM: 25.03, LengthMM: 22, ThicknessMM: thick}
		meshtest.WantNear(t, c.name, r.Value, p.BendingMM(50)+p.ShearMM(50)/2, 1e-6)
		if j.Verdict != c.verdict || !strings.Contains(r.Says, "to the right, 25.0 mm high, 22.0 mm long") {
			t.Errorf("%s: %v, want %v: %s", c.name, j.Verdict, c.verdict, r.Says)
		}
		if !(r.Uncertainty >= p.ShearMM(50)/2) {
			t.Errorf("%s: uncertainty %g does not span the shear %g", c.name, r.Uncertainty, p.ShearMM(50))
		}
	}
	// A core above the parting face has no wall to the side, however near to it.
	core := meshtest.Grid([]float64{-49.98, 30, 48, 49.98}, []float64{-29.98, -8, 8, 29.98}, []float64{0, 40.03, 70}, func(i, j, k int) bool { return k == 0 || i == 1 && j == 1 })
	if r, j := measured(t, "steel.spread", strength, core.Mesh); j.Verdict != checks.Pass || r.Value != 0 {
		t.Errorf("a core: %v, %s", j.Verdict, r.Says)
	}
}

// A rib of 2 mm that stands in a cavity, 14 mm long.
func TestBlades(t *testing.T) {
	rib := func(floor float64, ends ...geom.Box) *mesh.Mesh {
		return meshtest.BlockWithPockets(nominal, append([]geom.Box{box(-20, -12, floor, -1, 10, 50), box(1, -12, floor, 20, 10, 50)}, ends...)...).Mesh
	}
	free := func(floor float64) *mesh.Mesh {
		return rib(floor, box(-1, -12, floor, 1, -8, 50), box(-1, 6, floor, 1, 10, 50))
	}
	for _, c := range []struct {
		name    string
		m       *mesh.Mesh
		value   float64
		verdict checks.Verdict
	}{
		{"25 mm high", free(15), 25.03 / 2, checks.Fail},
		{"10 mm high", free(30), 10.03 / 2, checks.Pass},
		{"held at both ends", rib(15), 0, checks.Pass},
	} {
		r, j := measured(t, "steel.blade", "", c.m)
		if j.Verdict != c.verdict || math.Abs(r.Value-c.value) > r.Uncertainty || r.Uncertainty > 1 {
			t.Errorf("%s: %v, %g (±%g); want %v, %g: %s", c.name, j.Verdict, r.Value, r.Uncertainty, c.verdict, c.value, r.Says)
		}
	}
	// Thinner than walls may be it is steel.wall's.
	if r, j := measured(t, "steel.blade", "steel: {wall: {any: 2.5}}\n", free(15)); j.Verdict != checks.Pass || r.Value != 0 {
		t.Errorf("thinner than a wall: %v, %s", j.Verdict, r.Says)
	}
}

// A groove whose right wall leans over: the metal at its upper edge has the angle atan(10.03/20).
func TestFeatherEdges(t *testing.T) {
	const w, top, floor = 49.98, 40.03, 30.0
	lean := func(by float64) *mesh.Mesh {
		return lying(meshtest.Prism([]r2.Point{{X: -w}, {X: w}, {X: w, Y: top}, {X: 10, Y: top}, {X: 10 + by, Y: floor}, {X: -10, Y: floor}, {X: -10, Y: top}, {X: -w, Y: top}}, nil, -29.98, 29.98).Mesh)
	}
	angle := math.Atan2(top-floor, 20) * 180 / math.Pi
	for _, c := range []struct {
		name, rules string
		by, value   float64
		verdict     checks.Verdict
	}{
		{"sharper than 30 degrees", "steel: {feather_angle: 30 deg}\n", 20, angle, checks.Fail},
		{"blunter than 20 degrees", "", 20, angle, checks.Pass},
		{"a draft the right way", "", -1, 45, checks.Pass},
		{"a square groove", "", 0, 45, checks.Pass},
	} {
		r, j := measured(t, "steel.feather", c.rules, lean(c.by))
		meshtest.WantNear(t, c.name, r.Value, c.value, 1e-9)
		if j.Verdict != c.verdict {
			t.Errorf("%s: %v, want %v: %s", c.name, j.Verdict, c.verdict, r.Says)
		}
	}
}
