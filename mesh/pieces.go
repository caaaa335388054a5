package mesh

import "github.com/golang/geo/r3"

// mostPieces bounds what Pieces divides into.
const mostPieces = 1 << 19

// Pieces is the same surface in triangles none of which is longer than the limit, for pictures that colour
// it bit by bit, and the normal of each: triangles are halved across their longest side. Faces of a piece is
// the triangle that it is of. Pieces share no vertices. Beyond half a million pieces the rest stays as it is.
func (m *Mesh) Pieces(limitMM float64) (pieces *Mesh, normals []r3.Vector) {
	pieces = &Mesh{}
	type corners struct{ a, b, c r3.Vector }
	var stack []corners
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		n := m.AreaVector(t).Normalize()
		stack = append(stack[:0], corners{a, b, c})
		for len(stack) > 0 {
			x := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			ab, bc, ca := x.a.Sub(x.b).Norm(), x.b.Sub(x.c).Norm(), x.c.Sub(x.a).Norm()
			switch l := max(ab, bc, ca); {
			case !(l > limitMM) || len(pieces.Triangles) >= mostPieces:
				v := int32(len(pieces.Vertices))
				pieces.Vertices = append(pieces.Vertices, x.a, x.b, x.c)
				pieces.Triangles = append(pieces.Triangles, [3]int32{v, v + 1, v + 2})
				pieces.Faces = append(pieces.Faces, int32(t))
				normals = append(normals, n)
			case l == ab:
				h := x.a.Add(x.b).Mul(0.5)
				stack = append(stack, corners{x.a, h, x.c}, corners{h, x.b, x.c})
			case l == bc:
				h := x.b.Add(x.c).Mul(0.5)
				stack = append(stack, corners{x.a, x.b, h}, corners{x.a, h, x.c})
			default:
				h := x.c.Add(x.a).Mul(0.5)
				stack = append(stack, corners{x.a, x.b, h}, corners{h, x.b, x.c})
			}
		}
	}
	return pieces, normals
}
