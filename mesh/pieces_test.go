package mesh_test

import (
	"math"
	"testing"

	"pocketgauge/mesh/meshtest"
)

// Pieces are the same surface: the area and its direction stay, triangle by triangle, and no piece is longer
// than asked for.
func TestPiecesAreTheSameSurface(t *testing.T) {
	m := meshtest.Torus(20, 6, 24, 12).Mesh
	p, normals := m.Pieces(1.5)
	area := make([]float64, len(m.Triangles))
	for i := range p.Triangles {
		a, b, c := p.Corners(i)
		if l := max(a.Sub(b).Norm(), b.Sub(c).Norm(), c.Sub(a).Norm()); l > 1.5 {
			t.Fatalf("a piece %g long", l)
		}
		if d := p.AreaVector(i).Normalize().Dot(normals[i]); d < 1-1e-9 {
			t.Fatalf("a piece turned by %g", math.Acos(d))
		}
		area[p.Faces[i]] += p.AreaVector(i).Norm()
	}
	for i, a := range area {
		if want := m.AreaVector(i).Norm(); math.Abs(a-want) > 1e-9*want {
			t.Errorf("triangle %d has %g mm2 in pieces, %g whole", i, a, want)
		}
	}
	// Control: with no limit the surface is as it was.
	if p, _ := m.Pieces(math.Inf(1)); len(p.Triangles) != len(m.Triangles) {
		t.Errorf("%d pieces of %d triangles", len(p.Triangles), len(m.Triangles))
	}
}
