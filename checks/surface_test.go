package checks_test

import (
	"math"
	"path"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

func surfaceAreas(s *checks.Subject) map[checks.Surface]float64 {
	area := map[checks.Surface]float64{}
	for t, k := range s.Surfaces().Of {
		area[k] += s.Part.Mesh.AreaVector(t).Norm()
	}
	return area
}

// A block of 99.96 x 59.96 x 40.03 with a cavity of 50 x 22, 15.03 deep, and a clamp slot 4.98 deep,
// 20 x 10 at its mouth.
func TestSurfacesOfABlock(t *testing.T) {
	f := frame(t, zones)
	s, err := checks.NewSubject(f, exact(meshtest.BlockWithPockets(nominal, slot, detail).Mesh))
	if err != nil {
		t.Fatal(err)
	}
	const w, l, h = 99.96, 59.96, 40.03
	want := map[checks.Surface]float64{
		checks.Seat:    w * l,
		checks.Side:    2*(w+l)*h - 20*10,
		checks.Parting: w*l - 50*22,
		checks.Detail:  50*22 + 2*(50+22)*15.03,
		checks.Relief:  20*10 + 2*(20+10)*4.98,
	}
	got := surfaceAreas(s)
	for k, a := range want {
		if math.Abs(got[k]-a) > 1e-6 {
			t.Errorf("%v: %.6f mm2, want %.6f", k, got[k], a)
		}
	}
	if got[checks.Bored] != 0 {
		t.Errorf("a block without bores has %v mm2 of them", got[checks.Bored])
	}
}

// A clamp slot that is open to the top meets the parting face and is still the frame's; the same
// slot where the frame asks for none is detail.
func TestOpenSlotIsReliefOnlyWhereTheFrameAsks(t *testing.T) {
	high := box(-60, -10, 20, -45, 10, 50)
	ask := `zones:
  - {name: key, must: open, shape: {box: {min: [-52, -9, 21], max: [-45.5, 9, 45]}}}
`
	for more, want := range map[string]checks.Surface{ask: checks.Relief, "": checks.Detail} {
		s, err := checks.NewSubject(frame(t, more), exact(meshtest.BlockWithPockets(nominal, high).Mesh))
		if err != nil {
			t.Fatal(err)
		}
		area := surfaceAreas(s)
		if a := area[want]; math.Abs(a-(4.98*20+(20+2*4.98)*20.03)) > 1e-6 {
			t.Errorf("zones %q: the slot is not %v: %v", more, want, area)
		}
	}
}

// What the demo's drawing program drills (testdata/makeapiary), told apart by purpose.
func TestPurposesOfTheDemosBores(t *testing.T) {
	space, err := rules.LoadWorkspace("../testdata/apiary/pocketgauge.yaml")
	if err != nil {
		t.Fatal(err)
	}
	models, _, err := space.Resolve()
	if err != nil {
		t.Fatal(err)
	}
	type count map[checks.Purpose]int
	want := map[string]count{
		// A drilling that crosses a waterline comes out as two.
		"entrance-disc-moving.stl": {checks.Waterline: 4, checks.EjectorBore: 6, checks.ScrewBore: 2, checks.FrameBore: 1},
		"entrance-disc-fixed.stl":  {checks.Waterline: 4, checks.ScrewBore: 2, checks.OtherBore: 1},
		"bee-escape-moving.stp":    {checks.Waterline: 4, checks.EjectorBore: 4, checks.FrameBore: 1},
		"mouse-guard-fixed.stp":    {checks.Waterline: 4, checks.ScrewBore: 2, checks.OtherBore: 1},
	}
	seen := 0
	for _, m := range models {
		counts, ok := want[path.Base(m.Path)]
		if !ok {
			continue
		}
		seen++
		f, err := rules.Load(m.Entry.RulesPath)
		if err != nil {
			t.Fatal(err)
		}
		s, _, err := batch.Read(batch.Insert{File: m.Path, Frame: f, Half: m.Entry.Half})
		if err != nil {
			t.Fatal(err)
		}
		got := count{}
		for _, b := range checks.Righted(s).Surfaces().Bores {
			got[b.Purpose]++
		}
		for p := checks.OtherBore; p <= checks.FrameBore; p++ {
			if got[p] != counts[p] {
				t.Errorf("%s: %d of %v, want %d", m.Path, got[p], p, counts[p])
			}
		}
	}
	if seen != len(want) {
		t.Errorf("%d of %d demo inserts seen", seen, len(want))
	}
}
