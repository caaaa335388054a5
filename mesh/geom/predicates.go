package geom

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// epsilon is half the distance from 1 to the next double: the unit roundoff.
const epsilon = 0x1p-53

// Bounds on the rounding of the plain evaluation, as a share of the sum of the magnitudes of its
// terms (Shewchuk 1997, section 4: ccwerrboundA, o3derrboundA, iccerrboundA).
const (
	orient2DBound = (3 + 16*epsilon) * epsilon
	orient3DBound = (7 + 56*epsilon) * epsilon
	inCircleBound = (10 + 96*epsilon) * epsilon
)

// Orient2D is the exact sign of the area of the triangle a, b, c: 1 if it is counter-clockwise,
// -1 clockwise, 0 where the three lie on one line.
func Orient2D(a, b, c r2.Point) int {
	left := float64((a.X - c.X) * (b.Y - c.Y))
	right := float64((a.Y - c.Y) * (b.X - c.X))
	det := left - right
	bound := orient2DBound * (math.Abs(left) + math.Abs(right))
	if det > bound {
		return 1
	}
	if -det > bound {
		return -1
	}
	return orient2DExact(a, b, c)
}

func orient2DExact(a, b, c r2.Point) int {
	var d [4][2]float64
	ax, ay := difference(&d[0], a.X, c.X), difference(&d[1], a.Y, c.Y)
	bx, by := difference(&d[2], b.X, c.X), difference(&d[3], b.Y, c.Y)
	var h, s, p, l [8]float64
	left := append(l[:0], multiplyExpansions(h[:], s[:], p[:], ax, by)...)
	right := negate(multiplyExpansions(h[:], s[:], p[:], ay, bx))
	var sum [16]float64
	return signOf(addExpansions(sum[:], left, right))
}

// Orient3D is the exact sign of the volume of the tetrahedron a, b, c, d: 1 if d lies below the
// plane of a, b, c, from above which those run counter-clockwise; 0 where the four lie in a plane.
func Orient3D(a, b, c, d r3.Vector) int {
	adx, ady, adz := a.X-d.X, a.Y-d.Y, a.Z-d.Z
	bdx, bdy, bdz := b.X-d.X, b.Y-d.Y, b.Z-d.Z
	cdx, cdy, cdz := c.X-d.X, c.Y-d.Y, c.Z-d.Z
	bc, cb := float64(bdx*cdy), float64(cdx*bdy)
	ca, ac := float64(cdx*ady), float64(adx*cdy)
	ab, ba := float64(adx*bdy), float64(bdx*ady)
	det := float64(adz*(bc-cb)) + float64(bdz*(ca-ac)) + float64(cdz*(ab-ba))
	permanent := float64((math.Abs(bc)+math.Abs(cb))*math.Abs(adz)) +
		float64((math.Abs(ca)+math.Abs(ac))*math.Abs(bdz)) +
		float64((math.Abs(ab)+math.Abs(ba))*math.Abs(cdz))
	bound := orient3DBound * permanent
	if det > bound {
		return 1
	}
	if -det > bound {
		return -1
	}
	return orient3DExact(a, b, c, d)
}

func orient3DExact(a, b, c, d r3.Vector) int {
	var e [9][2]float64
	ax, ay, az := difference(&e[0], a.X, d.X), difference(&e[1], a.Y, d.Y), difference(&e[2], a.Z, d.Z)
	bx, by, bz := difference(&e[3], b.X, d.X), difference(&e[4], b.Y, d.Y), difference(&e[5], b.Z, d.Z)
	cx, cy, cz := difference(&e[6], c.X, d.X), difference(&e[7], c.Y, d.Y), difference(&e[8], c.Z, d.Z)
	var m [3][64]float64
	t1 := minorTimes(m[0][:], bx, cy, cx, by, az)
	t2 := minorTimes(m[1][:], cx, ay, ax, cy, bz)
	t3 := minorTimes(m[2][:], ax, by, bx, ay, cz)
	var s [128]float64
	var r [192]float64
	return signOf(addExpansions(r[:], addExpansions(s[:], t1, t2), t3))
}

// minor is p*q - r*s in out, for operands of at most two terms: at most 16 terms.
func minor(out, p, q, r, s []float64) []float64 {
	var h, spare, part, first [8]float64
	f := append(first[:0], multiplyExpansions(h[:], spare[:], part[:], p, q)...)
	g := negate(multiplyExpansions(h[:], spare[:], part[:], r, s))
	return addExpansions(out, f, g)
}

func minorTimes(out, p, q, r, s, z []float64) []float64 {
	var m [16]float64
	var h, spare, part [64]float64
	return append(out[:0], multiplyExpansions(h[:], spare[:], part[:], minor(m[:], p, q, r, s), z)...)
}

// InCircle says exactly whether d lies within the circle through a, b, c, which run
// counter-clockwise: 1 inside, -1 outside, 0 on it. For a clockwise triangle the sign turns.
func InCircle(a, b, c, d r2.Point) int {
	adx, ady := a.X-d.X, a.Y-d.Y
	bdx, bdy := b.X-d.X, b.Y-d.Y
	cdx, cdy := c.X-d.X, c.Y-d.Y
	bc, cb := float64(bdx*cdy), float64(cdx*bdy)
	ca, ac := float64(cdx*ady), float64(adx*cdy)
	ab, ba := float64(adx*bdy), float64(bdx*ady)
	al := float64(adx*adx) + float64(ady*ady)
	bl := float64(bdx*bdx) + float64(bdy*bdy)
	cl := float64(cdx*cdx) + float64(cdy*cdy)
	det := float64(al*(bc-cb)) + float64(bl*(ca-ac)) + float64(cl*(ab-ba))
	permanent := float64((math.Abs(bc)+math.Abs(cb))*al) +
		float64((math.Abs(ca)+math.Abs(ac))*bl) +
		float64((math.Abs(ab)+math.Abs(ba))*cl)
	bound := inCircleBound * permanent
	if det > bound {
		return 1
	}
	if -det > bound {
		return -1
	}
	return inCircleClose(a, b, c, d, permanent)
}

func inCircleExact(a, b, c, d r2.Point) int {
	var e [6][2]float64
	ax, ay := difference(&e[0], a.X, d.X), difference(&e[1], a.Y, d.Y)
	bx, by := difference(&e[2], b.X, d.X), difference(&e[3], b.Y, d.Y)
	cx, cy := difference(&e[4], c.X, d.X), difference(&e[5], c.Y, d.Y)
	if len(ax)+len(ay)+len(bx)+len(by)+len(cx)+len(cy) == 6 {
		return inCircleOfDifferences(ax, ay, bx, by, cx, cy)
	}
	var m [3][512]float64
	t1 := liftTimesMinor(m[0][:], ax, ay, bx, cy, cx, by)
	t2 := liftTimesMinor(m[1][:], bx, by, cx, ay, ax, cy)
	t3 := liftTimesMinor(m[2][:], cx, cy, ax, by, bx, ay)
	var s [1024]float64
	var r [1536]float64
	return signOf(addExpansions(r[:], addExpansions(s[:], t1, t2), t3))
}

// liftTimesMinor is (x*x + y*y) * (p*q - r*s) in out.
func liftTimesMinor(out, x, y, p, q, r, s []float64) []float64 {
	var h, spare, part, first [8]float64
	var lift, mi [16]float64
	f := append(first[:0], multiplyExpansions(h[:], spare[:], part[:], x, x)...)
	l := addExpansions(lift[:], f, multiplyExpansions(h[:], spare[:], part[:], y, y))
	n := minor(mi[:], p, q, r, s)
	var wide [3][512]float64
	return append(out[:0], multiplyExpansions(wide[0][:], wide[1][:], wide[2][:], l, n)...)
}

// inCircleOfDifferences is inCircleExact where no difference was rounded, as among the points of
// a grid: terms are a sixteenth as many.
func inCircleOfDifferences(ax, ay, bx, by, cx, cy []float64) int {
	var m [3][32]float64
	term := func(out, x, y, p, q, r, s []float64) []float64 {
		var u, v [2]float64
		var lift, mi [4]float64
		l := addExpansions(lift[:], scaleExpansion(u[:], x, x[0]), scaleExpansion(v[:], y, y[0]))
		n := addExpansions(mi[:], scaleExpansion(u[:], p, q[0]), negate(scaleExpansion(v[:], r, s[0])))
		var spare, part [32]float64
		h := multiplyExpansions(out, spare[:], part[:], l, n)
		return append(out[:0], h...)
	}
	t1 := term(m[0][:], ax, ay, bx, cy, cx, by)
	t2 := term(m[1][:], bx, by, cx, ay, ax, cy)
	t3 := term(m[2][:], cx, cy, ax, by, bx, ay)
	var s [64]float64
	var r [96]float64
	return signOf(addExpansions(r[:], addExpansions(s[:], t1, t2), t3))
}
