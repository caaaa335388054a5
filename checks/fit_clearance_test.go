package checks_test

import (
	"strings"
	"testing"

	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

func TestSpecimensOfFitClearance(t *testing.T) {
	loose, err := rules.LoadFS(mapFS(strings.Replace(base, "  seat_bearing: 75 %\n", "  seat_bearing: 75 %\n  locating: [left, front]\n", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	// All sides alike, one of them is named.
	evenly := one(t, "fit.clearance", "", plain())[0].Of
	specimens(t, "fit.clearance",
		specimen{clean, "0.02 all around", one(t, "fit.clearance", "", cleanSolid().Mesh), evenly, 0.02, 1e-9},
		specimen{defective, "the right side 0.08 too narrow", one(t, "fit.clearance", "", meshtest.Box(nominal.Min, nominal.Max.Sub(at(0.08, 0, 0))).Mesh), "right", 0.1, 1e-9},
		specimen{looksWrong, "sides that do not locate are loose", of(t, subject(t, loose, meshtest.Box(nominal.Min, at(49, 29, 40.03)).Mesh), "fit.clearance"), of(t, subject(t, loose, plain()), "fit.clearance")[0].Of, 0.02, 1e-9},
	)
}
