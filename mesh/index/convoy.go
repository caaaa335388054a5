package index

import (
	"math/bits"
	"sync"
)

// A convoy is some rays of a batch that go down the tree side by side, each one step in its turn.
// On large meshes a ray waits for memory longer than it computes: neighbours in any order hit far
// walls in places of their own. A step therefore ends with asking for the node, the triangles or
// the corners that the ray wants next, and by the time its turn comes they have arrived (group
// prefetching: Chen, Ailamaki, Gibbons, Mowry, "Improving Hash Join Performance through
// Prefetching", ICDE 2004). Inward rays of a million facets took 0.82 of the time of one ray after
// the other.
//
// Tried with little gain: to let 8 to 64 neighbours go down together as one beam, bounded by lines
// across their main axis, and each start from the up to eight boxes the beam met ("Multi-Level
// Ray Tracing", Reshetov, Soupikov, Hurley, ACM TOG 24(3), 2005). A ray then looked at 4 to 7 nodes
// and not at 11, but what was left out was in the cache anyway: one in twenty faster at best.
type convoy struct {
	rays  [convoySize]traveller
	stack [convoySize]stack
	// atNode and atLeaf are the rays whose next step is at a node and at a leaf.
	atNode, atLeaf [convoySize]uint8
}

// convoySize is as many rays as it takes to hide the waiting. Measured at 8, 16, 32 and 64 a
// ray took 0.92, 0.87, 0.83 and 0.82 of the time alone.
const convoySize = 64

// traveller is one ray of a convoy.
type traveller struct {
	box   boxRay
	limit float32
	top   int32 // how many wait on its stack
	ref   int32 // where it is: a node, or a leaf (see node.child)
	which int32 // its place in the batch
	hit   Hit
	tri   shear
}

// convoys keeps the space of convoys.
var convoys = sync.Pool{New: func() any { return new(convoy) }}

// first is First for each of at most convoySize rays. The tree is not empty.
func (c *convoy) first(t *Tree, rays []Ray, out []Hit) {
	// Both lists are rewritten as they are read; by index, which costs less here than append.
	nodes, leaves := 0, 0
	for i := range rays {
		r := &c.rays[nodes%convoySize]
		if !t.prepare(&rays[i], &r.box, &r.tri) {
			out[i] = NoHit
			continue
		}
		r.limit, r.top, r.ref, r.which, r.hit = above(r.tri.tmax-r.box.shift), 0, 0, int32(i), NoHit
		c.atNode[nodes%convoySize] = uint8(nodes)
		nodes++
	}
	var dist [width]float32
	for nodes+leaves > 0 {
		for nodes > 0 {
			staying := 0
			for _, k := range c.atNode[:nodes] {
				r, st := &c.rays[k%convoySize], &c.stack[k%convoySize]
				n := &t.nodes[r.ref]
				mask := rayNode(n, &r.box, r.limit, &dist)
				top := int(r.top)
				var ref int32
				if mask == 0 {
					var ok bool
					if ref, top, ok = st.pop(top, r.limit); !ok {
						out[r.which] = r.hit
						continue
					}
				} else {
					i := bits.TrailingZeros32(mask)
					mask &= mask - 1
					ref = n.child[i&7]
					if mask != 0 {
						// As in first: the waiting are kept farthest first.
						base := top
						st[top&stackMask] = waiting{dist[i&7], ref}
						for ; mask != 0; mask &= mask - 1 {
							i = bits.TrailingZeros32(mask)
							d := dist[i&7]
							top++
							k := top
							for k > base && st[(k-1)&stackMask].t < d {
								st[k&stackMask] = st[(k-1)&stackMask]
								k--
							}
							st[k&stackMask] = waiting{d, n.child[i&7]}
						}
						ref = st[top&stackMask].ref
					}
				}
				r.top, r.ref = int32(top), ref
				if ref >= 0 {
					prefetchNode(&t.nodes[ref])
					c.atNode[staying%convoySize] = k
					staying++
				} else {
					first, _ := leafOf(ref)
					prefetchTriangles(&t.tri[first])
					c.atLeaf[leaves%convoySize] = k
					leaves++
				}
			}
			nodes = staying
		}
		for _, k := range c.atLeaf[:leaves] {
			first, _ := leafOf(c.rays[k%convoySize].ref)
			prefetchCorners(t, first)
		}
		staying := 0
		for _, k := range c.atLeaf[:leaves] {
			r, st := &c.rays[k%convoySize], &c.stack[k%convoySize]
			if t.firstInLeaf(r.ref, &r.tri, &r.hit) {
				r.limit = above(r.hit.T - r.box.shift)
			}
			ref, top, ok := st.pop(int(r.top), r.limit)
			switch {
			case !ok:
				out[r.which] = r.hit
			case ref >= 0:
				r.top, r.ref = int32(top), ref
				prefetchNode(&t.nodes[ref])
				c.atNode[nodes%convoySize] = k
				nodes++
			default:
				r.top, r.ref = int32(top), ref
				first, _ := leafOf(ref)
				prefetchTriangles(&t.tri[first])
				c.atLeaf[staying%convoySize] = k
				staying++
			}
		}
		leaves = staying
	}
}

// pop takes the nearest of what waits that is no farther than limit.
func (st *stack) pop(top int, limit float32) (ref int32, left int, ok bool) {
	for top > 0 {
		top--
		if w := &st[top&stackMask]; w.t <= limit {
			return w.ref, top, true
		}
	}
	return 0, 0, false
}
