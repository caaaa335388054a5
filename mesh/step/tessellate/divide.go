package tessellate

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// An edge is divided once, whoever uses it. Within a piece between breaks the number of parts
// comes from the integral of 1/h, h the step along the arc that curvature allows:
//
//	h = min(sqrt(8 c / k), angle / k)
//
// since a chord of length h stands off an arc of curvature k by k h^2 / 8. Points are set at
// even values of that integral, which keeps them few and the division of an edge the mirror
// image of the division of the edge run backwards. A check halves what sampling missed.

// divisionSamples is how many places of a piece the curvature is looked at.
const divisionSamples = 8

// mostParts bounds the division of one edge: a hostile curve costs bounded time.
const mostParts = 1 << 14

// halvings bounds the check's recursion.
const halvings = 10

// divide appends to ts the parameters strictly between the edge's ends, in its direction, about
// most of them at most; short tells that there should be more.
func divide(e *brep.Edge, closed bool, forced []float64, chord, angle float64, most int, ts []float64) (_ []float64, short bool) {
	if e.T0 == e.T1 {
		return ts, false
	}
	if _, straight := e.Curve.(*shape.Line); straight {
		return append(ts, forced...), false
	}
	d := divider{curve: e.Curve, chord: chord, angle: angle, ts: ts, most: len(ts) + most}
	lo, hi := min(e.T0, e.T1), max(e.T0, e.T1)
	var stops []float64
	breaks := e.Curve.Breaks(r1.Interval{Lo: lo, Hi: hi})
	if e.T1 < e.T0 {
		for i, j := 0, len(breaks)-1; i < j; i, j = i+1, j-1 {
			breaks[i], breaks[j] = breaks[j], breaks[i]
		}
	}
	stops = mergeAlong(breaks, forced, e.T0, e.T1)
	if len(stops) > most {
		// Every so many of them, those at poles or not.
		step := (len(stops) + most - 1) / most
		n := 0
		for i := 0; i < len(stops); i += step {
			stops[n] = stops[i]
			n++
		}
		stops, d.short = stops[:n], true
	}
	least := 1
	if closed {
		// A closed edge must not fold onto a chord.
		least = (3 + len(stops)) / (1 + len(stops))
	}
	from := e.T0
	for i := 0; i <= len(stops); i++ {
		to := e.T1
		if i < len(stops) {
			to = stops[i]
		}
		d.piece(from, to, least)
		if i < len(stops) {
			d.ts = append(d.ts, to)
		}
		from = to
	}
	return d.ts, d.short
}

// mergeAlong merges two lists ordered from t0 to t1, dropping what is too near to another.
func mergeAlong(a, b []float64, t0, t1 float64) []float64 {
	if len(a)+len(b) == 0 {
		return nil
	}
	sign := 1.0
	if t1 < t0 {
		sign = -1
	}
	close := tol.NearestShare * math.Abs(t1-t0)
	var list []float64
	for len(a)+len(b) > 0 {
		var t float64
		if len(b) == 0 || len(a) > 0 && (a[0]-b[0])*sign < 0 {
			t, a = a[0], a[1:]
		} else {
			t, b = b[0], b[1:]
		}
		last := t0
		if len(list) > 0 {
			last = list[len(list)-1]
		}
		if (t-last)*sign > close && (t1-t)*sign > close {
			list = append(list, t)
		}
	}
	return list
}

type divider struct {
	curve        shape.Curve
	chord, angle float64
	ts           []float64
	most         int
	short        bool
}

// density is how many parts a unit of the parameter wants at t.
func (d *divider) density(t float64) (density float64, p r3.Vector) {
	p, d1, d2 := d.curve.Derivatives(t)
	speed := d1.Norm()
	if !(speed > 0) {
		return 0, p
	}
	k := d1.Cross(d2).Norm() / (speed * speed * speed)
	// A bend smaller than the chord is not followed round: writers' splines have hooks there.
	return speed * min(max(math.Sqrt(k/(8*d.chord)), k/d.angle), 1/d.chord), p
}

// piece divides what lies strictly between two parameters with no break between them.
func (d *divider) piece(from, to float64, least int) {
	if c, ok := d.curve.(*shape.Circle); ok {
		n := max(least, circleParts(math.Abs(to-from), c.Radius, d.chord, d.angle))
		n = d.within(n)
		for i := 1; i < n; i++ {
			d.ts = append(d.ts, from+(to-from)*float64(i)/float64(n))
		}
		return
	}
	var sum [divisionSamples + 1]float64
	step := (to - from) / divisionSamples
	before, start := d.density(from)
	var end r3.Vector
	for i := 1; i <= divisionSamples; i++ {
		t := from + step*float64(i)
		if i == divisionSamples {
			t = to
		}
		var here float64
		here, end = d.density(t)
		sum[i] = sum[i-1] + (before+here)/2*math.Abs(step)
		before = here
	}
	total := sum[divisionSamples]
	n := least
	if total > float64(least) {
		n = int(min(math.Ceil(total), mostParts))
	}
	n = d.within(n)
	a, pa := from, start
	k := 0
	for i := 1; i <= n; i++ {
		b, pb := to, end
		if i < n {
			if total > 0 {
				want := total * float64(i) / float64(n)
				for k+1 < divisionSamples && sum[k+1] < want {
					k++
				}
				f := 0.5
				if w := sum[k+1] - sum[k]; w > 0 {
					f = (want - sum[k]) / w
				}
				b = from + step*(float64(k)+f)
			} else {
				b = from + (to-from)*float64(i)/float64(n)
			}
			pb = d.curve.Point(b)
		}
		d.halve(a, b, pa, pb, 0)
		if i < n {
			d.ts = append(d.ts, b)
		}
		a, pa = b, pb
	}
}

// within holds n parts to those that there may still be.
func (d *divider) within(n int) int {
	if room := max(d.most-len(d.ts), 1); n > room {
		d.short = true
		return room
	}
	return n
}

// halve adds middles where the curve is farther from the chord than it may be.
func (d *divider) halve(a, b float64, pa, pb r3.Vector, depth int) {
	if depth >= halvings {
		return
	}
	m := (a + b) / 2
	pm := d.curve.Point(m)
	off := max(fromSegment(pm, pa, pb),
		fromSegment(d.curve.Point((a+m)/2), pa, pb), fromSegment(d.curve.Point((m+b)/2), pa, pb))
	if !(off > d.chord) {
		return
	}
	if len(d.ts) >= d.most {
		d.short = true
		return
	}
	d.halve(a, m, pa, pm, depth+1)
	d.ts = append(d.ts, m)
	d.halve(m, b, pm, pb, depth+1)
}

// circleParts is the least number of equal chords of an arc: a chord over the angle a stands off
// by r (1 - cos(a/2)).
func circleParts(sweep, radius, chord, angle float64) int {
	step := angle
	if chord < radius {
		step = min(step, 2*math.Acos(1-chord/radius))
	}
	if !(step > 0) {
		return mostParts
	}
	// A hair less, so that rounding does not add a part to a whole number of them.
	return int(min(max(1, math.Ceil(sweep/step-tol.StraightShare)), mostParts))
}

func fromSegment(p, a, b r3.Vector) float64 {
	ab := b.Sub(a)
	f := 0.0
	if n := ab.Norm2(); n > 0 {
		f = min(max(p.Sub(a).Dot(ab)/n, 0), 1)
	}
	return p.Sub(a.Add(ab.Mul(f))).Norm()
}
