package triangulate

import (
	"math"
	"math/bits"
	"slices"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/geom"
)

// orderFrom is the number of points from which sorting them pays: below it the order of a
// boundary is local enough.
const orderFrom = 64

func (w *Workspace) addPoints(n int) error {
	if n < orderFrom {
		for i := range n {
			if err := w.addPoint(int32(i) + far); err != nil {
				return err
			}
		}
		return nil
	}
	for _, o := range w.rounds(n) {
		if err := w.addPoint(int32(uint32(o)) + far); err != nil {
			return err
		}
	}
	return nil
}

func (w *Workspace) addPoint(i int32) error {
	t, e, at := w.locate(w.points[i], w.last)
	if at != none {
		a, b := int(at-far), int(i-far)
		return &Repeated{min(a, b), max(a, b)}
	}
	if e < 0 {
		w.splitTriangle(t, i)
	} else {
		w.splitEdge(t, e, i)
	}
	w.legalise()
	w.last = w.at[i]
	return nil
}

// rounds orders the points: a point joins in the last round with probability 1/2, in the one
// before with 1/4 and so on, by a fixed hash, and each round follows a Hilbert curve.
func (w *Workspace) rounds(n int) []uint64 {
	lo, hi := w.points[far], w.points[far]
	for _, p := range w.points[far : far+n] {
		lo.X, lo.Y = min(lo.X, p.X), min(lo.Y, p.Y)
		hi.X, hi.Y = max(hi.X, p.X), max(hi.Y, p.Y)
	}
	const side = 1 << hilbertBits
	size := max(hi.X-lo.X, hi.Y-lo.Y)
	scale := (side - 1) / size
	if !(scale <= math.MaxFloat64) {
		scale = 0
	}
	last := bits.Len(uint(n / orderFrom))
	order := w.order[:0]
	for i, p := range w.points[far : far+n] {
		h := uint32(i)*0x9e3779b1 ^ 0x5bd1e995
		h ^= h >> 15
		h *= 0x85ebca6b
		h ^= h >> 13
		round := last - min(bits.TrailingZeros32(h), last)
		d := hilbert(uint32((p.X-lo.X)*scale), uint32((p.Y-lo.Y)*scale))
		order = append(order, (uint64(round)<<(2*hilbertBits)|uint64(d))<<32|uint64(uint32(i)))
	}
	slices.Sort(order)
	w.order = order
	return order
}

const hilbertBits = 12

// hilbert is the place of a cell along the curve: quadrant by quadrant, turning as it goes.
func hilbert(x, y uint32) uint32 {
	d := uint32(0)
	for s := uint32(1) << (hilbertBits - 1); s > 0; s >>= 1 {
		rx, ry := uint32(0), uint32(0)
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d = d<<2 | (3*rx ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = ^x, ^y
			}
			x, y = y, x
		}
	}
	return d
}

var after = [3]int{1, 2, 0}
var before = [3]int{2, 0, 1}

// locate walks from t to the triangle that holds p. e is the edge p lies on, or -1; at is the
// corner p lies on, or none. t is none when p is beyond the far corners. The edge a step tries
// first is drawn at random: a fixed choice may go round for ever where segments keep the
// triangulation from being Delaunay (O. Devillers, S. Pion, M. Teillaud, Walking in a
// Triangulation, 2002). The draw is the same on every run.
func (w *Workspace) locate(p r2.Point, t int32) (in int32, e int, at int32) {
	from := none
walk:
	for {
		tr := &w.tris[t]
		w.random = w.random*1664525 + 1013904223
		i := int(w.random >> 16 % 3)
		zero, zeros := -1, 0
		for range 3 {
			if n := tr.n[i]; n == none || n != from {
				s := geom.Orient2D(w.points[tr.v[after[i]]], w.points[tr.v[before[i]]], p)
				if s < 0 {
					if n == none {
						return none, -1, none
					}
					from, t = t, n
					continue walk
				}
				if s == 0 {
					zero = i
					zeros++
				}
			}
			i = after[i]
		}
		if zeros > 0 {
			for _, v := range tr.v {
				if w.points[v] == p {
					return t, -1, v
				}
			}
		}
		return t, zero, none
	}
}

func (w *Workspace) indexOf(t, n int32) int {
	tr := &w.tris[t]
	if tr.n[0] == n {
		return 0
	}
	if tr.n[1] == n {
		return 1
	}
	return 2
}

// relink tells n, which had old behind one of its edges, that now is there.
func (w *Workspace) relink(n, old, now int32) {
	if n == none {
		return
	}
	w.tris[n].n[w.indexOf(n, old)] = now
}

// splitTriangle puts p inside t, and the three new triangles on the stack with p their corner 0.
func (w *Workspace) splitTriangle(t, p int32) {
	old := w.tris[t]
	a, b, c := old.v[0], old.v[1], old.v[2]
	t1, t2 := int32(len(w.tris)), int32(len(w.tris))+1
	w.tris = append(w.tris,
		triangle{v: [3]int32{p, b, c}, n: [3]int32{old.n[0], t2, t}, fixed: old.fixed & 1, odd: old.odd & 1, inside: old.inside},
		triangle{v: [3]int32{p, c, a}, n: [3]int32{old.n[1], t, t1}, fixed: old.fixed >> 1 & 1, odd: old.odd >> 1 & 1, inside: old.inside})
	w.tris[t] = triangle{v: [3]int32{p, a, b}, n: [3]int32{old.n[2], t1, t2}, fixed: old.fixed >> 2 & 1, odd: old.odd >> 2 & 1, inside: old.inside, queued: old.queued}
	w.relink(old.n[0], t, t1)
	w.relink(old.n[1], t, t2)
	w.at[p], w.at[a], w.at[b], w.at[c] = t, t, t, t1
	w.stack = append(w.stack[:0], t, t1, t2)
}

// splitEdge puts p on the edge i of t, which lies on no segment, and the four new triangles on
// the stack with p their corner 0.
func (w *Workspace) splitEdge(t int32, i int, p int32) {
	x := w.tris[t]
	u := x.n[i]
	j := w.indexOf(u, t)
	y := w.tris[u]
	c, a, b, d := x.v[i], x.v[after[i]], x.v[before[i]], y.v[j]
	t1, u1 := int32(len(w.tris)), int32(len(w.tris))+1
	bit := func(m uint8, k int) uint8 { return m >> k & 1 }
	ai, bi, aj, bj := after[i], before[i], before[j], after[j]
	w.tris[t] = triangle{v: [3]int32{p, c, a}, n: [3]int32{x.n[bi], u1, t1}, fixed: bit(x.fixed, bi), odd: bit(x.odd, bi), inside: x.inside, queued: x.queued}
	w.tris[u] = triangle{v: [3]int32{p, d, b}, n: [3]int32{y.n[aj], t1, u1}, fixed: bit(y.fixed, aj), odd: bit(y.odd, aj), inside: y.inside, queued: y.queued}
	w.tris = append(w.tris,
		triangle{v: [3]int32{p, b, c}, n: [3]int32{x.n[ai], t, u}, fixed: bit(x.fixed, ai), odd: bit(x.odd, ai), inside: x.inside},
		triangle{v: [3]int32{p, a, d}, n: [3]int32{y.n[bj], u, t}, fixed: bit(y.fixed, bj), odd: bit(y.odd, bj), inside: y.inside})
	w.relink(x.n[ai], t, t1)
	w.relink(y.n[bj], u, u1)
	w.at[p], w.at[a], w.at[b], w.at[c], w.at[d] = t, t, u, t, u
	w.stack = append(w.stack[:0], t, t1, u, u1)
}

// legalise flips until the star of the point at corner 0 of the triangles on the stack is
// Delaunay (C. L. Lawson, 1977).
func (w *Workspace) legalise() {
	stack := w.stack
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		tr := &w.tris[t]
		u := tr.n[0]
		if u != none && tr.fixed&1 == 0 {
			d := w.tris[u].v[w.indexOf(u, t)]
			if geom.InCircle(w.points[tr.v[0]], w.points[tr.v[1]], w.points[tr.v[2]], w.points[d]) > 0 {
				w.flip(t, 0)
				stack = append(stack, t, u)
				continue
			}
		}
		if w.refine {
			w.enqueue(t)
		}
	}
	w.stack = stack
}

// flip turns the edge opposite corner i of t in its quadrilateral. The two triangles afterwards
// both have that corner as corner 0.
func (w *Workspace) flip(t int32, i int) {
	w.flipped++
	x := &w.tris[t]
	u := x.n[i]
	j := w.indexOf(u, t)
	y := &w.tris[u]
	ai, bi, aj, bj := after[i], before[i], before[j], after[j]
	p, a, b, q := x.v[i], x.v[ai], x.v[bi], y.v[j]
	nap, nbp, naq, nbq := x.n[bi], x.n[ai], y.n[bj], y.n[aj]
	fx, fy, ox, oy := x.fixed, y.fixed, x.odd, y.odd
	x.v, x.n = [3]int32{p, a, q}, [3]int32{naq, u, nap}
	y.v, y.n = [3]int32{p, q, b}, [3]int32{nbq, nbp, t}
	if fx|fy != 0 {
		x.fixed = fy>>bj&1 | fx>>bi&1<<2
		x.odd = oy>>bj&1 | ox>>bi&1<<2
		y.fixed = fy>>aj&1 | fx>>ai&1<<1
		y.odd = oy>>aj&1 | ox>>ai&1<<1
	}
	w.relink(naq, u, t)
	w.relink(nbp, t, u)
	w.at[a], w.at[b] = t, u
}

// Insert adds a point inside the region. It does nothing and returns false when p lies outside,
// on a segment or on a corner; how near a segment is too near is the caller's to say.
func (w *Workspace) Insert(p r2.Point) (index int32, ok bool) {
	return w.insertFrom(w.last, p)
}

func (w *Workspace) insertFrom(hint int32, p r2.Point) (index int32, ok bool) {
	p, finite := usable(p)
	if !w.ready || len(w.tris) == 0 || !finite {
		return none, false
	}
	t, e, at := w.locate(p, hint)
	if t == none || at != none || !w.tris[t].inside || e >= 0 && w.tris[t].fixed>>e&1 == 1 {
		return none, false
	}
	i := int32(len(w.points))
	w.points = append(w.points, p)
	w.at = append(w.at, t)
	if e < 0 {
		w.splitTriangle(t, i)
	} else {
		w.splitEdge(t, e, i)
	}
	w.legalise()
	w.last = w.at[i]
	w.listed = false
	return i - far, true
}
