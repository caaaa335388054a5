package checks_test

import (
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/meshtest"
)

func TestSpecimensOfEjectBearing(t *testing.T) {
	// Guided at the top alone, relieved by a quarter of a millimetre below.
	relieved := meshtest.Revolve("relieved", []r2.Point{{X: 2, Y: nominalTop}, {X: 2, Y: 25}, {X: 2.25, Y: 25}, {X: 2.25, Y: 0}, {X: 25, Y: 0}, {X: 25, Y: nominalTop}}, 48)
	specimens(t, "eject.bearing",
		specimen{clean, "over its whole length", pinned(t, "eject.bearing", pinRules, [3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3}), "shortest", nominalTop, 1e-6},
		specimen{defective, "too long", pinned(t, "eject.bearing", "bearing: {least: 12, most: 25}", [3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3}), "longest", nominalTop, 1e-6},
		specimen{defective, "too short", pinned(t, "eject.bearing", "bearing: {least: 45, most: 60}", [3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3}), "shortest", nominalTop, 1e-6},
		specimen{looksWrong, "40 long, of which 15 guide", of(t, ejected(t, "bearing: {least: 12, most: 25}", relieved.Mesh), "eject.bearing"), "longest", nominalTop - 25, 1e-6},
	)
}
