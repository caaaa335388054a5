package checks_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/place"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/tol"
)

func failing(list []checks.Finding) []string {
	var ids []string
	for _, f := range list {
		if f.Verdict == checks.Fail {
			ids = append(ids, f.Check.ID)
		}
	}
	return ids
}

// Set down in any of the 24 ways, moved anywhere, drawn in millimetres or inches: one finding, and
// what is judged in the end is the insert where it belongs.
func TestEveryWrongDatumIsOneFinding(t *testing.T) {
	rng := meshtest.Random(t)
	f := frame(t, zones+"judge: {steel.wall: \"off\"}\n")
	solid := cleanSolid()
	want := solid.Faceted.CentroidMM
	for i, turn := range place.Turns() {
		for _, scale := range []float64{1, 1 / 25.4} {
			// Each turn once: the scale is found before any turn.
			if (scale != 1) != (i%4 == 3) {
				continue
			}
			move := at(400*rng.Float64()-200, 400*rng.Float64()-200, 400*rng.Float64()-200)
			m := geom.ScaleBy(scale).After(geom.Translate(move)).After(turn.Motion)
			name := fmt.Sprintf("turn %d (%s), moved by %v, scaled by %g", i, turn.Says, move, scale)
			list, s := run(t, f, partOf(solid.Mesh.Moved(m), tol.RoundoffSTL, 0))
			id := "fit.placement"
			if scale != 1 {
				id = "file.unit"
			}
			if got := failing(list); len(got) != 1 || got[0] != id {
				t.Errorf("%s: %v fail, want %s alone", name, got, id)
				continue
			}
			mend := find(t, list, id, "").Advice()
			if !strings.Contains(mend, "ove it") || scale != 1 && !strings.Contains(mend, "cale it by 25.4") {
				t.Errorf("%s: mend %q", name, mend)
			}
			// Stored in 32 bits a few hundred millimetres away.
			meshtest.WantNearVector(t, name, s.Measures().CentroidMM, want, 1e-4)
		}
	}
}

// A missing clamp slot is one finding where the insert lies right, and does not hide a wrong
// datum where it lies wrong: two causes, two findings.
func TestWrongDatumBesideAnotherFault(t *testing.T) {
	f := frame(t, zones+"judge: {steel.wall: \"off\"}\n")
	noSlot := meshtest.BlockWithPockets(nominal, detail).Mesh
	wide := meshtest.BlockWithPockets(geom.Box{Min: nominal.Min, Max: nominal.Max.Add(at(0.2, 0, 0))}, box(-60, -10, 10, -44, 10, 20), detail).Mesh
	flip := geom.Translate(at(3, 4, 45)).After(place.Turns()[4].Motion)
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want string
	}{
		{"no clamp slot", noSlot, "zone.open"},
		{"no clamp slot, drawn 7 mm aside", noSlot.Moved(geom.Translate(at(7, 0, 0))), "fit.placement zone.open"},
		{"no clamp slot, upside down and aside", noSlot.Moved(flip), "fit.placement zone.open"},
		{"0.16 mm too wide, drawn 7 mm aside", wide.Moved(geom.Translate(at(7, 0, 0))), "fit.placement fit.outline"},
	} {
		list, _ := run(t, f, exact(c.m))
		if got := strings.Join(failing(list), " "); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// The seat is the large level and not the lowest point, and a flange above the pocket is no part
// of what the outline is matched with.
func TestSeatAndOutlineOfAModel(t *testing.T) {
	xs, ys, zs := []float64{0, 10, 20, 40, 70}, []float64{0, 10, 30}, []float64{0, 6, 46, 50}
	// A block 40 x 30 and 40 high from z = 6, a foot beneath one corner of it, a flange above to the right.
	m := meshtest.Grid(xs, ys, zs, func(i, j, k int) bool {
		switch k {
		case 0:
			return i == 1 && j == 0
		case 1:
			return i < 3
		}
		return true
	}).Mesh
	st := place.StandOf(m, 39, tol.LevelMM)
	if st.SeatMM != 6 {
		t.Errorf("seat at %g, want 6", st.SeatMM)
	}
	if got, want := st.Move(1, 2), (r3.Vector{X: 1 - 20, Y: 2 - 15, Z: -6}); got != want {
		t.Errorf("move %v, want %v", got, want)
	}
	// Control: the middle of the whole box lies elsewhere.
	if c := m.Bounds().Center(); c.X == 20 {
		t.Errorf("the flange does not show in the box: %v", c)
	}
}

func TestSpecimensOfFitPlacement(t *testing.T) {
	half := geom.Motion{Rotation: [3]r3.Vector{{X: -1}, {Y: -1}, {Z: 1}}, Scale: 1}
	quarter := geom.Motion{Rotation: [3]r3.Vector{{Y: -1}, {X: 1}, {Z: 1}}, Scale: 1}
	specimens(t, "fit.placement",
		specimen{clean, "as it should lie", by(t, zones, cleanSolid().Mesh), "", 0, 0},
		specimen{defective, "turned a quarter: one step puts it right", by(t, zones, cleanSolid().Mesh.Moved(quarter)), "", 1, 0},
		specimen{looksWrong, "turned half round, a block that has no front", by(t, "", plain().Moved(half)), "", 0, 0},
	)
}
