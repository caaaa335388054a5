package checks_test

import (
	"strings"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

// withHoles is the block with round holes of 48 sides straight through it, corners on the circle.
func withHoles(holes ...[3]float64) *mesh.Mesh {
	var loops [][]r2.Point
	for _, h := range holes {
		loops = append(loops, meshtest.Regular(r2.Point{X: h[0], Y: h[1]}, h[2]/2, 48))
	}
	outline := meshtest.Rectangle(r2.Point{X: nominal.Min.X, Y: nominal.Min.Y}, r2.Point{X: nominal.Max.X, Y: nominal.Max.Y})
	return meshtest.Prism(outline, loops, 0, nominalTop).Mesh
}

func ejected(t *testing.T, rule string, m *mesh.Mesh) *checks.Subject {
	t.Helper()
	s, err := checks.NewSubject(frame(t, "ejection: {"+rule+"}\n"), exact(m))
	if err != nil {
		t.Fatal(err)
	}
	s.Half = rules.Moving
	return s
}

// pinRules are an ejector set with one rod in its middle, and what the shop asks of pins.
const pinRules = "outline: {rectangle: {width: 80, length: 40}}, keep_clear: [{name: rod, at: [0, 0], diameter: 12}], pin_diameters: [3, 4], pin_spacing: 8, edge_distance: 2, bearing: {least: 12, most: 60}"

// pinned is what one check makes of a moving half with holes for pins, each of x, y and diameter.
func pinned(t *testing.T, id, rule string, holes ...[3]float64) []checks.Finding {
	t.Helper()
	return of(t, ejected(t, rule, withHoles(holes...)), id)
}

// pinsOnPart is what one check makes of a moving half, whose part lies from x = -30 to 20 and y = -12 to 10.
func pinsOnPart(t *testing.T, id, rule string, holes ...[3]float64) []checks.Finding {
	t.Helper()
	return of(t, closed(t, "ejection: {"+rule+"}\n", pocketed(detail), withHoles(holes...)).Partner, id)
}

// Bores of the fixed half are no pins; an insert without any is asked nothing of them, nor is half of a pair on its own.
func TestPinsAreAskedOfTheMovingHalf(t *testing.T) {
	fixed := ejected(t, pinRules+", area_per_pin: 600 mm2, stroke: 20", withHoles([3]float64{-39, 0, 4}))
	fixed.Half = rules.Fixed
	for _, c := range checks.Catalogue {
		if strings.HasPrefix(c.ID, "eject.") {
			wantNone(t, "fixed half", of(t, fixed, c.ID))
			wantNone(t, "no bores", of(t, ejected(t, pinRules, plain()), c.ID))
		}
	}
	for _, id := range []string{"eject.part", "eject.area", "eject.stroke"} {
		wantNone(t, "half on its own", pinned(t, id, "area_per_pin: 600 mm2, stroke: 20", [3]float64{-20, 0, 4}))
	}
	if n := len(ejected(t, pinRules, withHoles([3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3})).Pins()); n != 3 {
		t.Errorf("%d pins, want 3", n)
	}
}
