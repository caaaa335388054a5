package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

func TestCover(t *testing.T) {
	const water = "cooling: {waterline_diameters: [8]}\n"
	wantCool(t, []coolCase{
		{"between", water, drilled(-10, 10, 30, line{0, 12, 8}), "cool.cover", "", 14.0 / 8, 1e-9, checks.Pass, "14.000 mm"},
		{"too deep", water, drilled(-10, 10, 33, line{0, 7, 8}), "cool.cover", "", 22.0 / 8, 1e-9, checks.Fail, "22.000 mm"},
		{"too near", water, drilled(-10, 10, 30, line{0, 16, 8}), "cool.cover", "", 10.0 / 8, 1e-9, checks.Fail, "10.000 mm"},
		// The steel is too thin then, and that is the one finding.
		{"much too near", water, drilled(-10, 10, 30, line{0, 22, 8}), "steel.wall", "detail to waterline", 4, 1e-9, checks.Fail, ""},
	})
}

func TestSpecimensOfCoolCover(t *testing.T) {
	specimens(t, "cool.cover",
		specimen{clean, "14 mm over lines of 8", by(t, water, drilled(-10, 10, 30, line{0, 12, 8})), "", 14.0 / 8, 1e-9},
		specimen{defective, "22 mm", by(t, water, drilled(-10, 10, 33, line{0, 7, 8})), "", 22.0 / 8, 1e-9},
		specimen{defective, "10 mm", by(t, water, drilled(-10, 10, 30, line{0, 16, 8})), "", 10.0 / 8, 1e-9},
		specimen{looksWrong, "beside the groove and higher than its floor", by(t, water, drilled(-10, 10, 30, line{27, 32, 8})), "", 13.0 / 8, 1e-9},
	)
}
