package geom

import (
	"math"

	"github.com/golang/geo/r3"
)

// Box is an axis-aligned box in millimetres. The zero Box is the point at the origin; use
// EmptyBox as the start of a union.
type Box struct {
	Min, Max r3.Vector
}

// EmptyBox contains nothing, and any union with it is the other operand.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Min: r3.Vector{X: inf, Y: inf, Z: inf}, Max: r3.Vector{X: -inf, Y: -inf, Z: -inf}}
}

// BoxOf is the least box around the points.
func BoxOf(points []r3.Vector) Box {
	b := EmptyBox()
	for _, p := range points {
		b = b.AddPoint(p)
	}
	return b
}

// IsEmpty reports whether no point lies in the box.
func (b Box) IsEmpty() bool {
	return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y || b.Min.Z > b.Max.Z
}

// AddPoint is the least box around b and p.
func (b Box) AddPoint(p r3.Vector) Box {
	return Box{
		Min: r3.Vector{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y), Z: min(b.Min.Z, p.Z)},
		Max: r3.Vector{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y), Z: max(b.Max.Z, p.Z)},
	}
}

// Union is the least box around both.
func (b Box) Union(o Box) Box {
	return Box{
		Min: r3.Vector{X: min(b.Min.X, o.Min.X), Y: min(b.Min.Y, o.Min.Y), Z: min(b.Min.Z, o.Min.Z)},
		Max: r3.Vector{X: max(b.Max.X, o.Max.X), Y: max(b.Max.Y, o.Max.Y), Z: max(b.Max.Z, o.Max.Z)},
	}
}

// Intersection is what both hold; it is empty when they are apart.
func (b Box) Intersection(o Box) Box {
	return Box{
		Min: r3.Vector{X: max(b.Min.X, o.Min.X), Y: max(b.Min.Y, o.Min.Y), Z: max(b.Min.Z, o.Min.Z)},
		Max: r3.Vector{X: min(b.Max.X, o.Max.X), Y: min(b.Max.Y, o.Max.Y), Z: min(b.Max.Z, o.Max.Z)},
	}
}

// Expand grows the box by d on every side (shrinks it where d is negative).
func (b Box) Expand(d float64) Box {
	e := r3.Vector{X: d, Y: d, Z: d}
	return Box{Min: b.Min.Sub(e), Max: b.Max.Add(e)}
}

// Contains reports whether p lies in the closed box.
func (b Box) Contains(p r3.Vector) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y && p.Z >= b.Min.Z && p.Z <= b.Max.Z
}

// Size holds the side lengths; all zero for an empty box.
func (b Box) Size() r3.Vector {
	if b.IsEmpty() {
		return r3.Vector{}
	}
	return b.Max.Sub(b.Min)
}

// Center is the midpoint.
func (b Box) Center() r3.Vector { return b.Min.Add(b.Max).Mul(0.5) }

// Diagonal is the length of the space diagonal, 0 for an empty box.
func (b Box) Diagonal() float64 { return b.Size().Norm() }

// VolumeMM3 is the content of the box, 0 when empty.
func (b Box) VolumeMM3() float64 {
	s := b.Size()
	return s.X * s.Y * s.Z
}

// MaxAbs is the largest coordinate magnitude: the M of the rounding bounds in mesh/tol.
func (b Box) MaxAbs() float64 {
	if b.IsEmpty() {
		return 0
	}
	m := 0.0
	for _, v := range [...]float64{b.Min.X, b.Min.Y, b.Min.Z, b.Max.X, b.Max.Y, b.Max.Z} {
		m = max(m, math.Abs(v))
	}
	return m
}

// Corners are the eight corners: bit 0 of the index takes Max for x, bit 1 for y, bit 2 for z.
func (b Box) Corners() [8]r3.Vector {
	var c [8]r3.Vector
	for i := range c {
		c[i] = b.Min
		if i&1 != 0 {
			c[i].X = b.Max.X
		}
		if i&2 != 0 {
			c[i].Y = b.Max.Y
		}
		if i&4 != 0 {
			c[i].Z = b.Max.Z
		}
	}
	return c
}

// Moved is the box around the box carried by a motion: of turns other than by quarters it is wider
// than what the box held.
func (b Box) Moved(m Motion) Box {
	out := EmptyBox()
	for _, c := range b.Corners() {
		out = out.AddPoint(m.Point(c))
	}
	return out
}
