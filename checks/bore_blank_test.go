package checks_test

import (
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

// The blank has a slot at either end; the right one is the blank's alone, the left one the frame's too.
func TestSlotsOfTheBlank(t *testing.T) {
	raw := geom.Box{Min: at(-49.98, -29.98, 0), Max: at(49.98, 29.98, 41)}
	right := box(45, -10, 22, 60, 10, 32) // 4.98 deep: walls of 2 x 30 x 4.98 and 200 mm2
	blankOf := func() *mesh.Part { return exact(meshtest.BlockWithPockets(raw, slot, right).Mesh) }
	wall := 2*(20+10)*4.98 + 200
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		fails string
		value float64
		says  string
	}{
		{"both slots", meshtest.BlockWithPockets(nominal, slot, right, detail).Mesh, "", 0, ""},
		{"the blank's slot is not drawn", meshtest.BlockWithPockets(nominal, slot, detail).Mesh, "bore.blank", 100, "100 % of the wall of the blank's slot at (47.49, 0, 27), where the blank has none"},
		{"the frame's slot is not drawn", meshtest.BlockWithPockets(nominal, right, detail).Mesh, "zone.open", 0, "996 mm3"},
		{"a way cut through the slot's back", meshtest.BlockWithPockets(nominal, slot, right, detail, box(35, -4, 22.5, 46, 4, 31.5)).Mesh, "bore.blank", 100 * 72 / wall, "of the wall of the blank's slot at (47.49, 0, 27) is cut away"},
	} {
		s, err := checks.NewSubject(frame(t, zones), exact(c.m))
		if err != nil {
			t.Fatal(err)
		}
		s.BlankModel = blankOf()
		list, _ := checks.Run(s)
		var fails []string
		for _, f := range list {
			if f.Verdict == checks.Pass {
				continue
			}
			fails = append(fails, f.Check.ID)
			if f.Check.ID != c.fails || !strings.Contains(f.Says, c.says) || f.Verdict != checks.Fail {
				t.Errorf("%s: %s is %v: %s", c.name, f.Check.ID, f.Verdict, f.Says)
			}
			if c.fails == "bore.blank" {
				meshtest.WantNear(t, c.name, f.Value, c.value, f.Uncertainty)
			}
		}
		if want := c.fails; strings.Join(fails, " ") != want {
			t.Errorf("%s: %v, want %q alone", c.name, fails, want)
		}
	}
}

// A bore that the blank comes with, kept, lost, and drilled on from its end.
func TestBoresOfTheBlank(t *testing.T) {
	raw := drilledFromSeat(10, 5, 6.8, 16)
	for _, c := range []struct {
		name    string
		m       *mesh.Mesh
		verdict checks.Verdict
		says    string
	}{
		{"kept", drilledFromSeat(10, 5, 6.8, 16), checks.Pass, "as the blank has it"},
		{"drilled deeper", drilledFromSeat(10, 5, 6.8, 22), checks.Pass, "as the blank has it"},
		{"not drawn", meshtest.Box(nominal.Min, nominal.Max).Mesh, checks.Fail, "is missing"},
		{"drawn elsewhere", drilledFromSeat(-20, 5, 6.8, 16), checks.Fail, "is missing"},
		{"drawn beside its place", drilledFromSeat(10, 5.3, 6.8, 16), checks.Fail, "stands 0.300 mm beside its place"},
		{"drawn too shallow", drilledFromSeat(10, 5, 6.8, 12), checks.Fail, "is 12.00 mm deep, not 16.00"},
		{"drawn wider", drilledFromSeat(10, 5, 8, 16), checks.Fail, "is 8.000 mm wide"},
	} {
		s, err := checks.NewSubject(frame(t, ""), exact(c.m))
		if err != nil {
			t.Fatal(err)
		}
		s.BlankModel = exact(raw)
		list := checks.ByID("bore.blank").Measure(s)
		if len(list) != 1 || checks.Judge(list[0]).Verdict != c.verdict || !strings.Contains(list[0].Of, "bore of 6.80 mm") || !strings.Contains(list[0].Says, c.says) {
			t.Errorf("%s: %+v", c.name, list)
		}
	}
}

func TestSpecimensOfBoreBlank(t *testing.T) {
	kept := func(m *mesh.Mesh) []checks.Finding {
		s := subject(t, frame(t, ""), m)
		s.BlankModel = exact(drilledFromSeat(10, 5, 6.8, 16))
		return of(t, s, "bore.blank")
	}
	name := kept(plain())[0].Of
	specimens(t, "bore.blank",
		specimen{clean, "kept", kept(drilledFromSeat(10, 5, 6.8, 16)), name, 0, 0},
		specimen{defective, "not drawn", kept(plain()), name, 100, 1e-9},
		specimen{looksWrong, "drilled on from its end", kept(drilledFromSeat(10, 5, 6.8, 22)), name, 0, 0},
	)
}
