package thickness

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/index"
)

// pair is two points of the surface that bound a wall.
type pair struct {
	a, b   r3.Vector
	ta, tb int32
	length float64
}

const (
	// patchMost is how many triangles of a patch, the nearest ones, enter the exact comparison
	// of all pairs: 64 x 64 pairs take about a millisecond.
	patchMost = 64
	// descents bounds the steps of a refinement; each moves by up to a patch.
	descents = 256
	// sameSide is the cosine within which a triangle near a foot belongs to the same side of
	// the wall: 72 degrees, so that the end face of a rib belongs to neither.
	sameSide = 0.3
)

// refiner moves pairs to the nearest local minimum of the distance between the two sides.
type refiner struct {
	f      *Field
	accept func(a, b int32) bool
	pa, pb []int32
	hits   []index.Hit
}

// patch gathers the triangles within reach of p that face as normal does, nearest first kept.
func (r *refiner) patch(p, normal r3.Vector, reach float64, ids []int32) []int32 {
	t := r.f.tree
	for {
		ids = t.Within(p, reach, ids[:0])
		n := 0
		for _, id := range ids {
			if r.f.normal[id].Dot(normal) >= sameSide {
				ids[n] = id
				n++
			}
		}
		ids = ids[:n]
		if len(ids) <= patchMost || reach <= r.f.RoundingMM {
			return ids
		}
		reach /= 2
	}
}

// refine lowers the pair until no pair of triangles in the patches around both ends is nearer.
// The distance falls at every step, so it ends; at its end the line between the points is normal
// to both sides, or the points have met (a feather edge). Each step compares all pairs of
// triangles of the two patches exactly.
func (r *refiner) refine(p pair) pair {
	f := r.f
	for range descents {
		reach := f.PitchMM
		r.pa = r.patch(p.a, f.normal[p.ta], reach, r.pa)
		r.pb = r.patch(p.b, f.normal[p.tb], reach, r.pb)
		best := p
		for _, ta := range r.pa {
			for _, tb := range r.pb {
				if ta == tb || r.accept != nil && !r.accept(ta, tb) {
					continue
				}
				if q := r.nearest(ta, tb, best.length); q.length < best.length {
					best = q
				}
			}
		}
		// Less than the rounding of the coordinates is no progress.
		if p.length-best.length <= f.RoundingMM/16 {
			return best
		}
		p = best
		if p.length <= f.RoundingMM {
			return p
		}
	}
	return p
}

// nearest is the nearest pair of points of two triangles that do not cross: of the six corners
// against the other triangle and the nine pairs of edges, the least. Pairs that cannot be under
// the limit are given up at once.
func (r *refiner) nearest(ta, tb int32, limit float64) pair {
	t := r.f.tree
	m := t.Mesh()
	var p, q [3]r3.Vector
	p[0], p[1], p[2] = m.Corners(int(ta))
	q[0], q[1], q[2] = m.Corners(int(tb))
	best := pair{ta: ta, tb: tb, length: math.Inf(1)}
	if boxGap(&p, &q) >= limit {
		return best
	}
	for i := range 3 {
		if foot := t.FootOn(p[i], tb); foot.Distance < best.length {
			best.a, best.b, best.length = p[i], foot.Point, foot.Distance
		}
		if foot := t.FootOn(q[i], ta); foot.Distance < best.length {
			best.a, best.b, best.length = foot.Point, q[i], foot.Distance
		}
	}
	for i := range 3 {
		for j := range 3 {
			a, b := nearestOfSegments(p[i], p[(i+1)%3], q[j], q[(j+1)%3])
			if d := b.Sub(a).Norm(); d < best.length {
				best.a, best.b, best.length = a, b, d
			}
		}
	}
	return best
}

func boxGap(p, q *[3]r3.Vector) float64 {
	gap := func(a0, a1, a2, b0, b1, b2 float64) float64 {
		return max(0, min(a0, a1, a2)-max(b0, b1, b2), min(b0, b1, b2)-max(a0, a1, a2))
	}
	x := gap(p[0].X, p[1].X, p[2].X, q[0].X, q[1].X, q[2].X)
	y := gap(p[0].Y, p[1].Y, p[2].Y, q[0].Y, q[1].Y, q[2].Y)
	z := gap(p[0].Z, p[1].Z, p[2].Z, q[0].Z, q[1].Z, q[2].Z)
	return math.Sqrt(x*x + y*y + z*z)
}

// nearestOfSegments is the nearest pair of points of segments p0p1 and q0q1: the minimum of a
// quadratic over the unit square, found by clamping one parameter and solving for the other
// (Ericson, "Real-Time Collision Detection", 2005, section 5.1.9). Parallel segments have a row
// of minima; the end of one of them is among the corners that nearest looks at.
func nearestOfSegments(p0, p1, q0, q1 r3.Vector) (a, b r3.Vector) {
	d, e, w := p1.Sub(p0), q1.Sub(q0), p0.Sub(q0)
	dd, ee, de := d.Norm2(), e.Norm2(), d.Dot(e)
	dw, ew := d.Dot(w), e.Dot(w)
	s := 0.0
	if den := dd*ee - de*de; den > 0 {
		s = clampUnit((de*ew - dw*ee) / den)
	}
	u := 0.0
	if ee > 0 {
		u = (de*s + ew) / ee
	}
	if u < 0 || u > 1 {
		u = clampUnit(u)
		if dd > 0 {
			s = clampUnit((de*u - dw) / dd)
		}
	}
	return p0.Add(d.Mul(s)), q0.Add(e.Mul(u))
}

func clampUnit(x float64) float64 { return max(0, min(1, x)) }

// grazing is the sine under which a line runs along a facet and does not cross it: half a degree.
// The shortest line of a truncated wedge lies in its end face.
const grazing = 0.01

// clear reports whether only the measured side (metal, or room) lies between the two points.
func (r *refiner) clear(p pair) bool {
	f := r.f
	if p.length <= 4*f.RoundingMM {
		return true
	}
	d := p.b.Sub(p.a).Mul(1 / p.length)
	// Both ends lie on the surface to rounding, so the outermost of the line is left out.
	skip := min(p.length/4, 4*f.RoundingMM)
	r.hits = f.tree.All(index.Ray{Origin: p.a, Direction: d, TMin: skip, TMax: p.length - skip}, r.hits[:0])
	for _, h := range r.hits {
		if math.Abs(f.normal[h.Triangle].Dot(d)) > grazing {
			return false
		}
	}
	mid := p.a.Add(d.Mul(p.length / 2))
	if foot, ok := f.tree.Nearest(mid, 4*f.RoundingMM); ok && math.Abs(f.normal[foot.Triangle].Dot(d)) <= grazing {
		return true
	}
	return f.tree.Inside(mid) == (f.options.Side == Metal)
}
