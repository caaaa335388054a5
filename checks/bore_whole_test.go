package checks_test

import (
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

// A slot cut across half of a thread's length leaves half of its wall where it crosses: the hole is a
// prism, so the share is known.
func TestBoreCutInto(t *testing.T) {
	f, err := rules.LoadFS(mapFS(base+strings.Replace(threadAsked, ", depth: {least: 14, most: 18}", "", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	const sides = 48
	through := func(cut bool) *checks.Subject {
		// From the seat through; a quarter of the upper half's wall is cut away.
		bottom, upper := ring(10, 5, 3.4, 0, sides), ring(10, 5, 3.4, top, sides)
		m := boredThrough(bottom, upper)
		if cut {
			// A gap in the wall: drop the facets of a quarter of the round, and close them by a box-like
			// recess drawn outwards.
			m = boredThrough(bottom, upper, 0, sides/4)
		}
		p := exact(m)
		if !p.Audit.Closed() || p.Audit.Solids() != 1 {
			t.Fatal("the test's own solid is not sound")
		}
		return subject(t, f, m)
	}
	whole := checks.ByID("bore.whole").Measure(through(false))
	if len(whole) != 1 || checks.Judge(whole[0]).Verdict != checks.Pass {
		t.Fatalf("a whole bore: %+v", whole)
	}
	meshtest.WantNear(t, "a whole wall", whole[0].Value, 100, 0.01)
	cut := checks.ByID("bore.whole").Measure(through(true))
	if len(cut) != 1 || checks.Judge(cut[0]).Verdict != checks.Fail {
		t.Fatalf("a bore that is cut into: %+v", cut)
	}
	// A quarter of the round over half of the height.
	meshtest.WantNear(t, "a wall cut into", cut[0].Value, 100*(1-0.25*0.5), 0.2)
	// The rules may ask less of a hole.
	f, err = rules.LoadFS(mapFS(base+strings.Replace(threadAsked, "depth: {least: 14, most: 18}", "whole: 80 %", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if r := checks.ByID("bore.whole").Measure(through(true)); len(r) != 1 || checks.Judge(r[0]).Verdict != checks.Pass {
		t.Errorf("80 %% asked: %+v", r)
	}
}

func TestSpecimensOfBoreWhole(t *testing.T) {
	f, err := rules.LoadFS(mapFS(base+strings.Replace(threadAsked, ", depth: {least: 14, most: 18}", "", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	through := func(sides int, recess ...int) []checks.Finding {
		return of(t, subject(t, f, boredThrough(ring(10, 5, 3.4, 0, sides), ring(10, 5, 3.4, top, sides), recess...)), "bore.whole")
	}
	specimens(t, "bore.whole",
		specimen{clean, "whole", through(48), "lifting thread", 100, 0.01},
		specimen{defective, "a quarter of the round is gone over half of the height", through(48, 0, 12), "lifting thread", 100 * (1 - 0.25*0.5), 0.2},
		specimen{looksWrong, "a round of sixteen sides, whose chords are half a per cent short of it", through(16), "lifting thread", 100, 0.01},
	)
}
