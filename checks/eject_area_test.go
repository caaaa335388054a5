package checks_test

import (
	"testing"
)

func TestSpecimensOfEjectArea(t *testing.T) {
	none := of(t, closed(t, "ejection: {area_per_pin: 600 mm2}\n", pocketed(detail), plain()).Partner, "eject.area")
	specimens(t, "eject.area",
		specimen{clean, "two pins for 50 x 22", pinsOnPart(t, "eject.area", "area_per_pin: 600 mm2", [3]float64{-20, 0, 4}, [3]float64{10, 5, 4}), "", 550, 3},
		specimen{defective, "one pin for 50 x 22", pinsOnPart(t, "eject.area", "area_per_pin: 600 mm2", [3]float64{-20, 0, 4}), "", 1100, 5},
		specimen{defective, "none at all", none, "", 1100, 5},
		specimen{looksWrong, "one pin, for a shop that is content with it", pinsOnPart(t, "eject.area", "area_per_pin: 1200 mm2", [3]float64{-20, 0, 4}), "", 1100, 5},
	)
}
