package checks_test

import (
	"math"
	"testing"
)

func TestSpecimensOfEjectSpacing(t *testing.T) {
	specimens(t, "eject.spacing",
		specimen{clean, "33 apart", pinned(t, "eject.spacing", pinRules, [3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3}), "", math.Hypot(30, 15), 1e-6},
		specimen{defective, "6.4 apart", pinned(t, "eject.spacing", pinRules, [3]float64{7, 0, 4}, [3]float64{12, 4, 3.5}), "", math.Hypot(5, 4), 1e-6},
		specimen{looksWrong, "one alone", pinned(t, "eject.spacing", pinRules, [3]float64{-30, 0, 4}), silent, 0, 0},
	)
}
