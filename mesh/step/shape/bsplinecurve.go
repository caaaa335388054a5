package shape

import (
	"fmt"
	"math"
	"sync"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// BSplineCurve is a b-spline curve, rational or not. Outside its domain it stands still at its
// end; a closed one, whose ends coincide, repeats with the length of its domain as its period.
type BSplineCurve struct {
	knots
	// points are control points, multiplied by their weights where there are any.
	points  []r3.Vector
	weights []float64 // nil for a polynomial curve
	period  float64
	size    float64
	ends    [2]r3.Vector
	search  sync.Once
	boxes   []patchBox
}

// NewBSplineCurve makes a curve of its control points, weights (nil where all are equal) and
// distinct knots. The slice of points is copied.
func NewBSplineCurve(degree int, points []r3.Vector, weights []float64, multiplicities []int, values []float64) (*BSplineCurve, error) {
	k, err := newKnots(degree, len(points), multiplicities, values)
	if err != nil {
		return nil, fmt.Errorf("b-spline curve: %w", err)
	}
	c := &BSplineCurve{knots: k}
	if err := checkPoints(points, weights); err != nil {
		return nil, fmt.Errorf("b-spline curve: %w", err)
	}
	c.points, c.weights = weigh(points, weights)
	c.size = geom.BoxOf(points).Diagonal()
	d := c.Domain()
	c.ends = [2]r3.Vector{c.Point(d.Lo), c.Point(d.Hi)}
	if coincide(c.ends[0], c.ends[1], c.size) {
		c.period = d.Length()
	}
	return c, nil
}

// checkPoints sees to it that every control point and weight can be evaluated.
func checkPoints(points []r3.Vector, weights []float64) error {
	if weights != nil && len(weights) != len(points) {
		return fmt.Errorf("%d weights for %d control points", len(weights), len(points))
	}
	for i, p := range points {
		if !finite(p) {
			return fmt.Errorf("control point %d has a coordinate that is not a number", i+1)
		}
	}
	for i, w := range weights {
		if !(w > 0) || !finiteNumber(w) || !finiteNumber(1/w) {
			return fmt.Errorf("weight %d is %v, not positive", i+1, w)
		}
	}
	return nil
}

// weigh multiplies points by weights; weights that are all the same are dropped.
func weigh(points []r3.Vector, weights []float64) ([]r3.Vector, []float64) {
	equal := true
	for _, w := range weights {
		equal = equal && w == weights[0]
	}
	if equal {
		return append([]r3.Vector(nil), points...), nil
	}
	weighed := make([]r3.Vector, len(points))
	for i, p := range points {
		weighed[i] = p.Mul(weights[i])
	}
	return weighed, append([]float64(nil), weights...)
}

// coincide says whether two ends of a shape of some size are meant to be one point.
func coincide(a, b r3.Vector, size float64) bool {
	return a.Sub(b).Norm() <= min(tol.ClosureMM, tol.ClosureShare*size)
}

// Degree is the polynomial degree.
func (c *BSplineCurve) Degree() int { return c.degree }

// Rational says whether the curve has weights.
func (c *BSplineCurve) Rational() bool { return c.weights != nil }

// inside brings t into the domain.
func (c *BSplineCurve) inside(t float64) float64 {
	lo, hi := c.u[c.degree], c.u[c.count]
	if t >= lo && t <= hi {
		return t
	}
	if c.period > 0 {
		return intoPeriod(t, lo, c.period)
	}
	return min(max(t, lo), hi)
}

// Point is C(t).
func (c *BSplineCurve) Point(t float64) r3.Vector {
	var n basis
	t = c.inside(t)
	i := c.span(t)
	c.values(t, i, &n)
	var p r3.Vector
	first := i - c.degree
	for j, q := range c.points[first : i+1] {
		p = addScaled(p, q, n[j])
	}
	if c.weights != nil {
		w := 0.0
		for j, q := range c.weights[first : i+1] {
			w += q * n[j]
		}
		return p.Mul(1 / w)
	}
	return p
}

// Derivatives are C and its first two derivatives.
func (c *BSplineCurve) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	var n, d, e basis
	t = c.inside(t)
	i := c.span(t)
	c.second(t, i, &n, &d, &e)
	first := i - c.degree
	for j, q := range c.points[first : i+1] {
		p = addScaled(p, q, n[j])
		d1 = addScaled(d1, q, d[j])
		d2 = addScaled(d2, q, e[j])
	}
	if c.weights != nil {
		w, w1, w2 := 0.0, 0.0, 0.0
		for j, q := range c.weights[first : i+1] {
			w += q * n[j]
			w1 += q * d[j]
			w2 += q * e[j]
		}
		// The quotient rule, The NURBS Book, equation 4.8.
		p = p.Mul(1 / w)
		d1 = addScaled(d1, p, -w1).Mul(1 / w)
		d2 = addScaled(addScaled(d2, d1, -2*w1), p, -w2).Mul(1 / w)
	}
	return p, d1, d2
}

// Domain is where the basis is complete.
func (c *BSplineCurve) Domain() r1.Interval { return c.domain() }

// Period is the length of the domain of a closed curve.
func (c *BSplineCurve) Period() float64 { return c.period }

// Parameter tries the hint, then both ends, then the spans nearest to p.
func (c *BSplineCurve) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	d := c.Domain()
	near := tol.OnShapeShare * c.size
	if hinted {
		t, distance = c.descendAround(p, c.inside(hint))
		if distance <= near {
			return c.towards(t, hint, hinted), distance
		}
	}
	// A vertex lies at an end of its curve more often than not, to the last bit.
	for k, end := range c.ends {
		if e := p.Sub(end).Norm(); e <= tol.NearestShare*c.size {
			return c.towards([2]float64{d.Lo, d.Hi}[k], hint, hinted), e
		}
	}
	best, found := c.nearestBySpans(p)
	if hinted && distance <= found {
		best, found = t, distance
	}
	return c.towards(best, hint, hinted), found
}

func (c *BSplineCurve) towards(t, hint float64, hinted bool) float64 {
	if hinted && c.period > 0 {
		return nearPeriod(t, hint, c.period)
	}
	return t
}

// descendAround descends over the domain, and once more from the other end of a closed curve
// where it stops at one.
func (c *BSplineCurve) descendAround(p r3.Vector, t float64) (at, distance float64) {
	d := c.Domain()
	at, distance = descend(c, p, t, d, c.size)
	if c.period > 0 && (at == d.Lo || at == d.Hi) {
		other := d.Lo
		if at == d.Lo {
			other = d.Hi
		}
		if t, e := descend(c, p, other, d, c.size); e < distance {
			return t, e
		}
	}
	return at, distance
}

// patchBox is the box of the control points of one span: the curve lies in it, the weights
// being positive.
type patchBox struct {
	box  geom.Box
	span int32 // first knot index
}

// distance2 is the square of the distance from p to the box.
func distance2(b *geom.Box, p r3.Vector) float64 {
	x := max(b.Min.X-p.X, p.X-b.Max.X, 0)
	y := max(b.Min.Y-p.Y, p.Y-b.Max.Y, 0)
	z := max(b.Min.Z-p.Z, p.Z-b.Max.Z, 0)
	return x*x + y*y + z*z
}

func (c *BSplineCurve) control(i int) r3.Vector {
	if c.weights == nil {
		return c.points[i]
	}
	return c.points[i].Mul(1 / c.weights[i])
}

func (c *BSplineCurve) prepareSearch() {
	for _, i := range c.spans() {
		b := geom.EmptyBox()
		for j := int(i) - c.degree; j <= int(i); j++ {
			b = b.AddPoint(c.control(j))
		}
		c.boxes = append(c.boxes, patchBox{b, i})
	}
}

// mostDescents bounds how many spans or patches one search descends in. From a point on the shape
// those whose boxes it lies in are enough, which are a handful; a shape that winds about a point
// at one distance would have every one searched for every point.
const mostDescents = 256

// nearestBySpans descends in every span whose box is nearer than the best point found so far,
// the nearest box first. The result is the global minimum as far as the samples of a span tell
// its local minima apart and mostDescents suffice.
func (c *BSplineCurve) nearestBySpans(p r3.Vector) (t, distance float64) {
	c.search.Do(c.prepareSearch)
	start, least := 0, math.Inf(1)
	for i := range c.boxes {
		if d := distance2(&c.boxes[i].box, p); d < least {
			start, least = i, d
		}
	}
	distance = math.Inf(1)
	descents := 0
	for i := -1; i < len(c.boxes) && descents < mostDescents; i++ {
		b := &c.boxes[max(i, 0)]
		if i < 0 {
			b = &c.boxes[start]
		} else if i == start || distance2(&b.box, p) >= distance*distance {
			continue
		}
		descents++
		lo, hi := c.u[b.span], c.u[b.span+1]
		n := c.degree + 2
		at, near := lo, math.Inf(1)
		for k := 0; k <= n; k++ {
			s := lo + (hi-lo)*float64(k)/float64(n)
			if d := c.Point(s).Sub(p).Norm2(); d < near {
				at, near = s, d
			}
		}
		if s, d := c.descendAround(p, at); d < distance {
			t, distance = s, d
		}
		if distance <= tol.NearestShare*c.size {
			break
		}
	}
	return t, distance
}

// Breaks are knots of low continuity, and the seam of a closed curve, within the interval.
func (c *BSplineCurve) Breaks(within r1.Interval) []float64 {
	inner := c.breaks()
	if c.period == 0 {
		return inside(inner, within)
	}
	d := c.Domain()
	return repeated(append([]float64{d.Lo}, inner...), c.period, within)
}

// inside keeps the values strictly within the interval.
func inside(values []float64, within r1.Interval) []float64 {
	var list []float64
	for _, t := range values {
		if t > within.Lo && t < within.Hi {
			list = append(list, t)
		}
	}
	return list
}

// repeated continues ascending values of one period over the interval.
func repeated(values []float64, period float64, within r1.Interval) []float64 {
	var list []float64
	if len(values) == 0 || !finiteNumber(within.Lo) || !finiteNumber(within.Hi) {
		return nil
	}
	for k := math.Floor((within.Lo - values[len(values)-1]) / period); values[0]+k*period < within.Hi; k++ {
		for _, t := range values {
			if s := t + k*period; s > within.Lo && s < within.Hi {
				list = append(list, s)
			}
		}
	}
	return list
}

// Ends are the points at both ends of the domain.
func (c *BSplineCurve) Ends() (start, end r3.Vector) { return c.ends[0], c.ends[1] }

// Closeness is the distance under which a point counts as an end of the curve.
func (c *BSplineCurve) Closeness() float64 { return min(tol.ClosureMM, tol.ClosureShare*c.size) }
