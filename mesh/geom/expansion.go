package geom

import "math"

// An expansion is a sum of doubles, least first, whose significant bits do not overlap: a number
// held exactly. The algorithms are those of Shewchuk, Adaptive Precision Floating-Point Arithmetic
// and Fast Robust Geometric Predicates (Discrete & Computational Geometry 18, 1997), sections 2.3
// to 2.6. They are exact as long as nothing overflows and no product falls under 2^-1022; a
// coordinate of a part in millimetres is many orders away from either.
//
// Products are split by a fused multiply and add, which Go guarantees to round once. Every other
// product is converted explicitly, which forbids the compiler to fuse it.

// twoSum gives a+b rounded, and what rounding lost.
func twoSum(a, b float64) (x, y float64) {
	x = a + b
	bv := x - a
	av := x - bv
	return x, (a - av) + (b - bv)
}

// fastTwoSum is twoSum for |a| >= |b|.
func fastTwoSum(a, b float64) (x, y float64) {
	x = a + b
	return x, b - (x - a)
}

// twoProduct gives a*b rounded, and what rounding lost.
func twoProduct(a, b float64) (x, y float64) {
	x = float64(a * b)
	return x, math.FMA(a, b, -x)
}

// difference is a-b as an expansion of at most two terms in h.
func difference(h *[2]float64, a, b float64) []float64 {
	x, y := twoSum(a, -b)
	if y == 0 {
		h[0] = x
		return h[:1]
	}
	h[0], h[1] = y, x
	return h[:2]
}

// addExpansions merges e and f by magnitude and sums them into h, which has room for both; terms
// of 0 are left out (FAST-EXPANSION-SUM with zero elimination, theorem 13).
func addExpansions(h, e, f []float64) []float64 {
	n, i, j := 0, 0, 0
	next := func() float64 {
		if j >= len(f) || i < len(e) && math.Abs(e[i]) < math.Abs(f[j]) {
			i++
			return e[i-1]
		}
		j++
		return f[j-1]
	}
	total := len(e) + len(f)
	if total == 0 {
		return h[:0]
	}
	q := next()
	for k := 1; k < total; k++ {
		var r float64
		q, r = twoSum(q, next())
		if r != 0 {
			h[n] = r
			n++
		}
	}
	if q != 0 || n == 0 {
		h[n] = q
		n++
	}
	return h[:n]
}

// scaleExpansion is e*b in h, which has room for twice as many terms (SCALE-EXPANSION, theorem 19).
func scaleExpansion(h, e []float64, b float64) []float64 {
	n := 0
	keep := func(r float64) {
		if r != 0 {
			h[n] = r
			n++
		}
	}
	q, r := twoProduct(e[0], b)
	keep(r)
	for _, t := range e[1:] {
		hi, lo := twoProduct(t, b)
		s, r := twoSum(q, lo)
		keep(r)
		q, r = fastTwoSum(hi, s)
		keep(r)
	}
	if q != 0 || n == 0 {
		h[n] = q
		n++
	}
	return h[:n]
}

// multiplyExpansions is e*f in h. h and the two spares have room for 2*len(e)*len(f) terms.
func multiplyExpansions(h, spare, part, e, f []float64) []float64 {
	r := scaleExpansion(h, e, f[0])
	other := spare
	for _, t := range f[1:] {
		p := scaleExpansion(part, e, t)
		sum := addExpansions(other, r, p)
		other = r[:cap(r)]
		r = sum
	}
	return r
}

// negate turns the sign of an expansion in place.
func negate(e []float64) []float64 {
	for i := range e {
		e[i] = -e[i]
	}
	return e
}

// signOf is the sign of an expansion: that of its last, greatest term.
func signOf(e []float64) int {
	switch last := e[len(e)-1]; {
	case last > 0:
		return 1
	case last < 0:
		return -1
	}
	return 0
}
