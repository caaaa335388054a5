package checks_test

import (
	"testing"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

func TestSpecimensOfFileUnit(t *testing.T) {
	specimens(t, "file.unit",
		specimen{clean, "in millimetres", by(t, "", plain()), "", 1, 0},
		specimen{defective, "drawn in inches", by(t, "", plain().Moved(geom.ScaleBy(1/25.4))), "", 25.4, 1e-12},
		specimen{defective, "drawn in millimetres, read in inches", by(t, "", plain().Moved(geom.ScaleBy(25.4))), "", 1 / 25.4, 1e-12},
		specimen{looksWrong, "6 mm too small, which is no unit", by(t, "", meshtest.Box(at(-47, -27, 0), at(47, 27, 40.03)).Mesh), "", 1, 0},
	)
}
