package triangulate

import (
	"github.com/golang/geo/r2"

	"pocketgauge/mesh/geom"
)

func (w *Workspace) addSegment(k int, a, b int32, segments [][2]int32) error {
	for a != b {
		t, i, sooner := w.edge(a, b)
		if t != none {
			w.fix(t, i)
			return nil
		}
		if sooner == b {
			a, b = b, a
		}
		next, clear := w.advance(a, b)
		if !clear {
			if w.costly() {
				return &Costly{w.Limit}
			}
			return w.crossing(k, segments)
		}
		if next != b {
			w.touches = append(w.touches, Touch{Segment: k, Point: int(next - far)})
		}
		a = next
	}
	return nil
}

func (w *Workspace) costly() bool { return w.Limit > 0 && w.crossed > w.Limit }

func (w *Workspace) cornerOf(t, v int32) int {
	tr := &w.tris[t]
	if tr.v[0] == v {
		return 0
	}
	if tr.v[1] == v {
		return 1
	}
	return 2
}

// fix marks the edge i of t as lying on one more segment, from both sides.
func (w *Workspace) fix(t int32, i int) {
	x := &w.tris[t]
	u := x.n[i]
	j := w.indexOf(u, t)
	x.fixed |= 1 << i
	x.odd ^= 1 << i
	y := &w.tris[u]
	y.fixed |= 1 << j
	y.odd ^= 1 << j
}

// advance makes the edge from a towards b, which are not joined yet, up to the first corner on
// that way, and returns it; or returns false when a segment is across it.
func (w *Workspace) advance(a, b int32) (next int32, clear bool) {
	start := w.at[a]
	pa, pb := w.points[a], w.points[b]
	t, i := start, 0
	for right := 0; ; {
		tr := &w.tris[t]
		i = w.cornerOf(t, a)
		x, y := tr.v[after[i]], tr.v[before[i]]
		if t == start {
			right = geom.Orient2D(pa, pb, w.points[x])
		}
		left := geom.Orient2D(pa, pb, w.points[y])
		if right == 0 && ahead(pa, pb, w.points[x]) {
			w.fix(t, before[i])
			return x, true
		}
		if right < 0 && left > 0 {
			break
		}
		right = left
		t = tr.n[after[i]]
	}
	// Through the triangles that the segment crosses, to the first corner on it.
	end := b
	cross := w.cross[:0]
	r, l := w.tris[t].v[after[i]], w.tris[t].v[before[i]]
	for {
		if w.tris[t].fixed>>i&1 == 1 {
			w.cross = cross
			return none, false
		}
		cross = append(cross, [2]int32{r, l})
		if w.crossed++; w.costly() {
			w.cross = cross
			return none, false
		}
		u := w.tris[t].n[i]
		j := w.indexOf(u, t)
		o := w.tris[u].v[j]
		if o == b {
			break
		}
		s := geom.Orient2D(pa, pb, w.points[o])
		if s == 0 {
			end = o
			break
		}
		// u is o, l, r counter-clockwise: the edge o-r is opposite l and the other way round.
		t = u
		if s > 0 {
			i, l = after[j], o
		} else {
			i, r = before[j], o
		}
	}
	w.cross = cross
	if !w.open(a, end) {
		return none, false
	}
	e, k, _ := w.edge(a, end)
	w.fix(e, k)
	w.restore()
	return end, true
}

// ahead tells on which side of a the point x of the line a, b lies.
func ahead(a, b, x r2.Point) bool {
	if a.X != b.X {
		return (b.X > a.X) == (x.X > a.X)
	}
	return (b.Y > a.Y) == (x.Y > a.Y)
}

// open flips the edges in w.cross until none crosses a-b, and leaves the edges it made in
// w.fresh. A queue ends in practice; should flips go round, the order becomes random, and since
// the flips of a polygon's triangulations connect them all, that ends with probability 1.
// It returns false where the limit does not suffice.
func (w *Workspace) open(a, b int32) bool {
	pa, pb := w.points[a], w.points[b]
	w.fresh = w.fresh[:0]
	patience := 8*len(w.cross) + 64
	head := 0
	for head < len(w.cross) {
		if patience--; patience < 0 {
			w.random = w.random*1664525 + 1013904223
			k := head + int(uint64(w.random)*uint64(len(w.cross)-head)>>32)
			w.cross[head], w.cross[k] = w.cross[k], w.cross[head]
		}
		if w.crossed++; w.costly() {
			return false
		}
		c := w.cross[head]
		head++
		t, i, _ := w.edge(c[0], c[1])
		x := &w.tris[t]
		u := x.n[i]
		p, q := x.v[i], w.tris[u].v[w.indexOf(u, t)]
		pp, pq := w.points[p], w.points[q]
		// The quadrilateral p, a', q, b' turns at a' and b' only if it is strictly convex there.
		if geom.Orient2D(pp, w.points[x.v[after[i]]], pq) <= 0 || geom.Orient2D(pq, w.points[x.v[before[i]]], pp) <= 0 {
			w.cross = append(w.cross, c)
		} else {
			w.flip(t, i)
			if p != a && p != b && q != a && q != b && geom.Orient2D(pa, pb, pp)*geom.Orient2D(pa, pb, pq) < 0 {
				w.cross = append(w.cross, [2]int32{p, q})
			} else {
				w.fresh = append(w.fresh, [2]int32{p, q})
			}
		}
		if head >= 1024 && 2*head >= len(w.cross) {
			n := copy(w.cross, w.cross[head:])
			w.cross, head = w.cross[:n], 0
		}
	}
	return true
}

// restore flips the fresh edges, and those around them, until they are Delaunay.
func (w *Workspace) restore() {
	for len(w.fresh) > 0 {
		c := w.fresh[len(w.fresh)-1]
		w.fresh = w.fresh[:len(w.fresh)-1]
		t, i, _ := w.edge(c[0], c[1])
		if t == none {
			continue
		}
		x := &w.tris[t]
		u := x.n[i]
		if u == none || x.fixed>>i&1 == 1 {
			continue
		}
		p, a, b := x.v[i], x.v[after[i]], x.v[before[i]]
		q := w.tris[u].v[w.indexOf(u, t)]
		if geom.InCircle(w.points[p], w.points[a], w.points[b], w.points[q]) > 0 {
			w.flip(t, i)
			w.fresh = append(w.fresh, [2]int32{p, a}, [2]int32{a, q}, [2]int32{q, b}, [2]int32{b, p})
		}
	}
}

// edge finds a triangle with the edge x-y, and the corner opposite it; none if there is no such
// edge, and then the end that was sooner searched. It turns about both ends at once: the hub of a
// fan has as many triangles as there are points, but few edges have two hubs. The turn about a
// far corner would not close, so it is left out.
func (w *Workspace) edge(x, y int32) (t int32, opposite int, sooner int32) {
	if y < far {
		x, y = y, x
	}
	if y < far {
		return none, 0, none
	}
	startX, startY := w.at[x], w.at[y]
	tx, ty := startX, startY
	for {
		if x >= far {
			a := &w.tris[tx]
			i := w.cornerOf(tx, x)
			if a.v[after[i]] == y {
				return tx, before[i], none
			}
			if tx = a.n[after[i]]; tx == startX {
				return none, 0, x
			}
		}
		b := &w.tris[ty]
		j := w.cornerOf(ty, y)
		if b.v[after[j]] == x {
			return ty, before[j], none
		}
		if ty = b.n[after[j]]; ty == startY {
			return none, 0, y
		}
	}
}
