package thickness

import (
	"math"

	"github.com/golang/geo/r3"
)

// basins is a union-find over picked samples; the root is the lowest reading.
type basins []int32

func (b basins) root(i int32) int32 {
	for b[i] != i {
		b[i] = b[b[i]]
		i = b[i]
	}
	return i
}

// grid finds picked samples by place: cells chained in open buckets.
type grid struct {
	cell       float64
	origin     r3.Vector
	head, next []int32
	mask       uint64
}

func (g *grid) key(p r3.Vector) [3]int64 {
	d := p.Sub(g.origin).Mul(1 / g.cell)
	return [3]int64{int64(math.Floor(d.X)), int64(math.Floor(d.Y)), int64(math.Floor(d.Z))}
}

func (g *grid) bucket(k [3]int64) uint64 {
	// Three odd 64-bit constants; buckets may be shared, so distances are checked anyway.
	h := uint64(k[0])*0x9e3779b97f4a7c15 ^ uint64(k[1])*0xc2b2ae3d27d4eb4f ^ uint64(k[2])*0x165667b19e3779f9
	return (h ^ h>>29) & g.mask
}

// flood lets water rise over the readings: samples are taken from the lowest up, each joining
// the basins of the neighbours already wet. Where it joins two, they stay apart only if the
// higher bottom lies deep enough under the place (prominence, as in the persistence of minima;
// Edelsbrunner, Letscher, Zomorodian, "Topological Persistence and Simplification", 2002).
//
// Neighbours are samples near on the same side, and those near the other end of the wall, so
// that the two sides of one wall are one basin.
func (f *Field) flood(picked []int32) basins {
	n := len(picked)
	link := linkPitches * f.PitchMM
	size := uint64(1)
	for size < uint64(n) {
		size *= 2
	}
	g := &grid{cell: link, origin: f.tree.Bounds().Min, head: make([]int32, size), next: make([]int32, n), mask: size - 1}
	for i := range g.head {
		g.head[i] = -1
	}
	b := make(basins, n)
	point := make([]r3.Vector, n)
	reading := func(k int32) float64 { return float64(f.Samples[picked[k]].WallMM) }
	for k := range int32(n) {
		b[k] = k
		s := &f.Samples[picked[k]]
		point[k] = f.Point(s)
		normal := f.normal[s.Triangle]
		join := func(at r3.Vector, facing r3.Vector, reach float64) {
			base := g.key(at)
			for dx := int64(-1); dx <= 1; dx++ {
				for dy := int64(-1); dy <= 1; dy++ {
					for dz := int64(-1); dz <= 1; dz++ {
						for j := g.head[g.bucket([3]int64{base[0] + dx, base[1] + dy, base[2] + dz})]; j >= 0; j = g.next[j] {
							if point[j].Sub(at).Norm2() > reach*reach || f.normal[f.Samples[picked[j]].Triangle].Dot(facing) < turnCos {
								continue
							}
							f.joinBasins(b, k, j, reading)
						}
					}
				}
			}
		}
		join(point[k], normal, link)
		join(f.Opposite(s), normal.Mul(-1), link)
		h := g.bucket(g.key(point[k]))
		g.next[k] = g.head[h]
		g.head[h] = k
	}
	return b
}

// joinBasins joins the basin of the sample now under water with that of a wet neighbour.
func (f *Field) joinBasins(b basins, now, wet int32, reading func(int32) float64) {
	p, q := b.root(now), b.root(wet)
	if p == q {
		return
	}
	if p > q {
		p, q = q, p
	}
	// q has the higher bottom; a sample alone is a basin as deep as nothing.
	if q == now || reading(now)-reading(q) <= max(prominenceMM, prominence*reading(q)) {
		b[q] = p
	}
}
