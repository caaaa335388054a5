package checks_test

import (
	"math"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
)

// The cavity is the box detail, from x = -20 to 30, y = -12 to 10 and 15.03 deep. Turned about y, a
// core for it lies from x = -30 to 20 on the moving half, turned about x from y = -10 to 12.
func TestPairClash(t *testing.T) {
	core := func(height float64) *mesh.Mesh { return cored(box(-28, -10, 0, 18, 8, nominalTop+height)) }
	s := closed(t, "", pocketed(detail), core(13))
	want(t, "walls of 2 mm", of(t, s, "pair.clash"), "", checks.Pass, 0, 0)
	s = closed(t, "", pocketed(detail), core(15.33))
	want(t, "0.3 too high", of(t, s, "pair.clash"), "", checks.Fail, 0.3, 1e-4)
	s = closed(t, "pair: {clash: {depth: 0.4}}\n", pocketed(detail), core(15.33))
	want(t, "0.4 to spot in", of(t, s, "pair.clash"), "", checks.Pass, 0.3, 1e-4)
	// Looks wrong and is right: the core bears on the floor.
	s = closed(t, "", pocketed(detail), core(15.03))
	want(t, "flush on the floor", of(t, s, "pair.clash"), "", checks.Pass, 0, 1e-4)
	// Turned about the wrong axis, 2 mm of the core's side stand in the wall of the cavity: the core
	// comes to lie from x = -28 to 18, and the cavity begins at -20.
	s = closed(t, "pair: {turned_about: x}\n", pocketed(detail), core(13))
	want(t, "turned about x", of(t, s, "pair.clash"), "", checks.Fail, 8, 0.5)
	s = closed(t, "pair: {turned_about: x}\n", pocketed(detail), cored(box(-18, -8, 0, 28, 10, nominalTop+13)))
	want(t, "drawn for x", of(t, s, "pair.clash"), "", checks.Pass, 0, 0)
	// A steep face that overlaps by little sideways overlaps by much along the draw; its depth is little.
	wedge := func(shift float64) *mesh.Mesh { return steepBlock(shift) }
	s = closed(t, "", wedgePocket(), wedge(0.1))
	want(t, "a steep shut-off", of(t, s, "pair.clash"), "", checks.Fail, 0.1*math.Cos(5*math.Pi/180), 2e-3)
}

func TestSpecimensOfPairClash(t *testing.T) {
	core := func(height float64) []checks.Finding {
		return of(t, closed(t, "", pocketed(detail), cored(box(-28, -10, 0, 18, 8, nominalTop+height))), "pair.clash")
	}
	specimens(t, "pair.clash",
		specimen{clean, "a wall of 2 all around", core(13), "", 0, 0},
		specimen{defective, "0.3 into the floor", core(15.33), "", 0.3, 1e-4},
		specimen{looksWrong, "the core bears on the floor", core(15.03), "", 0, 1e-4},
	)
}
