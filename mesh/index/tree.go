package index

import (
	"unsafe"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// width is the number of children of a node: one 256-bit register of binary32.
const width = 8

// node holds the boxes of its children by plane, so that one plane of all children is one load.
// Plane order is x low, x high, y low, y high, z low, z high; coordinates are relative to the
// tree's centre. An unused slot holds a box that is inside out, which nothing meets.
type node struct {
	plane [6][width]float32
	// child is the index of a node, or the complement of first<<leafBits | count-1.
	child [width]int32
}

const (
	leafBits  = 3
	leafMost  = 1 << leafBits
	emptyEdge = 0x1p100 // far outside any model, and finite after any product in the traversal
)

// corners is a triangle in leaf order: its vertices and its index in the mesh.
type corners struct {
	vertex [3]int32
	id     int32
}

// Tree is the hierarchy over one mesh.
type Tree struct {
	mesh *mesh.Mesh
	// vertex views the mesh's own vertices as arrays. A copy in the order of the leaves was tried:
	// the build took a quarter longer, and the rays' gain stayed within the noise.
	vertex [][3]float64
	tri    []corners
	nodes  []node
	box    geom.Box
	centre r3.Vector
	// radius is half the largest side of the box: what local coordinates reach.
	radius float64
	slack  float64
}

// Mesh is the mesh the tree was built over.
func (t *Tree) Mesh() *mesh.Mesh { return t.mesh }

// Bounds is the box of all triangles.
func (t *Tree) Bounds() geom.Box { return t.box }

// MemoryBytes is what the tree holds beyond the mesh.
func (t *Tree) MemoryBytes() int {
	return cap(t.nodes)*int(unsafe.Sizeof(node{})) + cap(t.tri)*int(unsafe.Sizeof(corners{}))
}

// boxSlack is by how much node boxes are widened.
//
// In local coordinates, which reach radius R, a query rounds with the unit u of binary32: the
// box plane once (uR), the origin once (up to 2uR, for it is first brought into the box or its
// surroundings), the reciprocal direction once and the product and difference once each, every
// one of them worth at most 3uR in the place of the plane. The sum is 12uR; 16uR is used.
func boxSlack(radius float64) float64 { return 16 * tol.RoundoffSTL * radius }

// vertexArrays views vectors as arrays, so that a ray's axes can be indices. r3.Vector is three
// float64 in order, which the compiler checks below.
func vertexArrays(v []r3.Vector) [][3]float64 {
	if len(v) == 0 {
		return nil
	}
	return unsafe.Slice((*[3]float64)(unsafe.Pointer(&v[0])), len(v))
}

var _ [0]struct{} = [unsafe.Sizeof(r3.Vector{}) - unsafe.Sizeof([3]float64{})]struct{}{}
