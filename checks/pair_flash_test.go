package checks_test

import (
	"math"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

func TestPairFlash(t *testing.T) {
	s := closed(t, "", shortCore(0.05), plain())
	list := of(t, s, "pair.flash")
	want(t, "a core 0.05 short", list, "", checks.Fail, 0.05, 1e-4)
	if p := list[0].At; math.Abs(p.X) > 5.5 || math.Abs(p.Y) > 4.5 {
		t.Errorf("the gap is shown at %v", p)
	}
	s = closed(t, "", shortCore(0.012), plain())
	want(t, "a core 0.012 short", of(t, s, "pair.flash"), "", checks.Pass, 0.012, 1e-4)
	// A resin that holds back at more says so.
	s = closed(t, "", shortCore(0.05), plain())
	s.Resin = s.Frame.Resin("PC") // vent depth of 0.064 mm
	want(t, "a resin that bears the gap", of(t, s, "pair.flash"), "", checks.Pass, 0.05, 1e-4)
	// A vent that is too deep leads out of the block, and the cavity is there all the same.
	s = closed(t, "", pocketed(detail, box(30, -3, nominalTop-0.1, 36, 3, 50), box(36, -3, nominalTop-0.6, 60, 3, 50)), plain())
	list = of(t, s, "pair.flash")
	want(t, "a vent of 0.1", list, "", checks.Fail, 0.1, 1e-4)
	if !strings.Contains(list[0].Says, "1 of them lead to the outside") {
		t.Errorf("a leak is told as %q", list[0].Says)
	}
	want(t, "a vented cavity", of(t, s, "pair.cavity"), "closed", checks.Pass, 1, 0)
	// Looks wrong and is right: a lens thins out to nothing at its edge.
	s = closed(t, "", pocketed(detail), plain())
	want(t, "no gap", of(t, s, "pair.flash"), "", checks.Pass, 0, 0)
}

// Over a core of 10 x 8 in the cavity that ends short of the parting face by short.
func shortCore(short float64) *mesh.Mesh {
	return meshtest.Grid([]float64{nominal.Min.X, -20, -5, 5, 30, nominal.Max.X}, []float64{nominal.Min.Y, -12, -4, 4, 10, nominal.Max.Y},
		[]float64{0, 25, nominalTop - short, nominalTop}, func(i, j, k int) bool {
			inCavity := i >= 1 && i <= 3 && j >= 1 && j <= 3
			return k == 0 || !inCavity || i == 2 && j == 2 && k == 1
		}).Mesh
}

func TestSpecimensOfPairFlash(t *testing.T) {
	gap := func(short float64, resin string) []checks.Finding {
		s := closed(t, "", shortCore(short), plain())
		s.Resin = s.Frame.Resin(resin)
		return of(t, s, "pair.flash")
	}
	specimens(t, "pair.flash",
		specimen{clean, "a gap of 0.012", gap(0.012, ""), "", 0.012, 1e-4},
		specimen{defective, "a gap of 0.05", gap(0.05, ""), "", 0.05, 1e-4},
		specimen{looksWrong, "a gap of 0.05 that PC does not get into", gap(0.05, "PC"), "", 0.05, 1e-4},
	)
}
