package checks_test

import (
	"testing"

	"pocketgauge/mesh/meshtest"
)

func TestSpecimensOfStockMetal(t *testing.T) {
	specimens(t, "stock.metal",
		specimen{clean, "within its blank", one(t, "stock.metal", blank, cleanSolid().Mesh), "", 0, 0},
		specimen{defective, "0.025 higher than its blank", one(t, "stock.metal", "blank: {height: 40.02}\n", meshtest.Box(nominal.Min, nominal.Max.Add(at(0, 0, 0.015))).Mesh), "", 0.025, 0.003},
		specimen{looksWrong, "wider than pocket and blank, which is fit.outline's to tell", one(t, "stock.metal", "blank: {height: 41}\n", meshtest.Box(nominal.Min, nominal.Max.Add(at(0.12, 0, 0))).Mesh), "", 0, 0},
		specimen{defective, "as wide, where nobody asks of the outline", one(t, "stock.metal", "blank: {height: 41}\njudge: {fit.outline: \"off\"}\n", meshtest.Box(nominal.Min, nominal.Max.Add(at(0.12, 0, 0))).Mesh), "", 0.1, 0.01},
		specimen{looksWrong, "a core above the pocket, within a higher blank", one(t, "stock.metal", "blank: {height: 56}\n", cored(box(-10, -8, 0, 10, 8, 55))), "", 0, 0},
	)
}
