package thickness

import (
	"math"
	"runtime"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/tol"
)

// Samples are chosen so that each speaks for the surface around it: the points of its own smooth
// patch within CoverMM of it and within coverOffset of that from its plane, on facets turned by no
// more than coverTurn. Facets are taken one after the other; what earlier samples speak for is
// skipped, and a new sample is set where something is left. Long needles, of which CAD
// triangulations are full, then cost a walk along earlier samples and not samples of their own: on
// an insert of 75,000 mm2 in 7,000 facets two million samples at 1 mm became 164,000.
//
// A ball is convex, so a piece of a facet lies in it where its corners do. Patches keep parallel
// faces apart: a groove narrower than the pitch has samples on its floor.
const (
	coverTurn   = 15 * math.Pi / 180
	coverOffset = 0.25 // the sine of about coverTurn
	// coverChunk facets, in the order of the tree, choose their samples by themselves. It is the
	// same at any number of cores, and so are the samples.
	coverChunk = 1 << 14
	// coverHalvings is how often a piece small enough for one sample is halved to see whether
	// several earlier samples share it.
	coverHalvings = 2
	// needleShare of the pitch is the most that a piece which is walked along may be high: a sample
	// on it then speaks for half a pitch to either side whatever its height there.
	needleShare = 0.49
	// mostWalk times MostSamples bounds the steps of the choice.
	mostWalk = 8
)

var coverCos = math.Cos(coverTurn)

// chosen is a place to sample.
type chosen struct {
	point    r3.Vector
	at       place
	area     float64
	triangle int32
	patch    int32
	next     int32 // in the same bucket
}

// chooser chooses the samples of one chunk of facets. Samples are found by place through a hash of
// cells of twice CoverMM, of which a ball of CoverMM meets at most eight.
type chooser struct {
	f       *Field
	samples []chosen
	head    []int32
	origin  r3.Vector
	scale   float64 // cells a millimetre
	cover2  float64 // the square of slightly under CoverMM: a place is off its point by placeShare
	offset  float64

	// trail are the samples that the last needle was walked along, in order, and fresh those of
	// the present one: neighbours in a fan are walked along the same ones.
	trail, fresh []int32
	shares       [1 << coverHalvings]share
	shared       int
}

// share is area given to a sample.
type share struct {
	sample int32
	area   float64
}

func (c *chooser) start(f *Field) {
	c.f = f
	c.samples = c.samples[:0]
	c.trail = c.trail[:0]
	// Buckets start as few in each chunk: which sample of several is found hangs on their number.
	c.buckets(1 << 12)
	c.origin = f.tree.Bounds().Min
	c.scale = 1 / (2 * f.CoverMM)
	cover := max(0, f.CoverMM*(1-coverSlack)-placeShare*f.tree.Bounds().Diagonal())
	c.cover2 = cover * cover
	c.offset = f.CoverMM * coverOffset
}

// coverSlack keeps the rounding of coordinates of up to a thousand times CoverMM out of what
// CoverMM promises.
const coverSlack = 8192 * tol.RoundoffDouble

func (c *chooser) buckets(n int) {
	if cap(c.head) < n {
		c.head = make([]int32, n)
	}
	c.head = c.head[:n]
	for i := range c.head {
		c.head[i] = -1
	}
}

func cellHash(x, y, z int64, patch int32) uint64 {
	// Odd 64-bit constants; buckets may be shared, so everything is checked anyway.
	h := uint64(x)*0x9e3779b97f4a7c15 ^ uint64(y)*0xc2b2ae3d27d4eb4f ^ uint64(z)*0x165667b19e3779f9 ^ uint64(patch)*0xd6e8feb86659fd93
	return h ^ h>>29
}

func (c *chooser) bucketOf(p r3.Vector, patch int32) uint64 {
	d := p.Sub(c.origin).Mul(c.scale)
	return cellHash(int64(math.Floor(d.X)), int64(math.Floor(d.Y)), int64(math.Floor(d.Z)), patch) & uint64(len(c.head)-1)
}

func (c *chooser) add(p r3.Vector, triangle int32, area float64) int32 {
	i := int32(len(c.samples))
	at := c.f.placeOf(triangle, p)
	c.samples = append(c.samples, chosen{point: c.f.pointAt(triangle, at), at: at, area: area, triangle: triangle, patch: c.f.patch[triangle]})
	if len(c.samples) > len(c.head) {
		c.buckets(2 * len(c.head))
		for k := range c.samples {
			c.link(int32(k))
		}
		return i
	}
	c.link(i)
	return i
}

func (c *chooser) link(i int32) {
	s := &c.samples[i]
	h := c.bucketOf(s.point, s.patch)
	s.next = c.head[h]
	c.head[h] = i
}

// around calls try for the samples of the patch in the eight cells around p, until it says stop.
func (c *chooser) around(p r3.Vector, patch int32, try func(i int32, s *chosen) (stop bool)) {
	d := p.Sub(c.origin).Mul(c.scale)
	x, y, z := int64(math.Floor(d.X-0.5)), int64(math.Floor(d.Y-0.5)), int64(math.Floor(d.Z-0.5))
	mask := uint64(len(c.head) - 1)
	for k := range int64(8) {
		for i := c.head[cellHash(x+k&1, y+k>>1&1, z+k>>2, patch)&mask]; i >= 0; {
			s := &c.samples[i]
			if s.patch == patch && try(i, s) {
				return
			}
			i = s.next
		}
	}
}

// speaksFor reports whether sample s speaks for the point p, the normals being close.
func (c *chooser) speaksFor(s *chosen, p r3.Vector) bool {
	d := p.Sub(s.point)
	return d.Norm2() <= c.cover2 && math.Abs(d.Dot(c.f.normal[s.triangle])) <= c.offset
}

// single is a sample that speaks for the whole of a piece of triangle t, or -1.
func (c *chooser) single(t int32, p, q, r, centre r3.Vector) int32 {
	n := c.f.normal[t]
	found := int32(-1)
	c.around(centre, c.f.patch[t], func(i int32, s *chosen) bool {
		if c.speaksFor(s, p) && c.speaksFor(s, q) && c.speaksFor(s, r) && c.f.normal[s.triangle].Dot(n) >= coverCos {
			found = i
			return true
		}
		return false
	})
	return found
}

// together reports whether earlier samples speak for a piece, halved up to left times, and
// notes what area falls to each.
func (c *chooser) together(t int32, p, q, r r3.Vector, left int) bool {
	if i := c.single(t, p, q, r, p.Add(q).Add(r).Mul(1.0/3)); i >= 0 {
		c.shares[c.shared] = share{i, q.Sub(p).Cross(r.Sub(p)).Norm() / 2}
		c.shared++
		return true
	}
	if left == 0 {
		return false
	}
	p, q, r = longestFirst(p, q, r)
	m := p.Add(q).Mul(0.5)
	return c.together(t, p, m, r, left-1) && c.together(t, m, q, r, left-1)
}

// longestFirst turns a triangle so that its longest side runs from p to q.
func longestFirst(p, q, r r3.Vector) (_, _, _ r3.Vector) {
	pq, qr, rp := q.Sub(p).Norm2(), r.Sub(q).Norm2(), p.Sub(r).Norm2()
	switch {
	case qr > pq && qr >= rp:
		return q, r, p
	case rp > pq:
		return r, p, q
	}
	return p, q, r
}

// maxHalvings bounds the pieces of one facet.
const maxHalvings = 40

// piece sees to it that samples speak for a piece of triangle t.
func (c *chooser) piece(t int32, p, q, r r3.Vector, left int) {
	p, q, r = longestFirst(p, q, r)
	side := q.Sub(p)
	cross := side.Cross(r.Sub(p)).Norm()
	if !(cross > 0) {
		return // a piece without area
	}
	length := side.Norm()
	g := p.Add(q).Add(r).Mul(1.0 / 3)
	if left == 0 || max(p.Sub(g).Norm2(), q.Sub(g).Norm2(), r.Sub(g).Norm2()) <= c.cover2 {
		c.shared = 0
		if !c.together(t, p, q, r, coverHalvings) {
			c.add(g, t, cross/2)
			return
		}
		for _, s := range c.shares[:c.shared] {
			c.samples[s.sample].area += s.area
		}
		return
	}
	if height := cross / length; height <= needleShare*c.f.PitchMM {
		c.walk(t, p, q, r, length, height)
		return
	}
	m := p.Add(q).Mul(0.5)
	c.piece(t, p, m, r, left-1)
	c.piece(t, m, q, r, left-1)
}

// needle is a flat piece in the frame of its longest side: x along it from p, y across.
type needle struct {
	p, ex, ey, n   r3.Vector
	length, height float64
	apex           float64 // where along the longest side the third corner stands
}

// width is the extent across at x.
func (d *needle) width(x float64) float64 {
	if x < d.apex {
		return d.height * x / d.apex
	}
	if d.length > d.apex {
		return d.height * (d.length - x) / (d.length - d.apex)
	}
	return d.height
}

// area is that from x = 0.
func (d *needle) area(x float64) float64 {
	if x < d.apex {
		return d.height * x * x / (2 * d.apex)
	}
	a := d.height * d.length / 2
	if d.length > d.apex {
		a -= d.height * (d.length - x) * (d.length - x) / (2 * (d.length - d.apex))
	}
	return a
}

// span is the part along the needle that sample s speaks for over its whole height, empty for none.
func (c *chooser) span(d *needle, s *chosen) (low, high float64) {
	v := s.point.Sub(d.p)
	x, y, z := v.Dot(d.ex), v.Dot(d.ey), v.Dot(d.n)
	far := max(math.Abs(y), math.Abs(y-d.height))
	half2 := c.cover2 - z*z - far*far
	if half2 <= 0 {
		return 0, 0
	}
	n := c.f.normal[s.triangle]
	if n.Dot(d.n) < coverCos {
		return 0, 0
	}
	half := math.Sqrt(half2)
	low, high = x-half, x+half
	// The height over the sample's plane is linear along the needle and across it.
	at := -v.Dot(n)
	along, across := d.ex.Dot(n), d.ey.Dot(n)*d.height
	a, b := at+low*along, at+high*along
	if max(math.Abs(a), math.Abs(b), math.Abs(a+across), math.Abs(b+across)) > c.offset {
		return 0, 0
	}
	return low, high
}

// walk goes along a needle, from sample to sample, and sets new ones where none speaks for the
// next stretch: half a pitch ahead, or in the middle of the gap where that is nearer.
func (c *chooser) walk(t int32, p, q, r r3.Vector, length, height float64) {
	f := c.f
	ex := q.Sub(p).Mul(1 / length)
	// Neighbours are walked the same way, so that one trail serves them.
	if m := max(math.Abs(ex.X), math.Abs(ex.Y), math.Abs(ex.Z)); m == -ex.X || m == -ex.Y && m != ex.X || m == -ex.Z && m != ex.X && m != ex.Y {
		p, q = q, p
		ex = ex.Mul(-1)
	}
	n := f.normal[t]
	d := needle{p: p, ex: ex, n: n, length: length, height: height}
	d.apex = max(0, min(length, r.Sub(p).Dot(ex)))
	d.ey = r.Sub(p).Sub(ex.Mul(d.apex)).Mul(1 / height)
	patch := f.patch[t]
	// A step shorter than this is none.
	least := f.PitchMM / 16
	end := length * (1 - coverSlack)
	c.fresh = c.fresh[:0]
	given := 0.0
	at := 0
	for x := 0.0; x < end; {
		best, high, next := int32(-1), x+least, length
		for at < len(c.trail) {
			i := c.trail[at]
			if c.samples[i].patch != patch {
				at = len(c.trail)
				break
			}
			l, h := c.span(&d, &c.samples[i])
			if l > x {
				break
			}
			if h > high {
				best, high = i, h
			} else if best >= 0 {
				break
			}
			at++
		}
		if best < 0 {
			c.around(d.p.Add(ex.Mul(x+f.PitchMM/4)).Add(d.ey.Mul(height/2)), patch, func(i int32, s *chosen) bool {
				if l, h := c.span(&d, s); h <= x || l == h {
					return false
				} else if l > x {
					next = min(next, l)
				} else if h > high {
					best, high = i, h
				}
				return false
			})
		}
		if best < 0 {
			mid := min(x+f.PitchMM/2, (x+next)/2)
			best = c.add(p.Add(ex.Mul(mid)).Add(d.ey.Mul(d.width(mid)/2)), t, 0)
			_, high = c.span(&d, &c.samples[best])
			high = max(high, x+least)
		}
		c.fresh = append(c.fresh, best)
		x = min(high, length)
		area := d.area(x)
		c.samples[best].area += area - given
		given = area
	}
	c.trail, c.fresh = c.fresh, c.trail
}

// walkSteps estimates from above how many steps the choice takes at a pitch, by no more than the area
// and the longest side of each facet.
func (f *Field) walkSteps(pitch float64) float64 {
	m := f.tree.Mesh()
	n := len(m.Triangles)
	sums := make([]float64, (n+layoutChunk-1)/layoutChunk)
	parallel.Chunks(n, layoutChunk, func(k, from, to, _ int) {
		sum := 0.0
		for i := from; i < to; i++ {
			if !f.Sampled(int32(i)) {
				continue
			}
			a, b, c := m.Corners(i)
			p, q, r := longestFirst(a, b, c)
			side := q.Sub(p)
			sum += 1 + 2*side.Norm()/pitch + 4*side.Cross(r.Sub(p)).Norm()/(pitch*pitch)
		}
		sums[k] = sum
	})
	total := 0.0
	for _, s := range sums {
		total += s
	}
	return total
}

// choose sets the samples, widening the pitch until their number and the work of choosing fit.
func (f *Field) choose() {
	f.PitchMM = f.options.PitchMM
	n := len(f.tree.Mesh().Triangles)
	// At the widest pitch there may still be a sample for each facet.
	most := max(f.options.MostSamples, n)
	for f.walkSteps(f.PitchMM) > mostWalk*float64(most) {
		f.PitchMM *= math.Sqrt2
	}
	for {
		f.CoverMM = f.PitchMM / math.Sqrt2
		chunks := make([][]Sample, (n+coverChunk-1)/coverChunk)
		choosers := make([]chooser, runtime.GOMAXPROCS(0)) // one for each core
		parallel.Chunks(n, coverChunk, func(k, from, to, worker int) {
			c := &choosers[worker]
			c.start(f)
			for i := from; i < to && len(c.samples) <= most; i++ {
				if t := f.tree.InOrder(i); f.Sampled(t) {
					p, q, r := f.tree.Mesh().Corners(int(t))
					c.piece(t, p, q, r, maxHalvings)
				}
			}
			chunks[k] = make([]Sample, len(c.samples))
			for i := range c.samples {
				s := &c.samples[i]
				chunks[k][i] = Sample{Triangle: s.triangle, AreaMM2: float32(s.area), at: s.at}
			}
		})
		total := 0
		for _, c := range chunks {
			total += len(c)
		}
		if total <= most {
			f.Samples = slices.Concat(chunks...)
			return
		}
		f.PitchMM *= math.Sqrt2
	}
}
