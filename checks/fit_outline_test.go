package checks_test

import (
	"testing"

	"pocketgauge/mesh/meshtest"
)

func TestSpecimensOfFitOutline(t *testing.T) {
	step := []float64{-60, -49.98, 49.98, 60}
	flange := meshtest.Grid(step, []float64{-40, -29.98, 29.98, 40}, []float64{0, 40.01, 40.03}, func(i, j, k int) bool { return k == 1 || i == 1 && j == 1 })
	specimens(t, "fit.outline",
		specimen{clean, "0.02 all around", one(t, "fit.outline", "", cleanSolid().Mesh), "", 0.02, 1e-9},
		specimen{defective, "the right side 0.07 too wide", one(t, "fit.outline", "", meshtest.Box(nominal.Min, nominal.Max.Add(at(0.07, 0, 0))).Mesh), "", -0.05, 1e-9},
		specimen{looksWrong, "a flange above the pocket is wider than it", one(t, "fit.outline", "", flange.Mesh), "", 0.02, 1e-9},
	)
}
