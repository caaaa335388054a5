package brep

import (
	"fmt"

	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/shape"
)

// anyPcurve is the first parameter curve of a surface curve that is understood.
func (b builder) anyPcurve(p *part21.Cursor) shape.Curve {
	l := p.List()
	for l.More() {
		i := l.Instance()
		if i.Type() == typePcurve || i.Type() == typeBoundedPcurve {
			if c, err := b.pcurve(i); err == nil {
				return c
			}
		}
	}
	return nil
}

// pcurve carries a curve of the parameter plane to its surface.
func (b builder) pcurve(i part21.Instance) (shape.Curve, error) {
	if b.flat {
		return nil, fmt.Errorf("a parameter curve in a parameter plane")
	}
	p := i.Only().Params()
	p.Skip()
	basis, reference := p.Instance(), p.Instance()
	if err := p.Err(); err != nil {
		return nil, err
	}
	s, err := b.surface(basis)
	if err != nil {
		return nil, err
	}
	c, err := b.planeCurve(s, reference)
	if err != nil {
		return nil, err
	}
	return must(shape.NewCurveOnSurface(s, c))
}

// planeCurve reads the curve of a DEFINITIONAL_REPRESENTATION in the parameter plane of s.
func (b builder) planeCurve(s shape.Surface, reference part21.Instance) (*shape.PlaneCurve, error) {
	rec := reference.Record(typeDefinitionalRepresentation)
	if reference.Complex() {
		rec = reference.Record(typeRepresentation)
	}
	p := rec.Params()
	p.Skip()
	items := p.Instances(nil)
	if err := p.Err(); err != nil {
		return nil, err
	}
	b.flat = true
	b.across, b.up = b.parameterUnits(s)
	if len(items) == 0 {
		return nil, fmt.Errorf("a parameter curve without a curve")
	}
	c, err := b.curve(items[0])
	if err != nil {
		return nil, err
	}
	return &shape.PlaneCurve{Curve: c}, nil
}

// parameterUnits are what one unit of u and of v of the file is here: angles are in the file's
// plane angle unit, lengths in its unit of length, the parameters of b-splines and vectors
// pure numbers.
func (b *builder) parameterUnits(s shape.Surface) (u, v float64) {
	switch s := s.(type) {
	case *shape.Plane:
		return b.length, b.length
	case *shape.Cylinder, *shape.Cone:
		return b.angle, b.length
	case *shape.Sphere, *shape.Torus:
		return b.angle, b.angle
	case *shape.Revolution:
		return b.angle, b.curveUnit(s.Curve)
	case *shape.Extrusion:
		return b.curveUnit(s.Curve), 1
	case *shape.OffsetSurface:
		return b.parameterUnits(s.Basis)
	case *shape.TrimmedSurface:
		return b.parameterUnits(s.Basis)
	}
	return 1, 1
}

func (b *builder) curveUnit(c shape.Curve) float64 {
	switch c := c.(type) {
	case *shape.Circle, *shape.Ellipse:
		return b.angle
	case *shape.TrimmedCurve:
		return b.curveUnit(c.Basis)
	}
	return 1
}
