package checks_test

import (
	"math"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

func TestDrawUndercut(t *testing.T) {
	const depth = 15.0
	groove := box(29, -5, 27, 35, 5, 30) // 5 into the right wall of the cavity, 10 wide, 3 high
	for _, c := range []struct {
		name, more      string
		m               *mesh.Mesh
		verdict         checks.Verdict
		value           float64
		says, mustNot   string
		upright, within float64
	}{
		{name: "a clamp slot and a cavity", m: cleanSolid().Mesh, verdict: checks.Pass, says: "Nothing"},
		{name: "a groove in a wall", m: meshtest.BlockWithPockets(nominal, slot, detail, groove).Mesh, verdict: checks.Fail,
			value: 5, says: "50.0 mm2 of the detail lean over the way out, 10.0 mm wide, with 150 mm3 beneath. A slide that moves 5.00 mm to the right (+x)", upright: 2*(50+22)*15.03 - 30},
		{name: "a groove right around", m: meshtest.BlockWithPockets(nominal, slot, detail, box(-22, -14, 27, 32, 12, 30)).Mesh, verdict: checks.Fail,
			value: math.Sqrt(8), says: "No single slide", upright: 2*(50+22)*15.03 - 2*(50+22)*3},
		{name: "a wall half a degree the wrong way", m: taperedPocket(mouth, depth, [4]float64{0.5, 0.5, -inset(0.5, depth), 0.5}), verdict: checks.Fail,
			value: inset(0.5, depth), says: "to the right (+x)"},
		{name: "a hook that the part slips over", more: "draw: {draft: {zero_draft_area: 10000 mm2}, undercut: {depth: 0.2 mm}}",
			m: taperedPocket(mouth, depth, [4]float64{0.5, 0.5, -inset(0.5, depth), 0.5}), verdict: checks.Pass, value: inset(0.5, depth)},
		{name: "a groove let pass for its volume", more: "draw: {draft: {zero_draft_area: 10000 mm2}, undercut: {volume: 200 mm3}}",
			m: meshtest.BlockWithPockets(nominal, slot, detail, groove).Mesh, verdict: checks.Pass, value: 5},
	} {
		text := base
		if c.more != "" {
			text = strings.Replace(base, uprightWalls, c.more, 1)
		}
		f, err := rules.LoadFS(mapFS(text), "f.yaml")
		if err != nil {
			t.Fatal(err)
		}
		s, err := checks.NewSubject(f, exact(c.m))
		if err != nil {
			t.Fatal(err)
		}
		r := checks.ByID("draw.undercut").Measure(s)[0]
		if v := checks.Judge(r).Verdict; v != c.verdict || !strings.Contains(r.Says, c.says) {
			t.Errorf("%s: %v, %s", c.name, v, r.Says)
		}
		meshtest.WantNear(t, c.name, r.Value, c.value, 1e-9)
		if c.upright > 0 {
			// What lies under the undercut is freed with it and not reported a second time.
			z := checks.ByID("draw.zero-draft").Measure(s)[0]
			meshtest.WantNear(t, c.name+": upright besides", z.Value, c.upright, 1e-6)
		}
	}
}

// With the draw leaning to the right, the cavity's right wall hangs over it.
func TestDrawNeedNotBeUp(t *testing.T) {
	f, err := rules.LoadFS(mapFS(strings.Replace(base, uprightWalls, "draw: {direction: [1, 0, 2], draft: {zero_draft_area: 10000 mm2}}", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := checks.NewSubject(f, exact(cleanSolid().Mesh))
	if err != nil {
		t.Fatal(err)
	}
	r := checks.ByID("draw.undercut").Measure(s)[0]
	if checks.Judge(r).Verdict != checks.Fail || !strings.Contains(r.Says, "330.7 mm2") || r.At.X != detail.Max.X {
		t.Errorf("at %v: %s", r.At, r.Says)
	}
	// 15.03 down the wall, at atan(1/2) to the draw.
	meshtest.WantNear(t, "depth square to the draw", r.Value, 15.03/math.Sqrt(5), 1e-9)
}

func TestSpecimensOfDrawUndercut(t *testing.T) {
	hook := taperedPocket(mouth, 15, [4]float64{0.5, 0.5, -inset(0.5, 15), 0.5})
	slips, err := rules.LoadFS(mapFS(strings.Replace(base, uprightWalls, "draw: {draft: {zero_draft_area: 10000 mm2}, undercut: {depth: 0.2 mm}}", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	specimens(t, "draw.undercut",
		specimen{clean, "a cavity", one(t, "draw.undercut", "", cleanSolid().Mesh), "", 0, 0},
		specimen{defective, "a groove 5 deep in its wall", one(t, "draw.undercut", "", pocketed(slot, detail, box(29, -5, 27, 35, 5, 30))), "", 5, 1e-9},
		specimen{defective, "a wall that leans over", one(t, "draw.undercut", "", hook), "", inset(0.5, 15), 1e-9},
		specimen{looksWrong, "a hook that the part slips over", of(t, subject(t, slips, hook), "draw.undercut"), "", inset(0.5, 15), 1e-9},
	)
}
