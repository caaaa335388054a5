package shape

import (
	"fmt"
	"math"
	"sort"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/tol"
)

// TrimmedCurve is a piece of a curve, over [0, |t2-t1|] from its first trim to its second.
//
// Only the length of that range is fixed by ISO 10303-42; edges are cut by their vertices, so
// nothing here depends on where it starts.
type TrimmedCurve struct {
	Basis Curve
	First float64 // the basis parameter at 0
	Sense float64 // +1 with the basis, -1 against it
	span  float64
}

// NewTrimmedCurve cuts a curve from first to second, with or against its direction. On a
// periodic curve second is taken in the next period that lies the right way.
func NewTrimmedCurve(basis Curve, first, second float64, sense bool) (*TrimmedCurve, error) {
	if !finiteNumber(first) || !finiteNumber(second) {
		return nil, fmt.Errorf("trimmed curve: trim parameters %v and %v", first, second)
	}
	c := &TrimmedCurve{Basis: basis, First: first, Sense: 1}
	if !sense {
		c.Sense = -1
	}
	c.span = (second - first) * c.Sense
	if period := basis.Period(); period > 0 {
		turn := math.Mod(c.span, period)
		// A turn a hair over none is a whole one: the two trims are one point.
		if turn <= tol.NearestShare*period {
			turn += period
		}
		c.span = turn
	}
	if c.span < 0 {
		// Not periodic, and the trims disagree with the sense: the trims are explicit.
		c.Sense, c.span = -c.Sense, -c.span
	}
	if c.span == 0 {
		return nil, fmt.Errorf("trimmed curve: both trims are at parameter %v", first)
	}
	return c, nil
}

// Point is C(t).
func (c *TrimmedCurve) Point(t float64) r3.Vector { return c.Basis.Point(c.First + c.Sense*t) }

// Derivatives are C and its first two derivatives.
func (c *TrimmedCurve) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	p, d1, d2 = c.Basis.Derivatives(c.First + c.Sense*t)
	return p, d1.Mul(c.Sense), d2
}

// Domain is [0, |t2-t1|].
func (c *TrimmedCurve) Domain() r1.Interval { return r1.Interval{Lo: 0, Hi: c.span} }

// Period is that of the basis where the piece is a whole turn.
func (c *TrimmedCurve) Period() float64 {
	if p := c.Basis.Period(); p > 0 && math.Abs(c.span-p) <= tol.NearestShare*p {
		return p
	}
	return 0
}

// Parameter asks the basis, and settles for an end where its answer lies outside the piece.
func (c *TrimmedCurve) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	middle := c.First + c.Sense*c.span/2
	basisHint := middle
	if hinted {
		basisHint = c.First + c.Sense*hint
	}
	// Unhinted, a periodic basis is still asked for the period about the middle of the piece.
	s, distance := c.Basis.Parameter(p, basisHint, hinted || c.Basis.Period() > 0)
	t = (s - c.First) * c.Sense
	if t >= 0 && t <= c.span || c.Period() > 0 {
		return t, distance
	}
	if period := c.Basis.Period(); period > 0 {
		if u := intoPeriod(t, 0, period); u <= c.span {
			return u, distance
		}
	}
	start, end := p.Sub(c.Point(0)).Norm(), p.Sub(c.Point(c.span)).Norm()
	if start <= end {
		return 0, start
	}
	return c.span, end
}

// Breaks are those of the basis.
func (c *TrimmedCurve) Breaks(within r1.Interval) []float64 {
	a, b := c.First+c.Sense*within.Lo, c.First+c.Sense*within.Hi
	list := c.Basis.Breaks(r1.Interval{Lo: min(a, b), Hi: max(a, b)})
	for i, t := range list {
		list[i] = (t - c.First) * c.Sense
	}
	sort.Float64s(list)
	return list
}

// CompositeCurve runs through its segments one after another. A segment's range is as long as
// that of its curve, which it runs through forwards or backwards.
type CompositeCurve struct {
	segments []Segment
	starts   []float64 // of each segment, and the end
	closed   bool
}

// Segment is a bounded curve and the direction it is run through.
type Segment struct {
	Curve   Curve
	Forward bool
}

// NewCompositeCurve joins the segments. Their ends have to meet within joinMM.
func NewCompositeCurve(segments []Segment, joinMM float64) (*CompositeCurve, error) {
	if len(segments) == 0 {
		return nil, fmt.Errorf("composite curve without a segment")
	}
	c := &CompositeCurve{segments: append([]Segment(nil), segments...), starts: []float64{0}}
	for i, s := range segments {
		d := s.Curve.Domain()
		l := d.Length()
		if !(l > 0) || !finiteNumber(l) {
			return nil, fmt.Errorf("composite curve: segment %d is not bounded", i+1)
		}
		c.starts = append(c.starts, c.starts[i]+l)
	}
	for i := 1; i < len(segments); i++ {
		a, b := c.segmentEnd(i-1, true), c.segmentEnd(i, false)
		if gap := a.Sub(b).Norm(); !(gap <= joinMM) {
			return nil, fmt.Errorf("composite curve: segments %d and %d are %.3g mm apart", i, i+1, gap)
		}
	}
	first, last := c.segmentEnd(0, false), c.segmentEnd(len(segments)-1, true)
	c.closed = first.Sub(last).Norm() <= tol.ClosureMM
	return c, nil
}

func (c *CompositeCurve) segmentEnd(i int, end bool) r3.Vector {
	s := c.segments[i]
	d := s.Curve.Domain()
	if s.Forward == end {
		return s.Curve.Point(d.Hi)
	}
	return s.Curve.Point(d.Lo)
}

// Segments are the pieces in order.
func (c *CompositeCurve) Segments() []Segment { return c.segments }

// find is the segment of t, its own parameter there, and the sign of its direction.
func (c *CompositeCurve) find(t float64) (s Segment, at, sign float64) {
	end := c.starts[len(c.segments)]
	if t < 0 || t > end {
		if c.closed {
			t = intoPeriod(t, 0, end)
		} else {
			t = min(max(t, 0), end)
		}
	}
	i := sort.SearchFloat64s(c.starts, t)
	if i == len(c.starts) || c.starts[i] > t {
		i--
	}
	i = min(max(i, 0), len(c.segments)-1)
	s = c.segments[i]
	d := s.Curve.Domain()
	if s.Forward {
		return s, d.Lo + (t - c.starts[i]), 1
	}
	return s, d.Hi - (t - c.starts[i]), -1
}

// Point is C(t).
func (c *CompositeCurve) Point(t float64) r3.Vector {
	s, at, _ := c.find(t)
	return s.Curve.Point(at)
}

// Derivatives are C and its first two derivatives, at a joint those of the later segment.
func (c *CompositeCurve) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	s, at, sign := c.find(t)
	p, d1, d2 = s.Curve.Derivatives(at)
	return p, d1.Mul(sign), d2
}

// Domain is the sum of the segments' ranges from 0.
func (c *CompositeCurve) Domain() r1.Interval {
	return r1.Interval{Lo: 0, Hi: c.starts[len(c.segments)]}
}

// Period is the length of the domain of a closed curve.
func (c *CompositeCurve) Period() float64 {
	if c.closed {
		return c.starts[len(c.segments)]
	}
	return 0
}

// Parameter asks every segment.
func (c *CompositeCurve) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	distance = math.Inf(1)
	for i, s := range c.segments {
		d := s.Curve.Domain()
		at, e := s.Curve.Parameter(p, d.Center(), s.Curve.Period() > 0)
		if s.Curve.Period() > 0 {
			at = intoPeriod(at, d.Lo, d.Length())
		}
		if at < d.Lo || at > d.Hi {
			at = min(max(at, d.Lo), d.Hi)
			e = p.Sub(s.Curve.Point(at)).Norm()
		}
		if e < distance {
			distance = e
			t = c.starts[i] + at - d.Lo
			if !s.Forward {
				t = c.starts[i] + d.Hi - at
			}
		}
	}
	if hinted && c.closed {
		t = nearPeriod(t, hint, c.Period())
	}
	return t, distance
}

// Breaks are the joints and the segments' own breaks.
func (c *CompositeCurve) Breaks(within r1.Interval) []float64 {
	var list []float64
	for i, s := range c.segments {
		if i > 0 || c.closed {
			list = append(list, c.starts[i])
		}
		d := s.Curve.Domain()
		for _, t := range s.Curve.Breaks(d) {
			if s.Forward {
				list = append(list, c.starts[i]+t-d.Lo)
			} else {
				list = append(list, c.starts[i]+d.Hi-t)
			}
		}
	}
	sort.Float64s(list)
	if c.closed {
		return repeated(list, c.Period(), within)
	}
	return inside(list, within)
}

// Polyline goes straight from point to point; point i is at t = i.
type Polyline struct {
	points []r3.Vector
	closed bool
	size   float64
}

// NewPolyline joins at least two points, none the same as the one before.
func NewPolyline(points []r3.Vector) (*Polyline, error) {
	c := &Polyline{}
	for i, p := range points {
		if !finite(p) {
			return nil, fmt.Errorf("polyline: point %d has a coordinate that is not a number", i+1)
		}
		if i > 0 && p == points[i-1] {
			return nil, fmt.Errorf("polyline: point %d repeats the one before", i+1)
		}
		c.size += p.Sub(points[max(i-1, 0)]).Norm()
	}
	if len(points) < 2 {
		return nil, fmt.Errorf("polyline of %d points", len(points))
	}
	c.points = append([]r3.Vector(nil), points...)
	c.closed = len(points) > 3 && coincide(points[0], points[len(points)-1], c.size)
	return c, nil
}

func (c *Polyline) find(t float64) (i int, f float64) {
	n := float64(len(c.points) - 1)
	if t < 0 || t > n {
		if c.closed {
			t = intoPeriod(t, 0, n)
		} else {
			t = min(max(t, 0), n)
		}
	}
	i = min(int(t), len(c.points)-2)
	return i, t - float64(i)
}

// Point is C(t).
func (c *Polyline) Point(t float64) r3.Vector {
	i, f := c.find(t)
	return combine2(c.points[i], 1-f, c.points[i+1], f)
}

// Derivatives are C and its first derivative; the second is nothing.
func (c *Polyline) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	i, f := c.find(t)
	return combine2(c.points[i], 1-f, c.points[i+1], f), c.points[i+1].Sub(c.points[i]), d2
}

// Domain is [0, number of segments].
func (c *Polyline) Domain() r1.Interval { return r1.Interval{Lo: 0, Hi: float64(len(c.points) - 1)} }

// Period is the length of the domain of a closed polyline.
func (c *Polyline) Period() float64 {
	if c.closed {
		return float64(len(c.points) - 1)
	}
	return 0
}

// Parameter asks every segment.
func (c *Polyline) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	least := math.Inf(1)
	for i := range len(c.points) - 1 {
		d := c.points[i+1].Sub(c.points[i])
		f := min(max(p.Sub(c.points[i]).Dot(d)/d.Norm2(), 0), 1)
		if e := combine2(c.points[i], 1-f, c.points[i+1], f).Sub(p).Norm2(); e < least {
			t, least = float64(i)+f, e
		}
	}
	if hinted && c.closed {
		t = nearPeriod(t, hint, c.Period())
	}
	return t, math.Sqrt(least)
}

// Breaks are the corners.
func (c *Polyline) Breaks(within r1.Interval) []float64 {
	var corners []float64
	for i := range len(c.points) - 1 {
		if i > 0 || c.closed {
			corners = append(corners, float64(i))
		}
	}
	if c.closed {
		return repeated(corners, c.Period(), within)
	}
	return inside(corners, within)
}

// OffsetCurve is C(t) + d V x T / |V x T|, T the tangent: offset_curve_3d.
//
// Its second derivative would take the third of its basis and is a central difference of the
// first, good to about 1e-7 of it.
type OffsetCurve struct {
	Basis     Curve
	Distance  float64
	Direction r3.Vector // V, of length 1
	size      float64
	step      float64
	search    *searched
}

// NewOffsetCurve offsets a curve sideways as seen against direction.
func NewOffsetCurve(basis Curve, distance float64, direction r3.Vector) (*OffsetCurve, error) {
	n := direction.Norm()
	if !finite(direction) || !(n > 0) || !finiteNumber(1/n) {
		return nil, fmt.Errorf("offset curve: reference direction of length %v", n)
	}
	if !finiteNumber(distance) {
		return nil, fmt.Errorf("offset curve: distance %v", distance)
	}
	if err := checkCost("offset curve", times(CostOfCurve(basis).Evaluate, 3)); err != nil {
		return nil, err
	}
	c := &OffsetCurve{Basis: basis, Distance: distance, Direction: direction.Mul(1 / n)}
	w := span(basis, r3.Vector{})
	_, d, _ := basis.Derivatives(w.Center())
	if !(c.Direction.Cross(d).Norm() > tol.AxesSine*d.Norm()) {
		return nil, fmt.Errorf("offset curve: the curve runs along the reference direction")
	}
	c.step = differenceShare * w.Length()
	c.search = newSearched(c, basis)
	c.size = c.search.size
	return c, nil
}

// differenceShare is the step of a central difference as a share of the domain: with h the
// error is h^2 of truncation and u/h of rounding, least about the cube root of u = 2^-53.
const differenceShare = 1.0 / (1 << 18)

// Point is C(t).
func (c *OffsetCurve) Point(t float64) r3.Vector {
	p, d, _ := c.Basis.Derivatives(t)
	return addScaled(p, c.Direction.Cross(d).Normalize(), c.Distance)
}

func (c *OffsetCurve) first(t float64) (p, d1 r3.Vector) {
	p, d, e := c.Basis.Derivatives(t)
	w, dw := c.Direction.Cross(d), c.Direction.Cross(e)
	n := w.Norm()
	if n == 0 {
		return p, d
	}
	w = w.Mul(1 / n)
	// The derivative of a unit vector is the part of dw square to it, over |w|.
	dw = addScaled(dw, w, -dw.Dot(w)).Mul(1 / n)
	return addScaled(p, w, c.Distance), addScaled(d, dw, c.Distance)
}

// Derivatives are C and its first two derivatives.
func (c *OffsetCurve) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	p, d1 = c.first(t)
	_, a := c.first(t - c.step)
	_, b := c.first(t + c.step)
	return p, d1, b.Sub(a).Mul(1 / (2 * c.step))
}

// Domain is the basis's.
func (c *OffsetCurve) Domain() r1.Interval { return c.Basis.Domain() }

// Period is the basis's.
func (c *OffsetCurve) Period() float64 { return c.Basis.Period() }

// Parameter starts at the basis's answer and searches where that does not do.
func (c *OffsetCurve) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	if !hinted {
		hint, _ = c.Basis.Parameter(p, 0, false)
	}
	return c.search.Parameter(p, hint, true)
}

// Breaks are the basis's, where the offset is at most once continuously differentiable.
func (c *OffsetCurve) Breaks(within r1.Interval) []float64 { return c.Basis.Breaks(within) }

// CurveOnSurface is S(c(t)): a curve of the parameter plane carried by its surface.
type CurveOnSurface struct {
	Surface Surface
	Curve   Curve2
	line    *Line // where the curve of the plane is a straight line
	period  float64
	domain  r1.Interval
	search  *searched
}

// NewCurveOnSurface composes the two. The curve of the plane has to be bounded, or a straight
// line.
func NewCurveOnSurface(s Surface, c Curve2) (*CurveOnSurface, error) {
	if err := checkCost("curve on a surface", times(CostOfSurface(s).Evaluate, 2)); err != nil {
		return nil, err
	}
	k := &CurveOnSurface{Surface: s, Curve: c, domain: c.Domain()}
	if flat, ok := c.(*PlaneCurve); ok {
		k.line, _ = flat.Curve.(*Line)
	}
	if k.line != nil {
		// A line along a direction in which the surface repeats closes on itself.
		p, d := s.Period(), k.line.Direction
		switch {
		case p.X > 0 && d.Y == 0:
			k.period = p.X / math.Abs(d.X)
		case p.Y > 0 && d.X == 0:
			k.period = p.Y / math.Abs(d.Y)
		}
		if k.period > 0 {
			k.domain = r1.Interval{Lo: 0, Hi: k.period}
		}
		return k, nil
	}
	if !finiteNumber(k.domain.Lo) || !finiteNumber(k.domain.Hi) {
		return nil, fmt.Errorf("curve on a surface: the curve of the parameter plane is neither bounded nor straight")
	}
	k.period = k.findPeriod()
	k.search = newSearched(k, plainDomain{k, k.domain, k.period})
	return k, nil
}

// plainDomain is a curve before it can search itself.
type plainDomain struct {
	Curve
	domain r1.Interval
	period float64
}

func (c plainDomain) Domain() r1.Interval          { return c.domain }
func (c plainDomain) Breaks(r1.Interval) []float64 { return nil }
func (c plainDomain) Period() float64              { return c.period }

// Point is S(c(t)).
func (c *CurveOnSurface) Point(t float64) r3.Vector {
	q := c.Curve.Point(t)
	return c.Surface.Point(q.X, q.Y)
}

// Derivatives follow the chain rule.
func (c *CurveOnSurface) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	q, a, b := c.Curve.Derivatives(t)
	p, du, dv, duu, duv, dvv := c.Surface.Second(q.X, q.Y)
	d1 = combine2(du, a.X, dv, a.Y)
	d2 = combine2(du, b.X, dv, b.Y)
	d2 = d2.Add(combine2(duu, a.X*a.X, dvv, a.Y*a.Y))
	return p, d1, addScaled(d2, duv, 2*a.X*a.Y)
}

// Domain is that of the curve in the plane, one period where a straight line closes on itself.
func (c *CurveOnSurface) Domain() r1.Interval { return c.domain }

// Period is the length of the domain where the ends meet in space and going on past the end is
// beginning again.
func (c *CurveOnSurface) Period() float64 { return c.period }

func (c *CurveOnSurface) findPeriod() float64 {
	if p := c.Curve.Period(); p > 0 {
		return p
	}
	d := c.domain
	a := c.Point(d.Lo)
	if a.Sub(c.Point(d.Hi)).Norm() > tol.ClosureMM || c.Point(d.Center()).Sub(a).Norm() <= tol.ClosureMM {
		return 0
	}
	// A trimmed line along a period of the surface goes on; what lies beyond the end of a
	// b-spline does not move.
	step := differenceShare * d.Length()
	beyond := c.Point(d.Hi + step)
	if beyond == c.Point(d.Hi) || beyond.Sub(c.Point(d.Lo+step)).Norm() > tol.ClosureMM {
		return 0
	}
	return d.Length()
}

// Parameter searches; on a straight line it starts where the surface's own parameters of p fall
// on the line.
func (c *CurveOnSurface) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	if c.line == nil {
		return c.search.Parameter(p, hint, hinted)
	}
	uv, _ := c.Surface.Parameters(p, r2.Point{}, false)
	period := c.Surface.Period()
	distance = math.Inf(1)
	// The line may lie in another period than the principal one.
	for _, k := range turnsTo(period.X) {
		for _, l := range turnsTo(period.Y) {
			q := r3.Vector{X: uv.X + k*period.X, Y: uv.Y + l*period.Y}
			s, _ := c.line.Parameter(q, 0, false)
			if s, d := descend(c, p, s, wholeLine, c.line.Direction.Norm()); d < distance-tol.NearestShare {
				t, distance = s, d
			}
		}
	}
	if c.period > 0 {
		t = intoPeriod(t, c.domain.Lo, c.period)
		if hinted {
			t = nearPeriod(t, hint, c.period)
		}
	}
	return t, distance
}

var principalOnly, andNeighbours = []float64{0}, []float64{0, -1, 1}

// turnsTo are the periods that are tried.
func turnsTo(period float64) []float64 {
	if period > 0 {
		return andNeighbours
	}
	return principalOnly
}

// Breaks are not looked for.
func (c *CurveOnSurface) Breaks(r1.Interval) []float64 { return nil }
