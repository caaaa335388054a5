package checks_test

import (
	"math"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/meshtest"
)

func TestPairWall(t *testing.T) {
	const rule = "pair: {part_wall: {least: 1, most: 4}}\n"
	slab := func(depth float64) *checks.Subject {
		return closed(t, rule, pocketed(box(-20, -12, nominalTop-depth, 30, 10, 50)), plain())
	}
	for _, c := range []struct {
		depth       float64
		least, most checks.Verdict
	}{{3, checks.Pass, checks.Pass}, {0.8, checks.Fail, checks.Pass}, {5, checks.Pass, checks.Fail}} {
		s := slab(c.depth)
		list := of(t, s, "pair.wall")
		want(t, "a slab", list, "least", c.least, c.depth, 1e-3)
		want(t, "a slab", list, "most", c.most, c.depth, 0.02)
		w, ok := s.PartWall()
		if !ok {
			t.Fatal("no wall of a part")
		}
		meshtest.WantNear(t, "mean", w.MeanMM, c.depth, 0.02*c.depth)
	}
	// A box with walls and floor of 2: in its corners a ball of 2 x 2 sqrt(3)/(1+sqrt(3)) fits.
	s := closed(t, rule, pocketed(detail), cored(box(-28, -10, 0, 18, 8, nominalTop+13.03)))
	list := of(t, s, "pair.wall")
	want(t, "a box", list, "least", checks.Pass, 2, 1e-3)
	corner := 4 * math.Sqrt(3) / (1 + math.Sqrt(3))
	want(t, "a box", list, "most", checks.Pass, (2+corner)/2, (corner-2)/2+0.01)
	wantNone(t, "no limit", of(t, closed(t, "", pocketed(detail), plain()), "pair.wall"))
}

func TestSpecimensOfPairWall(t *testing.T) {
	const rule = "pair: {part_wall: {least: 1, most: 4}}\n"
	slab := func(depth float64) []checks.Finding {
		return of(t, closed(t, rule, pocketed(box(-20, -12, nominalTop-depth, 30, 10, 50)), plain()), "pair.wall")
	}
	boxed := of(t, closed(t, rule, pocketed(detail), cored(box(-28, -10, 0, 18, 8, nominalTop+13.03))), "pair.wall")
	specimens(t, "pair.wall",
		specimen{clean, "a slab of 3", slab(3), "least", 3, 1e-3},
		specimen{defective, "a slab of 0.8", slab(0.8), "least", 0.8, 1e-3},
		specimen{defective, "a slab of 5", slab(5), "most", 5, 0.02},
		specimen{looksWrong, "a box of 2, in whose corners a larger ball fits", boxed, "least", 2, 1e-3},
	)
}
