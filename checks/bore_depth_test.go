package checks_test

import (
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

func TestBoreThatShouldGoThrough(t *testing.T) {
	f, err := rules.LoadFS(mapFS(base+strings.Replace(threadAsked, ", depth: {least: 14, most: 18}", "", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r := checks.ByID("bore.depth").Measure(subject(t, f, drilledFromSeat(10, 5, 6.8, 16)))[0]
	if checks.Judge(r).Verdict != checks.Fail || !strings.Contains(r.Says, "should go through") {
		t.Errorf("a blind hole: %s", r.Says)
	}
	meshtest.WantNear(t, "what it would take", r.Limit.Least, top, 1e-6)
	for _, r := range checks.ByID("bore.depth").Measure(subject(t, f, boredThrough(ring(10, 5, 3.4, 0, 48), ring(10, 5, 3.4, top, 48)))) {
		if checks.Judge(r).Verdict != checks.Pass || !strings.Contains(r.Says, "goes through") {
			t.Errorf("a hole that goes through: %s", r.Says)
		}
	}
}

func TestSpecimensOfBoreDepth(t *testing.T) {
	specimens(t, "bore.depth",
		specimen{clean, "16 deep", one(t, "bore.depth", threadAsked, drilledFromSeat(10, 5, 6.8, 16)), "lifting thread", 16, 1e-6},
		specimen{defective, "10 deep", one(t, "bore.depth", threadAsked, drilledFromSeat(10, 5, 6.8, 10)), "lifting thread", 10, 1e-6},
		specimen{looksWrong, "as deep as may be, and the tip goes deeper", one(t, "bore.depth", threadAsked, drilledFromSeat(10, 5, 6.8, 17.9)), "lifting thread", 17.9, 1e-6},
	)
}
