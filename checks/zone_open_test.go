package checks_test

import (
	"testing"
)

func TestSpecimensOfZoneOpen(t *testing.T) {
	specimens(t, "zone.open",
		specimen{clean, "the slot is cut, flush with the zone", one(t, "zone.open", zones, cleanSolid().Mesh), "clamp slot", 0, 0},
		specimen{defective, "the slot is forgotten", one(t, "zone.open", zones, plain()), "clamp slot", 3.5, 0.2},
		specimen{looksWrong, "a zone of the other half", one(t, "zone.open", "zones: [{name: slot, must: open, half: moving, shape: {box: {min: [-10, -10, 0], max: [10, 10, 10]}}}]\n", plain()), silent, 0, 0},
	)
}
