package render

import (
	"math"
	"slices"
	"sync"

	"github.com/fogleman/fauxgl"

	"pocketgauge/mesh"
	"pocketgauge/mesh/parallel"
)

// projected is a mesh carried to samples: x right, y down, depth away from the eye.
type projected struct {
	x, y, z   []float32
	triangles [][3]int32
	w, h      int
}

const nothing = int32(-1)

// project carries the vertices. Samples are counted in binary32: at 16 k samples across it
// resolves a thousandth of a sample, and all triangles share the rounded corners, so that no gap
// opens between neighbours.
func project(m *mesh.Mesh, to fauxgl.Matrix, w, h int) *projected {
	n := len(m.Vertices)
	all := borrow(3 * n)
	p := &projected{x: all[:n], y: all[n : 2*n], z: all[2*n : 3*n], triangles: m.Triangles, w: w, h: h}
	inChunks(n, func(lo, hi int) {
		for i := lo; i < hi; i++ {
			v := m.Vertices[i]
			p.x[i] = float32(to.X00*v.X + to.X01*v.Y + to.X02*v.Z + to.X03)
			p.y[i] = float32(to.X10*v.X + to.X11*v.Y + to.X12*v.Z + to.X13)
			p.z[i] = float32(to.X20*v.X + to.X21*v.Y + to.X22*v.Z + to.X23)
		}
	})
	return p
}

func (p *projected) release() { giveBack(p.x[:cap(p.x)]) }

// rows is the range of sample rows whose middles triangle t may cover, and whether there are any.
func (p *projected) rows(t int) (int, int, bool) {
	a, b, c := p.triangles[t][0], p.triangles[t][1], p.triangles[t][2]
	lo := min(p.y[a], p.y[b], p.y[c])
	hi := max(p.y[a], p.y[b], p.y[c])
	left := min(p.x[a], p.x[b], p.x[c])
	right := max(p.x[a], p.x[b], p.x[c])
	first, last := rowFrom(lo), rowFrom(hi)-1
	// Most facets of a fine mesh lie between the middles of samples: they end here.
	if first > last || last < 0 || first >= p.h || rowFrom(left) >= min(rowFrom(right), p.w) || right < 0 {
		return 0, 0, false
	}
	return max(first, 0), min(last, p.h-1), true
}

// rowFrom is the first sample whose middle is at or beyond v.
func rowFrom(v float32) int {
	switch {
	case !(v > 0.5):
		return 0
	case v > 1<<20:
		return 1 << 20
	}
	return int(math.Ceil(float64(v) - 0.5))
}

// bins lists for each band of rows the triangles that reach it, in ascending order.
type bins struct {
	start []int32
	list  []int32
}

func (p *projected) bin(bandRows, apron int) bins {
	bands := (p.h + bandRows - 1) / bandRows
	span := func(first, last int) (int, int) {
		return max(first-apron, 0) / bandRows, min(last+apron, p.h-1) / bandRows
	}
	// Chunks of triangles are counted and filled each on their own and lie one after another in
	// every band, so that the order does not depend on who worked on them.
	n := len(p.triangles)
	chunks := chunksOf(n)
	counts := make([][]int32, chunks)
	inChunks(n, func(lo, hi int) {
		c := make([]int32, bands)
		for t := lo; t < hi; t++ {
			if first, last, ok := p.rows(t); ok {
				from, to := span(first, last)
				for b := from; b <= to; b++ {
					c[b]++
				}
			}
		}
		counts[lo/chunkSize] = c
	})
	out := bins{start: make([]int32, bands+1)}
	sum := int32(0)
	for b := range bands {
		out.start[b] = sum
		for _, c := range counts {
			k := c[b]
			c[b] = sum
			sum += k
		}
	}
	out.start[bands] = sum
	out.list = make([]int32, sum)
	inChunks(n, func(lo, hi int) {
		next := counts[lo/chunkSize]
		for t := lo; t < hi; t++ {
			if first, last, ok := p.rows(t); ok {
				from, to := span(first, last)
				for b := from; b <= to; b++ {
					out.list[next[b]] = int32(t)
					next[b]++
				}
			}
		}
	})
	return out
}

// band is a range of sample rows with the depth and the triangle seen at each sample.
type band struct {
	first, rows, w int
	depth          []float32
	seen           []int32 // nil where only depth is asked for
}

func (b *band) reset(first, rows, w int, seen bool) {
	b.first, b.rows, b.w = first, rows, w
	b.depth = slices.Grow(b.depth[:0], rows*w)[:rows*w]
	far := float32(math.MaxFloat32)
	for i := range b.depth {
		b.depth[i] = far
	}
	if seen {
		b.seen = slices.Grow(b.seen[:0], rows*w)[:rows*w]
		for i := range b.seen {
			b.seen[i] = nothing
		}
	}
}

// behindBias moves facets seen from behind back by a third of a sample, so that along a
// silhouette the facet that faces the eye wins.
const behindBias = 1.0 / 3

// draw puts triangle t into the band: a sample whose middle it covers takes it when it is nearer
// than what is there; of two equally near the one drawn first stays.
//
// Every edge's crossing with a row is computed from its two ends in one order, the upper end
// first, whichever triangle asks. Neighbours therefore share each span's end to the bit, and half
// open spans leave neither gap nor overlap.
func (b *band) draw(p *projected, t int32) {
	tri := p.triangles[t]
	ax, ay, az := float64(p.x[tri[0]]), float64(p.y[tri[0]]), float64(p.z[tri[0]])
	bx, by, bz := float64(p.x[tri[1]]), float64(p.y[tri[1]]), float64(p.z[tri[1]])
	cx, cy, cz := float64(p.x[tri[2]]), float64(p.y[tri[2]]), float64(p.z[tri[2]])
	twice := (bx-ax)*(cy-ay) - (by-ay)*(cx-ax)
	if twice == 0 {
		return
	}
	// Depth is a plane over the picture.
	gx := ((bz-az)*(cy-ay) - (cz-az)*(by-ay)) / twice
	gy := ((cz-az)*(bx-ax) - (bz-az)*(cx-ax)) / twice
	z0 := az - gx*ax - gy*ay
	if twice > 0 { // y runs down: a facet that faces the eye turns clockwise
		z0 += behindBias
	}
	// A facet seen on edge has a steep plane; its depth must stay within that of its corners.
	near, far := float32(min(az, bz, cz)), float32(max(az, bz, cz)+behindBias)
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	if by > cy {
		bx, by, cx, cy = cx, cy, bx, by
	}
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	first := max(rowFrom(float32(ay)), b.first)
	last := min(rowFrom(float32(cy)), b.first+b.rows)
	for row := first; row < last; row++ {
		y := float64(row) + 0.5
		long := ax + (cx-ax)*((y-ay)/(cy-ay))
		var short float64
		if y < by {
			short = ax + (bx-ax)*((y-ay)/(by-ay))
		} else {
			short = bx + (cx-bx)*((y-by)/(cy-by))
		}
		from, to := rowFrom(float32(min(long, short))), min(rowFrom(float32(max(long, short))), b.w)
		if from >= to {
			continue
		}
		base := (row - b.first) * b.w
		depth := b.depth[base+from : base+to]
		z := z0 + gy*y + gx*(float64(from)+0.5)
		if b.seen == nil {
			for i := range depth {
				d := min(max(float32(z), near), far)
				if d < depth[i] {
					depth[i] = d
				}
				z += gx
			}
			continue
		}
		seen := b.seen[base+from : base+to]
		for i := range depth {
			d := min(max(float32(z), near), far)
			if d < depth[i] {
				depth[i], seen[i] = d, t
			}
			z += gx
		}
	}
}

// chunkSize is the piece of a long list that one core takes at a time. It is fixed, so that what
// is cut where does not depend on the number of cores.
const chunkSize = 1 << 13

func chunksOf(n int) int { return (n + chunkSize - 1) / chunkSize }

func inChunks(n int, do func(lo, hi int)) {
	parallel.Each(chunksOf(n), func(i, _ int) { do(i*chunkSize, min((i+1)*chunkSize, n)) })
}

// Buffers are used again: fresh pages cost more than what is done with them.
var floats sync.Pool

func borrow(n int) []float32 {
	if s, ok := floats.Get().(*[]float32); ok && cap(*s) >= n {
		return (*s)[:n]
	}
	return make([]float32, n)
}

func giveBack(s []float32) { floats.Put(&s) }

var bandPool = sync.Pool{New: func() any { return new(band) }}
