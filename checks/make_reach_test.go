package checks_test

import (
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

func TestMakeReach(t *testing.T) {
	slotted := func(width, depth float64) *mesh.Mesh {
		return meshtest.BlockWithPockets(nominal, box(-10, 0, top-depth, 10, width, 50)).Mesh
	}
	wantMade(t, "make.reach", []made{
		{"2 wide and 10 deep", "reach_ratio: 6", slotted(2, 10), checks.Pass, 5, 1e-9, "2.000 mm wide is 10.00 mm deep", 0},
		{"2 wide and 13 deep", "reach_ratio: 6", slotted(2, 13), checks.Fail, 6.5, 1e-9, "2.000 mm wide is 13.00 mm deep", 0},
		{"corners of 1 and 13 high", "reach_ratio: 6", holed(at(0, 0, top-13), roundedSquare(8, 1, top, 8), roundedSquare(8, 1, top-13, 8)), checks.Fail, 6.5, 0.05, "13.00 mm high", 0},
		{"what is eroded is not cut", "reach_ratio: 6", slotted(0.8, 13), checks.Pass, 0, 1e-9, "No place", 0},
		// A step half way: beside the lower slot the upper one is five times as wide.
		{"a slot at the bottom of a wide pocket", "reach_ratio: 6", meshtest.BlockWithPockets(nominal, box(-10, -5, 30, 10, 7, 50), box(-10, 0, 22, 10, 2, 50)).Mesh, checks.Pass, 4, 1e-9, "8.00 mm deep", 0},
	})
}

func TestSpecimensOfMakeReach(t *testing.T) {
	slotted := func(depth float64) []checks.Finding {
		return of(t, subject(t, making(t, "reach_ratio: 6"), pocketed(box(-10, 0, top-depth, 10, 2, 50))), "make.reach")
	}
	stepped := pocketed(box(-10, -5, 30, 10, 7, 50), box(-10, 0, 22, 10, 2, 50))
	specimens(t, "make.reach",
		specimen{clean, "2 wide and 10 deep", slotted(10), "", 5, 1e-9},
		specimen{defective, "2 wide and 13 deep", slotted(13), "", 6.5, 1e-9},
		specimen{looksWrong, "18 deep, and wide but for the last 8", of(t, subject(t, making(t, "reach_ratio: 6"), stepped), "make.reach"), "", 4, 1e-9},
	)
}
