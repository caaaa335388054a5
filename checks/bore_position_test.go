package checks_test

import (
	"testing"
)

func TestSpecimensOfBorePosition(t *testing.T) {
	specimens(t, "bore.position",
		specimen{clean, "in place", one(t, "bore.position", threadAsked, drilledFromSeat(10, 5, 6.8, 16)), "lifting thread", 0, 1e-6},
		specimen{defective, "0.3 aside", one(t, "bore.position", threadAsked, drilledFromSeat(10, 5.3, 6.8, 16)), "lifting thread", 0.3, 1e-6},
		specimen{looksWrong, "0.09 aside of 0.1", one(t, "bore.position", threadAsked, drilledFromSeat(10.09, 5, 6.8, 16)), "lifting thread", 0.09, 1e-6},
	)
}
