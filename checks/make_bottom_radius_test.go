package checks_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
)

func TestMakeBottomRadius(t *testing.T) {
	// A round pocket whose foot is a quarter round of radius r in chords.
	foot := func(r float64, chords int) *mesh.Mesh {
		loops := [][]r3.Vector{ring(0, 0, 12, top, 48)}
		for k := 0; k <= chords; k++ {
			s, c := math.Sincos(math.Pi / 2 * float64(k) / float64(chords))
			loops = append(loops, ring(0, 0, 12-r*(1-c), 30+r*(1-s), 48))
		}
		return holed(at(0, 0, 30), loops...)
	}
	off := 12 * (1 - math.Cos(math.Pi/48))
	wantMade(t, "make.bottom-radius", []made{
		{"half a millimetre", "bottom_radius: 0.4 mm", foot(0.5, 8), checks.Pass, 0.5, 0.005, "", off},
		{"0.3", "bottom_radius: 0.4 mm", foot(0.3, 8), checks.Fail, 0.3, 0.005, "1 corner(s) are under", off},
		{"sharp", "bottom_radius: 0.5 mm", cleanSolid().Mesh, checks.Fail, 0, 1e-9, "sharp", 0},
	})
	// Where the rules ask for none there is no finding, on an open surface either.
	for _, m := range []*mesh.Mesh{cleanSolid().Mesh, cleanSolid().Without(7)} {
		list, _ := run(t, making(t, "reach_ratio: 6"), exact(m))
		for _, f := range list {
			if id := f.Check.ID; id == "make.bottom-radius" || id == "make.flat-bottom" || strings.HasPrefix(id, "bore.") {
				t.Errorf("nothing is asked and %s is %v", id, f.Verdict)
			}
		}
	}
}
