package rules

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
)

// Outline is a closed line in the plane of the parting face: exactly one of its forms is not nil,
// or none when no outline was given (see Set).
type Outline struct {
	Rectangle *Rectangle
	Circle    *Circle
	Polygon   *Polygon
	Origin    Origin

	segments []Segment
}

// Set tells whether an outline was given.
func (o *Outline) Set() bool { return o.Rectangle != nil || o.Circle != nil || o.Polygon != nil }

// Rectangle is centred; width runs along x, length along y.
type Rectangle struct {
	WidthMM, LengthMM, CornerRadiusMM Limit
}

// Circle is centred; flats cut it so that the insert cannot turn.
type Circle struct {
	DiameterMM Limit
	Flats      []FlatSide
}

// FlatSide is a straight cut of a circle. Outward is the direction, from the x axis towards y, of
// the outward normal; the flat lies DistanceMM from the centre.
type FlatSide struct {
	Outward    Limit // radians
	DistanceMM Limit
	Origin     Origin
}

// Polygon is a closed chain of sides; side i runs from the To of the side before it to its own To.
type Polygon struct {
	Sides []Side
}

// Side is straight, or an arc when Through is set. RadiusMM rounds the corner at To.
type Side struct {
	To, Through Place2
	RadiusMM    Limit
	Origin      Origin
}

// Segment is one straight or round piece of a closed outline that runs counterclockwise: the
// inside is on the left of a straight piece.
type Segment struct {
	// Name is left, right, front, back or corner for a rectangle; round or "flat 1" for a circle;
	// "side 1" or "corner 1" for a polygon.
	Name       string
	Start, End r2.Point
	// Arc pieces turn about Center with RadiusMM from Start to End, counterclockwise when CCW is
	// set (the outline bulges outwards), else clockwise. A full circle is two half arcs.
	Arc      bool
	Center   r2.Point
	RadiusMM float64
	CCW      bool
	// Locating is set when this piece places the insert.
	Locating bool
	// ClearanceMM is the gap per side that a model must keep from this piece as drawn; PlayMM the
	// gap once pocket and insert are both made to the fit. Empty for outlines other than a pocket's.
	ClearanceMM, PlayMM r1.Interval
}

// Segments is the outline as straight and round pieces, counterclockwise and closed: each piece
// starts where the one before it ended. It is not to be written to.
func (o *Outline) Segments() []Segment { return o.segments }

// Segments is the extruded outline in pocket coordinates, moved by At.
func (e *Extrusion) Segments() []Segment { return e.placed }
