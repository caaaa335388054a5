package index

import (
	"math/bits"
	"slices"

	"github.com/golang/geo/r3"
)

// Within appends the triangles at most reach from p to ids, in the order of their indices.
func (t *Tree) Within(p r3.Vector, reach float64, ids []int32) []int32 {
	if len(t.nodes) == 0 || !(reach >= 0) {
		return ids
	}
	start := len(ids)
	q := [3]float64{p.X, p.Y, p.Z}
	local := [3]float32{float32(p.X - t.centre.X), float32(p.Y - t.centre.Y), float32(p.Z - t.centre.Z)}
	limit := squareLimit(reach * reach)
	var dist [width]float32
	var st stack
	top := 0
	ref := int32(0)
	for {
		if ref >= 0 {
			n := &t.nodes[ref]
			for mask := pointNode(n, &local, limit, &dist); mask != 0; mask &= mask - 1 {
				st[top&stackMask].ref = n.child[bits.TrailingZeros32(mask)&7]
				top++
			}
		} else {
			first, count := leafOf(ref)
			for k := first; k < first+count; k++ {
				v := &t.tri[k].vertex
				if _, d := footOnTriangle(&q, &t.vertex[v[0]], &t.vertex[v[1]], &t.vertex[v[2]]); d <= reach*reach {
					ids = append(ids, t.tri[k].id)
				}
			}
		}
		if top == 0 {
			slices.Sort(ids[start:])
			return ids
		}
		top--
		ref = st[top&stackMask].ref
	}
}

// FootOn is the point of triangle id nearest to p.
func (t *Tree) FootOn(p r3.Vector, id int32) Foot {
	q := [3]float64{p.X, p.Y, p.Z}
	v := &t.mesh.Triangles[id]
	f, _ := footOnTriangle(&q, &t.vertex[v[0]], &t.vertex[v[1]], &t.vertex[v[2]])
	at := r3.Vector{X: f[0], Y: f[1], Z: f[2]}
	return Foot{at, at.Sub(p).Norm(), id}
}

// InOrder is the triangle at place k of the leaves: a run of k visits neighbours.
func (t *Tree) InOrder(k int) int32 { return t.tri[k].id }
