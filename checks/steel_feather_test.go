package checks_test

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

// leaning is the block with a groove 20 wide at its mouth, whose right wall leans over by so much at the floor.
func leaning(by float64) *mesh.Mesh {
	const w, floor = 49.98, 30.0
	return lying(meshtest.Prism([]r2.Point{{X: -w}, {X: w}, {X: w, Y: top}, {X: 10, Y: top}, {X: 10 + by, Y: floor}, {X: -10, Y: floor}, {X: -10, Y: top}, {X: -w, Y: top}}, nil, -29.98, 29.98).Mesh)
}

// A groove whose right wall leans over: the metal at its upper edge has the angle atan(10.03/20).
func TestFeatherEdges(t *testing.T) {
	angle := math.Atan2(top-30, 20) * 180 / math.Pi
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
		r, j := measured(t, "steel.feather", c.rules, leaning(c.by))
		meshtest.WantNear(t, c.name, r.Value, c.value, 1e-9)
		if j.Verdict != c.verdict {
			t.Errorf("%s: %v, want %v: %s", c.name, j.Verdict, c.verdict, r.Says)
		}
	}
}

func TestSpecimensOfSteelFeather(t *testing.T) {
	const rule = "steel: {feather_angle: 30 deg}\n"
	sharp := math.Atan2(top-30, 20) * 180 / math.Pi
	specimens(t, "steel.feather",
		specimen{clean, "a square groove", one(t, "steel.feather", rule, leaning(0)), "", 45, 1e-9},
		specimen{defective, "sharper than 30 degrees", one(t, "steel.feather", rule, leaning(20)), "", sharp, 1e-9},
		specimen{looksWrong, "as sharp, where 20 degrees are asked", one(t, "steel.feather", "", leaning(20)), "", sharp, 1e-9},
	)
}
