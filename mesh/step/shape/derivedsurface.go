package shape

import (
	"fmt"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// TrimmedSurface is a rectangle of a surface's parameter plane, over [0, |u2-u1|] by
// [0, |v2-v1|] as ISO 10303-42 has it for a rectangular_trimmed_surface.
type TrimmedSurface struct {
	Basis          Surface
	Start          r2.Point // basis parameters at (0, 0)
	SenseU, SenseV float64  // +1 with the basis, -1 against it
	span           r2.Point
	poles          []Pole
}

// NewTrimmedSurface cuts a surface from first to second, in each direction with or against
// the basis.
func NewTrimmedSurface(basis Surface, first, second r2.Point, senseU, senseV bool) (*TrimmedSurface, error) {
	s := &TrimmedSurface{Basis: basis, Start: first}
	period := basis.Period()
	var err error
	if s.SenseU, s.span.X, err = trim(first.X, second.X, period.X, senseU); err != nil {
		return nil, fmt.Errorf("trimmed surface along u: %w", err)
	}
	if s.SenseV, s.span.Y, err = trim(first.Y, second.Y, period.Y, senseV); err != nil {
		return nil, fmt.Errorf("trimmed surface along v: %w", err)
	}
	for _, p := range basis.Poles() {
		q := Pole{AtV: p.AtV, Point: p.Point}
		if p.AtV {
			q.Value = (p.Value - s.Start.Y) * s.SenseV
			if reach(q.Value, s.span.Y) {
				s.poles = append(s.poles, q)
			}
		} else {
			q.Value = (p.Value - s.Start.X) * s.SenseU
			if reach(q.Value, s.span.X) {
				s.poles = append(s.poles, q)
			}
		}
	}
	return s, nil
}

func reach(t, span float64) bool {
	slack := tol.NearestShare * span
	return t >= -slack && t <= span+slack
}

func trim(first, second, period float64, forward bool) (sense, span float64, err error) {
	if !finiteNumber(first) || !finiteNumber(second) {
		return 0, 0, fmt.Errorf("trim parameters %v and %v", first, second)
	}
	sense = 1
	if !forward {
		sense = -1
	}
	span = (second - first) * sense
	if period > 0 {
		span = math.Mod(span, period)
		if span <= tol.NearestShare*period {
			span += period
		}
	}
	if span < 0 {
		sense, span = -sense, -span
	}
	if span == 0 {
		return 0, 0, fmt.Errorf("both trims are at parameter %v", first)
	}
	return sense, span, nil
}

func (s *TrimmedSurface) basis(u, v float64) (float64, float64) {
	return s.Start.X + s.SenseU*u, s.Start.Y + s.SenseV*v
}

// Point is S(u, v).
func (s *TrimmedSurface) Point(u, v float64) r3.Vector { return s.Basis.Point(s.basis(u, v)) }

// First are S and its first derivatives.
func (s *TrimmedSurface) First(u, v float64) (p, du, dv r3.Vector) {
	p, du, dv = s.Basis.First(s.basis(u, v))
	return p, du.Mul(s.SenseU), dv.Mul(s.SenseV)
}

// Second are S and its derivatives up to the second.
func (s *TrimmedSurface) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	p, du, dv, duu, duv, dvv = s.Basis.Second(s.basis(u, v))
	return p, du.Mul(s.SenseU), dv.Mul(s.SenseV), duu, duv.Mul(s.SenseU * s.SenseV), dvv
}

// Domain is the trimmed rectangle from (0, 0).
func (s *TrimmedSurface) Domain() r2.Rect {
	return r2.Rect{X: r1.Interval{Lo: 0, Hi: s.span.X}, Y: r1.Interval{Lo: 0, Hi: s.span.Y}}
}

// Period is the basis's in a direction in which a whole period is left.
func (s *TrimmedSurface) Period() r2.Point {
	p := s.Basis.Period()
	if p.X > 0 && math.Abs(s.span.X-p.X) > tol.NearestShare*p.X {
		p.X = 0
	}
	if p.Y > 0 && math.Abs(s.span.Y-p.Y) > tol.NearestShare*p.Y {
		p.Y = 0
	}
	return p
}

// Parameters asks the basis; what lies outside the rectangle is returned as it is, since a
// face is bounded by its edges.
func (s *TrimmedSurface) Parameters(p r3.Vector, hint r2.Point, hinted bool) (r2.Point, float64) {
	if !hinted {
		hint = r2.Point{X: s.span.X / 2, Y: s.span.Y / 2}
		// The basis is asked for the period about the middle, unless that would also choose
		// among the branches of a freeform surface.
		uv, distance := s.Basis.Parameters(p, r2.Point{}, false)
		uv.X, uv.Y = (uv.X-s.Start.X)*s.SenseU, (uv.Y-s.Start.Y)*s.SenseV
		period := s.Basis.Period()
		if period.X > 0 {
			uv.X = nearPeriod(uv.X, hint.X, period.X)
		}
		if period.Y > 0 {
			uv.Y = nearPeriod(uv.Y, hint.Y, period.Y)
		}
		return uv, distance
	}
	hint.X, hint.Y = s.basis(hint.X, hint.Y)
	uv, distance := s.Basis.Parameters(p, hint, true)
	return r2.Point{X: (uv.X - s.Start.X) * s.SenseU, Y: (uv.Y - s.Start.Y) * s.SenseV}, distance
}

// Face is the basis's, as far as the trimmed surface faces the way that the basis does.
func (s *TrimmedSurface) Face() mesh.Face {
	f := s.Basis.Face()
	if s.SenseU*s.SenseV > 0 {
		return f
	}
	switch f.Kind {
	case mesh.Plane:
		f.Axis = f.Axis.Mul(-1)
	case mesh.Cylinder, mesh.Cone, mesh.Sphere, mesh.Torus:
		return mesh.Face{Kind: mesh.Revolution, Origin: f.Origin, Axis: f.Axis}
	}
	return f
}

// Breaks are the basis's that lie inside.
func (s *TrimmedSurface) Breaks() (u, v []float64) {
	bu, bv := s.Basis.Breaks()
	return mapBreaks(bu, s.Start.X, s.SenseU, s.span.X), mapBreaks(bv, s.Start.Y, s.SenseV, s.span.Y)
}

func mapBreaks(values []float64, first, sense, span float64) []float64 {
	var list []float64
	for i := range values {
		t := values[i]
		if sense < 0 {
			t = values[len(values)-1-i]
		}
		if t = (t - first) * sense; t > 0 && t < span {
			list = append(list, t)
		}
	}
	return list
}

// Poles are the basis's that lie inside.
func (s *TrimmedSurface) Poles() []Pole { return s.poles }

// OffsetSurface is S + d n, n the unit normal du x dv / |du x dv| of its basis.
//
// Its second derivatives would take the third of the basis and are central differences of the
// first, good to about 1e-7 of them. At a pole of the basis the normal is the limit from a
// hair inside.
type OffsetSurface struct {
	Basis    Surface
	Distance float64
	stepU    float64
	stepV    float64
	size     float64
	poles    []Pole
}

// NewOffsetSurface offsets a surface along its normal.
func NewOffsetSurface(basis Surface, distance float64) (*OffsetSurface, error) {
	if !finiteNumber(distance) {
		return nil, fmt.Errorf("offset surface: distance %v", distance)
	}
	if err := checkCost("offset surface", times(CostOfSurface(basis).Evaluate, 5)); err != nil {
		return nil, err
	}
	s := &OffsetSurface{Basis: basis, Distance: distance}
	d := basis.Domain()
	s.stepU, s.stepV = differenceStep(d.X), differenceStep(d.Y)
	b := geom.EmptyBox()
	for _, u := range [...]float64{bounded(d.X, 0.1), bounded(d.X, 0.5), bounded(d.X, 0.9)} {
		for _, v := range [...]float64{bounded(d.Y, 0.1), bounded(d.Y, 0.5), bounded(d.Y, 0.9)} {
			b = b.AddPoint(basis.Point(u, v))
		}
	}
	s.size = b.Diagonal() + math.Abs(distance)
	for _, p := range basis.Poles() {
		// A pole stays one only where the normal along it stands still: at a smooth tip, not
		// at the apex of a cone, which opens to a circle.
		var q [4]r3.Vector
		same := true
		for k := range q {
			f := [...]float64{0.1, 0.35, 0.6, 0.85}[k]
			if p.AtV {
				q[k] = s.Point(bounded(d.X, f), p.Value)
			} else {
				q[k] = s.Point(p.Value, bounded(d.Y, f))
			}
			same = same && coincide(q[k], q[0], s.size)
		}
		if same {
			s.poles = append(s.poles, Pole{AtV: p.AtV, Value: p.Value, Point: q[0]})
		}
	}
	return s, nil
}

// bounded is a place within an interval that may be unbounded.
func bounded(i r1.Interval, share float64) float64 {
	lo, hi := i.Lo, i.Hi
	if !finiteNumber(lo) && !finiteNumber(hi) {
		lo, hi = -1, 1
	} else if !finiteNumber(lo) {
		lo = hi - 1
	} else if !finiteNumber(hi) {
		hi = lo + 1
	}
	return lo + share*(hi-lo)
}

func differenceStep(i r1.Interval) float64 {
	return differenceShare * (bounded(i, 1) - bounded(i, 0))
}

// normal is the unit normal of the basis, at a pole that of a place a step towards the middle.
func (s *OffsetSurface) normal(u, v float64, du, dv r3.Vector) r3.Vector {
	n := du.Cross(dv)
	if l := n.Norm(); l > tol.AxesSine*du.Norm()*dv.Norm() && l > 0 {
		return n.Mul(1 / l)
	}
	d := s.Basis.Domain()
	u += math.Copysign(s.stepU, bounded(d.X, 0.5)-u)
	v += math.Copysign(s.stepV, bounded(d.Y, 0.5)-v)
	_, du, dv = s.Basis.First(u, v)
	return du.Cross(dv).Normalize()
}

// Point is S(u, v).
func (s *OffsetSurface) Point(u, v float64) r3.Vector {
	p, du, dv := s.Basis.First(u, v)
	return addScaled(p, s.normal(u, v, du, dv), s.Distance)
}

// First are S and its first derivatives. With w = du x dv and n = w/|w|,
// dn/du = (wu - (wu.n) n)/|w| and wu = duu x dv + du x duv.
func (s *OffsetSurface) First(u, v float64) (p, du, dv r3.Vector) {
	p, bu, bv, buu, buv, bvv := s.Basis.Second(u, v)
	w := bu.Cross(bv)
	l := w.Norm()
	if !(l > tol.AxesSine*bu.Norm()*bv.Norm()) || l == 0 {
		// At a pole: the derivatives of the basis, in the right directions.
		return addScaled(p, s.normal(u, v, bu, bv), s.Distance), bu, bv
	}
	n := w.Mul(1 / l)
	wu := buu.Cross(bv).Add(bu.Cross(buv))
	wv := buv.Cross(bv).Add(bu.Cross(bvv))
	nu := addScaled(wu, n, -wu.Dot(n)).Mul(s.Distance / l)
	nv := addScaled(wv, n, -wv.Dot(n)).Mul(s.Distance / l)
	return addScaled(p, n, s.Distance), bu.Add(nu), bv.Add(nv)
}

// Second are S and its derivatives up to the second.
func (s *OffsetSurface) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	p, du, dv = s.First(u, v)
	_, a, b := s.First(u-s.stepU, v)
	_, c, d := s.First(u+s.stepU, v)
	duu = c.Sub(a).Mul(1 / (2 * s.stepU))
	duv = d.Sub(b).Mul(1 / (2 * s.stepU))
	_, _, b = s.First(u, v-s.stepV)
	_, _, d = s.First(u, v+s.stepV)
	dvv = d.Sub(b).Mul(1 / (2 * s.stepV))
	return p, du, dv, duu, duv, dvv
}

// Domain is the basis's.
func (s *OffsetSurface) Domain() r2.Rect { return s.Basis.Domain() }

// Period is the basis's.
func (s *OffsetSurface) Period() r2.Point { return s.Basis.Period() }

// Parameters asks the basis: a point of the offset lies on the basis's normal, so the nearest
// point of the basis has the same parameters, as long as the distance is less than the radius
// of curvature. Where that does not do, descent follows.
func (s *OffsetSurface) Parameters(p r3.Vector, hint r2.Point, hinted bool) (r2.Point, float64) {
	uv, _ := s.Basis.Parameters(p, hint, hinted)
	distance := s.Point(uv.X, uv.Y).Sub(p).Norm()
	if distance <= tol.NearestShare*s.size {
		return uv, distance
	}
	free := s.Domain()
	period := s.Period()
	if period.X > 0 {
		free.X = wholeLine
	}
	if period.Y > 0 {
		free.Y = wholeLine
	}
	if at, d := descendOn(s, p, uv, free, s.size); d < distance {
		uv, distance = at, d
	}
	if hinted && distance > tol.OnShapeShare*s.size {
		if at, d := descendOn(s, p, hint, free, s.size); d < distance {
			uv, distance = at, d
		}
	}
	d := s.Domain()
	if period.X > 0 {
		uv.X = intoPeriod(uv.X, d.X.Lo, period.X)
		if hinted {
			uv.X = nearPeriod(uv.X, hint.X, period.X)
		}
	}
	if period.Y > 0 {
		uv.Y = intoPeriod(uv.Y, d.Y.Lo, period.Y)
		if hinted {
			uv.Y = nearPeriod(uv.Y, hint.Y, period.Y)
		}
	}
	return uv, distance
}

// Face is what the offset of the basis is: a plane stays a plane, a cylinder a cylinder.
func (s *OffsetSurface) Face() mesh.Face {
	f := s.Basis.Face()
	switch f.Kind {
	case mesh.Plane:
		f.Origin = addScaled(f.Origin, f.Axis, s.Distance)
	case mesh.Cylinder, mesh.Sphere:
		f.RadiusMM += s.Distance
	case mesh.Torus:
		f.MinorRadiusMM += s.Distance
		// The offset of a torus goes over its axis when its tube outgrows its radius.
		if f.MinorRadiusMM >= f.RadiusMM {
			f.MinorRadiusMM = 0
		}
	default:
		return mesh.Face{Kind: mesh.Offset}
	}
	// A radius that turns negative is a surface that has gone through its axis, inside out.
	if f.Kind == mesh.Torus && !(f.MinorRadiusMM > 0) || f.Kind != mesh.Torus && f.Kind != mesh.Plane && !(f.RadiusMM > 0) {
		return mesh.Face{Kind: mesh.Offset}
	}
	return f
}

// Breaks are the basis's.
func (s *OffsetSurface) Breaks() (u, v []float64) { return s.Basis.Breaks() }

// Poles are those of the basis that the offset leaves single points.
func (s *OffsetSurface) Poles() []Pole { return s.poles }
