package checks_test

import (
	"math"
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

func TestEjectorPinsWithinTheirSet(t *testing.T) {
	const within = "outline: {rectangle: {width: 80, length: 40}}, keep_clear: [{name: rod, at: [0, 0], diameter: 12}], pin_diameters: [3, 4], pin_spacing: 8, edge_distance: 2, bearing: {least: 12, most: 60}"
	good := withHoles([3]float64{-30, 0, 4}, [3]float64{30, 10, 4}, [3]float64{0, -15, 3})
	s := ejected(t, within, good)
	if n := len(s.Pins()); n != 3 {
		t.Fatalf("%d pins, want 3", n)
	}
	want(t, "within", of(t, s, "eject.outline"), "", checks.Pass, 20-15-1.5, 1e-6)
	want(t, "clear", of(t, s, "eject.clear"), "rod", checks.Pass, 15-6-1.5, 1e-6)
	want(t, "apart", of(t, s, "eject.spacing"), "", checks.Pass, math.Hypot(30, 15), 1e-6)
	want(t, "stocked", of(t, s, "eject.diameter"), "", checks.Pass, 0, 1e-6)
	want(t, "guided", of(t, s, "eject.bearing"), "shortest", checks.Pass, nominalTop, 1e-6)
	want(t, "guided", of(t, s, "eject.bearing"), "longest", checks.Pass, nominalTop, 1e-6)
	// No edge is within three times the limit; the side of the block, 13.48 mm away, is beyond.
	want(t, "edges", of(t, s, "eject.edge"), "", checks.Pass, 6, 1e-6)

	bad := ejected(t, within, withHoles([3]float64{-39, 0, 4}, [3]float64{7, 0, 4}, [3]float64{12, 4, 3.5}, [3]float64{30, 27, 4}))
	want(t, "beyond the plates", of(t, bad, "eject.outline"), "", checks.Fail, -7-2, 1e-6)
	want(t, "in the rod", of(t, bad, "eject.clear"), "rod", checks.Fail, 7-6-2, 1e-6)
	want(t, "too near", of(t, bad, "eject.spacing"), "", checks.Fail, math.Hypot(5, 4), 1e-6)
	want(t, "a special", of(t, bad, "eject.diameter"), "", checks.Fail, 0.5, 1e-6)
	want(t, "near the side", of(t, bad, "eject.edge"), "", checks.Fail, 29.98-27-2, 1e-6)
	want(t, "guided too long", of(t, ejected(t, "bearing: {least: 12, most: 25}", good), "eject.bearing"), "longest", checks.Fail, nominalTop, 1e-6)
	want(t, "guided too short", of(t, ejected(t, "bearing: {least: 45, most: 60}", good), "eject.bearing"), "shortest", checks.Fail, nominalTop, 1e-6)

	// Looks wrong and is right: the bore is within its play, and bores of the fixed half are no pins.
	want(t, "play of the bore", of(t, ejected(t, within, withHoles([3]float64{0, 15, 4.03})), "eject.diameter"), "", checks.Pass, 0.03, 1e-6)
	fixed := ejected(t, within, withHoles([3]float64{-39, 0, 4}))
	fixed.Half = rules.Fixed
	for _, id := range []string{"eject.outline", "eject.clear", "eject.spacing", "eject.bearing", "eject.diameter", "eject.edge", "eject.part", "eject.area", "eject.stroke"} {
		wantNone(t, "fixed half", of(t, fixed, id))
		wantNone(t, "no bores", of(t, ejected(t, within, plain()), id))
	}
}

// A groove is an edge of the face that a pin comes out on; the pin's own bore is none.
func TestEdgesBesidePins(t *testing.T) {
	s := ejected(t, "edge_distance: 2", withHoles([3]float64{-30, 0, 4}))
	want(t, "no core", of(t, s, "eject.edge"), "", checks.Pass, 6, 1e-6)
	// A groove 3 mm from the pin's wall, cut as a second hole that is no bore: four sides.
	outline := meshtest.Rectangle(r2.Point{X: nominal.Min.X, Y: nominal.Min.Y}, r2.Point{X: nominal.Max.X, Y: nominal.Max.Y})
	groove := meshtest.Rectangle(r2.Point{X: -25, Y: -5}, r2.Point{X: 10, Y: 5})
	m := meshtest.Prism(outline, [][]r2.Point{meshtest.Regular(r2.Point{X: -30}, 2, 48), groove}, 0, nominalTop).Mesh
	want(t, "a groove", of(t, ejected(t, "edge_distance: 2", m), "eject.edge"), "", checks.Pass, 3, 1e-6)
	want(t, "a groove", of(t, ejected(t, "edge_distance: 4", m), "eject.edge"), "", checks.Fail, 3, 1e-6)
}

func TestEjectionOfAPair(t *testing.T) {
	const rule = "ejection: {area_per_pin: 600 mm2, stroke: 20}\n"
	// The cavity lies from x = -30 to 20 on the moving half, y = -12 to 10.
	good := closed(t, rule, pocketed(detail), withHoles([3]float64{-20, 0, 4}, [3]float64{10, 5, 4})).Partner
	want(t, "on the part", of(t, good, "eject.part"), "", checks.Pass, 0, 0)
	want(t, "two pins", of(t, good, "eject.area"), "", checks.Pass, 550, 3)
	want(t, "stroke", of(t, good, "eject.stroke"), "", checks.Fail, 15.03+5, 1e-4)
	long := closed(t, "ejection: {stroke: 25}\n", pocketed(detail), withHoles([3]float64{-20, 0, 4})).Partner
	want(t, "more stroke", of(t, long, "eject.stroke"), "", checks.Pass, 15.03+5, 1e-4)
	bad := closed(t, rule, pocketed(detail), withHoles([3]float64{-20, 0, 4}, [3]float64{30, 5, 4})).Partner
	want(t, "one beside the part", of(t, bad, "eject.part"), "", checks.Fail, 1, 0)
	few := closed(t, rule, pocketed(detail), withHoles([3]float64{-20, 0, 4})).Partner
	want(t, "one pin", of(t, few, "eject.area"), "", checks.Fail, 1100, 5)
	none := closed(t, rule, pocketed(detail), plain()).Partner
	want(t, "no pin", of(t, none, "eject.area"), "", checks.Fail, 1100, 5)
	// Looks wrong and is right: half of the pin's end is on the part.
	edge := closed(t, rule, pocketed(detail), withHoles([3]float64{-30, 0, 4})).Partner
	want(t, "half on the part", of(t, edge, "eject.part"), "", checks.Pass, 0, 0)
	for _, id := range []string{"eject.part", "eject.area", "eject.stroke"} {
		wantNone(t, "half on its own", of(t, ejected(t, "area_per_pin: 600 mm2, stroke: 20", withHoles([3]float64{-20, 0, 4})), id))
	}
}
