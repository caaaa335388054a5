package shape

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
)

// PlaneCurve is a curve of a parameter plane: a curve of space whose third coordinate is 0
// and is not looked at. Every curve kind serves both, so that there is one evaluation of each;
// an offset_curve_2d is an OffsetCurve about +z.
type PlaneCurve struct {
	// Curve has z = 0 throughout. Its coordinates are parameters of a surface and may be
	// angles.
	Curve Curve
}

// Point is c(t).
func (c *PlaneCurve) Point(t float64) r2.Point {
	p := c.Curve.Point(t)
	return r2.Point{X: p.X, Y: p.Y}
}

// Derivatives are c and its first two derivatives.
func (c *PlaneCurve) Derivatives(t float64) (p, d1, d2 r2.Point) {
	q, e, f := c.Curve.Derivatives(t)
	return r2.Point{X: q.X, Y: q.Y}, r2.Point{X: e.X, Y: e.Y}, r2.Point{X: f.X, Y: f.Y}
}

// Domain is the curve's.
func (c *PlaneCurve) Domain() r1.Interval { return c.Curve.Domain() }

// Period is the curve's.
func (c *PlaneCurve) Period() float64 { return c.Curve.Period() }

var (
	_ Curve2  = (*PlaneCurve)(nil)
	_ Curve   = (*Line)(nil)
	_ Curve   = (*Circle)(nil)
	_ Curve   = (*Ellipse)(nil)
	_ Curve   = (*Parabola)(nil)
	_ Curve   = (*Hyperbola)(nil)
	_ Curve   = (*BSplineCurve)(nil)
	_ Curve   = (*TrimmedCurve)(nil)
	_ Curve   = (*CompositeCurve)(nil)
	_ Curve   = (*Polyline)(nil)
	_ Curve   = (*OffsetCurve)(nil)
	_ Curve   = (*CurveOnSurface)(nil)
	_ Surface = (*Plane)(nil)
	_ Surface = (*Cylinder)(nil)
	_ Surface = (*Cone)(nil)
	_ Surface = (*Sphere)(nil)
	_ Surface = (*Torus)(nil)
	_ Surface = (*Revolution)(nil)
	_ Surface = (*Extrusion)(nil)
	_ Surface = (*BSplineSurface)(nil)
	_ Surface = (*TrimmedSurface)(nil)
	_ Surface = (*OffsetSurface)(nil)
)
