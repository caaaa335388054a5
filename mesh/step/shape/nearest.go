package shape

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/tol"
)

// derivable is what a descent along a curve needs.
type derivable interface {
	Derivatives(t float64) (p, d1, d2 r3.Vector)
}

// stepLimit bounds a descent. Newton doubles its digits each step: five steps do from a good
// start, and what has not settled in twenty is on a flat valley floor, where any point is as
// near as the next to the rounding of the distance.
const stepLimit = 20

// descend finds a local minimum of the distance between p and the curve from t, by Newton on
// the squared distance f = |C - p|^2 / 2:
//
//	df/dt = C'.(C-p)   and   d2f/dt2 = C'.C' + D2.(C-p)   with D2 the second derivative
//
// Where the second is not positive enough Gauss and Newton's C'.C' takes its place, which always
// points downhill; a step that does not lower f is halved. size is the scale of the shape.
func descend(c derivable, p r3.Vector, t float64, within r1.Interval, size float64) (at, distance float64) {
	t = min(max(t, within.Lo), within.Hi)
	q, d1, d2 := c.Derivatives(t)
	r := q.Sub(p)
	f := r.Norm2()
	settled := tol.NearestShare * size
	for range stepLimit {
		speed2 := d1.Norm2()
		slope := d1.Dot(r)
		curvature := speed2 + d2.Dot(r)
		if curvature < speed2/4 {
			curvature = speed2
		}
		if !(curvature > 0) {
			break
		}
		step := -slope / curvature
		next := t + step
		if next <= within.Lo || next >= within.Hi {
			next = min(max(next, within.Lo), within.Hi)
			step = next - t
		}
		if math.Abs(step)*math.Sqrt(speed2) <= settled {
			break
		}
		improved := false
		for range stepLimit {
			q, e1, e2 := c.Derivatives(next)
			s := q.Sub(p)
			if g := s.Norm2(); g < f {
				t, r, f, d1, d2, improved = next, s, g, e1, e2, true
				break
			}
			step /= 2
			next = t + step
		}
		if !improved {
			break
		}
	}
	return t, math.Sqrt(f)
}

// surfaceDescent is what a descent on a surface needs.
type surfaceDescent interface {
	First(u, v float64) (p, du, dv r3.Vector)
	Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector)
}

// descendOn finds a local minimum of the distance between p and the surface from uv.
//
// The first steps are Gauss-Newton, which needs first derivatives only and doubles its digits
// too where p lies on the surface, as an edge's point does. If that has not settled the full
// Hessian of the squared distance takes over wherever it is positive definite. A step that does
// not lower the distance is halved; a step over the border of the domain is held there, with
// the other parameter left free.
func descendOn(s surfaceDescent, p r3.Vector, uv r2.Point, within r2.Rect, size float64) (at r2.Point, distance float64) {
	u := min(max(uv.X, within.X.Lo), within.X.Hi)
	v := min(max(uv.Y, within.Y.Lo), within.Y.Hi)
	q, du, dv := s.First(u, v)
	r := q.Sub(p)
	f := r.Norm2()
	settled := tol.NearestShare * size
	const cheapSteps = 4
	for i := range stepLimit {
		gu, gv := du.Dot(r), dv.Dot(r)
		e, m, g := du.Norm2(), du.Dot(dv), dv.Norm2()
		a, b, c := e, m, g
		if i >= cheapSteps {
			_, _, _, duu, duv, dvv := s.Second(u, v)
			a, b, c = e+duu.Dot(r), m+duv.Dot(r), g+dvv.Dot(r)
			// A quarter of the Gauss-Newton determinant keeps the step in proportion to it.
			if a < e/4 || c < g/4 || a*c-b*b < (e*g-m*m)/4 {
				a, b, c = e, m, g
			}
		}
		// On the border a step outwards is no step: the gradient there is held.
		holdU := (u <= within.X.Lo && gu > 0) || (u >= within.X.Hi && gu < 0)
		holdV := (v <= within.Y.Lo && gv > 0) || (v >= within.Y.Hi && gv < 0)
		su, sv := solveStep(a, b, c, gu, gv, holdU, holdV)
		nu := min(max(u+su, within.X.Lo), within.X.Hi)
		nv := min(max(v+sv, within.Y.Lo), within.Y.Hi)
		su, sv = nu-u, nv-v
		if math.Abs(su)*math.Sqrt(e)+math.Abs(sv)*math.Sqrt(g) <= settled {
			break
		}
		improved := false
		for range stepLimit {
			q, eu, ev := s.First(nu, nv)
			t := q.Sub(p)
			if h := t.Norm2(); h < f {
				u, v, r, f, du, dv, improved = nu, nv, t, h, eu, ev, true
				break
			}
			su, sv = su/2, sv/2
			nu, nv = u+su, v+sv
		}
		if !improved {
			break
		}
	}
	return r2.Point{X: u, Y: v}, math.Sqrt(f)
}

// solveStep solves [a b; b c] (su, sv) = -(gu, gv). Where the matrix is all but singular, as at
// a pole, only the direction of the larger derivative moves.
func solveStep(a, b, c, gu, gv float64, holdU, holdV bool) (su, sv float64) {
	along := func(g, k float64) float64 {
		if k > 0 {
			return -g / k
		}
		return 0
	}
	switch {
	case holdU && holdV:
		return 0, 0
	case holdU:
		return 0, along(gv, c)
	case holdV:
		return along(gu, a), 0
	}
	det := a*c - b*b
	// sin^2 of the angle between the derivatives is det/(a c).
	if det <= tol.AxesSine*a*c {
		if a > c {
			return along(gu, a), 0
		}
		return 0, along(gv, c)
	}
	return (b*gv - c*gu) / det, (b*gu - a*gv) / det
}
