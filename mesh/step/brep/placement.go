package brep

import (
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/tol"
)

func (b *builder) point(i part21.Instance) (r3.Vector, error) {
	if i.Type() != typeCartesianPoint {
		return r3.Vector{}, i.Errorf("%s should be a point", i.Describe())
	}
	p := i.Only().Params()
	p.Skip()
	v := coordinates(&p)
	if err := p.Err(); err != nil {
		return v, err
	}
	if b.flat {
		return r3.Vector{X: v.X * b.across, Y: v.Y * b.up}, nil
	}
	return v.Mul(b.length), nil
}

// coordinates reads a list of one to three numbers.
func coordinates(p *part21.Cursor) (v r3.Vector) {
	l := p.List()
	v.X = l.Real()
	if l.More() {
		v.Y = l.Real()
	}
	if l.More() {
		v.Z = l.Real()
	}
	p.Take(&l)
	return v
}

// points reads a list of point references.
func (b *builder) points(p *part21.Cursor, to []r3.Vector) ([]r3.Vector, error) {
	before := len(to)
	defer func() { b.spent.all.Add(int64(len(to) - before)) }()
	l := p.List()
	for l.More() {
		q, err := b.point(l.Instance())
		if err == nil && l.Err() != nil {
			err = l.Err()
		}
		if err != nil {
			return to, err
		}
		to = append(to, q)
	}
	p.Take(&l)
	if err := p.Err(); err != nil {
		return to, err
	}
	return to, nil
}

func (b *builder) direction(i part21.Instance) (r3.Vector, error) {
	if i.Type() != typeDirection {
		return r3.Vector{}, i.Errorf("%s should be a direction", i.Describe())
	}
	p := i.Only().Params()
	p.Skip()
	v := coordinates(&p)
	if err := p.Err(); err != nil {
		return v, err
	}
	return v, nil
}

// directionOr reads an optional direction; one that is absent or of no length is the fallback.
func (b *builder) directionOr(i part21.Instance, fallback r3.Vector) (r3.Vector, error) {
	if i.File() == nil {
		return fallback, nil
	}
	v, err := b.direction(i)
	if err == nil && v == (r3.Vector{}) {
		return fallback, nil
	}
	return v, err
}

// vector reads a VECTOR with its length in the units of the space it is in.
func (b *builder) vector(i part21.Instance) (r3.Vector, error) {
	if i.Type() != typeVector {
		return r3.Vector{}, i.Errorf("%s should be a vector", i.Describe())
	}
	p := i.Only().Params()
	p.Skip()
	orientation := p.Instance()
	magnitude := p.Real()
	if err := p.Err(); err != nil {
		return r3.Vector{}, err
	}
	d, err := b.direction(orientation)
	if err != nil {
		return d, err
	}
	d = d.Normalize().Mul(magnitude)
	if b.flat {
		return r3.Vector{X: d.X * b.across, Y: d.Y * b.up}, nil
	}
	return d.Mul(b.length), nil
}

// firstAxis is the default of ref_direction, first_proj_axis of ISO 10303-42: x made square to
// the axis, or y where the axis is x.
func firstAxis(axis r3.Vector) r3.Vector {
	if axis.Y == 0 && axis.Z == 0 {
		return r3.Vector{Y: 1}
	}
	return r3.Vector{X: 1}
}

// axes reads an origin with its z and x axes, each by its default where it is absent. They need not be
// square to each other.
func (b *builder) axes(origin, axis, ref part21.Instance) (o, z, x r3.Vector, err error) {
	if o, err = b.point(origin); err != nil {
		return o, z, x, err
	}
	if z, err = b.directionOr(axis, r3.Vector{Z: 1}); err != nil {
		return o, z, x, err
	}
	x, err = b.directionOr(ref, firstAxis(z))
	return o, z, x, err
}

// placement reads an axis2_placement of either dimension.
func (b *builder) placement(i part21.Instance) (geom.Motion, error) {
	p := i.Only().Params()
	switch i.Type() {
	case typeAxis2Placement3D:
		p.Skip()
		location, axis, ref := p.Instance(), p.InstanceOrNone(), part21.Instance{}
		if p.More() {
			ref = p.InstanceOrNone()
		}
		if err := p.Err(); err != nil {
			return geom.Motion{}, err
		}
		o, z, x, err := b.axes(location, axis, ref)
		if err != nil {
			return geom.Motion{}, err
		}
		if x.Cross(z).Norm() <= tol.AxesSine*x.Norm()*z.Norm() {
			x = firstAxis(z)
		}
		return geom.Frame(o, z, x), nil
	case typeAxis2Placement2D:
		p.Skip()
		location, ref := p.Instance(), part21.Instance{}
		if p.More() {
			ref = p.InstanceOrNone()
		}
		if err := p.Err(); err != nil {
			return geom.Motion{}, err
		}
		o, err := b.point(location)
		if err != nil {
			return geom.Motion{}, err
		}
		x, err := b.directionOr(ref, r3.Vector{X: 1})
		if err != nil {
			return geom.Motion{}, err
		}
		return geom.Frame(o, r3.Vector{Z: 1}, x), nil
	}
	return geom.Motion{}, i.Errorf("%s should be a placement", i.Describe())
}

// transformation reads a cartesian_transformation_operator_3d by its base axes as
// ISO 10303-42 derives them.
func (b *builder) transformation(i part21.Instance) (geom.Motion, error) {
	rec := i.Record(typeTransformation3D)
	if rec.Absent() {
		return geom.Motion{}, i.Errorf("%s should be a transformation", i.Describe())
	}
	// Writers differ in how many inherited names come first; the five that matter come last.
	n := rec.Count()
	if n < 5 {
		return geom.Motion{}, rec.Errorf("a transformation has %d parameters", n)
	}
	p := rec.Params()
	for range n - 5 {
		p.Skip()
	}
	axis1, axis2, origin := p.InstanceOrNone(), p.InstanceOrNone(), p.Instance()
	s := p.RealOr(1)
	axis3 := p.InstanceOrNone()
	if err := p.Err(); err != nil {
		return geom.Motion{}, err
	}
	o, z, x, err := b.axes(origin, axis3, axis1)
	if err != nil {
		return geom.Motion{}, err
	}
	if x.Cross(z).Norm() <= tol.AxesSine*x.Norm()*z.Norm() {
		return geom.Motion{}, rec.Errorf("axes 1 and 3 of the transformation are parallel")
	}
	m := geom.Frame(o, z, x)
	y, err := b.directionOr(axis2, r3.Vector{X: m.Rotation[0].Y, Y: m.Rotation[1].Y, Z: m.Rotation[2].Y})
	if err != nil {
		return geom.Motion{}, err
	}
	if y.Dot(r3.Vector{X: m.Rotation[0].Y, Y: m.Rotation[1].Y, Z: m.Rotation[2].Y}) < 0 {
		return geom.Motion{}, rec.Errorf("a transformation that mirrors is not supported: the part would be another one")
	}
	if !(s > 0) {
		return geom.Motion{}, rec.Errorf("scale %v of the transformation is not positive", s)
	}
	m.Scale = s
	return m, nil
}
