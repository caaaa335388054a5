// Package mesh holds a triangle surface as the program measures it, and what it came from.
//
// Lengths are millimetres, angles radians. A Mesh is treated as immutable once built and is
// safe to share. The package knows geometry and where each triangle came from; it knows
// nothing of frames, limits or reports, and reads no file format.
//
// Invariants, kept by every reader and checked by Audit (tests cite these numbers):
//
//	M1  every index in Triangles is a valid vertex; no triangle names a vertex twice
//	M2  no coordinate is NaN or infinite
//	M3  Faces[t] is the index of the face that triangle t came from
//	M4  order is input order: the same bytes give the same Mesh on any machine
//	M5  counter-clockwise seen from outside: the right-hand normal points out of the metal,
//	    as far as the file said so
//
// Closedness is not an invariant. Ask Audit: a surface with a hole is a fact to report, and
// what needs a solid (volume, wall thickness) must ask first.
package mesh

import (
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

// Mesh is an indexed triangle surface. Fields are to be read, not written.
type Mesh struct {
	Vertices  []r3.Vector
	Triangles [][3]int32
	// Faces holds for each triangle the index of its face in Part.Faces; nil when all
	// triangles belong to face 0.
	Faces []int32
}

// Bounds is the least box around the vertices.
func (m *Mesh) Bounds() geom.Box { return geom.BoxOf(m.Vertices) }

// FaceOf is the face index of triangle t.
func (m *Mesh) FaceOf(t int) int32 {
	if m.Faces == nil {
		return 0
	}
	return m.Faces[t]
}

// Corners are the three vertices of triangle t.
func (m *Mesh) Corners(t int) (a, b, c r3.Vector) {
	tri := m.Triangles[t]
	return m.Vertices[tri[0]], m.Vertices[tri[1]], m.Vertices[tri[2]]
}

// AreaVector is half the cross product of two edges: the right-hand normal times the area.
func (m *Mesh) AreaVector(t int) r3.Vector {
	a, b, c := m.Corners(t)
	return b.Sub(a).Cross(c.Sub(a)).Mul(0.5)
}

// Moved is a copy carried by the motion; topology and faces are shared with m.
func (m *Mesh) Moved(motion geom.Motion) *Mesh {
	if motion.IsIdentity() {
		return m
	}
	v := make([]r3.Vector, len(m.Vertices))
	for i, p := range m.Vertices {
		v[i] = motion.Point(p)
	}
	return &Mesh{Vertices: v, Triangles: m.Triangles, Faces: m.Faces}
}
