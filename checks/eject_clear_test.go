package checks_test

import (
	"testing"
)

func TestSpecimensOfEjectClear(t *testing.T) {
	specimens(t, "eject.clear",
		specimen{clean, "7.5 from the rod", pinned(t, "eject.clear", pinRules, [3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3}), "rod", 15 - 6 - 1.5, 1e-6},
		specimen{defective, "a millimetre into the rod", pinned(t, "eject.clear", pinRules, [3]float64{7, 0, 4}), "rod", 7 - 6 - 2, 1e-6},
		specimen{looksWrong, "a tenth beside the rod", pinned(t, "eject.clear", pinRules, [3]float64{8.1, 0, 4}), "rod", 0.1, 1e-6},
	)
}
