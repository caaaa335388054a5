package checks_test

import (
	"strings"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/checks/plate"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

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

func TestSpecimensOfSteelFloor(t *testing.T) {
	over := func(top float64) []checks.Finding {
		return one(t, "steel.floor", strength, pocketed(detail, box(-10, -8, -1, 10, 8, top)))
	}
	// A plate of 20 x 16, between fixed and hinged (Roark, Table 11.4, cases 8a and 1a).
	bent := func(thick float64) (middle, within float64) {
		p := plate.Rectangle{Steel: plate.Steel{ModulusMPa: 205000, Poisson: 0.3}, LongMM: 20, ShortMM: 16, ThicknessMM: thick}
		least, most := p.BendingMM(50, plate.Fixed)+p.ShearMM(50), p.BendingMM(50, plate.Hinged)+p.ShearMM(50)
		return (least + most) / 2, (most-least)/2 + 0.1*most
	}
	thin, ofThin := bent(2)
	thick, ofThick := bent(12)
	specimens(t, "steel.floor",
		specimen{clean, "12 mm over a gap", over(13), "", thick, ofThick},
		specimen{defective, "2 mm over a gap", over(23), "", thin, ofThin},
		specimen{looksWrong, "1 mm over a gap that no detail lies on", one(t, "steel.floor", strength, pocketed(box(-20, -12, 25, -5, 10, 50), box(10, -8, -1, 26, 8, 39))), "", 0, 0},
	)
}
