package geom

import "github.com/golang/geo/r3"

// NearestOfSegments is the nearest pair of points of segments p0p1 and q0q1: the minimum of a
// quadratic over the unit square, found by clamping one parameter and solving for the other
// (Ericson, "Real-Time Collision Detection", 2005, section 5.1.9). Either may be a point. Parallel
// segments have a row of minima; one of them is given.
func NearestOfSegments(p0, p1, q0, q1 r3.Vector) (a, b r3.Vector) {
	d, e, w := p1.Sub(p0), q1.Sub(q0), p0.Sub(q0)
	dd, ee, de := d.Norm2(), e.Norm2(), d.Dot(e)
	dw, ew := d.Dot(w), e.Dot(w)
	s, u := 0.0, 0.0
	if den := dd*ee - de*de; den > 0 {
		s = clampUnit((de*ew - dw*ee) / den)
	}
	if ee > 0 {
		u = (de*s + ew) / ee
	}
	if u < 0 || u > 1 || ee == 0 {
		u = clampUnit(u)
		if dd > 0 {
			s = clampUnit((de*u - dw) / dd)
		}
	}
	return p0.Add(d.Mul(s)), q0.Add(e.Mul(u))
}

// SegmentDistance is the least distance of segments p0p1 and q0q1.
func SegmentDistance(p0, p1, q0, q1 r3.Vector) float64 {
	a, b := NearestOfSegments(p0, p1, q0, q1)
	return a.Sub(b).Norm()
}

func clampUnit(x float64) float64 { return min(max(x, 0), 1) }
