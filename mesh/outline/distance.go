package outline

import (
	"math"

	"github.com/golang/geo/r2"
)

// Clearance is the distance from q to the line, positive inside, and the piece that is nearest.
// It changes by at most 1 mm for each mm that q moves.
//
// The side is told from the nearest point alone: left of a straight piece, or on the inner
// side of an arc, is inside. Where the nearest point is a corner between two pieces, the
// tangents there decide: at a convex corner inside means left of both, at a reflex corner left
// of either (the argument of Baerentzen and Aanaes, Signed Distance Computation Using the Angle
// Weighted Pseudonormal, IEEE TVCG 2005, in the plane).
func (r *Region) Clearance(q r2.Point) (mm float64, piece int) {
	best := math.Inf(1)
	var where place
	for i := range r.Pieces {
		d, at := r.Pieces[i].distance(q)
		if d < best {
			best, piece, where = d, i, at
		}
	}
	if r.inside(q, piece, where) {
		return best, piece
	}
	return -best, piece
}

// place is where on a piece the nearest point lies.
type place uint8

const (
	between place = iota
	atStart
	atEnd
)

func (p *Piece) distance(q r2.Point) (float64, place) {
	if p.Arc {
		return p.arcDistance(q)
	}
	d := p.End.Sub(p.Start)
	t := q.Sub(p.Start).Dot(d) / d.Dot(d)
	switch {
	case !(t > 0):
		return q.Sub(p.Start).Norm(), atStart
	case t >= 1:
		return q.Sub(p.End).Norm(), atEnd
	}
	return math.Abs(d.Cross(q.Sub(p.Start))) / d.Norm(), between
}

func (p *Piece) arcDistance(q r2.Point) (float64, place) {
	if p.spans(q) {
		return math.Abs(q.Sub(p.Center).Norm() - p.RadiusMM), between
	}
	s, e := q.Sub(p.Start).Norm(), q.Sub(p.End).Norm()
	if s < e {
		return s, atStart
	}
	return e, atEnd
}

func (r *Region) inside(q r2.Point, piece int, where place) bool {
	p := &r.Pieces[piece]
	if where == between {
		if !p.Arc {
			return p.End.Sub(p.Start).Cross(q.Sub(p.Start)) >= 0
		}
		return (q.Sub(p.Center).Norm() <= p.RadiusMM) == p.CCW
	}
	n := len(r.Pieces)
	before, after := p, &r.Pieces[(piece+1)%n]
	if where == atStart {
		before, after = &r.Pieces[(piece+n-1)%n], p
	}
	corner := after.Start
	in, out := before.tangentAtEnd(), after.tangentAtStart()
	leftIn := in.Cross(q.Sub(corner)) >= 0
	leftOut := out.Cross(q.Sub(corner)) >= 0
	if in.Cross(out) >= 0 {
		return leftIn && leftOut
	}
	return leftIn || leftOut
}

// Gap is how far q lies on the inner side of piece i carried on without end: of its line, or of
// its whole circle. It is what a side of the pocket leaves to a body that it locates, corners
// or no corners, and is exact for a straight side.
func (r *Region) Gap(i int, q r2.Point) float64 {
	p := &r.Pieces[i]
	if p.Arc {
		g := p.RadiusMM - q.Sub(p.Center).Norm()
		if !p.CCW {
			return -g
		}
		return g
	}
	d := p.End.Sub(p.Start)
	return d.Cross(q.Sub(p.Start)) / d.Norm()
}

// Faces reports whether q lies opposite piece i: between the normals at its two ends.
func (r *Region) Faces(i int, q r2.Point) bool {
	p := &r.Pieces[i]
	if p.Arc {
		return p.spans(q)
	}
	d := p.End.Sub(p.Start)
	t := q.Sub(p.Start).Dot(d)
	return t >= 0 && t <= d.Dot(d)
}

// LeastOverTriangle is the least clearance over the triangle with the given corners, where it
// is and by which piece, to within slack.
//
// For a convex region the clearance is a concave function (the signed distance of a convex set
// is convex), so its least value over a triangle is at a corner, exactly. Otherwise the
// triangle is halved along its longest edge until the clearance is concave over each part (see
// concaveWithin) or the least corner value is within slack of what the 1-Lipschitz bound leaves
// open. The bound alone would not do: along a wall that runs parallel to the outline it asks for parts
// as small as the slack, and a wall of 40 mm took minutes.
func (r *Region) LeastOverTriangle(a, b, c r2.Point, slack float64) (mm float64, at r2.Point, piece int) {
	mm = math.Inf(1)
	corner := func(q r2.Point) {
		if d, i := r.Clearance(q); d < mm {
			mm, at, piece = d, q, i
		}
	}
	corner(a)
	corner(b)
	corner(c)
	if r.convex {
		return mm, at, piece
	}
	type triangle struct{ a, b, c r2.Point }
	stack := []triangle{{a, b, c}}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		// No point is further from the middle of the longest edge than half that edge.
		ab, bc, ca := t.b.Sub(t.a).Norm(), t.c.Sub(t.b).Norm(), t.a.Sub(t.c).Norm()
		for !(ab >= bc && ab >= ca) {
			t = triangle{t.b, t.c, t.a}
			ab, bc, ca = bc, ca, ab
		}
		mid := t.a.Add(t.b).Mul(0.5)
		reach := max(ab/2, t.c.Sub(mid).Norm())
		corner(mid)
		d, _ := r.Clearance(mid)
		if d-reach >= mm-slack || r.concaveWithin(mid, d, reach) {
			continue
		}
		stack = append(stack, triangle{t.b, t.c, mid}, triangle{t.c, t.a, mid})
	}
	return mm, at, piece
}

// concaveWithin reports whether the clearance, d at q, is surely a concave function on the disc
// of radius reach about q. Its least value over a triangle in the disc is then at a corner.
//
// A piece that is not nearest anywhere in the disc is farther from q than |d| + 2 reach. With one
// piece left, straight or bulging outwards, the clearance is linear, or a radius less the
// distance from a centre. With several, and the disc inside the region, it is the least of such
// functions, unless a reflex corner is among the nearest points, which then belongs to two
// neighbours that are both left.
func (r *Region) concaveWithin(q r2.Point, d, reach float64) bool {
	within := math.Abs(d) + 2*reach
	n := len(r.Pieces)
	left := 0
	isNear := func(i int) bool {
		far, _ := r.Pieces[i].distance(q)
		return far <= within
	}
	before := isNear(n - 1)
	for i := range n {
		near := isNear(i)
		if near {
			p := &r.Pieces[i]
			if left++; p.Arc && !p.CCW {
				return false
			}
			if before && r.Pieces[(i+n-1)%n].tangentAtEnd().Cross(p.tangentAtStart()) < 0 {
				return false
			}
		}
		before = near
	}
	return left == 1 || d > reach
}
