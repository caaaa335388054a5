package checks_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

// brokenBlock is the nominal block whose lower edge stays back by so much at the left, front,
// right and back, up to a height.
func brokenBlock(in [4]float64, height float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	rings := [3][4]float64{{in[0], in[1], in[2], in[3]}}
	for k, z := range [3]float64{0, height, nominal.Max.Z} {
		x0, y0 := nominal.Min.X+rings[k][0], nominal.Min.Y+rings[k][1]
		x1, y1 := nominal.Max.X-rings[k][2], nominal.Max.Y-rings[k][3]
		m.Vertices = append(m.Vertices, at(x0, y0, z), at(x1, y0, z), at(x1, y1, z), at(x0, y1, z))
	}
	for r := range int32(2) {
		for k := range int32(4) {
			a, b := 4*r+k, 4*r+(k+1)%4
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 4}, [3]int32{a, b + 4, a + 4})
		}
	}
	m.Triangles = append(m.Triangles, [3]int32{0, 2, 1}, [3]int32{0, 3, 2}, [3]int32{8, 9, 10}, [3]int32{8, 10, 11})
	return m
}

func TestFitEdgeBreak(t *testing.T) {
	const asked = "  edge_break: {least: 0.5, most: 1.5}\n"
	withBreak := strings.Replace(base, "  seat_bearing", asked+"  seat_bearing", 1)
	f, err := rules.LoadFS(mapFS(withBreak), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	// A round insert: a quarter round of eight chords at its lower edge.
	for _, c := range []struct {
		name    string
		m       *mesh.Mesh
		verdict checks.Verdict
		value   float64
		says    string
	}{
		{"a chamfer of 1 all around", brokenBlock([4]float64{1, 1, 1, 1}, 1), checks.Pass, 1, "a chamfer of 45 deg"},
		{"exactly the least", brokenBlock([4]float64{0.5, 0.5, 0.5, 0.5}, 0.5), checks.Pass, 0.5, "0.500 to 0.500 mm"},
		{"a steep lead", brokenBlock([4]float64{1, 1, 1, 1}, 4), checks.Pass, 1, "half way it is 2.00 mm high"},
		{"none at the right", brokenBlock([4]float64{1, 1, 0, 1}, 1), checks.Fail, 0, fmt.Sprintf("Over %.1f mm of it, in 1 stretch(es)", 59.96-2)},
		{"none at all", meshtest.Box(nominal.Min, nominal.Max).Mesh, checks.Fail, 0, "319.8 mm of it, in 1 stretch"},
		{"2.2 at the back", brokenBlock([4]float64{1, 1, 1, 2.2}, 1), checks.Fail, 2.2, "the worst is at the back"},
		{"a slot in the seat, open to the left", func() *mesh.Mesh {
			// The slot's border runs away from the side and is no lower edge.
			return meshtest.BlockWithPockets(nominal, box(-60, -5, -1, -30, 5, 6)).Mesh
		}(), checks.Fail, 0, "Over 309.8 mm of it, in 1 stretch(es)"},
	} {
		s, err := checks.NewSubject(f, exact(c.m))
		if err != nil {
			t.Fatal(err)
		}
		r := checks.ByID("fit.edge-break").Measure(s)[0]
		if v := checks.Judge(r).Verdict; v != c.verdict || !strings.Contains(r.Says, c.says) {
			t.Errorf("%s: %v, %s", c.name, v, r.Says)
		}
		meshtest.WantNear(t, c.name, r.Value, c.value, 1e-9)
	}
	// A radius of 1 at the edge of a round insert.
	round, err := rules.LoadFS(mapFS("frame: Round\npocket:\n  outline: {circle: {diameter: 60}}\n  depth: 36\n  clearance: {least: 0.01, most: 0.04}\n"+asked), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	profile := []r2.Point{{X: 0, Y: 0}, {X: 28.98, Y: 0}}
	for _, p := range meshtest.Regular(r2.Point{X: 28.98, Y: 1}, 1, 64) {
		if p.X > 28.98 && p.Y < 1 && p.Y > 0 {
			profile = append(profile, p)
		}
	}
	profile = append(profile, r2.Point{X: 29.98, Y: 1}, r2.Point{X: 29.98, Y: 36.03}, r2.Point{X: 0, Y: 36.03})
	s, err := checks.NewSubject(round, exact(meshtest.Revolve("round", profile, 720).Mesh))
	if err != nil {
		t.Fatal(err)
	}
	r := checks.ByID("fit.edge-break").Measure(s)[0]
	if v := checks.Judge(r).Verdict; v != checks.Pass || !strings.Contains(r.Says, "a radius") {
		t.Errorf("a radius of 1: %v, %s", v, r.Says)
	}
	// Chords of half a degree on 30 mm stand 0.0003 mm within the round.
	meshtest.WantNear(t, "a radius of 1", r.Value, 1, 4e-4)
}

func TestSpecimensOfFitEdgeBreak(t *testing.T) {
	f, err := rules.LoadFS(mapFS(strings.Replace(base, "  seat_bearing", "  edge_break: {least: 0.5, most: 1.5}\n  seat_bearing", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	breaks := func(in float64, height float64) []checks.Finding {
		return of(t, subject(t, f, brokenBlock([4]float64{in, in, in, in}, height)), "fit.edge-break")
	}
	specimens(t, "fit.edge-break",
		specimen{clean, "a chamfer of 1", breaks(1, 1), "", 1, 1e-9},
		specimen{defective, "a chamfer of 2.2", breaks(2.2, 2.2), "", 2.2, 1e-9},
		specimen{looksWrong, "a steep lead four times as high as wide", breaks(1, 4), "", 1, 1e-9},
	)
}
