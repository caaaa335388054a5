package rules

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"pocketgauge/rules/quantity"
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

func outlineKey(name string, o *Outline, doc string) key {
	return key{name: name, doc: doc, form: oneOf{origin: &o.Origin, reset: func() { *o = Outline{} }, variants: []variant{
		{"rectangle", `A rectangle about its centre.`, func() { o.Rectangle = &Rectangle{} }, func() bool { return o.Rectangle != nil },
			func() form { return group{o.Rectangle.keys()} }},
		{"circle", `A circle about its centre, cut by flats where the insert must not turn.`, func() { o.Circle = &Circle{} }, func() bool { return o.Circle != nil },
			func() form { return group{o.Circle.keys()} }},
		{"polygon", `A closed chain of straight and round sides, in either direction. Each side runs from the "to" of the one before
			it, the first from the "to" of the last.`, func() { o.Polygon = &Polygon{} }, func() bool { return o.Polygon != nil },
			func() form {
				return listForm[Side]{into: &o.Polygon.Sides, keys: (*Side).keys, origin: func(s *Side) *Origin { return &s.Origin }}
			}},
	}}}
}

func (r *Rectangle) keys() []key {
	return []key{
		limit("width", &r.WidthMM, quantity.Length, `Extent along x.`).positive().required(),
		limit("length", &r.LengthMM, quantity.Length, `Extent along y.`).positive().required(),
		limit("corner_radius", &r.CornerRadiusMM, quantity.Length, `Radius of the four corners, 0 for sharp ones. A milled pocket has
			at least the radius of the cutter that finished it.`).orDefault("0 mm", "a corner without a stated radius is drawn sharp"),
	}
}

func (c *Circle) keys() []key {
	return []key{
		limit("diameter", &c.DiameterMM, quantity.Length, `Diameter of the circle.`).positive().required(),
		list("flats", &c.Flats, (*FlatSide).keys, func(s *FlatSide) *Origin { return &s.Origin }, `Straight cuts that keep the insert from
			turning.`),
	}
}

func (s *FlatSide) keys() []key {
	return []key{
		limit("outward", &s.Outward, quantity.Angle, `Direction in which the flat faces, from the x axis (0 deg, right) towards y
			(90 deg, back).`).anySign().required(),
		limit("distance", &s.DistanceMM, quantity.Length, `From the circle's centre to the flat, square to it.`).positive().required(),
	}
}

func (s *Side) keys() []key {
	return []key{
		place2("to", &s.To, `Where the side ends.`).required(),
		place2("through", &s.Through, `A place on the side between its ends, which makes it an arc. Without it the side is straight.`),
		limit("radius", &s.RadiusMM, quantity.Length, `Radius that rounds the corner at "to", between two straight sides.`).positive(),
	}
}
