package meshtest

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh"
)

// Prism extrudes a polygon, with holes in it, from z = bottom to z = top. Outline and holes may
// run either way; they must not touch or cross.
func Prism(outline []r2.Point, holes [][]r2.Point, bottom, top float64) *Solid {
	loops := [][]r2.Point{turned(outline, 1)}
	for _, h := range holes {
		loops = append(loops, turned(h, -1))
	}
	m := &mesh.Mesh{}
	var area, around float64
	var moment r2.Point
	var start []int32
	for _, loop := range loops {
		start = append(start, int32(len(m.Vertices)/2))
		for i, p := range loop {
			q := loop[(i+1)%len(loop)]
			c := p.Cross(q)
			area += c / 2
			moment = moment.Add(p.Add(q).Mul(c / 6))
			around += q.Sub(p).Norm()
			m.Vertices = append(m.Vertices, vec(p.X, p.Y, bottom), vec(p.X, p.Y, top))
		}
	}
	for _, t := range triangulated(loops) {
		a, b, c := 2*t[0], 2*t[1], 2*t[2]
		m.Triangles = append(m.Triangles, [3]int32{a, c, b}, [3]int32{a + 1, b + 1, c + 1})
	}
	for l, loop := range loops {
		for i := range loop {
			a, b := 2*(start[l]+int32(i)), 2*(start[l]+int32((i+1)%len(loop)))
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		}
	}
	h := top - bottom
	q := mesh.Measures{
		VolumeMM3: area * h, AreaMM2: 2*area + around*h,
		CentroidMM: vec(moment.X/area, moment.Y/area, (bottom+top)/2), Bounds: m.Bounds(),
	}
	return &Solid{Name: fmt.Sprintf("prism with %d holes", len(holes)), Mesh: m, True: q, Faceted: q}
}

// Wedge is a right-angled triangle of the given width (x) and height (z) along y.
func Wedge(width, length, height float64) *Solid {
	at := []r2.Point{{X: 0, Y: 0}, {X: width, Y: 0}, {X: 0, Y: height}}
	m := &mesh.Mesh{}
	for _, y := range []float64{0, length} {
		for _, p := range at {
			m.Vertices = append(m.Vertices, vec(p.X, y, p.Y))
		}
	}
	m.Triangles = [][3]int32{{0, 1, 2}, {3, 5, 4}, {0, 3, 4}, {0, 4, 1}, {1, 4, 5}, {1, 5, 2}, {2, 5, 3}, {2, 3, 0}}
	q := mesh.Measures{
		VolumeMM3:  width * height * length / 2,
		AreaMM2:    width*height + length*(width+height+math.Hypot(width, height)),
		CentroidMM: vec(width/3, length/2, height/3), Bounds: m.Bounds(),
	}
	return &Solid{Name: "wedge", Mesh: m, True: q, Faceted: q}
}

// Regular is a regular polygon with its first corner on the x axis of its centre.
func Regular(centre r2.Point, radius float64, sides int) []r2.Point {
	p := make([]r2.Point, sides)
	for k := range p {
		s, c := math.Sincos(2 * math.Pi * float64(k) / float64(sides))
		p[k] = centre.Add(r2.Point{X: radius * c, Y: radius * s})
	}
	return p
}

// Rectangle is the rectangle between two corners.
func Rectangle(lo, hi r2.Point) []r2.Point {
	return []r2.Point{lo, {X: hi.X, Y: lo.Y}, hi, {X: lo.X, Y: hi.Y}}
}

func twiceArea(loop []r2.Point) float64 {
	sum := 0.0
	for i, p := range loop {
		sum += p.Cross(loop[(i+1)%len(loop)])
	}
	return sum
}

// turned is a copy of the loop with the sign of area asked for.
func turned(loop []r2.Point, sign float64) []r2.Point {
	c := slices.Clone(loop)
	if twiceArea(c)*sign < 0 {
		slices.Reverse(c)
	}
	return c
}

// triangulated cuts a polygon with holes into triangles by clipping ears, after each hole was
// joined to the outline by a bridge (Eberly, Triangulation by Ear Clipping, 2002). Quadratic, and
// for outlines of test size only. Indices count through all loops.
func triangulated(loops [][]r2.Point) [][3]int32 {
	var at []r2.Point
	var rings [][]int32
	for _, l := range loops {
		var ring []int32
		for _, p := range l {
			ring = append(ring, int32(len(at)))
			at = append(at, p)
		}
		rings = append(rings, ring)
	}
	outer, holes := rings[0], rings[1:]
	rightmost := func(ring []int32) int {
		best := 0
		for i, v := range ring {
			if at[v].X > at[ring[best]].X {
				best = i
			}
		}
		return best
	}
	slices.SortStableFunc(holes, func(a, b []int32) int { return cmp.Compare(at[b[rightmost(b)]].X, at[a[rightmost(a)]].X) })
	for _, hole := range holes {
		from := rightmost(hole)
		to := bridge(at, outer, hole, from)
		var joined []int32
		joined = append(joined, outer[:to+1]...)
		for i := range len(hole) + 1 {
			joined = append(joined, hole[(from+i)%len(hole)])
		}
		outer = append(joined, outer[to:]...)
	}
	var list [][3]int32
	for len(outer) > 3 {
		ear := -1
		for i := range outer {
			if isEar(at, outer, i) {
				ear = i
				break
			}
		}
		if ear < 0 {
			panic("meshtest: the outline crosses itself or a hole")
		}
		n := len(outer)
		list = append(list, [3]int32{outer[(ear+n-1)%n], outer[ear], outer[(ear+1)%n]})
		outer = append(outer[:ear:ear], outer[ear+1:]...)
	}
	return append(list, [3]int32{outer[0], outer[1], outer[2]})
}

// bridge finds the ring's nearest corner that the hole's corner sees.
func bridge(at []r2.Point, ring, hole []int32, from int) int {
	p := at[hole[from]]
	best, nearest := -1, math.Inf(1)
	for i, v := range ring {
		q := at[v]
		d := q.Sub(p).Norm()
		if d >= nearest || q.X < p.X {
			continue
		}
		n := len(ring)
		if !inCorner(at[ring[(i+n-1)%n]], q, at[ring[(i+1)%n]], p) {
			continue
		}
		clear := true
		for k, a := range ring {
			b := ring[(k+1)%n]
			if at[a] != q && at[b] != q && crosses(p, q, at[a], at[b]) {
				clear = false
				break
			}
		}
		if clear {
			best, nearest = i, d
		}
	}
	if best < 0 {
		panic("meshtest: a hole lies outside its outline")
	}
	return best
}

// inCorner reports whether p lies in the corner a-q-b of a counter-clockwise ring.
func inCorner(a, q, b, p r2.Point) bool {
	left, right := side(a, q, p) > 0, side(q, b, p) > 0
	if side(a, q, b) >= 0 {
		return left && right
	}
	return left || right
}

func side(a, b, c r2.Point) float64 { return b.Sub(a).Cross(c.Sub(a)) }

func crosses(p, q, a, b r2.Point) bool {
	return side(p, q, a)*side(p, q, b) <= 0 && side(a, b, p)*side(a, b, q) <= 0
}

func isEar(at []r2.Point, ring []int32, i int) bool {
	n := len(ring)
	ia, ib, ic := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
	a, b, c := at[ia], at[ib], at[ic]
	if side(a, b, c) <= 0 {
		return false
	}
	for _, v := range ring {
		p := at[v]
		if p == a || p == b || p == c {
			continue
		}
		if side(a, b, p) >= 0 && side(b, c, p) >= 0 && side(c, a, p) >= 0 {
			return false
		}
	}
	return true
}

func ascending(list []float64) []float64 {
	slices.Sort(list)
	return slices.Compact(list)
}
