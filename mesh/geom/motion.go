package geom

import (
	"math"

	"github.com/golang/geo/r3"
)

// Motion carries a point x to Rotation*x*Scale + Translation. Rotation is stored by rows and
// is orthonormal with determinant +1 for every motion made by this package's constructors;
// Scale is 1 except where a unit is being converted.
type Motion struct {
	Rotation    [3]r3.Vector
	Translation r3.Vector
	Scale       float64
}

// Identity leaves every point where it is.
func Identity() Motion {
	return Motion{Rotation: [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}, Scale: 1}
}

// Translate moves by d.
func Translate(d r3.Vector) Motion {
	m := Identity()
	m.Translation = d
	return m
}

// ScaleBy multiplies every coordinate by s about the origin.
func ScaleBy(s float64) Motion {
	m := Identity()
	m.Scale = s
	return m
}

// Rotate turns by angle radians about the axis through the origin, right-handed (Rodrigues).
func Rotate(axis r3.Vector, angle float64) Motion {
	k := axis.Normalize()
	s, c := math.Sincos(angle)
	t := 1 - c
	return Motion{
		Rotation: [3]r3.Vector{
			{X: c + k.X*k.X*t, Y: k.X*k.Y*t - k.Z*s, Z: k.X*k.Z*t + k.Y*s},
			{X: k.Y*k.X*t + k.Z*s, Y: c + k.Y*k.Y*t, Z: k.Y*k.Z*t - k.X*s},
			{X: k.Z*k.X*t - k.Y*s, Y: k.Z*k.Y*t + k.X*s, Z: c + k.Z*k.Z*t},
		},
		Scale: 1,
	}
}

// Frame carries the standard axes to a placement: origin at o, z along axis, x along ref made
// square to axis. It is the axis2_placement_3d of ISO 10303-42.
func Frame(o, axis, ref r3.Vector) Motion {
	z := axis.Normalize()
	x := ref.Sub(z.Mul(ref.Dot(z))).Normalize()
	if x == (r3.Vector{}) {
		x = z.Ortho()
	}
	y := z.Cross(x)
	return Motion{
		Rotation: [3]r3.Vector{
			{X: x.X, Y: y.X, Z: z.X},
			{X: x.Y, Y: y.Y, Z: z.Y},
			{X: x.Z, Y: y.Z, Z: z.Z},
		},
		Translation: o,
		Scale:       1,
	}
}

// Direction turns a direction; it neither moves nor scales it.
func (m Motion) Direction(d r3.Vector) r3.Vector {
	return r3.Vector{X: m.Rotation[0].Dot(d), Y: m.Rotation[1].Dot(d), Z: m.Rotation[2].Dot(d)}
}

// Point carries a point.
func (m Motion) Point(p r3.Vector) r3.Vector {
	return m.Direction(p).Mul(m.Scale).Add(m.Translation)
}

// After is the motion that does first and then m.
func (m Motion) After(first Motion) Motion {
	var r Motion
	cols := [3]r3.Vector{
		{X: first.Rotation[0].X, Y: first.Rotation[1].X, Z: first.Rotation[2].X},
		{X: first.Rotation[0].Y, Y: first.Rotation[1].Y, Z: first.Rotation[2].Y},
		{X: first.Rotation[0].Z, Y: first.Rotation[1].Z, Z: first.Rotation[2].Z},
	}
	for i, row := range m.Rotation {
		r.Rotation[i] = r3.Vector{X: row.Dot(cols[0]), Y: row.Dot(cols[1]), Z: row.Dot(cols[2])}
	}
	r.Scale = m.Scale * first.Scale
	r.Translation = m.Point(first.Translation)
	return r
}

// Inverse undoes m, to rounding.
func (m Motion) Inverse() Motion {
	var inv Motion
	inv.Rotation = [3]r3.Vector{
		{X: m.Rotation[0].X, Y: m.Rotation[1].X, Z: m.Rotation[2].X},
		{X: m.Rotation[0].Y, Y: m.Rotation[1].Y, Z: m.Rotation[2].Y},
		{X: m.Rotation[0].Z, Y: m.Rotation[1].Z, Z: m.Rotation[2].Z},
	}
	inv.Scale = 1 / m.Scale
	inv.Translation = inv.Direction(m.Translation).Mul(-inv.Scale)
	return inv
}

// IsIdentity reports whether m is exactly the identity.
func (m Motion) IsIdentity() bool { return m == Identity() }
