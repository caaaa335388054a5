package checks_test

import (
	"testing"
)

func TestSpecimensOfZoneSolid(t *testing.T) {
	specimens(t, "zone.solid",
		specimen{clean, "nothing is cut there", one(t, "zone.solid", zones, cleanSolid().Mesh), "pad", 0, 0},
		specimen{defective, "cut in by 3 from below", one(t, "zone.solid", zones, pocketed(box(25, 5, -1, 50, 30, 3))), "pad", 3, 0.1},
		specimen{looksWrong, "a cut ends flush with the zone", one(t, "zone.solid", "zones: [{name: pad, must: solid, shape: {box: {min: [31, -5, 20], max: [44, 5, 39]}}}]\n", pocketed(box(-20, -12, 25, 31, 10, 50))), "pad", 0, 0},
	)
}
