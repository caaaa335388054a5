package checks_test

import (
	"math"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

// heldRib is a rib of 2 mm from wall to wall of a cavity, freeRib one of 14 mm length that stands free.
func heldRib(floor float64, ends ...geom.Box) *mesh.Mesh {
	return meshtest.BlockWithPockets(nominal, append([]geom.Box{box(-20, -12, floor, -1, 10, 50), box(1, -12, floor, 20, 10, 50)}, ends...)...).Mesh
}

func freeRib(floor float64) *mesh.Mesh {
	return heldRib(floor, box(-1, -12, floor, 1, -8, 50), box(-1, 6, floor, 1, 10, 50))
}

func TestBlades(t *testing.T) {
	for _, c := range []struct {
		name    string
		m       *mesh.Mesh
		value   float64
		verdict checks.Verdict
	}{
		{"25 mm high", freeRib(15), 25.03 / 2, checks.Fail},
		{"10 mm high", freeRib(30), 10.03 / 2, checks.Pass},
		{"held at both ends", heldRib(15), 0, checks.Pass},
	} {
		r, j := measured(t, "steel.blade", "", c.m)
		if j.Verdict != c.verdict || math.Abs(r.Value-c.value) > r.Uncertainty || r.Uncertainty > 1 {
			t.Errorf("%s: %v, %g (±%g); want %v, %g: %s", c.name, j.Verdict, r.Value, r.Uncertainty, c.verdict, c.value, r.Says)
		}
	}
	// Thinner than walls may be it is steel.wall's.
	if r, j := measured(t, "steel.blade", "steel: {wall: {any: 2.5}}\n", freeRib(15)); j.Verdict != checks.Pass || r.Value != 0 {
		t.Errorf("thinner than a wall: %v, %s", j.Verdict, r.Says)
	}
}

func TestSpecimensOfSteelBlade(t *testing.T) {
	specimens(t, "steel.blade",
		specimen{clean, "five times as high as thick", one(t, "steel.blade", "", freeRib(30)), "", 10.03 / 2, 1},
		specimen{defective, "twelve times as high as thick", one(t, "steel.blade", "", freeRib(15)), "", 25.03 / 2, 1},
		specimen{looksWrong, "as slender, and held at both ends", one(t, "steel.blade", "", heldRib(15)), "", 0, 0},
	)
}
