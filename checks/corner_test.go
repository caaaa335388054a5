package checks_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

// unevenSquare is roundedSquare with n chords a corner whose ends lie on the round where chance puts them; leave says of which corner.
func unevenSquare(rng *rand.Rand, h, r, z float64, n int) []r3.Vector {
	var l []r3.Vector
	for q := range 4 {
		at := []float64{0, 1}
		for len(at) < n+1 {
			// No chord of more than half of the corner, and none so short that its turn is rounding.
			if x := rng.Float64(); slices.IndexFunc(at, func(y float64) bool { return abs(x-y) < 0.02 }) < 0 {
				at = append(at, x)
			}
		}
		slices.Sort(at)
		for _, x := range at {
			s, c := math.Sincos(math.Pi / 2 * (float64(q) + x))
			sx, sy := 1.0, 1.0
			if q == 1 || q == 2 {
				sx = -1
			}
			if q == 2 || q == 3 {
				sy = -1
			}
			l = append(l, r3.Vector{X: sx*(h-r) + r*c, Y: sy*(h-r) + r*s, Z: z})
		}
	}
	return l
}

// However unevenly a round is meshed, its radius is read within what the reading says of itself; the control is a
// radius wrong by a tenth, which most readings do not hold.
func TestCornersOfUnevenRounds(t *testing.T) {
	rng := meshtest.Random(t)
	f := making(t, "smallest_cutter: 2 mm")
	worst, wrongHeld := 0.0, 0
	const rounds = 60
	for range rounds {
		r := 0.2 + 0.6*rng.Float64()
		n := 5 + rng.IntN(10)
		seed := rng.Uint64()
		lean := 0.06 * rng.Float64() // a draft of up to three degrees: the round is a cone
		upper := unevenSquare(meshtest.Seeded(seed), 8, r, top, n)
		lower := unevenSquare(meshtest.Seeded(seed), 8-lean, r-lean, 29, n)
		m := holed(at(0, 0, 29), upper, lower)
		got := checks.ByID("make.cutter").Measure(subject(t, f, m))[0]
		// The tightest section is the lowest; a cut through the middle of an edge is half way down.
		least, most := 2*(r-lean), 2*r
		if got.Value-got.Uncertainty > most || got.Value+got.Uncertainty < least || got.Uncertainty > 0.35*most {
			t.Errorf("a round of radius %.3f to %.3f in %d chords: %.3f ±%.3f, %s", r-lean, r, n, got.Value, got.Uncertainty, got.Says)
		}
		worst = max(worst, abs(got.Value-(least+most)/2)/most)
		if abs(got.Value-1.1*(least+most)/2) < got.Uncertainty {
			wrongHeld++
		}
	}
	t.Logf("furthest off by %.1f %% of the diameter; a tenth too much is within the uncertainty of %d of %d", 100*worst, wrongHeld, rounds)
	if wrongHeld > rounds*2/3 {
		t.Errorf("the uncertainty is so wide that a diameter a tenth too large passes in %d of %d", wrongHeld, rounds)
	}
}

// A foot's fillet that is meshed badly is no inner corner along the draw. The two files hold one body: its surfaces
// in one, triangles in the other.
func TestTwinsHaveTheSameCorners(t *testing.T) {
	frame, err := rules.Load("../testdata/apiary/rules/brood.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var twins [2]checks.Reading
	for i, name := range []string{"../testdata/apiary/inserts/entrance-disc-fixed.stl", "../testdata/apiary-step/entrance-disc-fixed.stp"} {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		model, err := load.Bytes(name, data, load.Options{ChordMM: frame.Measuring.ChordMM.Value})
		if err != nil {
			t.Fatal(err)
		}
		s, err := checks.NewSubject(frame, &model.Parts[0])
		if err != nil {
			t.Fatal(err)
		}
		twins[i] = checks.ByID("make.cutter").Measure(s)[0]
	}
	meshtest.WantNear(t, "the triangles' tightest corner", twins[0].Value, twins[1].Value, twins[0].Uncertainty+twins[1].Uncertainty+1e-9)
	// The drawing's least inner corner along the draw is wider than is looked for: 1.5 times the smallest cutter.
	meshtest.WantNear(t, "the surfaces' tightest corner", twins[1].Value, 1.5, 1e-9)
}
