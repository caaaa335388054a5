package checks_test

import (
	"testing"
)

func TestSpecimensOfBoreDiameter(t *testing.T) {
	specimens(t, "bore.diameter",
		specimen{clean, "for the thread", one(t, "bore.diameter", threadAsked, drilledFromSeat(10, 5, 6.8, 16)), "lifting thread", 6.8, 1e-6},
		specimen{defective, "drilled for the thread itself", one(t, "bore.diameter", threadAsked, drilledFromSeat(10, 5, 8, 16)), "lifting thread", 8, 1e-6},
		specimen{looksWrong, "near the least", one(t, "bore.diameter", threadAsked, drilledFromSeat(10, 5, 6.62, 16)), "lifting thread", 6.62, 1e-6},
	)
}
