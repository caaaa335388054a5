package measure

import (
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/outline"
	"pocketgauge/mesh/parallel"
)

// Clearance is how near a body comes to one piece of an outline.
type Clearance struct {
	// Touched is false where no part of the body between the heights has this piece nearest or,
	// in a convex outline, lies opposite it.
	Touched bool
	// LeastMM is the least signed clearance from this piece of surface points that have it
	// nearest or, in a convex outline, lie opposite it: negative outside the outline. ErrorMM
	// bounds its error, At is the place.
	LeastMM, ErrorMM float64
	At               r3.Vector
	// Faced is set where some of the surface lies opposite the piece. GapMM is then the least
	// distance to the piece's line or circle carried on without end: what the body leaves free
	// on that side as a whole.
	Faced             bool
	GapMM, GapErrorMM float64
	GapAt             r3.Vector
}

// ClearanceSlackMM is how closely the least clearance over a triangle is sought where the outline
// is not convex; it is added to the error there. Half a micrometre is under any fit.
const ClearanceSlackMM = 0.0005

// Clearances measures the body's surface between two heights against every piece of an outline
// in the xy plane. errorOf bounds how far a triangle stands off the true surface.
//
// Triangles are cut at the heights first. On a convex outline the clearance is concave, so the
// corners of the cut triangle hold its least value and the result is exact for the mesh.
//
// What lies well inside of the outline is left out at first, and looked at only where without it
// some piece is not found nearer than that.
func Clearances(m *mesh.Mesh, r *outline.Region, low, high float64, errorOf func(t int) float64) []Clearance {
	if inner := r.Inner(innerMM); !inner.IsEmpty() {
		if c, mostError := clearances(m, r, low, high, errorOf, inner); allNearer(c, innerMM-mostError) {
			return c
		}
	}
	c, _ := clearances(m, r, low, high, errorOf, r2.EmptyRect())
	return c
}

// innerMM is how far inside of the outline surface is left out at first: more than a body that fits leaves free.
const innerMM = 2

// allNearer reports whether nothing further away than that can alter what is found.
func allNearer(list []Clearance, mm float64) bool {
	for i := range list {
		if c := &list[i]; !c.Touched || !c.Faced || c.LeastMM-c.ErrorMM >= mm || c.GapMM >= mm {
			return false
		}
	}
	return true
}

// clearances leaves out the triangles within inner, and gives the largest error of those too.
func clearances(m *mesh.Mesh, r *outline.Region, low, high float64, errorOf func(t int) float64, inner r2.Rect) ([]Clearance, float64) {
	n := len(r.Pieces)
	chunks := (len(m.Triangles) + chunk - 1) / chunk
	parts := make([][]Clearance, chunks)
	errors := make([]float64, chunks)
	within := func(p r3.Vector) bool {
		return p.X > inner.X.Lo && p.X < inner.X.Hi && p.Y > inner.Y.Lo && p.Y < inner.Y.Hi
	}
	parallel.Each(chunks, func(i, _ int) {
		c := make([]Clearance, n)
		for k := range c {
			c[k].LeastMM, c[k].GapMM = math.Inf(1), math.Inf(1)
		}
		var poly [8]r3.Vector
		for t := i * chunk; t < min((i+1)*chunk, len(m.Triangles)); t++ {
			a, b, d := m.Corners(t)
			err := errorOf(t)
			errors[i] = max(errors[i], err)
			if within(a) && within(b) && within(d) {
				continue
			}
			clearTriangle(c, r, clipHeights(poly[:0], a, b, d, low, high), err)
		}
		parts[i] = c
	})
	total := make([]Clearance, n)
	for k := range total {
		total[k].LeastMM, total[k].GapMM = math.Inf(1), math.Inf(1)
		for _, p := range parts {
			total[k].take(p[k])
		}
	}
	return total, slices.Max(append(errors, 0))
}

// take keeps the lesser of two findings on one piece. Of equal values the first stays, so the
// order of the triangles decides and nothing else.
func (c *Clearance) take(o Clearance) {
	if o.Touched && (!c.Touched || o.LeastMM-o.ErrorMM < c.LeastMM-c.ErrorMM) {
		c.Touched, c.LeastMM, c.ErrorMM, c.At = true, o.LeastMM, o.ErrorMM, o.At
	}
	if o.Faced && (!c.Faced || o.GapMM < c.GapMM) {
		c.Faced, c.GapMM, c.GapErrorMM, c.GapAt = true, o.GapMM, o.GapErrorMM, o.GapAt
	}
}

func clearTriangle(c []Clearance, r *outline.Region, poly []r3.Vector, err float64) {
	convex := r.Convex()
	for i := range poly {
		q := r2.Point{X: poly[i].X, Y: poly[i].Y}
		d, k := r.Clearance(q)
		c[k].take(Clearance{Touched: true, LeastMM: d, ErrorMM: err, At: poly[i]})
		for k := range r.Pieces {
			// Carried on without end: a piece is faced by what is opposite any part of it, and
			// an edge of the polygon that passes over it faces it too.
			next := poly[(i+1)%len(poly)]
			faces := r.Faces(k, q)
			if !faces && !r.Faces(k, r2.Point{X: (q.X + next.X) / 2, Y: (q.Y + next.Y) / 2}) {
				continue
			}
			g := r.Gap(k, q)
			c[k].take(Clearance{Faced: true, GapMM: g, GapErrorMM: err, GapAt: poly[i]})
			// A side may ask for more than the one that is nearer: inside a convex line, the
			// distance to the piece that a point is opposite is the gap.
			if convex && faces && d >= 0 {
				c[k].take(Clearance{Touched: true, LeastMM: g, ErrorMM: err, At: poly[i]})
			}
		}
	}
	if convex || len(poly) < 3 {
		return
	}
	for i := 1; i+1 < len(poly); i++ {
		a, b, d := poly[0], poly[i], poly[i+1]
		mm, at, k := r.LeastOverTriangle(r2.Point{X: a.X, Y: a.Y}, r2.Point{X: b.X, Y: b.Y}, r2.Point{X: d.X, Y: d.Y}, ClearanceSlackMM)
		c[k].take(Clearance{Touched: true, LeastMM: mm, ErrorMM: err + ClearanceSlackMM, At: r3.Vector{X: at.X, Y: at.Y, Z: liftOnto(a, b, d, at)}})
	}
}

// liftOnto is the height of the triangle's plane over q, or the middle height of a wall.
func liftOnto(a, b, c r3.Vector, q r2.Point) float64 {
	n := b.Sub(a).Cross(c.Sub(a))
	if n.Z == 0 {
		return (a.Z + b.Z + c.Z) / 3
	}
	z := a.Z - (n.X*(q.X-a.X)+n.Y*(q.Y-a.Y))/n.Z
	return min(max(z, min(a.Z, b.Z, c.Z)), max(a.Z, b.Z, c.Z))
}

// clipHeights cuts a triangle to low <= z <= high (Sutherland and Hodgman 1974) and appends the
// corners of what is left to poly.
func clipHeights(poly []r3.Vector, a, b, c r3.Vector, low, high float64) []r3.Vector {
	if min(a.Z, b.Z, c.Z) >= low && max(a.Z, b.Z, c.Z) <= high {
		return append(poly, a, b, c)
	}
	var first [8]r3.Vector
	half := cutBelow(first[:0], []r3.Vector{a, b, c}, low, 1)
	return cutBelow(poly, half, -high, -1)
}

// cutBelow keeps what has sign*z >= level.
func cutBelow(out, in []r3.Vector, level, sign float64) []r3.Vector {
	for i, p := range in {
		q := in[(i+1)%len(in)]
		dp, dq := sign*p.Z-level, sign*q.Z-level
		if dp >= 0 {
			out = append(out, p)
		}
		if (dp > 0 && dq < 0) || (dp < 0 && dq > 0) {
			cut := p.Add(q.Sub(p).Mul(dp / (dp - dq)))
			cut.Z = sign * level
			out = append(out, cut)
		}
	}
	return out
}
