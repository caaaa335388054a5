package quote

import (
	"errors"

	"gonum.org/v1/gonum/mat"

	"pocketgauge/mesh/tol"
)

// nonNegative solves min |A x - b| over x >= 0.
//
// It is algorithm NNLS of Lawson and Hanson, Solving Least Squares Problems (Prentice-Hall 1974), chapter
// 23: coordinates are let go one at a time, that with the steepest gradient first, and the plain problem
// over those is solved; where its solution leaves the quadrant, the way there is cut short at the first
// wall and that coordinate is held again. Each round lowers the residual, so that no set of free
// coordinates comes twice. A must have independent columns, which the ridge rows of its caller see to.
func nonNegative(a *mat.Dense, b *mat.VecDense) ([]float64, error) {
	rows, n := a.Dims()
	x := make([]float64, n)
	free := make([]bool, n)
	gradient := make([]float64, n)
	// What rounding may leave of a gradient that is nought.
	noise := float64(rows) * tol.RoundoffDouble * mat.Norm(a, 1) * mat.Norm(b, 1)
	solve := func() ([]float64, error) {
		var which []int
		for j, f := range free {
			if f {
				which = append(which, j)
			}
		}
		part := mat.NewDense(rows, len(which), nil)
		for k, j := range which {
			for i := range rows {
				part.Set(i, k, a.At(i, j))
			}
		}
		var z mat.VecDense
		if err := z.SolveVec(part, b); err != nil {
			return nil, err
		}
		full := make([]float64, n)
		for k, j := range which {
			full[j] = z.AtVec(k)
		}
		return full, nil
	}
	// Three rounds for each coordinate are far above what is seen (Lawson and Hanson, ibidem).
	for range 30 * (n + 1) {
		for j := range n {
			g := 0.0
			for i := range rows {
				r := b.AtVec(i)
				for k := range n {
					r -= a.At(i, k) * x[k]
				}
				g += a.At(i, j) * r
			}
			gradient[j] = g
		}
		steepest := -1
		for j := range n {
			if !free[j] && gradient[j] > noise && (steepest < 0 || gradient[j] > gradient[steepest]) {
				steepest = j
			}
		}
		if steepest < 0 {
			return x, nil
		}
		free[steepest] = true
		for {
			z, err := solve()
			if err != nil {
				return nil, err
			}
			way, wall := 1.0, -1
			for j := range n {
				if free[j] && z[j] <= 0 {
					if w := x[j] / (x[j] - z[j]); w < way || wall < 0 {
						way, wall = w, j
					}
				}
			}
			if wall < 0 {
				x = z
				break
			}
			for j := range n {
				if free[j] {
					x[j] += way * (z[j] - x[j])
				}
			}
			x[wall], free[wall] = 0, false
			for j := range n {
				if free[j] && x[j] <= 0 {
					x[j], free[j] = 0, false
				}
			}
		}
	}
	return nil, errors.New("the fit does not settle; are the hours in the right unit?")
}
