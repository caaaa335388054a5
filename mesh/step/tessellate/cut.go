package tessellate

import (
	"errors"
	"math"
	"sort"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// Rings of a periodic face need not close in the parameter plane: the two circles of a band each
// run round the period once, one forth and one back. Such a face is cut open along a straight
// line of the parameter plane between the two, and both sides of the cut have the same points. A
// pole stands in for the second ring of a cap. A closed surface that no ring bounds from outside
// is cut open entirely.

var errNoCut = errors.New("no straight cut opens this periodic face")

// whole tells whether the surface is closed without any boundary: round in one direction and
// with a pole at both ends of the other, or round both ways.
func whole(s shape.Surface) bool {
	p, d := s.Period(), s.Domain()
	for k := range 2 {
		other := r1Of(d, 1-k)
		if *coordinate(&p, k) > 0 && (*coordinate(&p, 1-k) > 0 || poleNear(s, k, other.Lo) != nil && poleNear(s, k, other.Hi) != nil) {
			return true
		}
	}
	return false
}

func r1Of(d r2.Rect, k int) r1.Interval {
	if k == 0 {
		return d.X
	}
	return d.Y
}

func bounded(i r1.Interval) bool { return i.Lo-i.Lo == 0 && i.Hi-i.Hi == 0 }

// poleNear is the pole that collapses direction k at a value of the other.
func poleNear(s shape.Surface, k int, value float64) *shape.Pole {
	poles := s.Poles()
	for i := range poles {
		if poles[i].AtV == (k == 0) && math.Abs(poles[i].Value-value) <= tol.SameParameterShare*max(1, math.Abs(value)) {
			return &poles[i]
		}
	}
	return nil
}

// open makes of the images of a face's loops rings that close in the parameter plane. turned is
// set where they enclose their face clockwise, against the face's own sense.
func (w *worker) open(f *face, rings []ring) (_ []ring, turned bool, err error) {
	s := f.surface
	period := s.Period()
	if period == (r2.Point{}) || len(rings) == 0 && !whole(s) {
		if len(rings) == 0 {
			return w.openDomain(f)
		}
		return rings, sumArea(rings) < 0, nil
	}
	var round, closed []ring
	for _, r := range rings {
		if r.turns == [2]int{} {
			closed = append(closed, r)
		} else {
			round = append(round, r)
		}
	}
	if len(round) == 0 {
		area := sumArea(closed)
		if len(closed) == 0 || area < 0 && whole(s) {
			if period.X > 0 && period.Y > 0 {
				return w.openTorus(f, closed)
			}
			k := 0
			if !(period.X > 0) || poleNear(s, 0, s.Domain().Y.Lo) == nil {
				k = 1
			}
			d := r1Of(s.Domain(), 1-k)
			a, b := poleNear(s, k, d.Lo), poleNear(s, k, d.Hi)
			if k == 1 {
				a, b = b, a
			}
			if a == nil || b == nil {
				return nil, false, errNoCut
			}
			return w.join(f, k, end{pole: a}, end{pole: b}, closed)
		}
		if len(closed) > 1 {
			closed = w.gather(closed, period, nil)
		}
		return closed, area < 0, nil
	}
	k := 0
	if round[0].turns[0] == 0 {
		k = 1
	}
	for _, r := range round {
		if r.turns[1-k] != 0 || r.turns[k] != 1 && r.turns[k] != -1 {
			return nil, false, errNoCut
		}
	}
	var forth, back end
	for i := range round {
		e := &forth
		if round[i].turns[k] < 0 {
			e = &back
		}
		if e.ring != nil {
			return nil, false, errNoCut
		}
		e.ring = &round[i]
	}
	if forth.ring != nil && back.ring != nil {
		return w.join(f, k, forth, back, closed)
	}
	// A cap: the pole lies to the left of the ring.
	other := 1 - k
	r := &round[0]
	low, high := math.Inf(1), math.Inf(-1)
	for i := range r.nodes {
		x := *coordinate(&r.nodes[i].uv, other)
		low, high = min(low, x), max(high, x)
	}
	upwards := (forth.ring != nil) == (k == 0)
	var found *shape.Pole
	for i, p := range s.Poles() {
		if p.AtV != (k == 0) {
			continue
		}
		if upwards && p.Value >= high && (found == nil || p.Value < found.Value) ||
			!upwards && p.Value <= low && (found == nil || p.Value > found.Value) {
			found = &s.Poles()[i]
		}
	}
	if found == nil {
		// Sides are told apart by the face's sense; a cone has one tip only, on whichever side.
		if _, cone := s.(*shape.Cone); !cone {
			return nil, false, errNoCut
		}
		for i := range r.nodes[:len(r.nodes)/2] {
			j := len(r.nodes) - 1 - i
			r.nodes[i], r.nodes[j] = r.nodes[j], r.nodes[i]
		}
		return nil, false, errNoCut
	}
	if forth.ring != nil {
		back.pole = found
	} else {
		forth.pole = found
	}
	return w.join(f, k, forth, back, closed)
}

func sumArea(rings []ring) float64 {
	sum := 0.0
	for i := range rings {
		sum += rings[i].area()
	}
	return sum
}

// gather shifts closed rings by periods to lie within the outer ones, or else within the largest
// of themselves.
func (w *worker) gather(closed []ring, period r2.Point, outer []ring) []ring {
	if outer == nil {
		sort.SliceStable(closed, func(i, j int) bool { return math.Abs(closed[i].area()) > math.Abs(closed[j].area()) })
		outer, closed = closed[:1:1], closed[1:]
	}
	all := outer
	n := 0
	for i := range outer {
		n += len(outer[i].nodes)
	}
	for _, r := range closed {
		if !w.may(int64(withinLooks * n / scanPerUnit)) {
			break
		}
		r.within(outer, period)
		all = append(all, r)
	}
	return all
}

var fromHere = [...]float64{0, 1, -1, 2, -2}

// withinLooks is how often within goes round the outer rings.
const withinLooks = 5 * len(fromHere) * len(fromHere)

// within shifts the ring to where most of it lies within the outer ones.
func (r *ring) within(outer []ring, period r2.Point) {
	best, most := [2]float64{}, -1
	for _, i := range fromHere {
		for _, j := range fromHere {
			if i != 0 && period.X == 0 || j != 0 && period.Y == 0 {
				continue
			}
			n := 0
			step := max(1, len(r.nodes)/5)
			for k := 0; k < len(r.nodes); k += step {
				if holds(outer, shifted(r.nodes[k].uv, period, i, j)) {
					n++
				}
			}
			if n > most {
				best, most = [2]float64{i, j}, n
			}
		}
	}
	r.shift(period, best[0], best[1])
}

// end is one side of a band: a ring or a pole.
type end struct {
	ring *ring
	pole *shape.Pole
}

// candidates is how many places of a ring a cut is tried from.
const candidates = 48

// band is what lies between two ends along a direction in which the surface is round: forth runs
// along direction k by one period and has the band to its left, back runs the other way.
type band struct {
	f           *face
	k           int
	forth, back end
	period      r2.Point
	along       r2.Point // one period in direction k
}

// cut is a straight line from a on forth to b on back. from and to are the places of its ends on
// the rings, where these ends are rings.
type cut struct {
	from, to int
	a, b     r2.Point
	length   float64
}

// join cuts a band open where a straight line crosses no ring, the shortest first.
func (w *worker) join(f *face, k int, forth, back end, closed []ring) ([]ring, bool, error) {
	period := f.surface.Period()
	d := &band{f: f, k: k, forth: forth, back: back, period: period}
	*coordinate(&d.along, k) = *coordinate(&period, k)
	d.bringBackLeft()
	cuts, err := w.cuts(d)
	if err != nil {
		return nil, false, err
	}
	sort.SliceStable(cuts, func(i, j int) bool { return cuts[i].length < cuts[j].length })
	walls := append([]ring(nil), closed...)
	for _, e := range []end{forth, back} {
		if e.ring != nil {
			walls = append(walls, *e.ring)
		}
	}
	round := 0
	for i := range walls {
		round += len(walls[i].nodes)
	}
	for _, c := range cuts {
		if !w.may(int64(3 * round / scanPerUnit)) {
			return nil, false, errWork
		}
		if !crossed(c.a, c.b, walls, period, k) {
			return w.gather(closed, period, []ring{w.opened(d, c)}), false, nil
		}
	}
	return nil, false, errNoCut
}

// bringBackLeft moves back by whole periods of the other direction, where that is round as well,
// to lie to the left of forth within one.
func (d *band) bringBackLeft() {
	q := *coordinate(&d.period, 1-d.k)
	if d.forth.ring == nil || d.back.ring == nil || !(q > 0) {
		return
	}
	sign := 1.0
	if d.k == 1 {
		sign = -1
	}
	gap := sign * (mean(d.back.ring, 1-d.k) - mean(d.forth.ring, 1-d.k))
	turns := -math.Floor(gap / q)
	if gap+turns*q <= tol.PoleTurnShare*q {
		turns++
	}
	for i := range d.back.ring.nodes {
		*coordinate(&d.back.ring.nodes[i].uv, 1-d.k) += sign * turns * q
	}
}

// cuts are lines that might open a band: from places of one ring each to the nearest of the
// other, straight to a pole, or from pole to pole.
func (w *worker) cuts(d *band) (list []cut, err error) {
	k := d.k
	p := *coordinate(&d.period, k)
	su, sv := w.roughScale(d.f.surface, d.f)
	length := func(a, b r2.Point) float64 { return math.Hypot((b.X-a.X)*su, (b.Y-a.Y)*sv) }
	forth, back := d.forth.ring, d.back.ring
	switch {
	case forth != nil && back != nil:
		if !w.may(int64(candidates * len(back.nodes) / scanPerUnit)) {
			return nil, errWork
		}
		for i := 0; i < len(forth.nodes); i += max(1, len(forth.nodes)/candidates) {
			best := cut{length: math.Inf(1)}
			a := forth.nodes[i].uv
			for j := range back.nodes {
				b := back.nodes[j].uv
				x := coordinate(&b, k)
				*x += p * math.Round((*coordinate(&a, k)-*x)/p)
				if l := length(a, b); l < best.length {
					best = cut{i, j, a, b, l}
				}
			}
			list = append(list, best)
		}
	case forth != nil:
		for i := 0; i < len(forth.nodes); i += max(1, len(forth.nodes)/candidates) {
			a := forth.nodes[i].uv
			b := a
			*coordinate(&b, 1-k) = d.back.pole.Value
			list = append(list, cut{i, 0, a, b, length(a, b)})
		}
	case back != nil:
		for i := 0; i < len(back.nodes); i += max(1, len(back.nodes)/candidates) {
			b := back.nodes[i].uv
			a := b
			*coordinate(&a, 1-k) = d.forth.pole.Value
			list = append(list, cut{0, i, a, b, length(a, b)})
		}
	default:
		lo := r1Of(d.f.surface.Domain(), k).Lo
		for i := range candidates {
			var a, b r2.Point
			*coordinate(&a, k) = lo + p*float64(i)/candidates
			*coordinate(&b, k) = *coordinate(&a, k)
			*coordinate(&a, 1-k), *coordinate(&b, 1-k) = d.forth.pole.Value, d.back.pole.Value
			list = append(list, cut{0, 0, a, b, 0})
		}
	}
	return list, nil
}

// opened is the ring round a band that is cut open: along forth, across, along back, and across
// again by the same points.
func (w *worker) opened(d *band, c cut) (outer ring) {
	add := func(n node) { outer.nodes = append(outer.nodes, n) }
	if r := d.forth.ring; r != nil {
		n := len(r.nodes)
		for i := range n {
			q := r.nodes[(c.from+i)%n]
			if c.from+i >= n {
				q.uv = q.uv.Add(d.along)
			}
			add(q)
		}
		add(node{uv: c.a.Add(d.along), id: r.nodes[c.from].id, edge: -1})
	} else {
		id := w.poleID(d.f, d.forth.pole)
		add(node{uv: c.a, id: id, edge: -1})
		add(node{uv: c.a.Add(d.along), id: id, edge: -1})
	}
	s := d.f.surface
	parts := w.cutParts(s, c.a, c.b)
	across := func(i int) r2.Point { return c.a.Add(c.b.Sub(c.a).Mul(float64(i) / float64(parts))) }
	first := len(w.inner)
	for i := 1; i < parts; i++ {
		uv := across(i)
		w.inner = append(w.inner, s.Point(uv.X, uv.Y))
		add(node{uv: uv.Add(d.along), id: ^int32(first + i - 1), edge: -1})
	}
	if r := d.back.ring; r != nil {
		n := len(r.nodes)
		move := c.b.Add(d.along).Sub(r.nodes[c.to].uv)
		for i := range n {
			q := r.nodes[(c.to+i)%n]
			q.uv = q.uv.Add(move)
			if c.to+i >= n {
				q.uv = q.uv.Sub(d.along)
			}
			add(q)
		}
		add(node{uv: c.b, id: r.nodes[c.to].id, edge: -1})
	} else {
		id := w.poleID(d.f, d.back.pole)
		add(node{uv: c.b.Add(d.along), id: id, edge: -1})
		add(node{uv: c.b, id: id, edge: -1})
	}
	for i := parts - 1; i > 0; i-- {
		add(node{uv: across(i), id: ^int32(first + i - 1), edge: -1})
	}
	return outer
}

func mean(r *ring, k int) float64 {
	sum := 0.0
	for i := range r.nodes {
		sum += *coordinate(&r.nodes[i].uv, k)
	}
	return sum / float64(len(r.nodes))
}

// poleID is the point of a pole: the vertex of a vertex loop there, or one of the face's own.
func (w *worker) poleID(f *face, pole *shape.Pole) int32 {
	for l := range f.Loops {
		if v := f.Loops[l].Vertex; v != nil && w.body.isPole(v.Point, pole.Point) {
			break
		}
	}
	w.inner = append(w.inner, pole.Point)
	return ^int32(len(w.inner) - 1)
}

// crossed tells whether a cut or its images a period on meet a ring other than at its ends.
func crossed(a, b r2.Point, walls []ring, period r2.Point, k int) bool {
	p := *coordinate(&period, k)
	for r := range walls {
		nodes := walls[r].nodes
		for i := range nodes {
			c := nodes[i].uv
			d := nodes[(i+1)%len(nodes)].uv
			if i == len(nodes)-1 {
				d = shifted(d, period, float64(walls[r].turns[0]), float64(walls[r].turns[1]))
			}
			// Bring the segment to the period of the cut, and try both neighbours.
			lo := min(*coordinate(&c, k), *coordinate(&d, k))
			base := math.Round((*coordinate(&a, k) - lo) / p)
			for m := base - 1; m <= base+1; m++ {
				e, g := c, d
				*coordinate(&e, k) += m * p
				*coordinate(&g, k) += m * p
				if meet(a, b, e, g) {
					return true
				}
			}
		}
	}
	return false
}

// meet tells whether two segments cross or touch, but for a common end.
func meet(a, b, c, d r2.Point) bool {
	near := func(p, q r2.Point) bool {
		return math.Abs(p.X-q.X)+math.Abs(p.Y-q.Y) <= tol.SameParameterShare*(math.Abs(b.X-a.X)+math.Abs(b.Y-a.Y))
	}
	if near(a, c) || near(a, d) || near(b, c) || near(b, d) {
		return false
	}
	side := func(p, q, r r2.Point) float64 { return q.Sub(p).Cross(r.Sub(p)) }
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// cutParts is how many parts a straight line of the parameter plane wants.
func (w *worker) cutParts(s shape.Surface, a, b r2.Point) int {
	w.charge(2 * divisionSamples * w.cost.Evaluate)
	d := b.Sub(a)
	parts := 1.0
	for i := range divisionSamples + 1 {
		q := a.Add(d.Mul(float64(i) / divisionSamples))
		_, du, dv, duu, duv, dvv := s.Second(q.X, q.Y)
		first := du.Mul(d.X).Add(dv.Mul(d.Y)).Norm()
		second := duu.Mul(d.X * d.X).Add(duv.Mul(2 * d.X * d.Y)).Add(dvv.Mul(d.Y * d.Y))
		if first > 0 {
			// The part along the line is no bend.
			v := du.Mul(d.X).Add(dv.Mul(d.Y)).Mul(1 / first)
			bend := second.Sub(v.Mul(second.Dot(v))).Norm()
			parts = max(parts, math.Sqrt(bend/(8*w.chord())), bend/first/w.body.angle)
		}
	}
	return int(min(math.Ceil(parts), mostParts))
}

// roughScale gives the lengths that one unit of each parameter is worth in the middle of a face.
func (w *worker) roughScale(s shape.Surface, f *face) (su, sv float64) {
	d := s.Domain()
	middle := func(i r1.Interval) float64 {
		if bounded(i) {
			return i.Center()
		}
		return 0
	}
	_, du, dv := s.First(middle(d.X), middle(d.Y))
	su, sv = du.Norm(), dv.Norm()
	if !(su > 0) {
		su = 1
	}
	if !(sv > 0) {
		sv = 1
	}
	return su, sv
}

// openTorus cuts a surface that is round both ways along both.
func (w *worker) openTorus(f *face, closed []ring) ([]ring, bool, error) {
	s := f.surface
	period, d := s.Period(), s.Domain()
	round := 0
	for i := range closed {
		round += len(closed[i].nodes)
	}
	for i := range candidates {
		u := d.X.Lo + period.X*float64(i)/candidates
		v := d.Y.Lo + period.Y*float64((i*7)%candidates)/candidates
		o := r2.Point{X: u, Y: v}
		right, up := r2.Point{X: u + period.X, Y: v}, r2.Point{X: u, Y: v + period.Y}
		if !w.may(int64(6 * round / scanPerUnit)) {
			return nil, false, errWork
		}
		if crossed(o, up, closed, period, 0) || crossed(o, right, closed, period, 1) {
			continue
		}
		corner := ^int32(len(w.inner))
		w.inner = append(w.inner, s.Point(u, v))
		side := func(to r2.Point) (uv []r2.Point, ids []int32) {
			parts := max(3, w.cutParts(s, o, to))
			for i := 1; i < parts; i++ {
				q := o.Add(to.Sub(o).Mul(float64(i) / float64(parts)))
				uv = append(uv, q)
				ids = append(ids, ^int32(len(w.inner)))
				w.inner = append(w.inner, s.Point(q.X, q.Y))
			}
			return uv, ids
		}
		bottom, bottomIDs := side(right)
		left, leftIDs := side(up)
		acrossU, acrossV := right.Sub(o), up.Sub(o)
		var outer ring
		add := func(uv r2.Point, id int32) { outer.nodes = append(outer.nodes, node{uv: uv, id: id, edge: -1}) }
		add(o, corner)
		for i := range bottom {
			add(bottom[i], bottomIDs[i])
		}
		add(right, corner)
		for i := range left {
			add(left[i].Add(acrossU), leftIDs[i])
		}
		add(right.Add(acrossV), corner)
		for i := len(bottom) - 1; i >= 0; i-- {
			add(bottom[i].Add(acrossV), bottomIDs[i])
		}
		add(up, corner)
		for i := len(left) - 1; i >= 0; i-- {
			add(left[i], leftIDs[i])
		}
		return w.gather(closed, period, []ring{outer}), false, nil
	}
	return nil, false, errNoCut
}

var errNoBound = errors.New("a face without bounds on a surface that is not closed")

// openDomain bounds a face without bounds by its surface's own.
func (w *worker) openDomain(f *face) ([]ring, bool, error) { return nil, false, errNoBound }
