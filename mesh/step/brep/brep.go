// Package brep holds a boundary representation as a STEP file states it: bodies of shells of
// faces of loops of edges, with products and placements.
//
// Lengths are millimetres, angles radians. Nothing here makes triangles; nothing is mended in
// silence: what the file says and the geometry denies is a Note, and a face or an edge whose
// geometry was not understood says so in its Err.
//
// What holds (tests cite these numbers):
//
//	B1  every Use has an Edge, every Edge has a Curve and both vertices, every Loop has uses or a
//	    vertex; only Face.Surface may be nil, and then Face.Err says why
//	B2  each instance of the file is one object: faces of a shell that meet in an EDGE_CURVE share
//	    the Edge, edges that meet in a VERTEX_POINT share the Vertex
//	B3  sense flags are folded: a face's normal and its loops are those of its final orientation
//	B4  order is file order, and the same bytes give the same Model at any number of cores
//	B5  a body named by no product is still in the Model, once
//
// How long it takes grows with the text that is asked for: topology is gone through once on one
// core, geometry is then made over all of them. Styles, layers, annotations and parameter
// curves are never looked at.
//
// Not read, and said so in an error, a Note or an Err: mirrored placements, curve_replica and
// surface_replica, rectangular_composite_surface, topology in external mapping (a face or an edge
// as a complex instance; solids are read), shapes of an occurrence that differ from its
// product's, curves of more than 4096 parts. Wireframe and solids by construction bound no body
// and are named. Files that a file refers to are named and not opened.
//
// An open curve whose edge contradicts its sense flag runs from vertex to vertex all the same;
// which of the two is wrong cannot be told from the edge alone.
package brep

import (
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/shape"
)

// Model is all the bodies of one file.
type Model struct {
	Bytes  int    // of the text that it was read from: what work on it is measured by
	Schema string // as FILE_SCHEMA has it
	// Unit is the length unit the file states, for people: "mm", "in", "m".
	Unit string
	// Bodies are in the order in which the product structure reaches them. A body may have no
	// occurrence: the triangles of one that is shown exactly as well.
	Bodies []*Body
	// Occurrences place bodies: one for each leaf of the product structure, in file order.
	Occurrences []Occurrence
	// Frames are the placements with a name in a representation, where the assembly puts them.
	Frames []mesh.NamedFrame
	Notes  []mesh.Note
}

// Occurrence is a body at a place in an assembly.
type Occurrence struct {
	Body int
	// Path is the product path, such as "assembly/arm/pin". It does not tell apart two uses of
	// one component, nor the bodies of one product; Body.Name and Body.ID do the latter. A body
	// of no product has its name for a path, or its instance as "#15".
	Path string
	// Motion has a scale other than 1 where a mapped item is scaled.
	Motion geom.Motion
}

// Body is one solid, or one surface model.
type Body struct {
	ID   uint64 // instance name
	Name string
	// Sheet is set for a surface model; whether its shells close is for the mesh to tell.
	Sheet  bool
	Shells []Shell
	// Facets is set instead of Shells for a body the file holds as triangles (AP242).
	Facets *mesh.Mesh
	// UncertaintyMM is the file's stated length uncertainty, 0 where it states none.
	UncertaintyMM float64
}

// Shell is a connected set of faces; Void shells bound a cavity wholly inside the metal.
type Shell struct {
	ID    uint64
	Void  bool
	Faces []*Face
	// Reversed is set where the shell's orientation flag turns all its faces. It is told for
	// information: the flag is folded into the faces, as every other is.
	Reversed bool
}

// Face is a trimmed surface. The outward normal is du x dv where Forward, its opposite
// otherwise (every sense flag between shell and surface is folded into Forward).
type Face struct {
	ID uint64
	// Surface is nil where the geometry was not understood. A sweep that is a plane, cylinder,
	// cone or torus is given as that, with Forward to match.
	Surface shape.Surface
	Forward bool
	Loops   []Loop
	// Err says what was not understood of the face, "" where nothing. Loops that could be read
	// are there all the same, so that the hole can be shown or closed.
	Err string
}

// Loop is a closed chain of edge uses, the face to its left seen against the face's outward
// normal; or a single vertex. In the parameter plane of the surface that is counter-clockwise
// for an outer loop of a Forward face and clockwise for one of a face that is not: all sense
// flags (of bound, face and shell) are folded into the order and direction of the uses. A face
// without loops is a whole closed surface.
type Loop struct {
	Outer  bool // FACE_OUTER_BOUND; not to be relied on
	Uses   []Use
	Vertex *Vertex // VERTEX_LOOP
}

// Use is an edge as one loop runs along it.
type Use struct {
	Edge    *Edge
	Forward bool // along the edge's own direction
	// Parameter is the edge's curve in this face's parameter plane, nil where it was not read.
	// This package leaves it nil: a file's parameter curves repeat its curves in space less
	// exactly, and reading them would double its cost. Where an edge has nothing else, its
	// Curve is the parameter curve carried to its surface.
	Parameter shape.Curve2
}

// Edge is a piece of curve between two vertices, shared by the faces that meet there.
type Edge struct {
	ID         uint64
	Curve      shape.Curve
	Start, End *Vertex
	// T0 and T1 are the curve parameters at Start and End along the edge's own direction: the
	// edge is Curve over [T0, T1], and T1 < T0 where the edge runs against its curve.
	T0, T1 float64
	// MissMM is how far the vertices lie from the curve.
	MissMM float64
	// Err says why the file's curve was not understood, "" where it was. Curve is then the
	// straight line between the vertices.
	Err string
}

// Vertex is a point where edges meet.
type Vertex struct {
	ID    uint64
	Point r3.Vector
}
