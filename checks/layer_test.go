package checks_test

import (
	"math"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/meshtest"
)

// The block has a cavity of 50 x 22 and beside it one of 50 x 8 with 2 mm of metal between them, both
// 15.03 deep. On the two sides of that wall, and nowhere else, the layer must read 2 mm.
func TestWallLayer(t *testing.T) {
	near := box(-20, 12, 25, 30, 20, 50)
	s, err := checks.NewSubject(frame(t, wall), exact(meshtest.BlockWithPockets(nominal, detail, near).Mesh))
	if err != nil {
		t.Fatal(err)
	}
	list := s.Layers("wall")
	if len(list) != 1 || list[0].Limit != 2.5 || !list[0].Least || list[0].High != 3.75 {
		t.Fatalf("layers are %+v", list)
	}
	area := 0.0
	for tri, v := range list[0].Values {
		a, b, c := s.Part.Mesh.Corners(tri)
		between := math.Abs(s.Part.Mesh.AreaVector(tri).Normalize().Y) > 0.99 &&
			min(a.Y, b.Y, c.Y) > 9.9 && max(a.Y, b.Y, c.Y) < 12.1 && max(a.Z, b.Z, c.Z) > 25 && min(a.X, b.X, c.X) >= -20 && max(a.X, b.X, c.X) <= 30
		switch {
		case v != v:
			if between {
				t.Errorf("triangle %d of the thin wall has no value", tri)
			}
		case !between || math.Abs(float64(v)-2) > 1e-4:
			t.Errorf("triangle %d reads %v mm at %v", tri, v, a)
		default:
			area += s.Part.Mesh.AreaVector(tri).Norm()
		}
	}
	if want := 2 * 50 * 15.03; math.Abs(area-want) > 1e-6 {
		t.Errorf("%v mm2 read the thin wall, it has %v", area, want)
	}
}

// Walls of a cavity are upright: draft 0; its floor looks along the draw: 90.
func TestDraftLayer(t *testing.T) {
	s, err := checks.NewSubject(frame(t, zones), exact(cleanSolid().Mesh))
	if err != nil {
		t.Fatal(err)
	}
	area := map[float32]float64{}
	for tri, v := range s.Layers("draft")[0].Values {
		if v == v {
			area[v] += s.Part.Mesh.AreaVector(tri).Norm()
		}
	}
	if math.Abs(area[90]-50*22) > 1e-6 || math.Abs(area[0]-2*(50+22)*15.03) > 1e-6 || len(area) != 2 {
		t.Errorf("areas by draft are %v", area)
	}
}
