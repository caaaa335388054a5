package brep

import (
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/shape"
)

// surface makes a surface of an instance.
func (b builder) surface(i part21.Instance) (shape.Surface, error) {
	s, err := b.surfaceOf(i)
	if err != nil {
		return nil, at(i, err)
	}
	return s, nil
}

func mustSurface[T shape.Surface](s T, err error) (shape.Surface, error) {
	if err != nil {
		return nil, err
	}
	return s, nil
}

func (b builder) surfaceOf(i part21.Instance) (shape.Surface, error) {
	b, err := b.deeper()
	if err != nil {
		return nil, err
	}
	if i.Complex() {
		if i.Is(typeBSplineSurface) {
			return b.splineSurface(i)
		}
		return nil, notUnderstood(i, "surface")
	}
	switch i.Type() {
	case typePlane, typeCylindricalSurface, typeConicalSurface, typeSphericalSurface, typeToroidalSurface, typeDegenerateToroidalSurface:
		return b.elementarySurface(i)
	case typeSurfaceOfRevolution:
		return b.revolution(i)
	case typeSurfaceOfLinearExtrusion:
		return b.extrusion(i)
	case typeOffsetSurface:
		return b.offsetSurface(i)
	case typeRectangularTrimmedSurface:
		return b.trimmedSurface(i)
	case typeCurveBoundedSurface:
		// The face that lies on it has bounds of its own.
		p := i.Only().Params()
		p.Skip()
		basis := p.Instance()
		if err := p.Err(); err != nil {
			return nil, err
		}
		return b.surface(basis)
	case typeBSplineSurfaceWithKnots, typeUniformSurface, typeQuasiUniformSurface, typeBezierSurface:
		return b.splineSurface(i)
	}
	return nil, notUnderstood(i, "surface")
}

// elementarySurface reads what has a placement and up to two numbers.
func (b builder) elementarySurface(i part21.Instance) (shape.Surface, error) {
	p := i.Only().Params()
	p.Skip()
	position := p.Instance()
	if err := p.Err(); err != nil {
		return nil, err
	}
	m, err := b.placement(position)
	if err != nil {
		return nil, err
	}
	if i.Type() == typePlane {
		return mustSurface(shape.NewPlane(m))
	}
	r := p.Real() * b.length
	second := 0.0
	switch i.Type() {
	case typeConicalSurface, typeToroidalSurface, typeDegenerateToroidalSurface:
		second = p.Real()
	}
	part := shape.TorusWhole
	if i.Type() == typeDegenerateToroidalSurface {
		part = shape.TorusLemon
		if p.Bool() {
			part = shape.TorusApple
		}
	}
	if err := p.Err(); err != nil {
		return nil, err
	}
	switch i.Type() {
	case typeCylindricalSurface:
		return mustSurface(shape.NewCylinder(m, r))
	case typeConicalSurface:
		return mustSurface(shape.NewCone(m, r, second*b.angle))
	case typeSphericalSurface:
		return mustSurface(shape.NewSphere(m, r))
	}
	return mustSurface(shape.NewTorus(m, r, second*b.length, part))
}

func (b builder) revolution(i part21.Instance) (shape.Surface, error) {
	p := i.Only().Params()
	p.Skip()
	curve, axis := p.Instance(), p.Instance()
	if err := p.Err(); err != nil {
		return nil, err
	}
	c, err := b.curve(curve)
	if err != nil {
		return nil, err
	}
	if axis.Type() != typeAxis1Placement {
		return nil, notUnderstood(axis, "axis")
	}
	q := axis.Only().Params()
	q.Skip()
	location, towards := q.Instance(), part21.Instance{}
	if q.More() {
		towards = q.InstanceOrNone()
	}
	if err := q.Err(); err != nil {
		return nil, err
	}
	o, err := b.point(location)
	if err != nil {
		return nil, err
	}
	z, err := b.directionOr(towards, r3.Vector{Z: 1})
	if err != nil {
		return nil, err
	}
	return mustSurface(shape.NewRevolution(c, o, z))
}

func (b builder) extrusion(i part21.Instance) (shape.Surface, error) {
	p := i.Only().Params()
	p.Skip()
	curve, along := p.Instance(), p.Instance()
	if err := p.Err(); err != nil {
		return nil, err
	}
	c, err := b.curve(curve)
	if err != nil {
		return nil, err
	}
	d, err := b.vector(along)
	if err != nil {
		return nil, err
	}
	return mustSurface(shape.NewExtrusion(c, d))
}

func (b builder) offsetSurface(i part21.Instance) (shape.Surface, error) {
	p := i.Only().Params()
	p.Skip()
	basis := p.Instance()
	distance := p.Real()
	if err := p.Err(); err != nil {
		return nil, err
	}
	s, err := b.surface(basis)
	if err != nil {
		return nil, err
	}
	return mustSurface(shape.NewOffsetSurface(s, distance*b.length))
}

func (b builder) trimmedSurface(i part21.Instance) (shape.Surface, error) {
	p := i.Only().Params()
	p.Skip()
	basis := p.Instance()
	u1, u2, v1, v2 := p.Real(), p.Real(), p.Real(), p.Real()
	senseU, senseV := p.Bool(), p.Bool()
	if err := p.Err(); err != nil {
		return nil, err
	}
	s, err := b.surface(basis)
	if err != nil {
		return nil, err
	}
	u, v := b.parameterUnits(s)
	return mustSurface(shape.NewTrimmedSurface(s, r2.Point{X: u1 * u, Y: v1 * v}, r2.Point{X: u2 * u, Y: v2 * v}, senseU, senseV))
}
