// Package outline measures distances to a closed plane line of straight and round pieces: the
// mouth of a pocket seen along its axis.
//
// Lengths are millimetres. The line runs counter-clockwise, so the inside is on the left of
// every straight piece. Distances are exact for both kinds of piece up to rounding; nothing is
// approximated by a polygon.
package outline

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/tol"
)

// Piece is one straight or round part of the line, from Start to End.
type Piece struct {
	Name       string
	Start, End r2.Point
	// Arc is set for a round piece about Center; CCW where it turns left, bulging outwards.
	Arc      bool
	Center   r2.Point
	RadiusMM float64
	CCW      bool
}

// Region is what the line encloses.
type Region struct {
	Pieces []Piece
	convex bool
}

// New checks that the pieces form a closed, counter-clockwise line and takes them over.
func New(pieces []Piece) (*Region, error) {
	if len(pieces) < 2 {
		return nil, fmt.Errorf("an outline needs at least two pieces, this has %d", len(pieces))
	}
	size := 0.0
	for _, p := range pieces {
		size = max(size, p.Start.Norm(), p.End.Norm(), p.RadiusMM)
	}
	for i, p := range pieces {
		next := pieces[(i+1)%len(pieces)]
		if gap := next.Start.Sub(p.End).Norm(); gap > tol.OutlineGapMM {
			return nil, fmt.Errorf("piece %d (%s) ends %.4g mm from the start of the next", i+1, p.Name, gap)
		}
		if p.Arc && p.RadiusMM <= 0 {
			return nil, fmt.Errorf("piece %d (%s) is an arc of radius %g mm", i+1, p.Name, p.RadiusMM)
		}
	}
	r := &Region{Pieces: pieces}
	if a := r.AreaMM2(); !(a > 0) {
		return nil, fmt.Errorf("the outline encloses %g mm2: it must run counter-clockwise around an area", a)
	}
	r.convex = r.isConvex()
	return r, nil
}

// Convex reports whether no straight line meets the region in two separate stretches.
func (r *Region) Convex() bool { return r.convex }

// isConvex asks that every arc bulges outwards and that the direction never turns right where
// two pieces meet. A tangent join turns by rounding only, either way.
func (r *Region) isConvex() bool {
	for i, p := range r.Pieces {
		if p.Arc && !p.CCW {
			return false
		}
		next := r.Pieces[(i+1)%len(r.Pieces)]
		if p.tangentAtEnd().Cross(next.tangentAtStart()) < -tol.TangentSine {
			return false
		}
	}
	return true
}

func (p Piece) tangentAtStart() r2.Point { return p.tangent(p.Start) }
func (p Piece) tangentAtEnd() r2.Point   { return p.tangent(p.End) }

func (p Piece) tangent(at r2.Point) r2.Point {
	if !p.Arc {
		return p.End.Sub(p.Start).Normalize()
	}
	t := at.Sub(p.Center).Ortho().Normalize()
	if !p.CCW {
		t = t.Mul(-1)
	}
	return t
}

// Sweep is the angle an arc turns through, in (0, 2 pi]; 0 for a straight piece.
func (p Piece) Sweep() float64 {
	if !p.Arc {
		return 0
	}
	a := p.Start.Sub(p.Center)
	b := p.End.Sub(p.Center)
	angle := math.Atan2(a.Cross(b), a.Dot(b))
	if !p.CCW {
		angle = -angle
	}
	if angle <= 0 {
		angle += 2 * math.Pi
	}
	return angle
}

// AreaMM2 is what the line encloses (Green's theorem; a round piece adds its circular segment).
func (r *Region) AreaMM2() float64 {
	sum := 0.0
	for _, p := range r.Pieces {
		sum += p.Start.Cross(p.End) / 2
		if p.Arc {
			s := p.Sweep()
			segment := p.RadiusMM * p.RadiusMM * (s - math.Sin(s)) / 2
			if !p.CCW {
				segment = -segment
			}
			sum += segment
		}
	}
	return sum
}

// Bounds is the least rectangle around the region.
func (r *Region) Bounds() r2.Rect {
	b := r2.EmptyRect()
	for _, p := range r.Pieces {
		b = b.AddPoint(p.Start)
		if !p.Arc {
			continue
		}
		for k := range 4 {
			s, c := math.Sincos(float64(k) * math.Pi / 2)
			q := p.Center.Add(r2.Point{X: c, Y: s}.Mul(p.RadiusMM))
			if p.spans(q) {
				b = b.AddPoint(q)
			}
		}
	}
	return b
}

// spans reports whether the ray from an arc's centre through q meets the arc: whether it lies left of the ray through
// the arc's start and right of that through its end, or for an arc of half a turn and more not within what is left out.
// Signs of cross products tell that; an angle for every point asked took most of the time of a clearance.
func (p *Piece) spans(q r2.Point) bool {
	start, end, v := p.Start.Sub(p.Center), p.End.Sub(p.Center), q.Sub(p.Center)
	if !p.CCW {
		start, end = end, start
	}
	if start.Cross(end) > 0 {
		return start.Cross(v) >= 0 && v.Cross(end) >= 0
	}
	return !(end.Cross(v) > 0 && v.Cross(start) > 0)
}

// Polyline is the line as points no further than deflection from it, for pictures only.
func (r *Region) Polyline(deflection float64) []r2.Point {
	var pts []r2.Point
	for _, p := range r.Pieces {
		pts = append(pts, p.Start)
		if !p.Arc {
			continue
		}
		sweep := p.Sweep()
		step := 2 * math.Acos(max(0, 1-deflection/p.RadiusMM))
		n := int(math.Ceil(sweep / step))
		for i := 1; i < n; i++ {
			a := sweep * float64(i) / float64(n)
			if !p.CCW {
				a = -a
			}
			s, c := math.Sincos(a)
			d := p.Start.Sub(p.Center)
			pts = append(pts, p.Center.Add(r2.Point{X: d.X*c - d.Y*s, Y: d.X*s + d.Y*c}))
		}
	}
	return pts
}
