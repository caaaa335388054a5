package mesh

import (
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"pocketgauge/mesh/geom"
)

// Model is what one file held.
type Model struct {
	// Format names the file's format for people, such as "STL binary" or "STEP AP214".
	Format string
	// Unit is the length unit the file states ("mm", "in", "m"), "" where the format has none.
	// Coordinates are in millimetres already when it is stated.
	Unit  string
	Parts []Part
	// Frames are the coordinate systems that the file names, by name (STEP only).
	Frames []NamedFrame
	// Notes are facts about the reading that lost or assumed something, in file order.
	Notes []Note
}

// NamedFrame is a coordinate system that the file names.
type NamedFrame struct {
	Name   string
	Motion geom.Motion
}

// Note is something the reader did that a person should know, such as a dropped facet.
type Note struct {
	// Place says where: "line 12", "byte 84", "#4711".
	Place string
	Says  string
}

// Part is one body of a model: a solid, or a surface that is not closed.
type Part struct {
	// Name is the product path of a STEP file or the name of an STL solid; may be "".
	Name string
	Mesh *Mesh
	// Faces describe what the triangles came from; Mesh.Faces indexes them.
	Faces []Face
	// ChordMM bounds the distance between the mesh and the surface it stands for; 0 when the
	// mesh is all that is known (STL), which is not a claim that the part has flat faces.
	ChordMM float64
	// Roundoff is the unit roundoff of the stored coordinates (see mesh/tol).
	Roundoff float64
	// Exact holds the measures of the surface itself where the reader could integrate them.
	Exact *Measures
	// Audit is that of Mesh; mesh/load sees to it that every part has one.
	Audit *Audit
	// Sheet is set when the file calls this part a surface and not a solid.
	Sheet bool
}

// Measures are the integral properties of a body, each with a bound on its error.
type Measures struct {
	VolumeMM3, VolumeErrorMM3 float64
	AreaMM2, AreaErrorMM2     float64
	CentroidMM                r3.Vector
	CentroidErrorMM           float64
	// Bounds is the box of the surface itself, BoundsErrorMM what each side may be off by.
	Bounds        geom.Box
	BoundsErrorMM float64
}

// Moved are the measures of the body carried by a motion.
//
// The box of a turned body is not known from its box; the one returned is the box of the turned
// box, exact for quarter turns and else too wide.
func (q Measures) Moved(m geom.Motion) Measures {
	s := m.Scale
	return Measures{
		VolumeMM3: q.VolumeMM3 * s * s * s, VolumeErrorMM3: q.VolumeErrorMM3 * s * s * s,
		AreaMM2: q.AreaMM2 * s * s, AreaErrorMM2: q.AreaErrorMM2 * s * s,
		CentroidMM: m.Point(q.CentroidMM), CentroidErrorMM: q.CentroidErrorMM * s,
		Bounds: q.Bounds.Moved(m), BoundsErrorMM: q.BoundsErrorMM * s,
	}
}

// SurfaceKind says what a face is. The zero kind claims nothing.
type SurfaceKind uint8

// The kinds of surface, after ISO 10303-42.
const (
	Unknown SurfaceKind = iota
	Plane
	Cylinder
	Cone
	Sphere
	Torus
	Revolution
	Extrusion
	BSpline
	Offset
)

var surfaceKindNames = [...]string{"unknown", "plane", "cylinder", "cone", "sphere", "torus", "revolution", "extrusion", "b-spline", "offset"}

func (k SurfaceKind) String() string { return surfaceKindNames[k] }

// Face is what a group of triangles came from.
type Face struct {
	// Label is the entity in the file, such as "#4711"; "" where the format names none.
	Label string
	Kind  SurfaceKind
	// Origin and Axis place the surface: a point of the plane and its outward normal; a point
	// on the axis of a cylinder, cone or torus and the axis direction; the centre of a sphere.
	// Axis has length 1, or is zero where the kind has none.
	Origin, Axis r3.Vector
	// RadiusMM is that of a cylinder or sphere, of a cone at Origin, of a torus's centre circle.
	RadiusMM float64
	// MinorRadiusMM is that of a torus's tube.
	MinorRadiusMM float64
	// HalfAngle is that of a cone.
	HalfAngle s1.Angle
	// Inner is set where the metal lies outside the curved surface: the wall of a bore.
	Inner bool
}
