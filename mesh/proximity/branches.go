package proximity

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// leafFacets is how many facets a leaf holds.
const leafFacets = 8

// spare covers the rounding of angles: two degrees.
const spare = math.Pi / 90

// facet is a facet with what all its comparisons need.
type facet struct {
	id     int32
	box    box
	normal r3.Vector // of length 1
}

// branches is a binary tree of facets. Facets lie in it by the axis that their normals are nearest to and then along
// a curve through space (Morton, A Computer Oriented Geodetic Data Base, IBM 1966): a branch is near in both, so that
// its box and the cone of its normals are both narrow.
type branches struct {
	facets []facet
	// list holds a branch, then all of its left half, then its right half.
	list []branch
}

type branch struct {
	box   box
	cone  cone
	first int32
	count int32
	right int32 // in the list; 0 for a leaf
}

// newBranches is the tree of those facets that have area and lie within.
func newBranches(m *mesh.Mesh, ids []int32, within geom.Box) *branches {
	low, size := within.Min, within.Size()
	const cells = 1 << 10
	scale := func(s float64) float64 {
		if s > 0 {
			return cells / s
		}
		return 0
	}
	sx, sy, sz := scale(size.X), scale(size.Y), scale(size.Z)
	const piece = 1 << 12
	parts := make([][]uint64, (len(ids)+piece-1)/piece)
	limits := boxFrom(within)
	parallel.Chunks(len(ids), piece, func(k, from, to, _ int) {
		keys := make([]uint64, 0, to-from)
		for i := from; i < to; i++ {
			c := cornersOf(m, ids[i])
			b := c.box()
			n := m.AreaVector(int(ids[i]))
			if n == (r3.Vector{}) || b.gap(&limits) > 0 {
				continue
			}
			g := c[0].Add(c[1]).Add(c[2]).Mul(1.0 / 3).Sub(low)
			cell := func(x float64) uint64 { return uint64(min(max(x, 0), cells-1)) }
			key := spread(cell(g.X*sx)) | spread(cell(g.Y*sy))<<1 | spread(cell(g.Z*sz))<<2
			keys = append(keys, (uint64(side(n))<<30|key)<<31|uint64(i))
		}
		parts[k] = keys
	})
	keys := slices.Concat(parts...)
	slices.Sort(keys)
	t := &branches{facets: make([]facet, len(keys))}
	if len(keys) == 0 {
		return t
	}
	parallel.Chunks(len(keys), piece, func(_, from, to, _ int) {
		for k := from; k < to; k++ {
			id := ids[keys[k]&(1<<31-1)]
			c := cornersOf(m, id)
			t.facets[k] = facet{id, c.box(), m.AreaVector(int(id)).Normalize()}
		}
	})
	t.list = make([]branch, 0, len(keys)/leafFacets*2+1)
	t.grow(0, len(keys))
	return t
}

// grow adds the branch of facets from first to end.
func (t *branches) grow(first, end int) (at int32) {
	at = int32(len(t.list))
	if end-first <= leafFacets {
		t.list = append(t.list, t.over(first, end-first))
		return at
	}
	t.list = append(t.list, branch{first: int32(first), count: int32(end - first)})
	// Leaves are full but for the last.
	middle := first + (end-first+leafFacets)/(2*leafFacets)*leafFacets
	left := t.grow(first, middle)
	right := t.grow(middle, end)
	b, l, r := &t.list[at], &t.list[left], &t.list[right]
	b.right, b.box, b.cone = right, l.box.union(&r.box), l.cone.union(&r.cone)
	return at
}

// over is a leaf of so many facets.
func (t *branches) over(first, count int) branch {
	b := branch{first: int32(first), count: int32(count), box: t.facets[first].box, cone: cone{axis: t.facets[first].normal}}
	for i := first + 1; i < first+count; i++ {
		f := &t.facets[i]
		b.box = b.box.union(&f.box)
		b.cone = b.cone.union(&cone{axis: f.normal})
	}
	return b
}

// side is which of the six directions along the axes a normal is nearest to.
func side(n r3.Vector) int {
	x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)
	k, along := 0, n.X
	if y > x {
		k, along = 2, n.Y
	}
	if z > max(x, y) {
		k, along = 4, n.Z
	}
	if along < 0 {
		k++
	}
	return k
}

// spread puts two zeros between the ten lowest bits.
func spread(x uint64) uint64 {
	x = (x | x<<16) & 0x030000ff
	x = (x | x<<8) & 0x0300f00f
	x = (x | x<<4) & 0x030c30c3
	return (x | x<<2) & 0x09249249
}

// box is a geom.Box whose methods take pointers: they are asked many times for every facet.
type box struct {
	min, max r3.Vector
}

func boxFrom(b geom.Box) box { return box{b.Min, b.Max} }

func boxOf(m *mesh.Mesh, ids []int32) geom.Box {
	const run = 1 << 14
	parts := make([]geom.Box, (len(ids)+run-1)/run)
	parallel.Chunks(len(ids), run, func(k, from, to, _ int) {
		c := cornersOf(m, ids[from])
		b := c.box()
		for _, t := range ids[from+1 : to] {
			c := cornersOf(m, t)
			o := c.box()
			b = b.union(&o)
		}
		parts[k] = geom.Box{Min: b.min, Max: b.max}
	})
	all := geom.EmptyBox()
	for _, b := range parts {
		all = all.Union(b)
	}
	return all
}

func (c *corners) box() box {
	return box{
		r3.Vector{X: min(c[0].X, c[1].X, c[2].X), Y: min(c[0].Y, c[1].Y, c[2].Y), Z: min(c[0].Z, c[1].Z, c[2].Z)},
		r3.Vector{X: max(c[0].X, c[1].X, c[2].X), Y: max(c[0].Y, c[1].Y, c[2].Y), Z: max(c[0].Z, c[1].Z, c[2].Z)},
	}
}

func (b *box) union(o *box) box {
	return box{
		r3.Vector{X: min(b.min.X, o.min.X), Y: min(b.min.Y, o.min.Y), Z: min(b.min.Z, o.min.Z)},
		r3.Vector{X: max(b.max.X, o.max.X), Y: max(b.max.Y, o.max.Y), Z: max(b.max.Z, o.max.Z)},
	}
}

// gap is the distance of two boxes, 0 where they meet.
func (b *box) gap(o *box) float64 {
	x := max(0, b.min.X-o.max.X, o.min.X-b.max.X)
	y := max(0, b.min.Y-o.max.Y, o.min.Y-b.max.Y)
	z := max(0, b.min.Z-o.max.Z, o.min.Z-b.max.Z)
	return math.Sqrt(x*x + y*y + z*z)
}

// reach is the largest coordinate, either way.
func (b *box) reach() float64 {
	return max(-b.min.X, b.max.X, -b.min.Y, b.max.Y, -b.min.Z, b.max.Z)
}

// cone holds directions: all within the angle of half about the axis, which has length 1.
type cone struct {
	axis r3.Vector
	half float64
}

func angle(a, b r3.Vector) float64 { return math.Acos(min(max(a.Dot(b), -1), 1)) }

// union is a cone about the middle of the two axes.
func (c *cone) union(o *cone) cone {
	if c.axis == o.axis {
		return cone{c.axis, max(c.half, o.half)}
	}
	axis := c.axis.Add(o.axis)
	n := axis.Norm()
	if !(n > spare) {
		return cone{c.axis, math.Pi} // opposite: everything
	}
	axis = axis.Mul(1 / n)
	// The spare is for the rounding of the arc cosine where its argument is near 1.
	return cone{axis, min(math.Pi, max(angle(axis, c.axis)+c.half, angle(axis, o.axis)+o.half)+tinyAngle)}
}

// tinyAngle is more than an arc cosine near 1 is off by: the root of some roundings.
const tinyAngle = 1.0 / (1 << 24)

// Angles of the two cosines that make a wall, with what rounding may add.
var (
	opposedWithin = math.Acos(opposed) + spare
	facingWithin  = math.Acos(facing) + spare
)

// mayOppose reports whether a direction of c and one of o may be opposed.
func (c *cone) mayOppose(o *cone) bool {
	within := opposedWithin + c.half + o.half
	return within >= math.Pi || -c.axis.Dot(o.axis) >= math.Cos(within)
}

// lines is the cone of the lines from points of one box to points of another, false where they may have any direction.
func lines(a, b *box) (cone, bool) {
	d := b.min.Add(b.max).Sub(a.min).Sub(a.max).Mul(0.5)
	far := d.Norm()
	radius := (a.max.Sub(a.min).Norm() + b.max.Sub(b.min).Norm()) / 2
	if !(radius < far) {
		return cone{}, false
	}
	return cone{d.Mul(1 / far), math.Asin(radius / far)}, true
}

// mayFace reports whether a line from a to b may enter the metal of the one and leave that of the other.
func mayFace(a, b *branch) bool {
	l, ok := lines(&a.box, &b.box)
	if !ok {
		return true
	}
	in, out := facingWithin+l.half+a.cone.half, facingWithin+l.half+b.cone.half
	return (in >= math.Pi || -a.cone.axis.Dot(l.axis) >= math.Cos(in)) && (out >= math.Pi || b.cone.axis.Dot(l.axis) >= math.Cos(out))
}

func facetsMayFace(a, b *facet) bool {
	l, ok := lines(&a.box, &b.box)
	if !ok {
		return true
	}
	within := facingWithin + l.half
	if within >= math.Pi {
		return true
	}
	least := math.Cos(within)
	return -a.normal.Dot(l.axis) >= least && b.normal.Dot(l.axis) >= least
}
