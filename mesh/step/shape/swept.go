package shape

import (
	"fmt"
	"math"
	"sync"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// Extrusion is C(u) + v V.
type Extrusion struct {
	Curve     Curve
	Direction r3.Vector // V, with its length
	unit      r3.Vector
	length    float64
	flatten   sync.Once
	shadow    Curve // the curve seen along V, over the same parameter
}

// NewExtrusion sweeps the curve along direction.
func NewExtrusion(c Curve, direction r3.Vector) (*Extrusion, error) {
	n := direction.Norm()
	if !finite(direction) || !(n > 0) || !finiteNumber(1/n) {
		return nil, fmt.Errorf("surface of linear extrusion: direction of length %v", n)
	}
	if l, ok := c.(*Line); ok && l.Direction.Cross(direction).Norm() <= tol.AxesSine*l.Direction.Norm()*n {
		return nil, fmt.Errorf("surface of linear extrusion: the line runs along the direction")
	}
	return &Extrusion{Curve: c, Direction: direction, unit: direction.Mul(1 / n), length: n}, nil
}

// Point is S(u, v).
func (s *Extrusion) Point(u, v float64) r3.Vector {
	return addScaled(s.Curve.Point(u), s.Direction, v)
}

// First are S and its first derivatives.
func (s *Extrusion) First(u, v float64) (p, du, dv r3.Vector) {
	p, du, _ = s.Curve.Derivatives(u)
	return addScaled(p, s.Direction, v), du, s.Direction
}

// Second are S and its derivatives up to the second.
func (s *Extrusion) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	p, du, duu = s.Curve.Derivatives(u)
	return addScaled(p, s.Direction, v), du, s.Direction, duu, duv, dvv
}

// Domain is the curve's, unbounded along V.
func (s *Extrusion) Domain() r2.Rect { return r2.Rect{X: s.Curve.Domain(), Y: wholeLine} }

// Period is the curve's.
func (s *Extrusion) Period() r2.Point { return r2.Point{X: s.Curve.Period()} }

// Parameters finds the nearest point of the curve seen along V, where the surface is a curve.
func (s *Extrusion) Parameters(p r3.Vector, hint r2.Point, hinted bool) (r2.Point, float64) {
	s.flatten.Do(s.makeShadow)
	flat := addScaled(p, s.unit, -p.Dot(s.unit))
	u, distance := s.shadow.Parameter(flat, hint.X, hinted)
	v := p.Sub(s.Curve.Point(u)).Dot(s.unit) / s.length
	return r2.Point{X: u, Y: v}, distance
}

// makeShadow projects the curve on the plane through the file's origin square to V. Lines and
// b-splines stay lines and b-splines, with the same parameter; a circle or an ellipse square
// to V stays what it is; the rest is searched.
func (s *Extrusion) makeShadow() {
	drop := func(p r3.Vector) r3.Vector { return addScaled(p, s.unit, -p.Dot(s.unit)) }
	switch c := s.Curve.(type) {
	case *Line:
		if l, err := NewLine(drop(c.Origin), drop(c.Direction)); err == nil {
			s.shadow = l
			return
		}
	case *Circle:
		if squareTo(c.Placement, s.unit) {
			d := *c
			d.Origin = drop(c.Origin)
			s.shadow = &d
			return
		}
	case *Ellipse:
		if squareTo(c.Placement, s.unit) {
			d := *c
			d.Origin = drop(c.Origin)
			s.shadow = &d
			return
		}
	case *BSplineCurve:
		d := &BSplineCurve{knots: c.knots, weights: c.weights, period: c.period}
		d.points = make([]r3.Vector, len(c.points))
		b := geom.EmptyBox()
		for i, p := range c.points {
			// A weighed point w P drops to w times the drop of P: the map is linear.
			d.points[i] = drop(p)
			b = b.AddPoint(d.control(i))
		}
		d.size = b.Diagonal()
		d.ends = [2]r3.Vector{drop(c.ends[0]), drop(c.ends[1])}
		s.shadow = d
		return
	}
	s.shadow = newSearched(&projected{s.Curve, s.unit}, s.Curve)
}

func squareTo(f Placement, unit r3.Vector) bool {
	return f.Z.Cross(unit).Norm() <= tol.AxesSine
}

// projected is a curve seen along a direction.
type projected struct {
	Curve
	unit r3.Vector
}

func (c *projected) Point(t float64) r3.Vector {
	p := c.Curve.Point(t)
	return addScaled(p, c.unit, -p.Dot(c.unit))
}

func (c *projected) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	p, d1, d2 = c.Curve.Derivatives(t)
	return addScaled(p, c.unit, -p.Dot(c.unit)), addScaled(d1, c.unit, -d1.Dot(c.unit)), addScaled(d2, c.unit, -d2.Dot(c.unit))
}

// Face is the direction.
func (s *Extrusion) Face() mesh.Face { return mesh.Face{Kind: mesh.Extrusion, Axis: s.unit} }

// Breaks are the curve's.
func (s *Extrusion) Breaks() (u, v []float64) { return s.Curve.Breaks(s.Curve.Domain()), nil }

// Poles are none.
func (s *Extrusion) Poles() []Pole { return nil }

// Revolution turns a curve about an axis: u is the angle, v the curve's parameter.
type Revolution struct {
	Curve        Curve
	Origin, Axis r3.Vector // Axis has length 1
	poles        []Pole
	// Where the curve lies in a plane through the axis, outward is the direction in that plane
	// square to the axis, and inversion is the curve's own.
	outward r3.Vector
	planar  bool
	profile *searched // the curve as (distance from axis, height), where it is not planar
	prepare sync.Once
}

// NewRevolution turns the curve about the axis through origin.
func NewRevolution(c Curve, origin, axis r3.Vector) (*Revolution, error) {
	n := axis.Norm()
	if !finite(origin) || !finite(axis) || !(n > 0) || !finiteNumber(1/n) {
		return nil, fmt.Errorf("surface of revolution: axis of length %v", n)
	}
	s := &Revolution{Curve: c, Origin: origin, Axis: axis.Mul(1 / n)}
	if !s.findOutward() {
		return nil, fmt.Errorf("surface of revolution: the curve lies on the axis")
	}
	s.findPoles()
	return s, nil
}

// span is where a curve is looked at: its domain, or a stretch of an unbounded one about the
// point nearest to a reference.
func span(c Curve, about r3.Vector) r1.Interval {
	d := c.Domain()
	if finiteNumber(d.Lo) && finiteNumber(d.Hi) {
		return d
	}
	t, _ := c.Parameter(about, 0, false)
	reach := 1.0
	if l, ok := c.(*Line); ok {
		// As far as the line is away from the reference, and a millimetre.
		p := l.Point(t)
		reach = (p.Sub(about).Norm() + 1) * math.Sqrt(l.perLength2)
	}
	if !finiteNumber(d.Lo) {
		d.Lo = min(t-reach, d.Hi-reach)
	}
	if !finiteNumber(d.Hi) {
		d.Hi = max(t+reach, d.Lo+reach)
	}
	return d
}

// profileSamples is how many places of a curve are looked at to see its course against the
// axis; a b-spline of more spans than that which is plane at all of them is plane.
const profileSamples = 48

// findOutward looks for the plane of axis and curve; it fails where the curve does not leave
// the axis.
func (s *Revolution) findOutward() bool {
	d := span(s.Curve, s.Origin)
	far, scale := 0.0, 0.0
	at := func(k int) r3.Vector {
		p := s.Curve.Point(d.Lo + d.Length()*float64(k)/profileSamples).Sub(s.Origin)
		scale = max(scale, p.Norm())
		return addScaled(p, s.Axis, -p.Dot(s.Axis))
	}
	for k := range profileSamples + 1 {
		if p := at(k); p.Norm() > far {
			far, s.outward = p.Norm(), p
		}
	}
	if !(far > tol.NearestShare*scale) {
		return false
	}
	s.outward = s.outward.Mul(1 / far)
	side := s.Axis.Cross(s.outward)
	s.planar = true
	for k := range profileSamples + 1 {
		if math.Abs(at(k).Dot(side)) > tol.NearestShare*max(far, scale) {
			s.planar = false
		}
	}
	return true
}

// findPoles finds where the curve meets the axis: at an end, or within. A minimum of the
// distance to the axis among samples is refined and believed if it is nothing.
func (s *Revolution) findPoles() {
	d := s.Curve.Domain()
	off := func(t float64) float64 {
		p := s.Curve.Point(t).Sub(s.Origin)
		return addScaled(p, s.Axis, -p.Dot(s.Axis)).Norm()
	}
	add := func(t float64) {
		p := s.Curve.Point(t).Sub(s.Origin)
		s.poles = append(s.poles, Pole{AtV: true, Value: t, Point: addScaled(s.Origin, s.Axis, p.Dot(s.Axis))})
	}
	if l, ok := s.Curve.(*Line); ok {
		// The foot of the common perpendicular of line and axis.
		across := addScaled(l.Direction, s.Axis, -l.Direction.Dot(s.Axis))
		if n := across.Norm2(); n > tol.AxesSine*l.Direction.Norm2() {
			if t := s.Origin.Sub(l.Origin).Dot(across) / n; off(t) <= tol.PoleMM {
				add(t)
			}
		}
		return
	}
	w := span(s.Curve, s.Origin)
	step := w.Length() / profileSamples
	for k := range profileSamples + 1 {
		t := w.Lo + step*float64(k)
		here := off(t)
		isEnd := (k == 0 && w.Lo == d.Lo) || (k == profileSamples && w.Hi == d.Hi)
		if isEnd {
			if here <= tol.PoleMM && !(k > 0 && s.Curve.Period() > 0) {
				add(t)
			}
			continue
		}
		lo, hi := max(t-step, w.Lo), min(t+step, w.Hi)
		if off(lo) < here || off(hi) <= here {
			continue
		}
		// Golden section; the distance is V-shaped about a crossing of the axis.
		const golden = 0.6180339887498949
		for hi-lo > tol.NearestShare*w.Length() {
			a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
			if off(a) < off(b) {
				hi = b
			} else {
				lo = a
			}
		}
		if t := (lo + hi) / 2; off(t) <= tol.PoleMM {
			if t-d.Lo > step/2 && d.Hi-t > step/2 {
				add(t)
			}
		}
	}
}

// turn rotates a vector about the axis.
func (s *Revolution) turn(p r3.Vector, sin, cos float64) r3.Vector {
	along := s.Axis.Mul(p.Dot(s.Axis))
	across := p.Sub(along)
	return along.Add(combine2(across, cos, s.Axis.Cross(p), sin))
}

// Point is S(u, v).
func (s *Revolution) Point(u, v float64) r3.Vector {
	sin, cos := math.Sincos(u)
	return s.Origin.Add(s.turn(s.Curve.Point(v).Sub(s.Origin), sin, cos))
}

// First are S and its first derivatives.
func (s *Revolution) First(u, v float64) (p, du, dv r3.Vector) {
	sin, cos := math.Sincos(u)
	c, d, _ := s.Curve.Derivatives(v)
	r := s.turn(c.Sub(s.Origin), sin, cos)
	return s.Origin.Add(r), s.Axis.Cross(r), s.turn(d, sin, cos)
}

// Second are S and its derivatives up to the second.
func (s *Revolution) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	sin, cos := math.Sincos(u)
	c, d, e := s.Curve.Derivatives(v)
	r := s.turn(c.Sub(s.Origin), sin, cos)
	dv = s.turn(d, sin, cos)
	duu = addScaled(s.Axis.Mul(r.Dot(s.Axis)), r, -1)
	return s.Origin.Add(r), s.Axis.Cross(r), dv, duu, s.Axis.Cross(dv), s.turn(e, sin, cos)
}

// Domain is one turn by the curve's domain.
func (s *Revolution) Domain() r2.Rect { return r2.Rect{X: wholeTurn, Y: s.Curve.Domain()} }

// Period is one turn in u and the curve's period in v.
func (s *Revolution) Period() r2.Point { return r2.Point{X: fullTurn, Y: s.Curve.Period()} }

// Parameters turns p into the plane of the curve, where the curve finds its own nearest point;
// the half plane beyond the axis is tried too if the curve reaches it. For a curve that lies in
// no plane with the axis, its distance from the axis and its height are searched.
func (s *Revolution) Parameters(p r3.Vector, hint r2.Point, hinted bool) (uv r2.Point, distance float64) {
	q := p.Sub(s.Origin)
	z := q.Dot(s.Axis)
	across := addScaled(q, s.Axis, -z)
	rho := across.Norm()
	if s.planar {
		near := addScaled(addScaled(s.Origin, s.Axis, z), s.outward, rho)
		far := addScaled(near, s.outward, -2*rho)
		uv.Y, distance = s.Curve.Parameter(near, hint.Y, hinted)
		beyond := false
		if rho > tol.PoleMM && distance > 0 {
			if v, d := s.Curve.Parameter(far, hint.Y, hinted); d < distance {
				uv.Y, distance, beyond = v, d, true
			}
		}
		x, y := q.Dot(s.outward), q.Dot(s.Axis.Cross(s.outward))
		if beyond {
			x, y = -x, -y
		}
		uv.X = angleAround(x, y, hint.X, hinted)
		return uv, distance
	}
	s.prepare.Do(func() { s.profile = newSearched(&meridian{s.Curve, s.Origin, s.Axis}, s.Curve) })
	uv.Y, distance = s.profile.Parameter(r3.Vector{X: rho, Z: z}, hint.Y, hinted)
	c := s.Curve.Point(uv.Y).Sub(s.Origin)
	radial := addScaled(c, s.Axis, -c.Dot(s.Axis))
	x, y := q.Dot(radial), q.Dot(s.Axis.Cross(radial))
	if n := radial.Norm(); n > 0 {
		x, y = x/n, y/n
	}
	uv.X = angleAround(x, y, hint.X, hinted)
	return uv, distance
}

// meridian is a curve as (distance from the axis, 0, height along it).
type meridian struct {
	Curve
	origin, axis r3.Vector
}

func (c *meridian) Point(t float64) r3.Vector {
	p := c.Curve.Point(t).Sub(c.origin)
	z := p.Dot(c.axis)
	return r3.Vector{X: addScaled(p, c.axis, -z).Norm(), Z: z}
}

func (c *meridian) Derivatives(t float64) (p, d1, d2 r3.Vector) {
	q, e1, e2 := c.Curve.Derivatives(t)
	q = q.Sub(c.origin)
	z, z1, z2 := q.Dot(c.axis), e1.Dot(c.axis), e2.Dot(c.axis)
	a, a1, a2 := addScaled(q, c.axis, -z), addScaled(e1, c.axis, -z1), addScaled(e2, c.axis, -z2)
	rho := a.Norm()
	if rho == 0 {
		return r3.Vector{Z: z}, r3.Vector{X: a1.Norm(), Z: z1}, r3.Vector{Z: z2}
	}
	// rho^2 = a.a, differentiated twice.
	r1 := a.Dot(a1) / rho
	r2 := (a1.Norm2() + a.Dot(a2) - r1*r1) / rho
	return r3.Vector{X: rho, Z: z}, r3.Vector{X: r1, Z: z1}, r3.Vector{X: r2, Z: z2}
}

// Face is the axis.
func (s *Revolution) Face() mesh.Face {
	return mesh.Face{Kind: mesh.Revolution, Origin: s.Origin, Axis: s.Axis}
}

// Breaks are the curve's.
func (s *Revolution) Breaks() (u, v []float64) { return nil, s.Curve.Breaks(s.Curve.Domain()) }

// Poles are where the curve meets the axis.
func (s *Revolution) Poles() []Pole { return s.poles }

// searched finds nearest points on a curve that has no better way, by descent from samples.
type searched struct {
	shadow
	domain  r1.Interval
	period  float64
	source  Curve
	size    float64
	samples []r3.Vector
	at      []float64
}

// shadow is what is searched.
type shadow interface {
	Point(t float64) r3.Vector
	Derivatives(t float64) (p, d1, d2 r3.Vector)
}

// newSearched samples the image of a curve: evenly, and at the breaks.
func newSearched(image shadow, source Curve) *searched {
	s := &searched{shadow: image, source: source, domain: source.Domain(), period: source.Period()}
	w := span(source, r3.Vector{})
	stops := append([]float64{w.Lo}, source.Breaks(w)...)
	stops = append(stops, w.Hi)
	perStop := max(4, profileSamples/len(stops))
	b := geom.EmptyBox()
	for i := 1; i < len(stops); i++ {
		for k := range perStop {
			s.at = append(s.at, stops[i-1]+(stops[i]-stops[i-1])*float64(k)/float64(perStop))
		}
	}
	s.at = append(s.at, w.Hi)
	for _, t := range s.at {
		p := image.Point(t)
		s.samples = append(s.samples, p)
		b = b.AddPoint(p)
	}
	s.size = b.Diagonal()
	return s
}

func (s *searched) Domain() r1.Interval                 { return s.domain }
func (s *searched) Period() float64                     { return s.period }
func (s *searched) Breaks(within r1.Interval) []float64 { return s.source.Breaks(within) }

// Parameter tries the hint, then descends from every sample that is nearer than its neighbours,
// unless the sample's distance less the steps beside it cannot beat the best.
func (s *searched) Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64) {
	free := s.domain
	if s.period > 0 {
		free = wholeLine
	}
	distance = math.Inf(1)
	if hinted {
		t, distance = descend(s.shadow, p, hint, free, s.size)
	}
	if distance > tol.OnShapeShare*s.size {
		n := len(s.samples)
		for i := range n {
			d := s.samples[i].Sub(p).Norm2()
			if i > 0 && s.samples[i-1].Sub(p).Norm2() < d || i+1 < n && s.samples[i+1].Sub(p).Norm2() <= d {
				continue
			}
			if u, e := descend(s.shadow, p, s.at[i], free, s.size); e < distance {
				t, distance = u, e
			}
		}
	}
	if s.period > 0 {
		t = intoPeriod(t, s.domain.Lo, s.period)
		if hinted {
			t = nearPeriod(t, hint, s.period)
		}
	}
	return t, distance
}
