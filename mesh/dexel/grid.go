package dexel

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

// Axis is the direction of the rays.
type Axis uint8

// The three directions.
const (
	X Axis = iota
	Y
	Z
)

func (a Axis) String() string { return [...]string{"x", "y", "z"}[a] }

// plane names the coordinates (u, v) across and w along the rays; u, v, w is right-handed, so
// that a triangle seen counter-clockwise in (u, v) faces up the ray.
func (a Axis) plane() (u, v, w int) { return (int(a) + 1) % 3, (int(a) + 2) % 3, int(a) }

// MaxSide is the greatest number of rays along a side of a grid: ray indices within a band of
// rows then fit 32 bits with room.
const MaxSide = 1 << 15

// Grid places the rays: row j has its rays at u = rowU[j] + i*pitchU, v = rowV[j].
type Grid struct {
	frame          Frame
	axis           Axis
	nu, nv         int
	baseU, baseV   int32
	pitchU, pitchV int32
	rowU, rowV     []int32
	endU           int32 // no ray is at or beyond it
	loose          bool  // rows lie anywhere, in order, and not each in its own strip
}

// NewGrid divides the cross-section of over, seen along axis, into nu by nv cells with a ray
// at the middle of each; over is in the frame's axes. Pitches are rounded up to whole quanta, so the grid covers the box.
func NewGrid(f Frame, axis Axis, over geom.Box, nu, nv int) (*Grid, error) {
	if nu < 1 || nv < 1 || nu > MaxSide || nv > MaxSide {
		return nil, fmt.Errorf("dexel grid: %d x %d rays; a side has 1 to %d", nu, nv, MaxSide)
	}
	g := &Grid{frame: f, axis: axis, nu: nu, nv: nv}
	u, v, _ := axis.plane()
	g.baseU, g.pitchU = f.cells(over, u, nu)
	g.baseV, g.pitchV = f.cells(over, v, nv)
	if int64(g.baseU)+int64(g.pitchU)*int64(nu) > span30 || int64(g.baseV)+int64(g.pitchV)*int64(nv) > span30 {
		return nil, fmt.Errorf("dexel grid: the box %v lies outside the frame", over)
	}
	g.endU = g.baseU + g.pitchU*int32(nu)
	rows := make([]int32, 2*nv)
	g.rowU, g.rowV = rows[:nv:nv], rows[nv:]
	for j := range nv {
		g.rowU[j] = g.baseU + g.pitchU/2
		g.rowV[j] = g.baseV + g.pitchV*int32(j) + g.pitchV/2
	}
	return g, nil
}

func component(p r3.Vector, k int) float64 {
	switch k {
	case 0:
		return p.X
	case 1:
		return p.Y
	}
	return p.Z
}

// cells is the low end and pitch of n cells over the box along coordinate k.
func (f Frame) cells(over geom.Box, k, n int) (base, pitch int32) {
	origin := component(f.origin, k)
	low := math.Floor((component(over.Min, k) - origin) / f.quantumMM)
	low = min(max(low, 0), span30)
	wide := (component(over.Max, k) - origin) / f.quantumMM
	pitch = int32(min(max(math.Ceil((wide-low)/float64(n)), 1), span30))
	return int32(low), pitch
}

// Scatter moves every row to a random place in its own strip and shifts its rays by a random
// part of a pitch, all drawn from seed. Row sums over a scattered grid are independent of one
// another, which makes their spread an honest measure of the error of their total: a regular
// grid can be in step with the part, and its error then shows in no difference between rays.
func (g *Grid) Scatter(seed uint64) *Grid {
	s := *g
	rows := make([]int32, 2*g.nv)
	s.rowU, s.rowV = rows[:g.nv:g.nv], rows[g.nv:]
	for j := range g.nv {
		a := mix(seed + 2*uint64(j))
		b := mix(seed + 2*uint64(j) + 1)
		s.rowU[j] = g.baseU + int32(a%uint64(g.pitchU))
		s.rowV[j] = g.baseV + g.pitchV*int32(j) + int32(b%uint64(g.pitchV))
	}
	return &s
}

// mix is the finalizer of SplitMix64 (Steele, Lea and Flood, Fast Splittable Pseudorandom
// Number Generators, OOPSLA 2014).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// Axis is the direction of the rays.
func (g *Grid) Axis() Axis { return g.axis }

// Size is the number of rays in a row and the number of rows.
func (g *Grid) Size() (nu, nv int) { return g.nu, g.nv }

// PitchMM is the size of a cell.
func (g *Grid) PitchMM() (u, v float64) {
	return float64(g.pitchU) * g.frame.quantumMM, float64(g.pitchV) * g.frame.quantumMM
}

// CellMM2 is the area that a ray stands for.
func (g *Grid) CellMM2() float64 {
	u, v := g.PitchMM()
	return u * v
}

// QuantumMM is the unit of places along a ray.
func (g *Grid) QuantumMM() float64 { return g.frame.quantumMM }

// Along is the coordinate of a place along a ray, mm, in the frame's axes.
func (g *Grid) Along(w int32) float64 {
	_, _, k := g.axis.plane()
	return component(g.frame.origin, k) + float64(w)*g.frame.quantumMM
}

// Place is the place along a ray nearest to a coordinate in mm, held in the frame.
func (g *Grid) Place(coordinateMM float64) int32 {
	_, _, k := g.axis.plane()
	return g.frame.units(coordinateMM - component(g.frame.origin, k))
}

// Point is the point at w on ray i of row j, in the model's axes.
func (g *Grid) Point(i, j int, w int32) r3.Vector {
	u, v, k := g.axis.plane()
	var p [3]float64
	p[u] = component(g.frame.origin, u) + float64(int64(g.rowU[j])+int64(i)*int64(g.pitchU))*g.frame.quantumMM
	p[v] = component(g.frame.origin, v) + float64(g.rowV[j])*g.frame.quantumMM
	p[k] = component(g.frame.origin, k) + float64(w)*g.frame.quantumMM
	at := r3.Vector{X: p[0], Y: p[1], Z: p[2]}
	if g.frame.turned {
		at = g.frame.back.Point(at)
	}
	return at
}

// Locate is where a point in the model's axes lies: between which rays of a regular grid, as a
// fraction of rays from the first, and at which place along them.
func (g *Grid) Locate(p r3.Vector) (i, j float64, w int32) {
	if g.frame.turned {
		p = g.frame.turn.Point(p)
	}
	u, v, k := g.axis.plane()
	q := g.frame.quantumMM
	i = ((component(p, u)-component(g.frame.origin, u))/q - float64(g.rowU[0])) / float64(g.pitchU)
	j = ((component(p, v)-component(g.frame.origin, v))/q - float64(g.rowV[0])) / float64(g.pitchV)
	return i, j, g.frame.units(component(p, k) - component(g.frame.origin, k))
}

// NewProbe is a grid of one ray a row, a ray through each of the points, which are in the model's
// axes; point k has row row[k].
func NewProbe(f Frame, axis Axis, points []r3.Vector) (g *Grid, row []int, err error) {
	if len(points) == 0 || len(points) > MaxSide {
		return nil, nil, fmt.Errorf("dexel probe: %d points; 1 to %d are possible", len(points), MaxSide)
	}
	u, v, _ := axis.plane()
	type place struct{ u, v int32 }
	at := make([]place, len(points))
	order := make([]int, len(points))
	for k, p := range points {
		if f.turned {
			p = f.turn.Point(p)
		}
		at[k] = place{f.units(component(p, u) - component(f.origin, u)), f.units(component(p, v) - component(f.origin, v))}
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(at[a].v, at[b].v) })
	g = &Grid{frame: f, axis: axis, nu: 1, nv: len(points), pitchU: 1, pitchV: 1, loose: true}
	row = make([]int, len(points))
	g.baseU = math.MaxInt32
	for j, k := range order {
		row[k] = j
		g.rowU, g.rowV = append(g.rowU, at[k].u), append(g.rowV, at[k].v)
		g.baseU, g.endU = min(g.baseU, at[k].u), max(g.endU, at[k].u+1)
	}
	return g, row, nil
}

// bandRays is about how many rays a band has: its crossings, 8 bytes each, then stay in a
// second-level cache of 1 MB. 2000 x 2000 rays make 125 bands.
const bandRays = 1 << 15

// bandRows is the number of rows of a band; there are at least a few bands for each core, and
// their number does not depend on the number of cores.
func (g *Grid) bandRows() int {
	const leastBands = 16
	return max(1, min(bandRays/g.nu, (g.nv+leastBands-1)/leastBands))
}

// Bands is the number of bands that Scan makes.
func (g *Grid) Bands() int {
	r := g.bandRows()
	return (g.nv + r - 1) / r
}

// firstRow is the lowest row at or above v.
func (g *Grid) firstRow(v int32) int {
	if g.loose {
		j, _ := slices.BinarySearch(g.rowV, v)
		return j
	}
	if v < g.baseV {
		return 0
	}
	j := int((v - g.baseV) / g.pitchV)
	if j >= g.nv {
		return g.nv
	}
	// Row j-1 lies in the strip below that of v, row j+1 in the one above.
	if g.rowV[j] < v {
		j++
	}
	return j
}

// lastRow is the highest row at or below v, -1 for none.
func (g *Grid) lastRow(v int32) int {
	if g.loose {
		j, _ := slices.BinarySearch(g.rowV, v+1)
		return j - 1
	}
	j := g.firstRow(v)
	if j < g.nv && g.rowV[j] == v {
		return j
	}
	return j - 1
}
