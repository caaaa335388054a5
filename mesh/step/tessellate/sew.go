package tessellate

import (
	"fmt"
	"math"
	"sort"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/tol"
)

// Some writers give each face edges and vertices of its own. Where two such edges lie along each
// other within the file's own uncertainty they are one edge: the file says of points that near
// that they are the same. They are sewn where that closes their shell, all of it, and a Note tells;
// where something stays open nothing is touched, for then it cannot be told a seam from a gap.

// candidatesPerEdge bounds how many edges one is compared with: a hostile file puts thousands in
// one place.
const candidatesPerEdge = 16

// sewLooks is at how many places between their ends two edges are compared.
const sewLooks = 5

// pair is two edges that are one.
type pair struct {
	kept, other int32
	reversed    bool
	apart       float64 // at most
}

// sew makes one of edges at one place in shells that this closes.
func (b *body) sew() {
	within := min(max(b.from.UncertaintyMM, tol.JoinMM), tol.SewMM)
	balance := make([]int32, len(b.edges))
	for s := range b.from.Shells {
		open := b.openEdges(s, balance)
		if len(open) == 0 || len(open)%2 != 0 {
			continue
		}
		pairs := b.pairs(open, balance, within)
		for _, k := range open {
			balance[k] = 0
		}
		if 2*len(pairs) != len(open) {
			continue
		}
		b.join(s, pairs)
		b.notes = append(b.notes, mesh.Note{
			Place: fmt.Sprintf("#%d", b.from.Shells[s].ID),
			Says:  fmt.Sprintf("its faces have edges of their own: %d pairs of edges that lie within %.3g mm of each other were sewn, and the shell closes", len(pairs), within),
		})
	}
}

// openEdges are those that a shell uses once more one way than the other, in order. It leaves
// their balance in balance, which is nothing elsewhere.
func (b *body) openEdges(shell int, balance []int32) []int32 {
	var used, open []int32
	for _, f := range b.faces {
		if f.shell != shell {
			continue
		}
		for l := range f.Loops {
			for _, u := range f.Loops[l].Uses {
				k := b.edgeOf[u.Edge]
				if b.edges[k].merged {
					continue
				}
				used = append(used, k)
				if u.Forward {
					balance[k]++
				} else {
					balance[k]--
				}
			}
		}
	}
	odd := false
	for _, k := range used {
		switch balance[k] {
		case 0:
		case 1, -1:
			open = append(open, k)
		default:
			odd = true
		}
	}
	sort.Slice(open, func(i, j int) bool { return open[i] < open[j] })
	if odd {
		// An edge used three times or more is not sewn by pairs.
		for _, k := range used {
			balance[k] = 0
		}
		return nil
	}
	return open
}

// pairs finds for each open edge the one that runs along it, as far as there is just one.
func (b *body) pairs(open []int32, balance []int32, within float64) []pair {
	order := append([]int32(nil), open...)
	middle := func(k int32) float64 { return b.points[b.edges[k].a].X + b.points[b.edges[k].b].X }
	sort.SliceStable(order, func(i, j int) bool { return middle(order[i]) < middle(order[j]) })
	taken := map[int32]bool{}
	var list []pair
	for i, k := range order {
		if taken[k] {
			continue
		}
		looks := 0
		for _, o := range order[i+1:] {
			if middle(o)-middle(k) > 2*within || looks == candidatesPerEdge {
				break
			}
			if taken[o] {
				continue
			}
			looks++
			reversed, apart := b.along(&b.edges[k], &b.edges[o], within)
			if !(apart <= within) || (balance[k] == balance[o]) != reversed {
				continue
			}
			taken[k], taken[o] = true, true
			list = append(list, pair{min(k, o), max(k, o), reversed, apart})
			break
		}
		if !taken[k] {
			return nil // it stays open, and so does the shell
		}
	}
	sort.Slice(list, func(i, j int) bool { return list[i].kept < list[j].kept })
	return list
}

// along tells how far two edges lie apart from end to end, where that is within a distance, and
// whether they then run opposite ways.
func (b *body) along(e, o *edge, within float64) (reversed bool, apart float64) {
	off := func(p, q int32) float64 { return b.points[p].Sub(b.points[q]).Norm() }
	straight, crossed := max(off(e.a, o.a), off(e.b, o.b)), max(off(e.a, o.b), off(e.b, o.a))
	apart = min(straight, crossed)
	if apart > within {
		return false, apart
	}
	first, last := 0.0, 0.0
	for i := 1; i <= sewLooks; i++ {
		f := float64(i) / (sewLooks + 1)
		p := e.Curve.Point(e.T0 + (e.T1-e.T0)*f)
		g := f
		if straight > within {
			g = 1 - f
		}
		t, off := o.Curve.Parameter(p, o.T0+(o.T1-o.T0)*g, true)
		if !(off <= within) {
			return false, math.Inf(1)
		}
		apart = max(apart, off)
		share := (t - o.T0) / (o.T1 - o.T0)
		if p := o.Curve.Period(); p > 0 {
			// A closed edge may begin anywhere on its curve.
			share -= math.Floor(share*math.Abs(o.T1-o.T0)/p) * p / math.Abs(o.T1-o.T0)
		}
		if share < 0 || share > 1 {
			return false, math.Inf(1)
		}
		if i == 1 {
			first = share
		}
		last = share
	}
	return last < first, apart
}

// join puts one edge in the place of each pair in all faces of the shell, and one vertex in that of
// their ends.
func (b *body) join(shell int, pairs []pair) {
	of := map[*brep.Edge]pair{}
	parent := make([]int32, len(b.points))
	for k := range parent {
		parent[k] = int32(k)
	}
	find := func(k int32) int32 {
		for parent[k] != k {
			parent[k] = parent[parent[k]]
			k = parent[k]
		}
		return k
	}
	unite := func(p, q int32) {
		p, q = find(p), find(q)
		parent[max(p, q)] = min(p, q)
	}
	for _, p := range pairs {
		e, o := &b.edges[p.kept], &b.edges[p.other]
		of[o.Edge] = p
		if p.reversed {
			unite(e.a, o.b)
			unite(e.b, o.a)
		} else {
			unite(e.a, o.a)
			unite(e.b, o.b)
		}
		o.merged = true
		e.sewn = true
		b.sewnMM = max(b.sewnMM, p.apart)
		for _, f := range o.faces {
			if e.faces[len(e.faces)-1] != f {
				e.faces = append(e.faces, f)
			}
		}
		e.part += o.part
	}
	for i := range b.edges {
		b.edges[i].a, b.edges[i].b = find(b.edges[i].a), find(b.edges[i].b)
	}
	for _, f := range b.faces {
		if f.shell != shell {
			continue
		}
		var loops []brep.Loop // the file's own stay as they are
		for l := range f.Loops {
			var uses []brep.Use
			for u, use := range f.Loops[l].Uses {
				p, sewn := of[use.Edge]
				if !sewn {
					continue
				}
				if uses == nil {
					uses = append([]brep.Use(nil), f.Loops[l].Uses...)
				}
				uses[u].Edge = b.edges[p.kept].Edge
				uses[u].Forward = use.Forward != p.reversed
			}
			if uses == nil {
				continue
			}
			if loops == nil {
				loops = append([]brep.Loop(nil), f.Loops...)
			}
			loops[l].Uses = uses
		}
		if loops != nil {
			copied := *f.Face
			copied.Loops = loops
			f.Face = &copied
		}
	}
}

// lengthOf is that of an edge's division.
func (b *body) lengthOf(e *edge) float64 {
	sum, from := 0.0, b.points[e.a]
	for k := range e.ts {
		to := b.points[int(e.first)+k]
		sum += to.Sub(from).Norm()
		from = to
	}
	return sum + b.points[e.b].Sub(from).Norm()
}
