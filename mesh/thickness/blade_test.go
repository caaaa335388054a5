package thickness

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/meshtest"
)

// pinOnPlate is a round pin of 24 sides in the middle of a round plate 5 mm thick.
func pinOnPlate(radius, height float64) *mesh.Mesh {
	return meshtest.Revolve("pin", []r2.Point{{X: 0, Y: 0}, {X: 12, Y: 0}, {X: 12, Y: 5}, {X: radius, Y: 5}, {X: radius, Y: 5 + height}, {X: 0, Y: 5 + height}}, 24).Mesh
}

// TestPins: a round and a square pin stand free with their height, and are pins; a stub no higher
// than it is thick is none, and neither is a pin that reaches from plate to plate.
func TestPins(t *testing.T) {
	rng := meshtest.Random(t)
	square := meshtest.Grid([]float64{0, 8, 9.5, 20}, []float64{0, 9, 10.5, 20}, []float64{0, 5, 13}, func(i, j, k int) bool { return k == 0 || i == 1 && j == 1 }).Mesh
	for _, c := range []struct {
		name              string
		mesh              *mesh.Mesh
		thickness, height float64
	}{
		// Opposite flats of a regular polygon of 24 sides are 2 r cos(pi/24) apart.
		{"round", pinOnPlate(0.75, 8), 1.5 * math.Cos(math.Pi/24), 8},
		{"square", square, 1.5, 8},
		{"round and slender", pinOnPlate(0.4, 11), 0.8 * math.Cos(math.Pi/24), 11},
	} {
		for range 5 {
			motion := meshtest.RandomMotion(rng, 50)
			f, err := Walls(index.Build(c.mesh.Moved(motion)), Options{LimitMM: 3, PitchMM: 0.5})
			if err != nil {
				t.Fatal(err)
			}
			got := f.Blades(f.Regions(2, nil), 3)
			if len(got) != 1 {
				t.Fatalf("%s: %d blades: %+v", c.name, len(got), got)
			}
			b := got[0]
			meshtest.WantNear(t, c.name+": thickness", b.ThicknessMM, c.thickness, 1e-4)
			meshtest.WantNear(t, c.name+": height", b.HeightMM, c.height, b.ErrorMM)
			if !b.Pin || b.Slenderness < c.height/c.thickness-b.ErrorMM/c.thickness {
				t.Errorf("%s: %+v", c.name, b)
			}
			if up := motion.Direction(vec(0, 0, 1)); b.Up.Dot(up) < 0.99 {
				t.Errorf("%s stands along %v, want %v", c.name, b.Up, up)
			}
		}
	}
	stub, err := Walls(index.Build(pinOnPlate(0.75, 1.5)), Options{LimitMM: 3})
	if err != nil {
		t.Fatal(err)
	}
	if got := stub.Blades(stub.Regions(2, nil), 3); len(got) != 0 {
		t.Errorf("a stub as high as thick is a blade: %+v", got)
	}
	held := meshtest.Revolve("held at both ends", []r2.Point{{X: 0, Y: 0}, {X: 12, Y: 0}, {X: 12, Y: 5}, {X: 0.75, Y: 5}, {X: 0.75, Y: 13}, {X: 12, Y: 13}, {X: 12, Y: 18}, {X: 0, Y: 18}}, 24).Mesh
	f, err := Walls(index.Build(held), Options{LimitMM: 3})
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Blades(f.Regions(2, nil), 3); len(got) != 0 {
		t.Errorf("a pin held at both ends is a blade: %+v", got)
	}
}
