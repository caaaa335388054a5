package checks_test

import (
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
)

func TestPitch(t *testing.T) {
	const water = "cooling: {waterline_diameters: [8]}\nsteel: {wall: {bore_bore: 6}}\n"
	pair := func(x float64) *mesh.Mesh { return drilled(-10, 10, 30, line{-x, 12, 8}, line{x, 12, 8}) }
	wantCool(t, []coolCase{
		{"between", water, pair(16), "cool.pitch", "", 4, 1e-9, checks.Pass, "32.000 mm"},
		{"crowded", water, pair(10), "cool.pitch", "", 2.5, 1e-9, checks.Fail, "20.000 mm"},
		{"far apart", strings.Replace(water, "[8]", "[8], cover: {most: 4}", 1), pair(22), "cool.pitch", "", 5.5, 1e-9, checks.Fail, "44.000 mm"},
		// So crowded that the steel between them is too thin: that is the one finding.
		{"hardly apart", water, pair(6), "steel.wall", "bore to bore", 4, 1e-9, checks.Fail, ""},
		{"three, evenly", strings.Replace(water, "[8]", "[8], cover: {most: 4}", 1), drilled(-10, 10, 30, line{-30, 12, 8}, line{0, 12, 8}, line{30, 12, 8}), "cool.pitch", "", 30.0 / 8, 1e-9, checks.Pass, ""},
		{"a lone line has no neighbour", water, drilled(-10, 10, 30, line{0, 12, 8}), "cool.pitch", "", 0, 0, noLimit, ""},
	})
}

func TestSpecimensOfCoolPitch(t *testing.T) {
	pair := func(more string, x float64) []checks.Finding {
		return by(t, "cooling: {waterline_diameters: [8]"+more+"}\nsteel: {wall: {bore_bore: 6}}\n", drilled(-10, 10, 30, line{-x, 12, 8}, line{x, 12, 8}))
	}
	specimens(t, "cool.pitch",
		specimen{clean, "32 mm apart", pair("", 16), "", 4, 1e-9},
		specimen{defective, "20 mm apart", pair("", 10), "", 2.5, 1e-9},
		specimen{defective, "44 mm apart", pair(", cover: {most: 4}", 22), "", 5.5, 1e-9},
		specimen{looksWrong, "60 mm from first to last, with one between", by(t, "cooling: {waterline_diameters: [8], cover: {most: 4}}\n", drilled(-10, 10, 30, line{-30, 12, 8}, line{0, 12, 8}, line{30, 12, 8})), "", 30.0 / 8, 1e-9},
	)
}
