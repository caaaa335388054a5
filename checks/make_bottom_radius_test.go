package checks_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/tol"
)

// footed is a round pocket whose foot is a quarter round of radius r in chords.
func footed(r float64, chords int) *mesh.Mesh {
	loops := [][]r3.Vector{ring(0, 0, 12, top, 48)}
	for k := 0; k <= chords; k++ {
		s, c := math.Sincos(math.Pi / 2 * float64(k) / float64(chords))
		loops = append(loops, ring(0, 0, 12-r*(1-c), 30+r*(1-s), 48))
	}
	return holed(at(0, 0, 30), loops...)
}

func TestMakeBottomRadius(t *testing.T) {
	off := 12 * (1 - math.Cos(math.Pi/48))
	wantMade(t, "make.bottom-radius", []made{
		{"half a millimetre", "bottom_radius: 0.4 mm", footed(0.5, 8), checks.Pass, 0.5, 0.005, "", off},
		{"0.3", "bottom_radius: 0.4 mm", footed(0.3, 8), checks.Fail, 0.3, 0.005, "1 corner(s) are under", off},
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

func TestSpecimensOfMakeBottomRadius(t *testing.T) {
	foot := func(r float64, chords int) []checks.Finding {
		s, err := checks.NewSubject(making(t, "bottom_radius: 0.4 mm"), partOf(footed(r, chords), tol.RoundoffDouble, 12*(1-math.Cos(math.Pi/48))))
		if err != nil {
			t.Fatal(err)
		}
		return of(t, s, "make.bottom-radius")
	}
	specimens(t, "make.bottom-radius",
		specimen{clean, "half a millimetre", foot(0.5, 8), "", 0.5, 0.005},
		specimen{defective, "0.3", foot(0.3, 8), "", 0.3, 0.005},
		specimen{looksWrong, "half a millimetre in four chords", foot(0.5, 4), "", 0.5, 0.01},
	)
}
