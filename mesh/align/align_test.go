package align

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

func box(x0, y0, z0, x1, y1, z1 float64) geom.Box {
	return geom.Box{Min: r3.Vector{X: x0, Y: y0, Z: z0}, Max: r3.Vector{X: x1, Y: y1, Z: z1}}
}

// part tells every turn from every other.
func part(more ...geom.Box) *mesh.Mesh {
	return meshtest.BlockWithPockets(box(-50, -30, 0, 50, 30, 40), append([]geom.Box{box(-40, -20, 25, -10, 5, 50), box(20, 10, 30, 45, 22, 50)}, more...)...).Mesh
}

// turns are about z, over x, and both.
func turns() []geom.Motion {
	var list []geom.Motion
	for tip := range 2 {
		for spin := range 4 {
			list = append(list, geom.Rotate(r3.Vector{Z: 1}, float64(spin)*math.Pi/2).After(geom.Rotate(r3.Vector{X: 1}, float64(tip)*math.Pi)))
		}
	}
	return list
}

// A revised part drawn elsewhere comes back to where it was: what was changed does not pull.
func TestRevisedPartComesBack(t *testing.T) {
	to := part()
	revised := part(box(0, -25, 20, 15, -5, 50), box(-8, -2, 38, 5, 22, 50))
	askew := geom.Rotate(r3.Vector{X: 1, Y: 2, Z: 3}, 0.03)
	for name, m := range map[string]geom.Motion{
		"moved":            geom.Translate(r3.Vector{X: 13, Y: -7.25, Z: 101}),
		"turned":           geom.Translate(r3.Vector{X: 200}).After(turns()[3]),
		"tipped over":      geom.Translate(r3.Vector{Z: 40}).After(turns()[5]),
		"turned and askew": geom.Translate(r3.Vector{X: 5, Y: 5, Z: 5}).After(askew).After(turns()[1]),
	} {
		f := Onto(revised.Moved(m), to, turns(), 0.005)
		back := f.Motion.After(m)
		for _, v := range revised.Vertices {
			if d := back.Point(v).Sub(v).Norm(); d > 1e-4 {
				t.Errorf("%s: %v comes back %.2g mm off (share %.3f)", name, v, d, f.Share)
				break
			}
		}
		if f.Turn < 0 || f.Share < 0.7 || f.Share == 1 {
			t.Errorf("%s: turn %d, %.3f of the surface fits", name, f.Turn, f.Share)
		}
		if r := f.Motion.Rotation; math.Abs(r[0].Cross(r[1]).Dot(r[2])-1) > 1e-9 || f.Motion.Scale != 1 {
			t.Errorf("%s: %v is no rigid motion (A1)", name, f.Motion)
		}
	}
}

// A2 and A3: what lies alike is not moved, however the changed ends of its box would have it, nor is a
// body that is the same all around turned.
func TestWhatLiesAlikeStays(t *testing.T) {
	longer := meshtest.BlockWithPockets(box(-50, -30, 0, 60, 30, 44), box(-40, -20, 25, -10, 5, 50), box(20, 10, 30, 45, 22, 50)).Mesh
	for name, from := range map[string]*mesh.Mesh{"the same": part(), "revised": part(box(0, -25, 20, 15, -5, 50)), "grown at one end": longer} {
		if f := Onto(from, part(), turns(), 0.005); !f.Motion.IsIdentity() || f.Turn != -1 {
			t.Errorf("%s: moved by %v, %.3f fits", name, f.Motion, f.Share)
		}
	}
	cube := meshtest.Box(r3.Vector{}, r3.Vector{X: 10, Y: 10, Z: 10}).Mesh
	f := Onto(cube.Moved(geom.Translate(r3.Vector{X: 3})), cube, turns(), 0.005)
	if f.Turn != 0 || f.Motion.Point(r3.Vector{X: 3}).Norm() > 1e-9 {
		t.Errorf("a cube moved by 3 mm: turn %d, %v", f.Turn, f.Motion)
	}
	// Control: with another part nothing fits.
	if f := Onto(meshtest.Sphere(20, 40, 20).Mesh, part(), turns(), 0.005); f.Share > 0.2 {
		t.Errorf("%.3f of a ball fits a block", f.Share)
	}
}
