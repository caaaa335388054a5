package geom

import (
	"math"

	"github.com/golang/geo/r2"
)

// The tier of InCircle between the filter and expansions. Points sampled on one circle, the rim
// of every bore, are within a rounding of it, where the filter can never tell; but the sign is
// seldom so fine that twice the digits do not show it.

// pair2 is an unevaluated sum hi + lo with |lo| <= u|hi|: about twice the digits of a double.
type pair2 struct{ hi, lo float64 }

// plus has a relative error of at most 3u^2 + 13u^3 (M. Joldes, J.-M. Muller, V. Popescu, Tight
// and Rigorous Error Bounds for Basic Building Blocks of Double-Word Arithmetic, ACM Transactions
// on Mathematical Software 44, 2017: AccurateDWPlusDW).
func (x pair2) plus(y pair2) pair2 {
	s, e := twoSum(x.hi, y.hi)
	t, f := twoSum(x.lo, y.lo)
	v, w := fastTwoSum(s, e+t)
	z, zl := fastTwoSum(v, f+w)
	return pair2{z, zl}
}

func (x pair2) minus(y pair2) pair2 { return x.plus(pair2{-y.hi, -y.lo}) }

// times has a relative error of at most 5u^2 (the same: DWTimesDW2).
func (x pair2) times(y pair2) pair2 {
	c, e := twoProduct(x.hi, y.hi)
	t := math.FMA(x.hi, y.lo, float64(x.lo*y.hi))
	z, zl := fastTwoSum(c, e+t)
	return pair2{z, zl}
}

// apart is a - b, exactly.
func apart(a, b float64) pair2 {
	s, e := twoSum(a, -b)
	return pair2{s, e}
}

// inCirclePairShare bounds the error of the determinant in pairs, as a share of the permanent:
// 5 + 3 for a minor, 5 + 3 for a lift, 5 for their product and 3 + 3 for the two additions are
// 27 u^2; the rest is for the second order, and for the permanent and the comparison in doubles.
const inCirclePairShare = 32 * epsilon * epsilon

// inCircleClose decides what the filter could not; permanent is the filter's.
func inCircleClose(a, b, c, d r2.Point, permanent float64) int {
	if isRectangle(a, b, c, d) || isRectangle(b, c, a, d) || isRectangle(c, a, b, d) {
		return 0
	}
	adx, ady := apart(a.X, d.X), apart(a.Y, d.Y)
	bdx, bdy := apart(b.X, d.X), apart(b.Y, d.Y)
	cdx, cdy := apart(c.X, d.X), apart(c.Y, d.Y)
	al := adx.times(adx).plus(ady.times(ady))
	bl := bdx.times(bdx).plus(bdy.times(bdy))
	cl := cdx.times(cdx).plus(cdy.times(cdy))
	det := al.times(bdx.times(cdy).minus(cdx.times(bdy))).
		plus(bl.times(cdx.times(ady).minus(adx.times(cdy)))).
		plus(cl.times(adx.times(bdy).minus(bdx.times(ady)))).hi
	bound := inCirclePairShare * permanent
	if det > bound {
		return 1
	}
	if -det > bound {
		return -1
	}
	return inCircleExact(a, b, c, d)
}

// isRectangle tells whether a and d are opposite corners of a rectangle along the axes whose
// other corners are b and c. Its corners lie on one circle without further arithmetic, and grids
// are made of such.
func isRectangle(a, b, c, d r2.Point) bool {
	return b.X == a.X && b.Y == d.Y && c.X == d.X && c.Y == a.Y || b.X == d.X && b.Y == a.Y && c.X == a.X && c.Y == d.Y
}
