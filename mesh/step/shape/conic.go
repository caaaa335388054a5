package shape

import (
	"fmt"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

// Line is C + t V; V keeps the length it has in the file, so that t is the file's parameter.
type Line struct {
	Origin, Direction r3.Vector
	perLength2        float64 // 1 / V.V
}

// NewLine goes through origin along direction.
func NewLine(origin, direction r3.Vector) (*Line, error) {
	if !finite(origin) || !finite(direction) {
		return nil, fmt.Errorf("line has a coordinate that is not a number")
	}
	n := direction.Norm2()
	if !(n > 0) || !finiteNumber(1/n) {
		return nil, fmt.Errorf("line has a direction of length %v", direction.Norm())
	}
	return &Line{origin, direction, 1 / n}, nil
}

// Point is C(t).
func (c *Line) Point(t float64) r3.Vector { return addScaled(c.Origin, c.Direction, t) }

// Derivatives are C and its first two derivatives.
func (c *Line) Derivatives(t float64) (p, d1, d2 r3.Vector) { return c.Point(t), c.Direction, d2 }

// Domain is unbounded.
func (c *Line) Domain() r1.Interval { return wholeLine }

// Period is 0.
func (c *Line) Period() float64 { return 0 }

// Parameter drops the perpendicular.
func (c *Line) Parameter(p r3.Vector, _ float64, _ bool) (t, distance float64) {
	t = p.Sub(c.Origin).Dot(c.Direction) * c.perLength2
	return t, p.Sub(c.Point(t)).Norm()
}

// Breaks are none.
func (c *Line) Breaks(r1.Interval) []float64 { return nil }

// Circle is C + R (cos t x + sin t y).
type Circle struct {
	Placement
	Radius float64
}

// NewCircle places a circle.
func NewCircle(m geom.Motion, radius float64) (*Circle, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	if err := checkRadius("circle radius", radius); err != nil {
		return nil, err
	}
	return &Circle{Place(m), radius}, nil
}

// Point is C(t).
func (c *Circle) Point(t float64) r3.Vector {
	r, _ := c.around(t)
	return addScaled(c.Origin, r, c.Radius)
}

// Derivatives are C and its first two derivatives.
func (c *Circle) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	r, s := c.around(t)
	return addScaled(c.Origin, r, c.Radius), s.Mul(c.Radius), r.Mul(-c.Radius)
}

// Domain is one turn.
func (c *Circle) Domain() r1.Interval { return wholeTurn }

// Period is one turn.
func (c *Circle) Period() float64 { return fullTurn }

// Parameter is a closed form.
func (c *Circle) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	x, y, z := c.local(p)
	return angleAround(x, y, hint, hinted), math.Hypot(math.Hypot(x, y)-c.Radius, z)
}

// Breaks are none.
func (c *Circle) Breaks(r1.Interval) []float64 { return nil }

// Ellipse is C + A cos t x + B sin t y.
type Ellipse struct {
	Placement
	SemiX, SemiY float64 // A and B; either may be the larger
}

// NewEllipse places an ellipse.
func NewEllipse(m geom.Motion, semiX, semiY float64) (*Ellipse, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	if err := checkRadius("semi-axis of the ellipse", semiX); err != nil {
		return nil, err
	}
	if err := checkRadius("semi-axis of the ellipse", semiY); err != nil {
		return nil, err
	}
	return &Ellipse{Place(m), semiX, semiY}, nil
}

// Point is C(t).
func (c *Ellipse) Point(t float64) r3.Vector {
	s, k := math.Sincos(t)
	return addScaled(addScaled(c.Origin, c.X, c.SemiX*k), c.Y, c.SemiY*s)
}

// Derivatives are C and its first two derivatives.
func (c *Ellipse) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	s, k := math.Sincos(t)
	d := combine2(c.X, c.SemiX*k, c.Y, c.SemiY*s)
	return c.Origin.Add(d), combine2(c.X, -c.SemiX*s, c.Y, c.SemiY*k), d.Mul(-1)
}

// Domain is one turn.
func (c *Ellipse) Domain() r1.Interval { return wholeTurn }

// Period is one turn.
func (c *Ellipse) Period() float64 { return fullTurn }

// Parameter starts at the angle that a point on the ellipse has exactly and descends. For a
// point inside, the start lies in the point's own quadrant, where the nearest point is too.
func (c *Ellipse) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	x, y, _ := c.local(p)
	start := math.Atan2(y/c.SemiY, x/c.SemiX)
	t, distance = descend(c, p, start, wholeLine, math.Max(c.SemiX, c.SemiY))
	t = turnUp(math.Remainder(t, fullTurn))
	if hinted {
		t = nearPeriod(t, hint, fullTurn)
	}
	return t, distance
}

// Breaks are none.
func (c *Ellipse) Breaks(r1.Interval) []float64 { return nil }

// Parabola is C + F (t^2 x + 2 t y).
type Parabola struct {
	Placement
	Focal float64
}

// NewParabola places a parabola; focal is the distance of focus and vertex.
func NewParabola(m geom.Motion, focal float64) (*Parabola, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	// ISO 10303-42 forbids only 0: a negative distance opens the parabola along -x.
	if focal == 0 || !finiteNumber(focal) {
		return nil, fmt.Errorf("focal distance %v of the parabola is not a length", focal)
	}
	return &Parabola{Place(m), focal}, nil
}

// Point is C(t).
func (c *Parabola) Point(t float64) r3.Vector {
	return addScaled(addScaled(c.Origin, c.X, c.Focal*t*t), c.Y, 2*c.Focal*t)
}

// Derivatives are C and its first two derivatives.
func (c *Parabola) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	return c.Point(t), combine2(c.X, 2*c.Focal*t, c.Y, 2*c.Focal), c.X.Mul(2 * c.Focal)
}

// Domain is unbounded.
func (c *Parabola) Domain() r1.Interval { return wholeLine }

// Period is 0.
func (c *Parabola) Period() float64 { return 0 }

// Parameter starts at the point's own ordinate, exact for a point of the curve, and descends.
func (c *Parabola) Parameter(p r3.Vector, _ float64, _ bool) (t, distance float64) {
	_, y, _ := c.local(p)
	return descend(c, p, y/(2*c.Focal), wholeLine, math.Abs(c.Focal))
}

// Breaks are none.
func (c *Parabola) Breaks(r1.Interval) []float64 { return nil }

// Hyperbola is C + A cosh t x + B sinh t y: one branch.
type Hyperbola struct {
	Placement
	SemiX, SemiY float64
}

// NewHyperbola places a branch of a hyperbola.
func NewHyperbola(m geom.Motion, semiX, semiY float64) (*Hyperbola, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	if err := checkRadius("semi-axis of the hyperbola", semiX); err != nil {
		return nil, err
	}
	if err := checkRadius("semi-axis of the hyperbola", semiY); err != nil {
		return nil, err
	}
	return &Hyperbola{Place(m), semiX, semiY}, nil
}

// Point is C(t).
func (c *Hyperbola) Point(t float64) r3.Vector {
	return addScaled(addScaled(c.Origin, c.X, c.SemiX*math.Cosh(t)), c.Y, c.SemiY*math.Sinh(t))
}

// Derivatives are C and its first two derivatives.
func (c *Hyperbola) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	s, k := math.Sinh(t), math.Cosh(t)
	d := combine2(c.X, c.SemiX*k, c.Y, c.SemiY*s)
	return c.Origin.Add(d), combine2(c.X, c.SemiX*s, c.Y, c.SemiY*k), d
}

// Domain is unbounded.
func (c *Hyperbola) Domain() r1.Interval { return wholeLine }

// Period is 0.
func (c *Hyperbola) Period() float64 { return 0 }

// Parameter starts at the point's own ordinate, exact for a point of the curve, and descends.
func (c *Hyperbola) Parameter(p r3.Vector, _ float64, _ bool) (t, distance float64) {
	_, y, _ := c.local(p)
	return descend(c, p, math.Asinh(y/c.SemiY), wholeLine, math.Max(c.SemiX, c.SemiY))
}

// Breaks are none.
func (c *Hyperbola) Breaks(r1.Interval) []float64 { return nil }
