package checks_test

import (
	"testing"
)

func TestSpecimensOfEjectStroke(t *testing.T) {
	specimens(t, "eject.stroke",
		specimen{clean, "15.03 and 5 to spare of 25", pinsOnPart(t, "eject.stroke", "stroke: 25", [3]float64{-20, 0, 4}), "", 15.03 + 5, 1e-4},
		specimen{defective, "of 20", pinsOnPart(t, "eject.stroke", "stroke: 20", [3]float64{-20, 0, 4}), "", 15.03 + 5, 1e-4},
		specimen{looksWrong, "of 20, for a shop that wants 2 to spare", pinsOnPart(t, "eject.stroke", "stroke: 20, stroke_spare: 2", [3]float64{-20, 0, 4}), "", 15.03 + 2, 1e-4},
	)
}
