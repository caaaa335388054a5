package checks_test

import (
	"testing"
)

func TestSpecimensOfEjectDiameter(t *testing.T) {
	specimens(t, "eject.diameter",
		specimen{clean, "of stocked diameters", pinned(t, "eject.diameter", pinRules, [3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3}), "", 0, 1e-6},
		specimen{defective, "a special", pinned(t, "eject.diameter", pinRules, [3]float64{12, 4, 3.5}), "", 0.5, 1e-6},
		specimen{looksWrong, "within the play of the bore", pinned(t, "eject.diameter", pinRules, [3]float64{0, 15, 4.03}), "", 0.03, 1e-6},
	)
}
