package dexel

import "slices"

// raster marks the rays of rows row0 to row1-1 that triangles cover.
type raster struct {
	*Grid
	row0, row1 int
	u, v, w    int
	reciprocal float64 // of the pitch in u
	marks      []mark
}

// floor is d/pitch rounded down, for d >= 0: a product with the reciprocal, put right in
// integers. Each row of a triangle has two; as divisions they were 3 % of the whole.
func floor(d, pitch int64, reciprocal float64) int64 {
	q := int64(float64(d) * reciprocal)
	if r := d - q*pitch; r < 0 {
		q--
	} else if r >= pitch {
		q++
	}
	return q
}

// triangle marks the rays that the triangle a, b, c covers.
//
// With the corners counter-clockwise in (u, v), the edge function of p to q,
//
//	e(U, V) = (uq-up)*(V-vp) - (vq-vp)*(U-up),
//
// is positive inside, zero on the edge, and exact (invariant D1). A ray on an edge belongs to
// the triangle whose edge runs down, or level and to the right. The neighbour runs along the
// same edge the other way, so exactly one of the two owns it (D2); for the other, one is
// subtracted from e, after which inside is e >= 0 for all. The two edge functions opposite b
// and c, over twice the area, are the weights of b and c in the point on the ray; as they lie
// in [0, 1] the place along the ray is a mean of the corners', however thin the triangle.
func (r *raster) triangle(a, b, c *[3]int32) {
	au, av := int64(a[r.u]), int64(a[r.v])
	bu, bv := int64(b[r.u]), int64(b[r.v])
	cu, cv := int64(c[r.u]), int64(c[r.v])
	det := (bu-au)*(cv-av) - (bv-av)*(cu-au)
	if det == 0 {
		return // along the rays, or a needle: its neighbours meet without it
	}
	leaves := Crossing(1)
	if det < 0 {
		leaves = 0
		det = -det
		b, c = c, b
		bu, bv, cu, cv = cu, cv, bu, bv
	}
	j0 := max(r.firstRow(int32(min(av, bv, cv))), r.row0)
	j1 := min(r.lastRow(int32(max(av, bv, cv))), r.row1-1)
	if j0 > j1 {
		return
	}
	leastU, mostU := min(au, bu, cu), max(au, bu, cu)

	// Edges ab, bc, ca; e with the ownership folded in.
	abu, abv := bu-au, bv-av
	bcu, bcv := cu-bu, cv-bv
	cau, cav := au-cu, av-cv
	abOut, bcOut, caOut := disowned(abu, abv), disowned(bcu, bcv), disowned(cau, cav)

	pitch := int64(r.pitchU)
	abStep, bcStep, caStep := -abv*pitch, -bcv*pitch, -cav*pitch
	inverse := 1 / float64(det)
	aw := float64(a[r.w]) + 0.5 // +0.5: truncation below then rounds; places are not negative
	toB, toC := float64(b[r.w]-a[r.w])*inverse, float64(c[r.w]-a[r.w])*inverse
	slope := float64(float64(caStep)*toB) + float64(float64(abStep)*toC)

	across := pitch * int64(r.nu-1)
	reciprocal := r.reciprocal
	for j := j0; j <= j1; j++ {
		base, v := int64(r.rowU[j]), int64(r.rowV[j])
		if base > mostU || base+across < leastU {
			continue
		}
		i0, i1 := int64(0), int64(r.nu-1)
		if d := leastU - base; d > 0 {
			i0 = floor(d-1, pitch, reciprocal) + 1
		}
		if d := mostU - base; d < across {
			i1 = floor(d, pitch, reciprocal)
		}
		if i0 > i1 {
			continue
		}
		u := base + i0*pitch
		ab := abu*(v-av) - abv*(u-au) - abOut
		bc := bcu*(v-bv) - bcv*(u-bu) - bcOut
		ca := cau*(v-cv) - cav*(u-cu) - caOut
		n := i1 - i0 + 1
		if n > 8 {
			// Wide: solve for the ends of the run in the row instead of walking to them.
			lo, hi := int64(0), n-1
			lo, hi = narrow(ab, abStep, lo, hi)
			lo, hi = narrow(bc, bcStep, lo, hi)
			lo, hi = narrow(ca, caStep, lo, hi)
			if lo > hi {
				continue
			}
			i0 += lo
			ab += lo * abStep
			ca += lo * caStep
			n = hi - lo + 1
		} else {
			for n > 0 && (ab|bc|ca) < 0 {
				ab += abStep
				bc += bcStep
				ca += caStep
				i0++
				n--
			}
			if n == 0 {
				continue
			}
			m := int64(1)
			for x, y, z := ab, bc, ca; m < n; m++ {
				x += abStep
				y += bcStep
				z += caStep
				if (x | y | z) < 0 {
					break
				}
			}
			n = m
		}
		w := aw + float64(float64(ca+caOut)*toB) + float64(float64(ab+abOut)*toC)
		ray := int32((j-r.row0)*r.nu) + int32(i0)
		at := len(r.marks)
		if at+int(n) > cap(r.marks) {
			r.marks = slices.Grow(r.marks, int(n))
		}
		r.marks = r.marks[:at+int(n)]
		for k := range r.marks[at:] {
			place := w + float64(float64(k)*slope)
			r.marks[at+k] = mark{ray + int32(k), Crossing(int32(place))<<1 | leaves}
		}
	}
}

// disowned is 1 for an edge that leaves the rays on it to its neighbour.
func disowned(du, dv int64) int64 {
	if dv < 0 || (dv == 0 && du > 0) {
		return 0
	}
	return 1
}

// narrow keeps of lo..hi the k with e + k*step >= 0.
func narrow(e, step, lo, hi int64) (int64, int64) {
	switch {
	case step > 0:
		if e < 0 {
			lo = max(lo, (-e+step-1)/step)
		}
	case step < 0:
		if e < 0 {
			return 1, 0
		}
		hi = min(hi, e/-step)
	case e < 0:
		return 1, 0
	}
	return lo, hi
}
