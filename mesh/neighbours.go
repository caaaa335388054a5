package mesh

import (
	"cmp"
	"slices"

	"pocketgauge/mesh/parallel"
)

// edgeUse is a triangle's use of an edge, kept with the edge's lower vertex: forward where the triangle runs from the
// lower vertex to the higher.
type edgeUse struct {
	high, triangle int32
	side           int8
	forward        bool
}

const (
	// pairChunk is how many vertices' edges are paired at a time.
	pairChunk = 1 << 12
	// hub: the edges of a vertex with more uses than this are sorted before they are paired.
	hub = 24
)

// Neighbours holds for each side of each triangle (01, 12, 20) the triangle on the other side of that edge, -1 where the edge has not
// exactly two, one each way. Triangles that skip names take no part; nil skips none.
//
// Uses are counted into buckets by their lower vertex; an edge has one lower vertex, so buckets are paired on all cores.
func Neighbours(m *Mesh, skip func(triangle int32) bool) [][3]int32 {
	across := make([][3]int32, len(m.Triangles))
	start := make([]int32, len(m.Vertices)+1)
	for i, t := range m.Triangles {
		across[i] = [3]int32{-1, -1, -1}
		if skip != nil && skip(int32(i)) {
			continue
		}
		for k := range 3 {
			start[min(t[k], t[(k+1)%3])]++
		}
	}
	sum := int32(0)
	for v, n := range start {
		start[v] = sum
		sum += n
	}
	uses := make([]edgeUse, sum)
	for i, t := range m.Triangles {
		if skip != nil && skip(int32(i)) {
			continue
		}
		for k := range 3 {
			p, q := t[k], t[(k+1)%3]
			at := &start[min(p, q)]
			uses[*at] = edgeUse{max(p, q), int32(i), int8(k), p < q}
			*at++
		}
	}
	// start[v] now ends the bucket of v.
	parallel.Chunks(len(m.Vertices), pairChunk, func(_, from, to, _ int) {
		for v := from; v < to; v++ {
			begin := int32(0)
			if v > 0 {
				begin = start[v-1]
			}
			pairUses(across, uses[begin:start[v]])
		}
	})
	return across
}

// pairUses joins the two triangles of each edge of one bucket. Buckets hold about three uses; one of a
// hub with thousands is sorted first.
func pairUses(across [][3]int32, bucket []edgeUse) {
	if len(bucket) > hub {
		slices.SortFunc(bucket, func(x, y edgeUse) int {
			return cmp.Or(cmp.Compare(x.high, y.high), cmp.Compare(x.triangle, y.triangle))
		})
	}
	for i, a := range bucket {
		other, same := -1, 0
		if len(bucket) > hub {
			for j := i - 1; j >= 0 && bucket[j].high == a.high && same < 2; j-- {
				other, same = j, same+1
			}
			for j := i + 1; j < len(bucket) && bucket[j].high == a.high && same < 2; j++ {
				other, same = j, same+1
			}
		} else {
			for j := range bucket {
				if j != i && bucket[j].high == a.high {
					other, same = j, same+1
				}
			}
		}
		if same == 1 && bucket[other].forward != a.forward {
			across[a.triangle][a.side] = bucket[other].triangle
		}
	}
}
