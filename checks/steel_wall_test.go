package checks_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

// line is a drilling along y through the block: where its axis stands, and its diameter.
type line struct{ x, z, diameter float64 }

// drilled is the nominal block with a groove of detail along y, between two places across and
// down to a height, and with drillings along y. All walls in it are differences of numbers.
func drilled(left, right, floor float64, lines ...line) *mesh.Mesh {
	const w, top = 49.98, 40.03
	outline := []r2.Point{{X: -w, Y: 0}, {X: w, Y: 0}, {X: w, Y: top}, {X: right, Y: top}, {X: right, Y: floor}, {X: left, Y: floor}, {X: left, Y: top}, {X: -w, Y: top}}
	var holes [][]r2.Point
	for _, l := range lines {
		holes = append(holes, meshtest.Regular(r2.Point{X: l.x, Y: l.z}, l.diameter/2, 48))
	}
	return lying(meshtest.Prism(outline, holes, -29.98, 29.98).Mesh)
}

// lying turns a mesh a quarter about x, exactly: y becomes z.
func lying(m *mesh.Mesh) *mesh.Mesh {
	for i, v := range m.Vertices {
		m.Vertices[i] = r3.Vector{X: v.X, Y: -v.Z, Z: v.Y}
	}
	return m
}

const water = "cooling: {waterline_diameters: [8]}\n"

// Each case has one wall that is too thin for the pair that it lies between, and is not too
// thin for any other pair.
func TestWallsByRole(t *testing.T) {
	clean := line{0, 15, 8}
	for _, c := range []struct {
		name, rules string
		m           *mesh.Mesh
		of          string
		value       float64
		limit       float64
		verdict     checks.Verdict
	}{
		{"clean", "", drilled(-10, 10, 30, clean), "detail to waterline", 11, 8, checks.Pass},
		{"waterline too high", "", drilled(-10, 10, 30, line{0, 22, 8}), "detail to waterline", 4, 8, checks.Fail},
		{"waterline beside the corner of the detail", "", drilled(-10, 10, 30, line{16, 24, 8}), "detail to waterline", math.Hypot(6, 6) - 4, 8, checks.Fail},
		{"lines too near each other", "", drilled(-10, 10, 30, clean, line{10, 15, 8}), "bore to bore", 2, 3, checks.Fail},
		{"line too near the side", "", drilled(-10, 10, 30, line{44, 15, 8}), "bore to side", 1.98, 3, checks.Fail},
		{"detail too deep", "", drilled(-10, 10, 6), "detail to back", 6, 8, checks.Fail},
		{"detail too wide", "", drilled(-10, 45, 30), "detail to side", 4.98, 8, checks.Fail},
		{"a hole of no known purpose under the detail", "", drilled(-10, 10, 30, line{0, 24.5, 7}), "detail to bore", 2, 3, checks.Fail},
		// A limit of its own holds alone, be it stricter than that for any two surfaces or not.
		{"less is let pass over waterlines", "steel: {wall: {any: 2.5, detail_waterline: 2}}\n", drilled(-10, 10, 30, line{0, 23.8, 8}), "detail to waterline", 2.2, 2, checks.Pass},
		// The groove and the line run out through the side, where they touch it: no walls.
		{"open at both ends", "steel: {wall: {detail_side: 39, bore_side: 45}}\n", drilled(-10, 10, 30, clean), "detail to side", 39.98, 39, checks.Pass},
	} {
		list, _ := run(t, frame(t, water+c.rules), exact(c.m))
		for _, f := range list {
			if f.Verdict != checks.Pass && f.Check.ID == "steel.wall" && f.Of != c.of {
				t.Errorf("%s: steel.wall [%s] is %v too: %s", c.name, f.Of, f.Verdict, f.Says)
			}
		}
		f := find(t, list, "steel.wall", c.of)
		if f.Verdict != c.verdict {
			t.Errorf("%s: %v, want %v: %s", c.name, f.Verdict, c.verdict, f.Says)
		}
		meshtest.WantNear(t, c.name, f.Value, c.value, 1e-9)
		meshtest.WantNear(t, c.name+": limit", f.Limit.Least, c.limit, 0)
		if c.verdict == checks.Fail && (!f.Located || f.Mend == "" || !strings.Contains(f.Says, "The thinnest wall from "+c.of)) {
			t.Errorf("%s: says %q, mend %q, located %v", c.name, f.Says, f.Mend, f.Located)
		}
	}
}

// A thin wall is named by what it lies between.
func TestThinWallsAreNamed(t *testing.T) {
	list, _ := run(t, frame(t, water), exact(drilled(-10, 10, 30, line{0, 22, 8})))
	if f := find(t, list, "steel.wall", "detail to waterline"); !strings.Contains(f.Says, "the waterline of diameter 8 mm and the detail") {
		t.Errorf("says %q", f.Says)
	}
}

func TestSpecimensOfSteelWall(t *testing.T) {
	specimens(t, "steel.wall",
		specimen{clean, "11 mm over the water", by(t, water, drilled(-10, 10, 30, line{0, 15, 8})), "detail to waterline", 11, 1e-9},
		specimen{defective, "4 mm over the water", by(t, water, drilled(-10, 10, 30, line{0, 22, 8})), "detail to waterline", 4, 1e-9},
		specimen{looksWrong, "groove and line run out at the side, where they touch it", by(t, water+"steel: {wall: {detail_side: 39, bore_side: 45}}\n", drilled(-10, 10, 30, line{0, 15, 8})), "detail to side", 39.98, 1e-9},
	)
}
