package thickness

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/parallel"
)

// smoothCos joins facets over an edge that turns by at most 30 degrees into one smooth patch: a
// round of twelve sides is one.
var smoothCos = math.Cos(30 * math.Pi / 180)

// edgeUse is a facet's use of an edge, kept with the edge's lower vertex: forward where the facet
// runs from the lower vertex to the higher.
type edgeUse struct {
	high, triangle int32
	side           int8
	forward        bool
}

// findNeighbours fills across: for each side of each facet the facet on the other side of that
// edge, -1 where the edge has not exactly two facets, one each way. Facets without area take no
// part. Uses are counted into buckets by their lower vertex; an edge has one lower vertex, so
// buckets are paired on all cores.
func (f *Field) findNeighbours() {
	m := f.tree.Mesh()
	f.across = make([][3]int32, len(m.Triangles))
	start := make([]int32, len(m.Vertices)+1)
	for i, t := range m.Triangles {
		f.across[i] = [3]int32{-1, -1, -1}
		if f.normal[i] == (r3.Vector{}) {
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
		if f.normal[i] == (r3.Vector{}) {
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
	parallel.Chunks(len(m.Vertices), layoutChunk, func(_, from, to, _ int) {
		for v := from; v < to; v++ {
			begin := int32(0)
			if v > 0 {
				begin = start[v-1]
			}
			f.pairUses(uses[begin:start[v]])
		}
	})
}

// pairUses joins the two facets of each edge of one bucket. Buckets hold about six uses; one of a
// hub with thousands is sorted first.
func (f *Field) pairUses(bucket []edgeUse) {
	if len(bucket) > 24 {
		slices.SortFunc(bucket, func(x, y edgeUse) int {
			return cmp.Or(cmp.Compare(x.high, y.high), cmp.Compare(x.triangle, y.triangle))
		})
	}
	for i, a := range bucket {
		other, same := -1, 0
		if len(bucket) > 24 {
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
			f.across[a.triangle][a.side] = bucket[other].triangle
		}
	}
}

// findPatches numbers the smooth patches by their first facet.
func (f *Field) findPatches() {
	f.patch = make([]int32, len(f.across))
	for i := range f.patch {
		f.patch[i] = int32(i)
	}
	root := func(i int32) int32 {
		for f.patch[i] != i {
			f.patch[i] = f.patch[f.patch[i]]
			i = f.patch[i]
		}
		return i
	}
	for i := range f.across {
		for _, o := range f.across[i] {
			if o <= int32(i) || f.normal[i].Dot(f.normal[o]) < smoothCos {
				continue
			}
			if a, b := root(int32(i)), root(o); a != b {
				f.patch[max(a, b)] = min(a, b)
			}
		}
	}
	for i := range f.patch {
		f.patch[i] = root(int32(i))
	}
}
