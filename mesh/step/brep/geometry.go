package brep

import (
	"errors"
	"fmt"
	"sync/atomic"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// depthLimit bounds how deep curves may be made of curves and assemblies of assemblies. Real
// files nest a handful deep; a file that nests without end nests in itself.
const depthLimit = 64

// builder makes curves and surfaces of instances, in one context's units. It holds no state
// that outlives a call and may be copied; several may work on one file at once.
type builder struct {
	*scale
	// flat is set for a curve of a parameter plane: points have two coordinates, which are
	// multiplied by across and up instead of the unit of length.
	flat       bool
	across, up float64
	depth      int
	spent      *spending
}

// spending is what one edge or face has cost, and all together.
type spending struct {
	parts int
	all   *atomic.Int64
	limit int64
}

// partLimit bounds how many curves and surfaces one edge or face may be made of. Composite
// curves have up to some hundreds of segments (common practice, no source); without a bound a
// file could double its work with each curve that names another twice.
const partLimit = 4096

// pointsPerPart is what a curve that is part of another costs, in points read.
const pointsPerPart = 4

var errDeep = errors.New("geometry is nested too deep, or in itself, or made of too many parts")

// newBuilder is a builder for one edge or face.
func (r *reader) newBuilder(s *scale) builder {
	return builder{scale: s, spent: &spending{all: &r.nested, limit: r.most.nested}}
}

// deeper is the builder for what an instance is made of.
func (b builder) deeper() (builder, error) {
	b.depth++
	b.spent.parts++
	if b.depth > 1 {
		b.spent.all.Add(pointsPerPart)
	}
	if b.depth > depthLimit || b.spent.parts > partLimit || b.spent.all.Load() > b.spent.limit {
		return b, errDeep
	}
	return b, nil
}

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
		o, err := b.point(location)
		if err != nil {
			return geom.Motion{}, err
		}
		z, err := b.directionOr(axis, r3.Vector{Z: 1})
		if err != nil {
			return geom.Motion{}, err
		}
		x, err := b.directionOr(ref, firstAxis(z))
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
	o, err := b.point(origin)
	if err != nil {
		return geom.Motion{}, err
	}
	z, err := b.directionOr(axis3, r3.Vector{Z: 1})
	if err != nil {
		return geom.Motion{}, err
	}
	x, err := b.directionOr(axis1, firstAxis(z))
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

// notUnderstood is the error for an entity that has its place here but is not read.
func notUnderstood(i part21.Instance, what string) error {
	return i.Errorf("%s is not understood as a %s", i.Describe(), what)
}

// at gives an error of package shape its instance.
func at(i part21.Instance, err error) error {
	if err == nil {
		return nil
	}
	var positioned *part21.Error
	if errors.As(err, &positioned) {
		return err
	}
	return i.Errorf("%v", err)
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

// curve makes a curve of an instance; in a flat builder one of the parameter plane.
func (b builder) curve(i part21.Instance) (shape.Curve, error) {
	c, err := b.curveOf(i)
	if err != nil {
		return nil, at(i, err)
	}
	return c, nil
}

func (b *builder) conic(i part21.Instance) (p part21.Cursor, m geom.Motion, unit float64, err error) {
	p = i.Only().Params()
	p.Skip()
	position := p.Instance()
	if err := p.Err(); err != nil {
		return p, m, 0, err
	}
	unit = b.length
	if b.flat {
		if b.across != b.up {
			return p, m, 0, fmt.Errorf("a conic in a parameter plane whose directions have different units is not understood")
		}
		unit = b.across
	}
	m, err = b.placement(position)
	return p, m, unit, err
}

func (b builder) curveOf(i part21.Instance) (shape.Curve, error) {
	b, err := b.deeper()
	if err != nil {
		return nil, err
	}
	switch i.Type() {
	case typeLine:
		p := i.Only().Params()
		p.Skip()
		point, vector := p.Instance(), p.Instance()
		if err := p.Err(); err != nil {
			return nil, err
		}
		o, err := b.point(point)
		if err != nil {
			return nil, err
		}
		d, err := b.vector(vector)
		if err != nil {
			return nil, err
		}
		return must(shape.NewLine(o, d))
	case typeCircle:
		p, m, unit, err := b.conic(i)
		if err != nil {
			return nil, err
		}
		r := p.Real()
		if err := p.Err(); err != nil {
			return nil, err
		}
		return must(shape.NewCircle(m, r*unit))
	case typeEllipse, typeHyperbola:
		p, m, unit, err := b.conic(i)
		if err != nil {
			return nil, err
		}
		x, y := p.Real(), p.Real()
		if err := p.Err(); err != nil {
			return nil, err
		}
		if i.Type() == typeEllipse {
			return must(shape.NewEllipse(m, x*unit, y*unit))
		}
		return must(shape.NewHyperbola(m, x*unit, y*unit))
	case typeParabola:
		p, m, unit, err := b.conic(i)
		if err != nil {
			return nil, err
		}
		f := p.Real()
		if err := p.Err(); err != nil {
			return nil, err
		}
		return must(shape.NewParabola(m, f*unit))
	case typePolyline:
		p := i.Only().Params()
		p.Skip()
		points, err := b.points(&p, nil)
		if err != nil {
			return nil, err
		}
		return must(shape.NewPolyline(dropRepeats(points)))
	case typeTrimmedCurve:
		return b.trimmedCurve(i)
	case typeCompositeCurve, typeCompositeCurveOnSurface, typeBoundaryCurve, typeOuterBoundaryCurve:
		return b.compositeCurve(i)
	case typeOffsetCurve3D, typeOffsetCurve2D:
		return b.offsetCurve(i)
	case typeSurfaceCurve, typeBoundedSurfaceCurve, typeSeamCurve, typeIntersectionCurve:
		p := i.Only().Params()
		p.Skip()
		inner := p.InstanceOrNone()
		if inner.File() != nil {
			c, err := b.curve(inner)
			if err == nil {
				return c, nil
			}
			if pc := b.anyPcurve(&p); pc != nil {
				return pc, nil
			}
			return nil, err
		}
		if pc := b.anyPcurve(&p); pc != nil {
			return pc, nil
		}
		return nil, fmt.Errorf("neither a curve in space nor a parameter curve is understood")
	case typePcurve, typeBoundedPcurve, typeDegeneratePcurve:
		return b.pcurve(i)
	case typeBSplineCurveWithKnots, typeUniformCurve, typeQuasiUniformCurve, typeBezierCurve:
		return b.splineCurve(i)
	case part21.NoType:
		if i.Is(typeBSplineCurve) {
			return b.splineCurve(i)
		}
	}
	return nil, notUnderstood(i, "curve")
}

// must turns a concrete pair into one of the interface without making a nil of a type.
func must[T shape.Curve](c T, err error) (shape.Curve, error) {
	if err != nil {
		return nil, err
	}
	return c, nil
}

func dropRepeats(points []r3.Vector) []r3.Vector {
	kept := points[:0]
	for i, p := range points {
		if i == 0 || p != kept[len(kept)-1] {
			kept = append(kept, p)
		}
	}
	return kept
}

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

func (b builder) trimmedCurve(i part21.Instance) (shape.Curve, error) {
	p := i.Only().Params()
	p.Skip()
	basis := p.Instance()
	trim1, trim2 := p.List(), p.List()
	sense := p.Bool()
	master := p.Enum()
	if err := p.Err(); err != nil {
		return nil, err
	}
	c, err := b.curve(basis)
	if err != nil {
		return nil, err
	}
	t1, err := b.trim(c, &trim1, master)
	if err != nil {
		return nil, err
	}
	t2, err := b.trim(c, &trim2, master)
	if err != nil {
		return nil, err
	}
	return must(shape.NewTrimmedCurve(c, t1, t2, sense))
}

// trim is the parameter of a trimming select: of the point or the parameter value it gives,
// whichever the file calls the master.
func (b builder) trim(c shape.Curve, l *part21.Cursor, master string) (float64, error) {
	byPoint, byValue := false, false
	var atPoint, atValue float64
	for l.More() {
		v := l.Next()
		if v.Kind() == part21.KindReference {
			i, err := v.Instance()
			if err != nil {
				return 0, err
			}
			q, err := b.point(i)
			if err != nil {
				return 0, err
			}
			atPoint, _ = c.Parameter(q, 0, false)
			byPoint = true
			continue
		}
		t, err := v.Real()
		if err != nil {
			return 0, err
		}
		atValue, byValue = t*b.curveUnit(c), true
	}
	if err := l.Err(); err != nil {
		return 0, err
	}
	switch {
	case byPoint && (master == "CARTESIAN" || !byValue):
		return atPoint, nil
	case byValue:
		return atValue, nil
	}
	return 0, fmt.Errorf("a trimmed curve has a trim without point or parameter")
}

func (b builder) compositeCurve(i part21.Instance) (shape.Curve, error) {
	p := i.Only().Params()
	p.Skip()
	parts := p.Instances(nil)
	if err := p.Err(); err != nil {
		return nil, err
	}
	var segments []shape.Segment
	for _, part := range parts {
		if t := part.Type(); t != typeCompositeCurveSegment && t != typeReparametrisedCompositeCurveSegment {
			return nil, notUnderstood(part, "segment of a composite curve")
		}
		q := part.Only().Params()
		q.Skip()
		forward := q.Bool()
		parent := q.Instance()
		if err := q.Err(); err != nil {
			return nil, err
		}
		c, err := b.curve(parent)
		if err != nil {
			return nil, err
		}
		segments = append(segments, shape.Segment{Curve: c, Forward: forward})
	}
	return must(shape.NewCompositeCurve(segments, max(b.uncertainty, tol.EdgeMissMM)))
}

func (b builder) offsetCurve(i part21.Instance) (shape.Curve, error) {
	p := i.Only().Params()
	p.Skip()
	basis := p.Instance()
	distance := p.Real()
	p.Skip() // self_intersect
	unit, direction := b.length, r3.Vector{Z: 1}
	if b.flat {
		unit = b.across
	}
	if i.Type() == typeOffsetCurve3D {
		ref := p.Instance()
		if err := p.Err(); err != nil {
			return nil, err
		}
		var err error
		if direction, err = b.direction(ref); err != nil {
			return nil, err
		}
	}
	if err := p.Err(); err != nil {
		return nil, err
	}
	c, err := b.curve(basis)
	if err != nil {
		return nil, err
	}
	return must(shape.NewOffsetCurve(c, distance*unit, direction))
}

// splineRecords are where the parts of a b-spline are found, written as one record or as
// several.
func splineCursor(i part21.Instance, whole part21.Type) part21.Cursor {
	if i.Complex() {
		return i.Record(whole).Params()
	}
	p := i.Only().Params()
	p.Skip() // name
	return p
}

func (b builder) splineCurve(i part21.Instance) (shape.Curve, error) {
	p := splineCursor(i, typeBSplineCurve)
	degree := p.Int()
	points, err := b.points(&p, make([]r3.Vector, 0, 16))
	if err != nil {
		return nil, err
	}
	p.Skip() // form
	p.Skip() // closed
	p.Skip() // self-intersecting
	var multiplicities []int
	var values []float64
	switch {
	case i.Is(typeBSplineCurveWithKnots):
		k := p
		if i.Complex() {
			k = i.Record(typeBSplineCurveWithKnots).Params()
		}
		multiplicities = k.Ints(make([]int, 0, 16))
		values = k.Reals(make([]float64, 0, 16))
		p.Take(&k)
	case i.Is(typeBezierCurve):
		multiplicities, values, err = shape.BezierKnots(degree, len(points))
	case i.Is(typeQuasiUniformCurve):
		multiplicities, values = shape.QuasiUniformKnots(degree, len(points))
	default:
		multiplicities, values = shape.UniformKnots(degree, len(points))
	}
	if err != nil {
		return nil, err
	}
	var weights []float64
	if i.Is(typeRationalBSplineCurve) {
		w := i.Record(typeRationalBSplineCurve).Params()
		weights = w.Reals(nil)
		p.Take(&w)
	}
	if err := p.Err(); err != nil {
		return nil, err
	}
	return must(shape.NewBSplineCurve(degree, points, weights, multiplicities, values))
}

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
	p := i.Only().Params()
	switch i.Type() {
	case typePlane, typeCylindricalSurface, typeConicalSurface, typeSphericalSurface, typeToroidalSurface, typeDegenerateToroidalSurface:
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
	case typeSurfaceOfRevolution:
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
	case typeSurfaceOfLinearExtrusion:
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
	case typeOffsetSurface:
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
	case typeRectangularTrimmedSurface:
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
	case typeCurveBoundedSurface:
		// The face that lies on it has bounds of its own.
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

func (b builder) splineSurface(i part21.Instance) (shape.Surface, error) {
	p := splineCursor(i, typeBSplineSurface)
	degreeU, degreeV := p.Int(), p.Int()
	rows := p.List()
	var points []r3.Vector
	countU, countV := 0, 0
	for rows.More() {
		before := len(points)
		var err error
		if points, err = b.points(&rows, points); err != nil {
			return nil, err
		}
		if n := len(points) - before; countU == 0 {
			countV = n
		} else if n != countV {
			return nil, fmt.Errorf("rows of %d and of %d control points", countV, n)
		}
		countU++
	}
	p.Take(&rows)
	for range 4 {
		p.Skip() // form, closed in u, closed in v, self-intersecting
	}
	if err := p.Err(); err != nil {
		return nil, err
	}
	var mu, mv []int
	var ku, kv []float64
	var err error
	switch {
	case i.Is(typeBSplineSurfaceWithKnots):
		k := p
		if i.Complex() {
			k = i.Record(typeBSplineSurfaceWithKnots).Params()
		}
		mu, mv = k.Ints(nil), k.Ints(nil)
		ku, kv = k.Reals(nil), k.Reals(nil)
		p.Take(&k)
	case i.Is(typeBezierSurface):
		if mu, ku, err = shape.BezierKnots(degreeU, countU); err == nil {
			mv, kv, err = shape.BezierKnots(degreeV, countV)
		}
	case i.Is(typeQuasiUniformSurface):
		mu, ku = shape.QuasiUniformKnots(degreeU, countU)
		mv, kv = shape.QuasiUniformKnots(degreeV, countV)
	default:
		mu, ku = shape.UniformKnots(degreeU, countU)
		mv, kv = shape.UniformKnots(degreeV, countV)
	}
	if err != nil {
		return nil, err
	}
	var weights []float64
	if i.Is(typeRationalBSplineSurface) {
		w := i.Record(typeRationalBSplineSurface).Params()
		outer := w.List()
		for outer.More() {
			weights = outer.Reals(weights)
		}
		w.Take(&outer)
		p.Take(&w)
	}
	if err := p.Err(); err != nil {
		return nil, err
	}
	return mustSurface(shape.NewBSplineSurface(degreeU, degreeV, countU, points, weights, mu, mv, ku, kv))
}
