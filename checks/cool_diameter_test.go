package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

func TestWaterlineDiameters(t *testing.T) {
	wantCool(t, []coolCase{
		{"as listed", ports, drilled(-10, 10, 30, line{0, 12, 8}), "cool.diameter", "", 8, 1e-9, checks.Pass, "of 1"},
		{"too wide, at a port", ports + "  ports: [{name: in, at: [20, -30, 12], diameter: 9}]\n", drilled(-10, 10, 30, line{-20, 12, 8}, line{20, 12, 9}), "cool.diameter", "", 9, 1e-9, checks.Fail, "(20.0, -30.0, 12.0)"},
		// A hole across that runs into no water and is none of the frame's is for something else.
		{"a hole of another width", ports, drilled(-10, 10, 30, line{20, 12, 9}), "cool.diameter", "", 0, 0, noLimit, ""},
	})
}

func TestSpecimensOfCoolDiameter(t *testing.T) {
	specimens(t, "cool.diameter",
		specimen{clean, "as listed", by(t, ports, drilled(-10, 10, 30, line{0, 12, 8})), "", 8, 1e-9},
		specimen{defective, "9 at a port", by(t, ports+"  ports: [{name: in, at: [20, -30, 12], diameter: 9}]\n", drilled(-10, 10, 30, line{-20, 12, 8}, line{20, 12, 9})), "", 9, 1e-9},
		specimen{looksWrong, "a hole across that carries no water", by(t, ports, drilled(-10, 10, 30, line{20, 12, 9})), silent, 0, 0},
	)
}
