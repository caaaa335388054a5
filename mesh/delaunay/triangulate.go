package delaunay

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/geom"
)

// hull is how many points a Workspace puts around the input: the corners of a triangle that holds
// it. They are the first internal indices and never seen by the caller.
const hull = 3

// none stands for no triangle and no point.
const none = int32(-1)

// triangle is three vertices counter-clockwise; next[i] lies across the edge opposite to corner i.
type triangle struct {
	corner [3]int32
	next   [3]int32
	fixed  uint8 // bit i: the edge opposite to corner i is a constraint
	parity uint8 // bit i: an odd number of constraints lies on that edge
	inside bool
	queued bool
}

// Workspace holds one triangulation at a time and is reused for the next. It is for one goroutine.
type Workspace struct {
	points    []r2.Point // after the hull, in the caller's order
	triangles []triangle
	of        []int32 // a triangle at each point
	same      []int32 // for a point at the place of an earlier one: that point; else itself
	last      int32   // where the next walk begins
	turn      uint32  // varies the first edge that a walk tries

	stack   []edgeOf
	changed []int32
	crossed [][2]int32
	fresh   [][2]int32
	order   []int32
	keys    []uint64
}

// edgeOf is the edge of a triangle that is opposite to one of its corners.
type edgeOf struct {
	triangle int32
	corner   int32
}

// CrossingError is a constraint that cannot be an edge: it crosses another, or passes through a
// point. Segments are indices of the input's; Other is -1 where Point is what is in the way.
type CrossingError struct {
	Segment, Other int
	Point          int
}

func (e *CrossingError) Error() string {
	if e.Other >= 0 {
		return fmt.Sprintf("segments %d and %d cross", e.Segment, e.Other)
	}
	return fmt.Sprintf("segment %d passes through point %d", e.Segment, e.Point)
}

// Triangulate builds the constrained Delaunay triangulation of the points and segments (pairs of
// point indices). Points at the same place become one; see [Workspace.Same]. The workspace keeps
// no reference to its arguments. Cost grows as n log n.
func (w *Workspace) Triangulate(points []r2.Point, segments [][2]int32) error {
	w.reset(points)
	w.sortPoints()
	for _, p := range w.order {
		if err := w.insertPoint(p); err != nil {
			return err
		}
	}
	for s := range segments {
		a, b := w.same[segments[s][0]+hull], w.same[segments[s][1]+hull]
		if a == b {
			continue
		}
		if e := w.force(a, b); e != nil {
			e.Segment = s
			if e.Other >= 0 {
				e.Other = w.segmentOf(segments[:s], w.crossed[0])
			}
			return e
		}
	}
	w.flood()
	w.changed = w.changed[:0]
	return nil
}

// segmentOf finds the input segment that is an edge.
func (w *Workspace) segmentOf(segments [][2]int32, edge [2]int32) int {
	for k, s := range segments {
		a, b := w.same[s[0]+hull], w.same[s[1]+hull]
		if a == edge[0] && b == edge[1] || a == edge[1] && b == edge[0] {
			return k
		}
	}
	return -1
}

func (w *Workspace) reset(points []r2.Point) {
	n := len(points) + hull
	w.points = slices.Grow(w.points[:0], n)
	w.of = slices.Grow(w.of[:0], n)[:n]
	w.same = slices.Grow(w.same[:0], n)[:n]
	w.triangles = slices.Grow(w.triangles[:0], 2*n)
	w.changed, w.stack = w.changed[:0], w.stack[:0]
	w.last, w.turn = 0, 0
	b := r2.EmptyRect()
	for _, p := range points {
		b = b.AddPoint(p)
	}
	// The hull only has to hold the points strictly: its corners see no triangle of the inside,
	// every path to which crosses a constraint.
	c := b.Center()
	size := max(b.X.Length(), b.Y.Length(), math.Abs(c.X)*0x1p-20, math.Abs(c.Y)*0x1p-20)
	if !(size > 0) {
		size = 1
	}
	w.points = append(w.points,
		r2.Point{X: c.X - 8*size, Y: c.Y - 4*size},
		r2.Point{X: c.X + 8*size, Y: c.Y - 4*size},
		r2.Point{X: c.X, Y: c.Y + 8*size})
	w.points = append(w.points, points...)
	for i := range n {
		w.same[i], w.of[i] = int32(i), none
	}
	w.triangles = append(w.triangles, triangle{corner: [3]int32{0, 1, 2}, next: [3]int32{none, none, none}})
	w.of[0], w.of[1], w.of[2] = 0, 0, 0
}

// sortPoints chooses the order of insertion.
func (w *Workspace) sortPoints() {
	n := len(w.points) - hull
	w.order = slices.Grow(w.order[:0], n)[:n]
	for i := range n {
		w.order[i] = int32(i + hull)
	}
	const sortFrom = 24 // fewer points cost less than their order
	if n < sortFrom {
		return
	}
	// A fixed generator: the order must be the same on each run (xorshift, Marsaglia 2003).
	state := uint64(0x9E3779B97F4A7C15)
	for i := n - 1; i > 0; i-- {
		state ^= state << 13
		state ^= state >> 7
		state ^= state << 17
		j := int(state % uint64(i+1))
		w.order[i], w.order[j] = w.order[j], w.order[i]
	}
	b := r2.EmptyRect()
	for _, p := range w.points[hull:] {
		b = b.AddPoint(p)
	}
	w.keys = slices.Grow(w.keys[:0], len(w.points))[:len(w.points)]
	sx, sy := scaleTo16(b.X.Length()), scaleTo16(b.Y.Length())
	for i := hull; i < len(w.points); i++ {
		p := w.points[i]
		w.keys[i] = hilbert(uint32((p.X-b.X.Lo)*sx), uint32((p.Y-b.Y.Lo)*sy))<<32 | uint64(i)
	}
	for from := 0; from < n; {
		to := min(max(2*from, sortFrom), n)
		slices.SortFunc(w.order[from:to], func(p, q int32) int {
			if w.keys[p] < w.keys[q] {
				return -1
			}
			return 1
		})
		from = to
	}
}

func scaleTo16(length float64) float64 {
	if !(length > 0) {
		return 0
	}
	return 65535 / length
}

// hilbert is the place of a cell of a 65536 by 65536 grid along the Hilbert curve.
func hilbert(x, y uint32) uint64 {
	var d uint64
	for s := uint32(1 << 15); s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d += uint64(s) * uint64(s) * uint64((3*rx)^ry)
		if ry == 0 {
			if rx == 1 {
				x, y = ^x&0xFFFF, ^y&0xFFFF
			}
			x, y = y, x
		}
	}
	return d
}

// where a point lies in a triangle that holds it.
const (
	within = iota
	onEdge
	atCorner
)

// find walks from a triangle to the one that holds p. The walk crosses no constraint where
// confined; it then fails. k is the edge or the corner.
func (w *Workspace) find(p r2.Point, from int32, confined bool) (t int32, k int, how int, ok bool) {
	t = from
	// In a triangulation with constraints a walk may go round in circles; the first edge it tries
	// varies, which ends that sooner or later, and a bound on steps what is left.
	for range 4*len(w.triangles) + 16 {
		tr := &w.triangles[t]
		w.turn = w.turn*1664525 + 1013904223
		first := int(w.turn>>16) % 3
		zero, zeros, moved := 0, 0, false
		for e := range 3 {
			i := (first + e) % 3
			a, b := tr.corner[(i+1)%3], tr.corner[(i+2)%3]
			switch geom.Orient2D(w.points[a], w.points[b], p) {
			case -1:
				if tr.next[i] == none || confined && tr.fixed>>i&1 != 0 {
					return t, i, 0, false
				}
				t, moved = tr.next[i], true
			case 0:
				zero, zeros = i, zeros+1
			}
			if moved {
				break
			}
		}
		if moved {
			continue
		}
		switch zeros {
		case 0:
			return t, 0, within, true
		case 1:
			return t, zero, onEdge, true
		}
		for i, c := range tr.corner {
			if w.points[c] == p {
				return t, i, atCorner, true
			}
		}
		return t, 0, 0, false
	}
	return t, 0, 0, false
}

func (w *Workspace) insertPoint(p int32) error {
	t, k, how, ok := w.find(w.points[p], w.last, false)
	if !ok {
		return fmt.Errorf("point %d at %v cannot be placed", p-hull, w.points[p])
	}
	if how == atCorner {
		w.same[p] = w.triangles[t].corner[k]
		return nil
	}
	w.place(p, t, k, how)
	return nil
}

// place puts a point into the triangle that holds it and flips until D2 holds again.
func (w *Workspace) place(p, t int32, k, how int) {
	if how == onEdge {
		w.splitEdge(p, t, k)
	} else {
		w.splitTriangle(p, t)
	}
	w.mend(p)
	w.last = w.of[p]
}

func (w *Workspace) note(t int32) {
	if tr := &w.triangles[t]; !tr.queued {
		tr.queued = true
		w.changed = append(w.changed, t)
	}
}

// relink makes the neighbour across a former edge of old point to its new owner.
func (w *Workspace) relink(n, old, t int32) {
	if n == none {
		return
	}
	next := &w.triangles[n].next
	for i := range next {
		if next[i] == old {
			next[i] = t
			return
		}
	}
}

func bit(flags uint8, i int) uint8 { return flags >> i & 1 }

// splitTriangle joins p to the three corners of t.
func (w *Workspace) splitTriangle(p, t int32) {
	o := w.triangles[t]
	a, b, c := o.corner[0], o.corner[1], o.corner[2]
	u, v := int32(len(w.triangles)), int32(len(w.triangles)+1)
	// t keeps edge bc, u has ca, v has ab; p comes first in each.
	w.triangles[t] = triangle{corner: [3]int32{p, b, c}, next: [3]int32{o.next[0], u, v}, fixed: bit(o.fixed, 0), parity: bit(o.parity, 0), inside: o.inside, queued: o.queued}
	w.triangles = append(w.triangles,
		triangle{corner: [3]int32{p, c, a}, next: [3]int32{o.next[1], v, t}, fixed: bit(o.fixed, 1), parity: bit(o.parity, 1), inside: o.inside},
		triangle{corner: [3]int32{p, a, b}, next: [3]int32{o.next[2], t, u}, fixed: bit(o.fixed, 2), parity: bit(o.parity, 2), inside: o.inside})
	w.relink(o.next[1], t, u)
	w.relink(o.next[2], t, v)
	w.of[p], w.of[a], w.of[b], w.of[c] = t, u, t, t
	w.note(t)
	w.note(u)
	w.note(v)
	w.stack = append(w.stack, edgeOf{t, 0}, edgeOf{u, 0}, edgeOf{v, 0})
}

// splitEdge puts p on the edge of t opposite to corner k.
func (w *Workspace) splitEdge(p, t int32, k int) {
	o := w.triangles[t]
	s := o.next[k]
	i1, i2 := (k+1)%3, (k+2)%3
	a, b, c := o.corner[k], o.corner[i1], o.corner[i2]
	if s == none {
		w.splitTriangle(p, t) // cannot be: the hull is wider than all points
		return
	}
	q := w.triangles[s]
	j := 0
	for q.next[j] != t {
		j++
	}
	j1, j2 := (j+1)%3, (j+2)%3
	d := q.corner[j] // opposite; q runs d, c, b
	fixed, parity := bit(o.fixed, k), bit(o.parity, k)
	u, v := int32(len(w.triangles)), int32(len(w.triangles)+1)
	// t: p c a, u: p a b, s: p d c, v: p b d. Edges: pc and pb are halves of the divided edge.
	w.triangles[t] = triangle{corner: [3]int32{p, c, a}, next: [3]int32{o.next[i1], u, s},
		fixed: bit(o.fixed, i1) | fixed<<2, parity: bit(o.parity, i1) | parity<<2, inside: o.inside, queued: o.queued}
	w.triangles[s] = triangle{corner: [3]int32{p, d, c}, next: [3]int32{q.next[j2], t, v},
		fixed: bit(q.fixed, j2) | fixed<<1, parity: bit(q.parity, j2) | parity<<1, inside: q.inside, queued: q.queued}
	w.triangles = append(w.triangles,
		triangle{corner: [3]int32{p, a, b}, next: [3]int32{o.next[i2], v, t},
			fixed: bit(o.fixed, i2) | fixed<<1, parity: bit(o.parity, i2) | parity<<1, inside: o.inside},
		triangle{corner: [3]int32{p, b, d}, next: [3]int32{q.next[j1], s, u},
			fixed: bit(q.fixed, j1) | fixed<<2, parity: bit(q.parity, j1) | parity<<2, inside: q.inside})
	w.relink(o.next[i2], t, u)
	w.relink(q.next[j1], s, v)
	w.of[p], w.of[a], w.of[b], w.of[c], w.of[d] = t, t, u, t, s
	w.note(t)
	w.note(s)
	w.note(u)
	w.note(v)
	w.stack = append(w.stack, edgeOf{t, 0}, edgeOf{u, 0}, edgeOf{s, 0}, edgeOf{v, 0})
}

// mend flips edges opposite to p, the first corner of the triangles on the stack, until every
// circle is empty (Lawson).
func (w *Workspace) mend(p int32) {
	for len(w.stack) > 0 {
		e := w.stack[len(w.stack)-1]
		w.stack = w.stack[:len(w.stack)-1]
		tr := &w.triangles[e.triangle]
		n := tr.next[0]
		if tr.corner[0] != p || n == none || tr.fixed&1 != 0 {
			continue
		}
		j := w.cornerAcross(n, e.triangle)
		d := w.triangles[n].corner[j]
		if geom.InCircle(w.points[p], w.points[tr.corner[1]], w.points[tr.corner[2]], w.points[d]) <= 0 {
			continue
		}
		w.flip(e.triangle, 0)
		w.stack = append(w.stack, edgeOf{e.triangle, 0}, edgeOf{n, 0})
	}
}

// cornerAcross is the corner of n that is opposite to its edge with t.
func (w *Workspace) cornerAcross(n, t int32) int {
	next := &w.triangles[n].next
	switch t {
	case next[0]:
		return 0
	case next[1]:
		return 1
	}
	return 2
}

// flip turns the edge of t opposite to corner i. Both triangles have that corner first afterwards.
func (w *Workspace) flip(t int32, i int) {
	o := w.triangles[t]
	u := o.next[i]
	q := w.triangles[u]
	j := w.cornerAcross(u, t)
	i1, i2, j1, j2 := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
	p, a, b, d := o.corner[i], o.corner[i1], o.corner[i2], q.corner[j]
	// t: p a d, u: p d b.
	w.triangles[t] = triangle{corner: [3]int32{p, a, d}, next: [3]int32{q.next[j1], u, o.next[i2]},
		fixed: bit(q.fixed, j1) | bit(o.fixed, i2)<<2, parity: bit(q.parity, j1) | bit(o.parity, i2)<<2, inside: o.inside, queued: o.queued}
	w.triangles[u] = triangle{corner: [3]int32{p, d, b}, next: [3]int32{q.next[j2], o.next[i1], t},
		fixed: bit(q.fixed, j2) | bit(o.fixed, i1)<<1, parity: bit(q.parity, j2) | bit(o.parity, i1)<<1, inside: q.inside, queued: q.queued}
	w.relink(q.next[j1], u, t)
	w.relink(o.next[i1], t, u)
	w.of[p], w.of[a], w.of[d], w.of[b] = t, t, t, u
	w.note(t)
	w.note(u)
}

// edge finds the edge from a to b: the triangle to its left, and the corner opposite.
func (w *Workspace) edge(a, b int32) (edgeOf, bool) {
	start := w.of[a]
	t := start
	for t != none {
		tr := &w.triangles[t]
		k := indexOf(tr, a)
		if tr.corner[(k+1)%3] == b {
			return edgeOf{t, int32((k + 2) % 3)}, true
		}
		t = tr.next[(k+1)%3]
		if t == start {
			return edgeOf{}, false
		}
	}
	// a is of the hull, whose star is open: go round the other way.
	t = w.triangles[start].next[(indexOf(&w.triangles[start], a)+2)%3]
	for t != none {
		tr := &w.triangles[t]
		k := indexOf(tr, a)
		if tr.corner[(k+1)%3] == b {
			return edgeOf{t, int32((k + 2) % 3)}, true
		}
		t = tr.next[(k+2)%3]
	}
	return edgeOf{}, false
}

func indexOf(tr *triangle, a int32) int {
	switch a {
	case tr.corner[0]:
		return 0
	case tr.corner[1]:
		return 1
	}
	return 2
}

// force makes a-b an edge and marks it.
func (w *Workspace) force(a, b int32) *CrossingError {
	if e, ok := w.edge(a, b); ok {
		w.fix(e)
		return nil
	}
	if err := w.crossings(a, b); err != nil {
		return err
	}
	w.fresh = w.fresh[:0]
	// Flip what crosses, first in first out; an edge whose quadrangle is not convex has to wait for
	// its neighbours. Sloan shows that the turns end; the bound is against the unforeseen.
	for rounds, at := 0, 0; at < len(w.crossed); at++ {
		c := w.crossed[at]
		e, ok := w.edge(c[0], c[1])
		if !ok {
			continue
		}
		if rounds++; rounds > 64*len(w.crossed)+4096 {
			return &CrossingError{Other: -1, Point: int(a) - hull}
		}
		t := e.triangle
		n := w.triangles[t].next[e.corner]
		p := w.triangles[t].corner[e.corner]
		q := w.triangles[n].corner[w.cornerAcross(n, t)]
		if geom.Orient2D(w.points[p], w.points[c[0]], w.points[q]) <= 0 || geom.Orient2D(w.points[q], w.points[c[1]], w.points[p]) <= 0 {
			w.crossed = append(w.crossed, c)
			continue
		}
		w.flip(t, int(e.corner))
		if (p == a && q == b) || (p == b && q == a) {
			continue
		}
		sp, sq := 0, 0
		if p != a && p != b {
			sp = geom.Orient2D(w.points[a], w.points[b], w.points[p])
		}
		if q != a && q != b {
			sq = geom.Orient2D(w.points[a], w.points[b], w.points[q])
		}
		if sp*sq < 0 {
			w.crossed = append(w.crossed, [2]int32{p, q})
		} else {
			w.fresh = append(w.fresh, [2]int32{p, q})
		}
	}
	e, ok := w.edge(a, b)
	if !ok {
		return &CrossingError{Other: -1, Point: int(b) - hull}
	}
	w.fix(e)
	w.restore()
	return nil
}

// crossings lists the edges between a and b, or says what is in the way.
func (w *Workspace) crossings(a, b int32) *CrossingError {
	w.crossed = w.crossed[:0]
	pa, pb := w.points[a], w.points[b]
	// The triangle at a through which the segment leaves.
	start := w.of[a]
	t := start
	for {
		tr := &w.triangles[t]
		k := indexOf(tr, a)
		p, q := tr.corner[(k+1)%3], tr.corner[(k+2)%3]
		sp := geom.Orient2D(pa, pb, w.points[p])
		sq := geom.Orient2D(pa, pb, w.points[q])
		if sp == 0 && ahead(pa, pb, w.points[p]) {
			return &CrossingError{Other: -1, Point: int(p) - hull}
		}
		if sq == 0 && ahead(pa, pb, w.points[q]) {
			return &CrossingError{Other: -1, Point: int(q) - hull}
		}
		if sp < 0 && sq > 0 {
			if tr.fixed>>k&1 != 0 {
				w.crossed = append(w.crossed[:0], [2]int32{p, q})
				return &CrossingError{Other: 0, Point: -1}
			}
			w.crossed = append(w.crossed, [2]int32{p, q})
			t = tr.next[k]
			break
		}
		t = tr.next[(k+1)%3]
		if t == start || t == none {
			return &CrossingError{Other: -1, Point: int(a) - hull}
		}
	}
	for t >= 0 {
		// The last listed edge was crossed into t.
		in := w.crossed[len(w.crossed)-1]
		tr := &w.triangles[t]
		k := 0
		for tr.corner[k] == in[0] || tr.corner[k] == in[1] {
			k++
		}
		c := tr.corner[k]
		if c == b {
			return nil
		}
		side := geom.Orient2D(pa, pb, w.points[c])
		if side == 0 {
			return &CrossingError{Other: -1, Point: int(c) - hull}
		}
		// in[0] lies right of the segment and in[1] left.
		out := [2]int32{in[0], c}
		leave := indexOf(tr, in[1])
		if side < 0 {
			out = [2]int32{c, in[1]}
			leave = indexOf(tr, in[0])
		}
		if tr.fixed>>leave&1 != 0 {
			w.crossed = append(w.crossed[:0], out)
			return &CrossingError{Other: 0, Point: -1}
		}
		w.crossed = append(w.crossed, out)
		t = tr.next[leave]
	}
	return &CrossingError{Other: -1, Point: int(b) - hull}
}

// ahead says whether p, on the line from a to b, lies on b's side of a.
func ahead(a, b, p r2.Point) bool {
	if math.Abs(b.X-a.X) >= math.Abs(b.Y-a.Y) {
		return (b.X > a.X) == (p.X > a.X)
	}
	return (b.Y > a.Y) == (p.Y > a.Y)
}

// fix marks an edge as a constraint on both its sides.
func (w *Workspace) fix(e edgeOf) {
	tr := &w.triangles[e.triangle]
	tr.fixed |= 1 << e.corner
	tr.parity ^= 1 << e.corner
	if n := tr.next[e.corner]; n != none {
		j := w.cornerAcross(n, e.triangle)
		w.triangles[n].fixed |= 1 << j
		w.triangles[n].parity ^= 1 << j
	}
}

// restore flips the edges that forcing has left until D2 holds.
func (w *Workspace) restore() {
	for at := 0; at < len(w.fresh); at++ {
		c := w.fresh[at]
		e, ok := w.edge(c[0], c[1])
		if !ok {
			continue
		}
		tr := &w.triangles[e.triangle]
		n := tr.next[e.corner]
		if n == none || tr.fixed>>e.corner&1 != 0 {
			continue
		}
		p := tr.corner[e.corner]
		q := w.triangles[n].corner[w.cornerAcross(n, e.triangle)]
		if geom.InCircle(w.points[tr.corner[0]], w.points[tr.corner[1]], w.points[tr.corner[2]], w.points[q]) <= 0 {
			continue
		}
		w.flip(e.triangle, int(e.corner))
		w.fresh = append(w.fresh, [2]int32{p, c[0]}, [2]int32{c[0], q}, [2]int32{q, c[1]}, [2]int32{c[1], p})
	}
}

// flood tells inside from outside, from the hull inwards.
func (w *Workspace) flood() {
	for t := range w.triangles {
		w.triangles[t].queued = false
	}
	start := w.of[0]
	w.order = append(w.order[:0], start)
	w.triangles[start].queued = true
	w.triangles[start].inside = false
	for at := 0; at < len(w.order); at++ {
		tr := w.triangles[w.order[at]]
		for i, n := range tr.next {
			if n == none || w.triangles[n].queued {
				continue
			}
			w.triangles[n].queued = true
			w.triangles[n].inside = tr.inside != (tr.parity>>i&1 != 0)
			w.order = append(w.order, n)
		}
	}
	for t := range w.triangles {
		w.triangles[t].queued = false
	}
}
