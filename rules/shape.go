package rules

import (
	"pocketgauge/rules/quantity"
)

type Shape struct {
	Box       *Box
	Cylinder  *Cylinder
	Extrusion *Extrusion
	Origin    Origin
}

type Box struct {
	Min, Max     Place3
	Center, Size Place3
}

type Cylinder struct {
	From, To   Place3
	DiameterMM Limit
}

type Extrusion struct {
	Outline         Outline
	At              Place2
	BottomMM, TopMM Limit
	placed          []Segment
}

func shapeKey(name string, s *Shape, doc string) key {
	return key{name: name, doc: doc, form: oneOf{origin: &s.Origin, reset: func() { *s = Shape{} }, variants: []variant{
		{"box", `A block along the axes: min and max corner, or center and size.`, func() { s.Box = &Box{} }, func() bool { return s.Box != nil },
			func() form { return group{s.Box.keys()} }},
		{"cylinder", `A round bar from the middle of one end to the middle of the other.`, func() { s.Cylinder = &Cylinder{} }, func() bool { return s.Cylinder != nil },
			func() form { return group{s.Cylinder.keys()} }},
		{"extrusion", `An outline, drawn up from bottom to top.`, func() { s.Extrusion = &Extrusion{} }, func() bool { return s.Extrusion != nil },
			func() form { return group{s.Extrusion.keys()} }},
	}}}
}

func (b *Box) keys() []key {
	return []key{
		place3("min", &b.Min, `Corner with the least x, y and z.`).insteadOf("center", "size"),
		place3("max", &b.Max, `Corner with the greatest x, y and z.`).insteadOf("center", "size"),
		place3("center", &b.Center, `Middle of the block.`).insteadOf("min", "max"),
		size3("size", &b.Size, `Extent along x, y and z.`).insteadOf("min", "max"),
	}
}

func (c *Cylinder) keys() []key {
	return []key{
		place3("from", &c.From, `Middle of one end.`).required(),
		place3("to", &c.To, `Middle of the other end.`).required(),
		limit("diameter", &c.DiameterMM, quantity.Length, `Diameter of the bar.`).positive().required(),
	}
}

func (e *Extrusion) keys() []key {
	return []key{
		outlineKey("outline", &e.Outline, `The outline, about its own centre.`).required(),
		place2("at", &e.At, `Where the outline's own centre lies in the pocket. The pocket's centre when left out.`),
		limit("bottom", &e.BottomMM, quantity.Length, `Height of the lower end above the seat.`).anySign().required(),
		limit("top", &e.TopMM, quantity.Length, `Height of the upper end above the seat.`).anySign().required(),
	}
}
