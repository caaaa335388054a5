package checks_test

import (
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/checks/plate"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

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

func TestSpecimensOfSteelSpread(t *testing.T) {
	wall := func(thick float64) []checks.Finding {
		return one(t, "steel.spread", strength, pocketed(box(30, -12, 15, 49.98-thick, 10, 50)))
	}
	gives := func(thick float64) float64 {
		p := plate.Wall{Steel: plate.Steel{ModulusMPa: 205000, Poisson: 0.3}, HeightMM: 25.03, LengthMM: 22, ThicknessMM: thick}
		return p.BendingMM(50) + p.ShearMM(50)/2
	}
	specimens(t, "steel.spread",
		specimen{clean, "10 mm of wall", wall(9.98), "", gives(9.98), 1e-6},
		specimen{defective, "4 mm of wall", wall(3.98), "", gives(3.98), 1e-6},
		specimen{looksWrong, "a core that stands 2 mm from the side has no wall there", one(t, "steel.spread", strength, cored(box(30, -8, 0, 48, 8, 70))), "", 0, 0},
	)
}
