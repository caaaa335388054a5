package shape

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// Placement is an axis2_placement_3d as evaluation wants it: the origin and three unit axes.
// Fields are to be read, not written.
type Placement struct {
	Origin, X, Y, Z r3.Vector
}

// Place takes the axes out of a motion. Its scale is not looked at: radii and steps along the
// axes are lengths already.
func Place(m geom.Motion) Placement {
	r := &m.Rotation
	return Placement{
		Origin: m.Translation,
		X:      r3.Vector{X: r[0].X, Y: r[1].X, Z: r[2].X},
		Y:      r3.Vector{X: r[0].Y, Y: r[1].Y, Z: r[2].Y},
		Z:      r3.Vector{X: r[0].Z, Y: r[1].Z, Z: r[2].Z},
	}
}

// local resolves p along the axes.
func (f *Placement) local(p r3.Vector) (x, y, z float64) {
	d := p.Sub(f.Origin)
	return d.Dot(f.X), d.Dot(f.Y), d.Dot(f.Z)
}

// around holds the radial and tangential unit vectors at angle u.
func (f *Placement) around(u float64) (radial, tangential r3.Vector) {
	s, c := math.Sincos(u)
	return combine2(f.X, c, f.Y, s), combine2(f.X, -s, f.Y, c)
}

func combine2(a r3.Vector, s float64, b r3.Vector, t float64) r3.Vector {
	return r3.Vector{X: a.X*s + b.X*t, Y: a.Y*s + b.Y*t, Z: a.Z*s + b.Z*t}
}

func addScaled(p, d r3.Vector, s float64) r3.Vector {
	return r3.Vector{X: p.X + d.X*s, Y: p.Y + d.Y*s, Z: p.Z + d.Z*s}
}

// fullTurn is the period of an angle.
const fullTurn = 2 * math.Pi

// turnUp brings an angle from (-pi, pi] into [0, 2 pi).
func turnUp(a float64) float64 {
	if a < 0 {
		a += fullTurn
		// The largest double under 2 pi: an angle of minus nothing is nothing.
		if a >= fullTurn {
			return 0
		}
	}
	return a
}

// nearPeriod shifts t by whole periods to be as near to the hint as it can be.
func nearPeriod(t, hint, period float64) float64 {
	return t + period*math.Round((hint-t)/period)
}

// intoPeriod shifts t by whole periods into [lo, lo+period); values in the closed interval
// stay, so that the end of a closed curve remains its end.
func intoPeriod(t, lo, period float64) float64 {
	if t >= lo && t <= lo+period {
		return t
	}
	t -= period * math.Floor((t-lo)/period)
	// Rounding may leave t a little outside.
	return min(max(t, lo), lo+period)
}

// angleAround is the angle of the local point (x, y), the hint's own where the point lies on
// the axis, and in the hint's period where there is one.
func angleAround(x, y float64, hint float64, hinted bool) float64 {
	if hinted && math.Hypot(x, y) <= tol.PoleMM {
		return hint
	}
	u := turnUp(math.Atan2(y, x))
	if hinted {
		return nearPeriod(u, hint, fullTurn)
	}
	return u
}

func finite(v r3.Vector) bool {
	// A NaN or an infinity survives subtraction from itself.
	return v.X-v.X == 0 && v.Y-v.Y == 0 && v.Z-v.Z == 0
}

func finiteNumber(x float64) bool { return x-x == 0 }

func checkRadius(what string, r float64) error {
	if !(r > 0) || !finiteNumber(r) {
		return fmt.Errorf("%s %v is not a positive length", what, r)
	}
	return nil
}

func checkPlacement(m geom.Motion) error {
	if !finite(m.Translation) || !finite(m.Rotation[0]) || !finite(m.Rotation[1]) || !finite(m.Rotation[2]) {
		return fmt.Errorf("placement has a coordinate that is not a number")
	}
	return nil
}
