package brep

import (
	"fmt"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/shape"
)

// splineCursor is where the parts of a b-spline are found, written as one record or as
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
