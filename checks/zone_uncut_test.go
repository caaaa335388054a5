package checks_test

import (
	"testing"
)

func TestSpecimensOfZoneUncut(t *testing.T) {
	specimens(t, "zone.uncut",
		specimen{clean, "nothing is cut there", one(t, "zone.uncut", zones+blank, cleanSolid().Mesh), "bench face", 0, 0},
		specimen{defective, "cut in by 1.9", one(t, "zone.uncut", zones+blank, pocketed(box(-5, 28, 3, 5, 31, 6))), "bench face", 1.9, 0.1},
		specimen{looksWrong, "a cut right above the zone", one(t, "zone.uncut", zones+blank, pocketed(box(-5, 28, 8, 5, 31, 12))), "bench face", 0, 0},
	)
}
