package checks_test

import (
	"testing"
)

func TestSpecimensOfEjectPart(t *testing.T) {
	specimens(t, "eject.part",
		specimen{clean, "both on the part", pinsOnPart(t, "eject.part", "stroke: 20", [3]float64{-20, 0, 4}, [3]float64{10, 5, 4}), "", 0, 0},
		specimen{defective, "one beside the part", pinsOnPart(t, "eject.part", "stroke: 20", [3]float64{-20, 0, 4}, [3]float64{30, 5, 4}), "", 1, 0},
		specimen{looksWrong, "half of its end is on the part", pinsOnPart(t, "eject.part", "stroke: 20", [3]float64{-30, 0, 4}), "", 0, 0},
	)
}
