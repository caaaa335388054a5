package thickness

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// Blade is a wall or pin that stands free: thin, tall, held at one end.
type Blade struct {
	// Region is the index in the regions given.
	Region int
	// HeightMM is how far it stands out, from samples: good to ErrorMM. LengthMM is its other
	// extent: that along the wall, or about the thickness for a pin.
	HeightMM, LengthMM, ErrorMM float64
	// ThicknessMM is the region's value.
	ThicknessMM float64
	// Slenderness is height over thickness.
	Slenderness float64
	// Up points from the held end to the free one.
	Up  r3.Vector
	Pin bool
}

const (
	// bladeShare is how much thicker than its least a blade may grow towards its root: a draft
	// of 2 degrees a side over ten thicknesses is 0.7.
	bladeShare = 0.7
	// pinShare: no longer than this many thicknesses, it is a pin and not a wall.
	pinShare = 2
)

// Blades are the regions that stand free and are at least slenderness times as high as thick.
//
// The samples around the region whose wall is at most bladeShare thicker are taken for the
// blade. It stretches from end to end of them in two directions across its thickness; the one
// in which one end is in the open and the other in metal is its height. A web held at both ends
// is no blade, nor a plate held at none.
func (f *Field) Blades(regions []Region, slenderness float64) []Blade {
	var out []Blade
	for n := range regions {
		b, ok := f.blade(&regions[n])
		if !ok || b.Slenderness < slenderness {
			continue
		}
		b.Region = n
		// A square pin has two walls and is one pin: the thinner wall comes first.
		if !slices.ContainsFunc(out, func(o Blade) bool { return samePin(&o, &b, &regions[o.Region], &regions[n]) }) {
			out = append(out, b)
		}
	}
	return out
}

// samePin reports whether two blades are walls of one pin: its middle lies in the middle of both.
func samePin(a, b *Blade, r, s *Region) bool {
	if !a.Pin || !b.Pin || a.Up.Dot(b.Up) < turnCos {
		return false
	}
	d := s.A.Add(s.B).Sub(r.A.Add(r.B)).Mul(0.5)
	across := d.Sub(a.Up.Mul(d.Dot(a.Up)))
	return across.Norm() < (a.ThicknessMM+b.ThicknessMM)/2 && math.Abs(d.Dot(a.Up)) < max(a.HeightMM, b.HeightMM)+a.ErrorMM
}

func (f *Field) blade(r *Region) (Blade, bool) {
	points := f.around(r)
	if len(points) == 0 {
		return Blade{}, false
	}
	d := r.B.Sub(r.A).Normalize()
	u, v := principalAcross(points, d)
	mid := r.A.Add(r.B).Mul(0.5)
	type extent struct {
		axis     r3.Vector
		from, to float64
	}
	extents := [2]extent{}
	for i, axis := range [2]r3.Vector{u, v} {
		e := extent{axis, math.Inf(1), math.Inf(-1)}
		for _, p := range points {
			x := p.Sub(mid).Dot(axis)
			e.from, e.to = min(e.from, x), max(e.to, x)
		}
		extents[i] = e
	}
	step := f.CoverMM + r.ValueMM
	for i, e := range extents {
		other := extents[1-i]
		// The middle of the blade, so that a slanted end does not mislead the probe.
		base := mid.Add(other.axis.Mul((other.from + other.to) / 2))
		low := f.tree.Inside(base.Add(e.axis.Mul(e.from - step)))
		high := f.tree.Inside(base.Add(e.axis.Mul(e.to + step)))
		otherLow := f.tree.Inside(mid.Add(other.axis.Mul(other.from - step)))
		otherHigh := f.tree.Inside(mid.Add(other.axis.Mul(other.to + step)))
		if low == high || otherLow && otherHigh && other.to-other.from < e.to-e.from {
			continue
		}
		up := e.axis
		if high {
			up = up.Mul(-1)
		}
		height, length := e.to-e.from, other.to-other.from
		return Blade{
			HeightMM: height, LengthMM: length, ErrorMM: 2 * f.CoverMM, ThicknessMM: r.ValueMM,
			Slenderness: height / r.ValueMM, Up: up, Pin: length <= pinShare*r.ValueMM,
		}, true
	}
	return Blade{}, false
}

// around are the samples connected with the region through samples hardly thicker, by walking
// over neighbours on a grid of the pitch.
func (f *Field) around(r *Region) []r3.Vector {
	limit := r.ValueMM*(1+bladeShare) + f.RoundingMM
	step := linkPitches * f.PitchMM
	box := r.Bounds.AddPoint(r.A).AddPoint(r.B)
	for {
		grown := box
		var points []r3.Vector
		reach := box.Expand(step)
		for i := range f.Samples {
			s := &f.Samples[i]
			if !(float64(s.WallMM) <= limit) {
				continue
			}
			if p := f.Point(s); reach.Contains(p) {
				points = append(points, p)
				grown = grown.AddPoint(p)
			}
		}
		if grown == box {
			return points
		}
		box = grown
	}
}

// principalAcross are two directions across d along which the points spread most and least.
func principalAcross(points []r3.Vector, d r3.Vector) (u, v r3.Vector) {
	x := d.Ortho()
	y := d.Cross(x)
	var mx, my float64
	for _, p := range points {
		mx += p.Dot(x)
		my += p.Dot(y)
	}
	n := float64(len(points))
	mx, my = mx/n, my/n
	var xx, xy, yy float64
	for _, p := range points {
		a, b := p.Dot(x)-mx, p.Dot(y)-my
		xx, xy, yy = xx+a*a, xy+a*b, yy+b*b
	}
	// The angle of the larger axis of a symmetric 2x2 matrix.
	s, c := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	u = x.Mul(c).Add(y.Mul(s))
	return u, d.Cross(u)
}
