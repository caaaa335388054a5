package brep

import (
	"fmt"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

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
