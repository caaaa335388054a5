package dexel

import (
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"pocketgauge/mesh/parallel"
)

// Crossing is where a ray meets a surface: the place in quanta, times two, plus one where the
// ray leaves metal. As plain integers crossings sort by place, entries first.
type Crossing int32

// At is the place along the ray.
func (c Crossing) At() int32 { return int32(c) >> 1 }

// Leaves reports whether the ray leaves metal here.
func (c Crossing) Leaves() bool { return c&1 == 1 }

// Turn is the change of the winding number: +1 on entry, -1 on exit.
func (c Crossing) Turn() int32 { return 1 - 2*int32(c&1) }

// Band is a run of rows of one solid. Its slices are valid only during the visit.
type Band struct {
	Row0, Rows, Width int
	start             []int32
	crossings         []Crossing
}

// Ray holds the crossings of ray i in row j of the band, j from 0.
func (b *Band) Ray(i, j int) []Crossing {
	k := j*b.Width + i
	return b.crossings[b.start[k]:b.start[k+1]]
}

// Tally says how sound the rays were.
type Tally struct {
	Rays, Crossings int
	// Odd rays do not leave as often as they enter: the mesh is not closed.
	Odd int
	// Folded rays have winding numbers other than 0 and 1: bodies overlap or are inside out.
	Folded int
}

func (t *Tally) add(o Tally) {
	t.Rays += o.Rays
	t.Crossings += o.Crossings
	t.Odd += o.Odd
	t.Folded += o.Folded
}

// Scan finds the crossings of all rays with each solid and calls visit once for every band,
// with one Band for each solid. Calls come from several goroutines at once in no stated order;
// worker tells them apart, 0 to Workers()-1, for scratch memory. Results must be kept by band.
func Scan(g *Grid, solids []*Solid, visit func(band, worker int, of []Band)) []Tally {
	bins := make([]bins, len(solids))
	for k, s := range solids {
		bins[k] = g.sort(s)
	}
	n := g.Bands()
	tallies := make([]Tally, n*len(solids))
	workers := Workers()
	var next atomic.Int64
	run := func(worker int) {
		scratch := scratches.Get().(*scratch)
		defer scratches.Put(scratch)
		for len(scratch.of) < len(solids) {
			scratch.of = append(scratch.of, buffers{})
		}
		bands := make([]Band, len(solids))
		for {
			k := int(next.Add(1)) - 1
			if k >= n {
				return
			}
			for i, s := range solids {
				bands[i], tallies[k*len(solids)+i] = g.convert(s, &bins[i], k, &scratch.of[i])
			}
			visit(k, worker, bands)
		}
	}
	if workers == 1 {
		run(0)
	} else {
		var wg sync.WaitGroup
		for w := range workers {
			wg.Go(func() { run(w) })
		}
		wg.Wait()
	}
	total := make([]Tally, len(solids))
	for k := range tallies {
		total[k%len(solids)].add(tallies[k])
	}
	for i := range bins {
		bins[i].release()
	}
	return total
}

// Workers is the number of goroutines that Scan uses.
func Workers() int { return runtime.GOMAXPROCS(0) }

// scratch is the memory of one worker. Fresh pages cost more than the work done on them, so it
// is kept between scans.
type scratch struct{ of []buffers }

type buffers struct {
	marks     []mark
	start     []int32
	crossings []Crossing
}

// mark is a crossing before it is sorted to its ray.
type mark struct {
	ray      int32
	crossing Crossing
}

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// bins hold the triangles that touch each band, in mesh order.
type bins struct {
	end       []int32 // by band
	triangles []int32
}

var binMemory = sync.Pool{New: func() any { return new([]int32) }}

func (b *bins) release() {
	t := b.triangles[:0]
	binMemory.Put(&t)
	b.triangles = nil
}

func (b *bins) band(k int) []int32 {
	from := int32(0)
	if k > 0 {
		from = b.end[k-1]
	}
	return b.triangles[from:b.end[k]]
}

// sort puts each triangle into the bands it touches: chunks of triangles are counted and then
// placed at once, each chunk at offsets of its own, so the order in a bin is mesh order.
func (g *Grid) sort(s *Solid) bins {
	const chunk = 1 << 15
	nb, rows := g.Bands(), g.bandRows()
	nc := max(1, (len(s.triangles)+chunk-1)/chunk)
	counts := make([]int32, nc*nb)
	// touched packs the first and last band of each triangle: the second pass need not fetch
	// the vertices again.
	memory := binMemory.Get().(*[]int32)
	touched := slices.Grow((*memory)[:0], len(s.triangles))[:len(s.triangles)]
	u, v, _ := g.axis.plane()
	parallel.Each(nc, func(c, _ int) {
		count := counts[c*nb : (c+1)*nb]
		for t := c * chunk; t < min((c+1)*chunk, len(s.triangles)); t++ {
			tri := s.triangles[t]
			a, b, d := &s.points[tri[0]], &s.points[tri[1]], &s.points[tri[2]]
			touched[t] = -1
			lo, hi := g.firstRow(min(a[v], b[v], d[v])), g.lastRow(max(a[v], b[v], d[v]))
			if lo > hi || max(a[u], b[u], d[u]) < g.baseU || min(a[u], b[u], d[u]) >= g.endU {
				continue
			}
			first, last := lo/rows, hi/rows
			touched[t] = int32(first<<16 | last)
			for k := first; k <= last; k++ {
				count[k]++
			}
		}
	})
	out := bins{end: make([]int32, nb)}
	sum := int32(0)
	for k := range nb {
		for c := range nc {
			n := counts[c*nb+k]
			counts[c*nb+k] = sum
			sum += n
		}
		out.end[k] = sum
	}
	placed := binMemory.Get().(*[]int32)
	out.triangles = slices.Grow((*placed)[:0], int(sum))[:sum]
	parallel.Each(nc, func(c, _ int) {
		at := counts[c*nb : (c+1)*nb]
		for t := c * chunk; t < min((c+1)*chunk, len(s.triangles)); t++ {
			if touched[t] < 0 {
				continue
			}
			for k := touched[t] >> 16; k <= touched[t]&0xffff; k++ {
				out.triangles[at[k]] = int32(t)
				at[k]++
			}
		}
	})
	touched = touched[:0]
	binMemory.Put(&touched)
	return out
}

// convert finds the crossings of the rays of one band.
func (g *Grid) convert(s *Solid, b *bins, band int, mem *buffers) (Band, Tally) {
	rows := g.bandRows()
	row0 := band * rows
	row1 := min(row0+rows, g.nv)
	rays := (row1 - row0) * g.nu
	r := raster{Grid: g, row0: row0, row1: row1, reciprocal: 1 / float64(g.pitchU), marks: mem.marks[:0]}
	r.u, r.v, r.w = g.axis.plane()
	for _, t := range b.band(band) {
		tri := s.triangles[t]
		r.triangle(&s.points[tri[0]], &s.points[tri[1]], &s.points[tri[2]])
	}
	mem.marks = r.marks

	// A counting sort by ray, then the few crossings of each ray by insertion.
	start := slices.Grow(mem.start[:0], rays+2)[:rays+2]
	clear(start)
	mem.start = start
	for _, m := range r.marks {
		start[m.ray+2]++
	}
	for k := 2; k < len(start); k++ {
		start[k] += start[k-1]
	}
	crossings := slices.Grow(mem.crossings[:0], len(r.marks))[:len(r.marks)]
	mem.crossings = crossings
	place := start[1:]
	for _, m := range r.marks {
		crossings[place[m.ray]] = m.crossing
		place[m.ray]++
	}
	tally := Tally{Rays: rays, Crossings: len(crossings)}
	from := start[0]
	for _, to := range start[1 : rays+1] {
		c := crossings[from:to]
		from = to
		if len(c) == 0 {
			continue
		}
		if len(c) == 2 {
			if c[0] > c[1] {
				c[0], c[1] = c[1], c[0]
			}
		} else {
			order(c)
		}
		winding, least, most := int32(0), int32(0), int32(0)
		for _, x := range c {
			winding += x.Turn()
			least, most = min(least, winding), max(most, winding)
		}
		if winding != 0 {
			tally.Odd++
		} else if least < 0 || most > 1 {
			tally.Folded++
		}
	}
	return Band{Row0: row0, Rows: row1 - row0, Width: g.nu, start: start[:rays+1], crossings: crossings}, tally
}

func order(c []Crossing) {
	const short = 24
	if len(c) > short {
		slices.Sort(c)
		return
	}
	for i := 1; i < len(c); i++ {
		x := c[i]
		j := i - 1
		for j >= 0 && c[j] > x {
			c[j+1] = c[j]
			j--
		}
		c[j+1] = x
	}
}
