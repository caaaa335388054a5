package checks_test

import (
	"testing"
)

func TestSpecimensOfBorePresent(t *testing.T) {
	specimens(t, "bore.present",
		specimen{clean, "as asked", one(t, "bore.present", threadAsked, drilledFromSeat(10, 5, 6.8, 16)), "lifting thread", 1, 0},
		specimen{defective, "drilled elsewhere", one(t, "bore.present", threadAsked, drilledFromSeat(-30, 5, 6.8, 16)), "lifting thread", 0, 0},
		specimen{looksWrong, "0.3 aside, which is its position that is wrong", one(t, "bore.present", threadAsked, drilledFromSeat(10.3, 5, 6.8, 16)), "lifting thread", 1, 0},
	)
}
