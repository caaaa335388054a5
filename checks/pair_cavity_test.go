package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

func TestPairCavity(t *testing.T) {
	s := closed(t, "", twoCavities(5, 0, true), plain())
	list := of(t, s, "pair.cavity")
	want(t, "two cavities", list, "closed", checks.Pass, 2, 0)
	want(t, "two cavities", list, "without a gate", checks.Pass, 0, 0)
	s = closed(t, "", twoCavities(5, 0, false), plain())
	list = of(t, s, "pair.cavity")
	want(t, "runner to one of two", list, "without a gate", checks.Fail, 1, 0)
	if list[1].At.X < 15 {
		t.Errorf("the cavity without a gate is shown at %v", list[1].At)
	}
	// Looks wrong and is right: no gate is drawn at all yet.
	s = closed(t, "", pocketed(detail), plain())
	list = of(t, s, "pair.cavity")
	want(t, "no gate drawn", list, "closed", checks.Pass, 1, 0)
	if len(list) != 1 {
		t.Errorf("without any gate drawn: %+v", list)
	}
	s = closed(t, "", pocketed(box(-20, -12, 25, 60, 10, 50)), plain())
	want(t, "a trough", of(t, s, "pair.cavity"), "closed", checks.Fail, 0, 0)
}

func TestSpecimensOfPairCavity(t *testing.T) {
	specimens(t, "pair.cavity",
		specimen{clean, "two cavities on one runner", of(t, closed(t, "", twoCavities(5, 0, true), plain()), "pair.cavity"), "closed", 2, 0},
		specimen{defective, "one of the two has no gate", of(t, closed(t, "", twoCavities(5, 0, false), plain()), "pair.cavity"), "without a gate", 1, 0},
		specimen{defective, "a trough that is open at the side", of(t, closed(t, "", pocketed(box(-20, -12, 25, 60, 10, 50)), plain()), "pair.cavity"), "closed", 0, 0},
		specimen{looksWrong, "no gate is drawn at all yet", of(t, closed(t, "", pocketed(detail), plain()), "pair.cavity"), "closed", 1, 0},
	)
}
