package checks_test

import (
	"testing"
)

func TestSpecimensOfEjectOutline(t *testing.T) {
	specimens(t, "eject.outline",
		specimen{clean, "3.5 within it", pinned(t, "eject.outline", pinRules, [3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3}), "", 20 - 15 - 1.5, 1e-6},
		specimen{defective, "9 beyond it", pinned(t, "eject.outline", pinRules, [3]float64{0, 27, 4}), "", -7 - 2, 1e-6},
		specimen{looksWrong, "its wall ends a tenth within it", pinned(t, "eject.outline", pinRules, [3]float64{37.9, 0, 4}), "", 0.1, 1e-6},
	)
}
