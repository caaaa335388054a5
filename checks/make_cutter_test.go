package checks_test

import (
	"math"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

func TestMakeCutter(t *testing.T) {
	square := func(r float64, chords int) *mesh.Mesh {
		return holed(at(0, 0, 30), roundedSquare(8, r, top, chords), roundedSquare(8, r, 30, chords))
	}
	slotted := func(width float64) *mesh.Mesh {
		return meshtest.BlockWithPockets(nominal, box(-10, 0, 34, 10, width, 50)).Mesh
	}
	wantMade(t, "make.cutter", []made{
		{"corners of 0.6", "sharp_corners: refuse", square(0.6, 6), checks.Pass, 1.2, 0.02, "radius of 0.6", 0},
		{"corners of 0.6 in two chords", "sharp_corners: refuse", square(0.6, 2), checks.Pass, 1.2, 0.1, "radius of 0.6", 0},
		{"corners of 0.6 in one chord", "sharp_corners: refuse", square(0.6, 1), checks.Pass, 1.2, 0.2, "", 0},
		{"corners of 0.4", "sharp_corners: refuse", square(0.4, 6), checks.Fail, 0.8, 0.02, "4 small inner corner(s), 40.1 mm high", 0},
		{"corners of 0.4, allowed", "sharp_corners: allow", square(0.4, 6), checks.Pass, 0.8, 0.02, "left for spark erosion", 0},
		{"corners of 0.4, a smaller cutter", "sharp_corners: refuse, smallest_cutter: 0.6 mm", square(0.4, 6), checks.Pass, 0.8, 0.02, "", 0},
		{"wide corners", "sharp_corners: refuse", square(5, 12), checks.Pass, 1.5, 1e-9, "gets into every corner", 0},
		{"sharp corners", "sharp_corners: refuse", slotted(4), checks.Fail, 0, 1e-9, "4 sharp", 0},
		{"a slot of 0.7", "sharp_corners: allow", slotted(0.7), checks.Pass, 0, 1e-9, "Slots under the smallest cutter", 0},
		// Outer corners are no concern of a cutter's size.
		{"a sharp core", "sharp_corners: refuse", meshtest.Grid([]float64{-49.98, -10, 10, 49.98}, []float64{-29.98, -8, 8, 29.98}, []float64{0, top, 55}, func(i, j, k int) bool { return k == 0 || i == 1 && j == 1 }).Mesh,
			checks.Pass, 1.5, 1e-9, "gets into every corner", 0},
	})
	// The slot's own width, without the sharp corners at its ends: a round slot.
	round := holed(at(0, 0, 34), roundedSquare(8, 0.3, top, 8), roundedSquare(8, 0.3, 34, 8))
	for i, p := range round.Vertices {
		if p.Z > 33 && p.X*p.X+p.Y*p.Y < 200 { // draw the square out to a slot 16 long and 0.6 wide
			p.Y = math.Copysign(max(abs(p.Y)-7.7, 0), p.Y)
			round.Vertices[i] = p
		}
	}
	wantMade(t, "make.cutter", []made{{"a slot of 0.6 with round ends", "sharp_corners: refuse", round, checks.Fail, 0.6, 0.02, "", 0.3 * (1 - math.Cos(math.Pi/32))}})
}

func TestSpecimensOfMakeCutter(t *testing.T) {
	corners := func(r float64) []checks.Finding {
		return of(t, subject(t, making(t, "sharp_corners: refuse"), holed(at(0, 0, 30), roundedSquare(8, r, top, 6), roundedSquare(8, r, 30, 6))), "make.cutter")
	}
	specimens(t, "make.cutter",
		specimen{clean, "corners of 0.6", corners(0.6), "", 1.2, 1e-6},
		specimen{defective, "corners of 0.4", corners(0.4), "", 0.8, 1e-6},
		specimen{looksWrong, "the sharp corners of a core are no inner ones", of(t, subject(t, making(t, "sharp_corners: refuse"), cored(box(-10, -8, 0, 10, 8, 55))), "make.cutter"), "", 1.5, 1e-9},
	)
}
