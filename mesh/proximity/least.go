package proximity

import (
	"math"
	"sync/atomic"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/parallel"
)

// Accept says whether a wall counts. It is asked from several goroutines, and only of walls
// thinner than the thinnest so far. A wall given to Least's lies with A on the first kind.
type Accept func(w *Wall) bool

// bound is the length of the thinnest wall found so far, shared by all workers. It only spares
// work: what is found does not depend on who lowers it first.
type bound struct{ bits atomic.Uint64 }

func newBound(reach float64) *bound {
	b := &bound{}
	b.bits.Store(math.Float64bits(reach))
	return b
}

func (b *bound) value() float64 { return math.Float64frombits(b.bits.Load()) }

func (b *bound) lower(to float64) {
	for {
		old := b.bits.Load()
		// Floats that are not negative are in the order of their bits.
		if math.Float64bits(to) >= old || b.bits.CompareAndSwap(old, math.Float64bits(to)) {
			return
		}
	}
}

const (
	// chunk facets are one piece of work.
	chunk = 256
	// scouts are looked at first, evenly spread: a bound near the final one spares most pairs.
	scouts = 1024
)

// Least is the thinnest wall of at most reach between a facet of a and a facet of b, false where
// there is none. accept may be nil.
//
// Both kinds are put into trees, and two branches are compared only as far as a wall no longer than the
// thinnest so far may run between them: by the gap of their boxes, and by the directions that their normals
// and the lines between them can have.
func Least(m *mesh.Mesh, a, b []int32, reach float64, accept Accept) (Wall, bool) {
	if len(a) == 0 || len(b) == 0 || !(reach >= 0) {
		return Wall{}, false
	}
	boxA, boxB := boxOf(m, a), boxOf(m, b)
	s := search{m: m, accept: accept, best: newBound(reach), slack: slack(boxA.Union(boxB).MaxAbs())}
	s.a = newBranches(m, a, boxB.Expand(reach+s.slack))
	s.b = newBranches(m, b, boxA.Expand(reach+s.slack))
	n := len(s.a.facets)
	if n == 0 || len(s.b.facets) == 0 {
		return Wall{}, false
	}
	stride := (n + scouts - 1) / scouts
	s.over((n+stride-1)/stride, func(i int) (first, count int) { return i * stride, 1 })
	return s.over((n+leafFacets-1)/leafFacets, func(i int) (first, count int) { return i * leafFacets, min(leafFacets, n-i*leafFacets) })
}

type search struct {
	m      *mesh.Mesh
	a, b   *branches
	accept Accept
	best   *bound
	slack  float64
}

// over is the thinnest wall from n runs of facets of a to those of b.
func (s *search) over(n int, run func(i int) (first, count int)) (Wall, bool) {
	const runs = chunk / leafFacets
	found := make([]Wall, (n+runs-1)/runs)
	parallel.Chunks(n, runs, func(k, from, to, _ int) {
		w := walker{search: s, thinnest: Wall{LengthMM: math.Inf(1)}}
		for i := from; i < to; i++ {
			first, count := run(i)
			w.leaf = s.a.over(first, count)
			w.down(0)
		}
		found[k] = w.thinnest
	})
	thinnest := Wall{LengthMM: math.Inf(1)}
	for i := range found {
		if found[i].thinner(&thinnest) {
			thinnest = found[i]
		}
	}
	return thinnest, !math.IsInf(thinnest.LengthMM, 1)
}

type walker struct {
	*search
	thinnest Wall
	leaf     branch // of a
}

// down compares the leaf of a with a branch of b, the nearer half first.
func (w *walker) down(at int32) {
	n := &w.b.list[at]
	if !w.mayMeet(n) {
		return
	}
	if n.right == 0 {
		w.compare(n)
		return
	}
	near, far := at+1, n.right
	if w.leaf.box.gap(&w.b.list[far].box) < w.leaf.box.gap(&w.b.list[near].box) {
		near, far = far, near
	}
	w.down(near)
	w.down(far)
}

// mayMeet reports whether a wall worth looking at may run from the leaf to a branch.
func (w *walker) mayMeet(n *branch) bool {
	return w.leaf.box.gap(&n.box) <= w.best.value()+w.slack && w.leaf.cone.mayOppose(&n.cone) && mayFace(&w.leaf, n)
}

// compare compares all facets of the leaf with those of a leaf of b.
func (w *walker) compare(n *branch) {
	for i := w.leaf.first; i < w.leaf.first+w.leaf.count; i++ {
		a := &w.a.facets[i]
		if n.count > 1 && w.leaf.count > 1 && a.box.gap(&n.box) > w.best.value()+w.slack {
			continue
		}
		for j := n.first; j < n.first+n.count; j++ {
			b := &w.b.facets[j]
			if -a.normal.Dot(b.normal) < opposed || a.box.gap(&b.box) > w.best.value()+w.slack || !facetsMayFace(a, b) {
				continue
			}
			p, q := cornersOf(w.m, a.id), cornersOf(w.m, b.id)
			nearest(&p, &q, func(x, y r3.Vector) { w.look(x, y, a, b) })
		}
	}
}

// look takes the line from x on facet a to y on facet b, if it is the thinnest wall yet.
func (w *walker) look(x, y r3.Vector, a, b *facet) {
	d := y.Sub(x)
	best := w.best.value()
	square := d.Norm2()
	if square > (best+w.slack)*(best+w.slack) {
		return
	}
	length := math.Sqrt(square)
	if length > best || !(length > w.slack) || -a.normal.Dot(d) < facing*length || b.normal.Dot(d) < facing*length {
		return
	}
	wall := Wall{x, y, a.id, b.id, length}
	if !wall.thinner(&w.thinnest) || w.accept != nil && !w.accept(&wall) {
		return
	}
	w.thinnest = wall
	w.best.lower(length)
}
