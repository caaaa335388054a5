package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

func TestPairBalance(t *testing.T) {
	volumes := func(depth float64) float64 {
		// What of the runner belongs to a part is the same for both.
		return 100 * (depth - 5) * 500 / ((5 + depth) / 2 * 500)
	}
	s := closed(t, "", twoCavities(5, 0, true), plain())
	want(t, "equal", of(t, s, "pair.balance"), "volumes", checks.Pass, 0, 0.5)
	s = closed(t, "", twoCavities(5.5, 0, true), plain())
	want(t, "a tenth deeper", of(t, s, "pair.balance"), "volumes", checks.Fail, volumes(5.5), 0.8)
	s = closed(t, "pair: {balance: 12 %}\n", twoCavities(5.5, 0, true), plain())
	want(t, "a family of two", of(t, s, "pair.balance"), "volumes", checks.Pass, volumes(5.5), 0.8)
	// From a sprue at x = 6 it is 21 mm to the left and 9 mm to the right, less what the opening
	// leaves of the runner to the parts.
	s = closed(t, "", twoCavities(5, 6, true), plain())
	list := of(t, s, "pair.balance")
	want(t, "a sprue off the middle", list, "volumes", checks.Pass, 0, 0.5)
	want(t, "a sprue off the middle", list, "ways from the gate", checks.Fail, 100*12.0/15, 30)
	s = closed(t, "", pocketed(detail), plain())
	wantNone(t, "one cavity", of(t, s, "pair.balance"))
}

func TestSpecimensOfPairBalance(t *testing.T) {
	// What of the runner belongs to a part is the same for both.
	const differ = 100 * 0.5 / 5.25
	specimens(t, "pair.balance",
		specimen{clean, "alike", of(t, closed(t, "", twoCavities(5, 0, true), plain()), "pair.balance"), "volumes", 0, 0.5},
		specimen{defective, "one a tenth deeper", of(t, closed(t, "", twoCavities(5.5, 0, true), plain()), "pair.balance"), "volumes", differ, 0.8},
		specimen{looksWrong, "a family of two", of(t, closed(t, "pair: {balance: 12 %}\n", twoCavities(5.5, 0, true), plain()), "pair.balance"), "volumes", differ, 0.8},
	)
}
