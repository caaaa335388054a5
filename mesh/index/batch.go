package index

import (
	"math"
	"sync"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

const (
	// cellBits is how finely a batch is sorted, bits an axis: 32 cells along the longest side.
	cellBits = 5
	// batchChunk is what a core takes at a time.
	batchChunk = 1 << 10
	// A batch is looked at by stretches: stretch neighbours of every stretchEvery. Where fewer than one
	// in orderlyShare steps of them lead to another cell, the batch is in a good order already and
	// is taken as it comes.
	stretch      = 1 << 5
	stretchEvery = 1 << 10
	orderlyShare = 4
)

type order struct {
	key   []uint32
	index []int32
}

// orders keeps the sorting space of batches; on some machines fresh memory costs as much as the
// rays themselves.
var orders = sync.Pool{New: func() any { return new(order) }}

// orderly reports whether n items already lie so that neighbours mostly share a key.
func orderly(n int, key func(i int) uint32) bool {
	steps, changes := 0, 0
	for from := 0; from < n; from += stretchEvery {
		last := key(from)
		for i := from + 1; i < min(n, from+stretch); i++ {
			k := key(i)
			steps++
			if k != last {
				changes++
				last = k
			}
		}
	}
	return changes*orderlyShare <= steps
}

// sorted puts n items in the order of their keys, which lie under keys, by counting. It gives nil
// where they lie well as they are.
func (o *order) sorted(n, keys int, key func(i int) uint32) []int32 {
	if orderly(n, key) {
		return nil
	}
	if cap(o.key) < n {
		o.key, o.index = make([]uint32, n), make([]int32, n)
	}
	o.key, o.index = o.key[:n], o.index[:n]
	const chunk = 1 << 15
	parallel.Chunks(n, chunk, func(_, from, to, _ int) {
		for i := from; i < to; i++ {
			o.key[i] = key(i)
		}
	})
	start := make([]int32, keys+1)
	for _, k := range o.key {
		start[k+1]++
	}
	for k := 1; k <= keys; k++ {
		start[k] += start[k-1]
	}
	for i, k := range o.key {
		o.index[start[k]] = int32(i)
		start[k]++
	}
	return o.index
}

// cell is the number of the cell of p along a Morton curve over the box.
func cell(box *geom.Box, scale float64, p r3.Vector) uint32 {
	const most = 1<<cellBits - 1
	axis := func(x float64) uint32 {
		k := uint32(max(0, min(most, x*scale)))
		// Spread five bits to every third place.
		k = (k | k<<8) & 0x0100f00f
		k = (k | k<<4) & 0x010c30c3
		return (k | k<<2) & 0x09249249
	}
	return axis(p.X-box.Min.X) | axis(p.Y-box.Min.Y)<<1 | axis(p.Z-box.Min.Z)<<2
}

func (t *Tree) cellScale() float64 {
	size := t.box.Size()
	longest := max(size.X, size.Y, size.Z)
	if !(longest > 0) {
		return 0
	}
	return (1 << cellBits) / longest
}

// FirstBatch is First for every ray, over all cores; out is used where it is large enough. Rays in
// no order are taken in that of their origins along a space-filling curve and of their directions'
// octants, so that neighbours in time visit the same nodes. See convoy for how a core takes them.
func (t *Tree) FirstBatch(rays []Ray, out []Hit) []Hit {
	if cap(out) < len(rays) {
		out = make([]Hit, len(rays))
	}
	out = out[:len(rays)]
	if len(t.nodes) == 0 {
		for i := range out {
			out[i] = NoHit
		}
		return out
	}
	o := orders.Get().(*order)
	defer orders.Put(o)
	scale := t.cellScale()
	index := o.sorted(len(rays), 8<<(3*cellBits), func(i int) uint32 {
		r := &rays[i]
		k := cell(&t.box, scale, r.Origin) << 3
		if r.Direction.X < 0 {
			k |= 1
		}
		if r.Direction.Y < 0 {
			k |= 2
		}
		if r.Direction.Z < 0 {
			k |= 4
		}
		return k
	})
	parallel.Chunks(len(rays), batchChunk, func(_, from, to, _ int) {
		c := convoys.Get().(*convoy)
		defer convoys.Put(c)
		var in [convoySize]Ray
		var hits [convoySize]Hit
		for ; from < to; from += convoySize {
			end := min(to, from+convoySize)
			if index == nil {
				c.first(t, rays[from:end], out[from:end])
				continue
			}
			ids := index[from:end]
			for k, i := range ids {
				in[k] = rays[i]
			}
			c.first(t, in[:len(ids)], hits[:len(ids)])
			for k, i := range ids {
				out[i] = hits[k]
			}
		}
	})
	return out
}

// NearestBatch is Nearest for every point, over all cores; out is used where it is large enough.
func (t *Tree) NearestBatch(points []r3.Vector, reach float64, out []Foot) []Foot {
	if cap(out) < len(points) {
		out = make([]Foot, len(points))
	}
	out = out[:len(points)]
	o := orders.Get().(*order)
	defer orders.Put(o)
	scale := t.cellScale()
	index := o.sorted(len(points), 1<<(3*cellBits), func(i int) uint32 { return cell(&t.box, scale, points[i]) })
	parallel.Chunks(len(points), batchChunk, func(_, from, to, _ int) {
		var st stack
		near := NoFoot
		for k := from; k < to; k++ {
			i := int32(k)
			if index != nil {
				i = index[k]
			}
			// The point before is a neighbour more often than not, and its foot is a point of the surface.
			bound := math.Inf(1)
			if near.Triangle >= 0 {
				bound = near.Point.Sub(points[i]).Norm2()
			}
			near, _ = t.nearest(points[i], reach, bound, &st)
			out[i] = near
		}
	})
	return out
}
