// Package align lays one surface onto another that is nearly the same: a revision of a part, another
// export of it, drawn in another place.
//
// Lengths are millimetres, angles radians. The package knows geometry; it judges nothing, and measures
// no difference: it only says how the two lie to each other.
//
// Invariants (the tests cite these numbers):
//
//	A1  the motion is rigid: it never scales or mirrors
//	A2  what lies alike already is not moved: as it lies comes first, and wins where nothing fits better
//	A3  of motions that fit alike (a part that is the same all around) the first of the list wins
//	A4  the result is the same on any number of cores
//
// Points are spread over the moving surface by area. Every turn of the list is tried with the boxes set
// low to low, middle to middle and high to high along each axis, for a revision seldom changes both ends
// of a part; the cost is the mean distance of the points to the other surface, each counted to a cap, so
// that what was changed does not pull. The best few are refined by closest points and tangent planes
// (Chen and Medioni, Object Modelling by Registration of Multiple Range Images, Image and Vision
// Computing 10, 1992), over the points that lie near at the time (the trimming of Chetverikov et al., The
// Trimmed Iterative Closest Point Algorithm, ICPR 2002).
//
// Limits: where more than half of the surface was changed, the fit may be to the wrong features; Share
// tells. A body that is round about an axis has no turn of its own about it, and keeps the one it has.
package align

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/index"
)

// Fit is how a surface was laid onto another.
type Fit struct {
	Motion geom.Motion
	// Turn is the index in the list of turns that Motion is near; -1 where nothing was moved.
	Turn int
	// Share of the moving surface lies within the noise of the other; RootMeanSquareMM is the distance
	// of that share.
	Share, RootMeanSquareMM float64
}

const (
	coarsePoints = 96
	finePoints   = 600
	// capShare of the diagonal is what a point counts at most.
	capShare = 0.01
	// refined is how many of the candidates are refined.
	refined    = 4
	mostRounds = 40
)

// Onto finds the motion that carries from onto the surface of to. turns are the coarse rotations to try,
// first the one to prefer; noiseMM is within what distance two surfaces are one.
func Onto(from, to *mesh.Mesh, turns []geom.Motion, noiseMM float64) Fit {
	if len(from.Triangles) == 0 || len(to.Triangles) == 0 {
		return Fit{Motion: geom.Identity(), Turn: -1}
	}
	tree := index.Build(to)
	fine := spread(from, finePoints)
	still := rate(tree, fine, geom.Identity(), -1, noiseMM)
	if still.Share == 1 {
		return still
	}
	target := to.Bounds()
	limit := target.Diagonal() * capShare
	type candidate struct {
		motion geom.Motion
		turn   int
		cost   float64
	}
	coarse := spread(from, coarsePoints)
	list := []candidate{{geom.Identity(), -1, cost(tree, coarse, geom.Identity(), limit)}}
	for k, turn := range turns {
		box := geom.EmptyBox()
		for _, v := range from.Vertices {
			box = box.AddPoint(turn.Point(v))
		}
		low, high := target.Min.Sub(box.Min), target.Max.Sub(box.Max)
		moves := [3]r3.Vector{low.Add(high).Mul(0.5), low, high}
		seen := map[r3.Vector]bool{}
		for n := range 27 {
			d := r3.Vector{X: moves[n%3].X, Y: moves[n/3%3].Y, Z: moves[n/9].Z}
			if seen[d] {
				continue
			}
			seen[d] = true
			m := geom.Translate(d).After(turn)
			list = append(list, candidate{m, k, cost(tree, coarse, m, limit)})
		}
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(a.cost, b.cost) })
	best := still
	for _, c := range list[:min(refined, len(list))] {
		// The turn alone, where it is enough, is known without rounding.
		for _, m := range []geom.Motion{c.motion, refine(tree, fine, c.motion, noiseMM, true), refine(tree, fine, c.motion, noiseMM, false)} {
			f := rate(tree, fine, m, c.turn, noiseMM)
			// A motion must fit better by more than a few points, or it is none.
			const better = 3.0 / finePoints
			if f.Share > best.Share+better {
				best = f
			}
		}
	}
	return best
}

// spread puts n points on a surface, one for each n-th of its area, at places of a low-discrepancy
// sequence within the triangle.
func spread(m *mesh.Mesh, n int) []r3.Vector {
	sums := make([]float64, len(m.Triangles))
	total := 0.0
	for t := range m.Triangles {
		total += m.AreaVector(t).Norm()
		sums[t] = total
	}
	points := make([]r3.Vector, n)
	for k := range points {
		at := total * (float64(k) + 0.5) / float64(n)
		t := min(sort.SearchFloat64s(sums, at), len(sums)-1)
		// The plastic number's sequence (Roberts), folded into the triangle.
		const g = 1.32471795724474602596
		u, v := math.Mod(0.5+float64(k)/g, 1), math.Mod(0.5+float64(k)/(g*g), 1)
		if u+v > 1 {
			u, v = 1-u, 1-v
		}
		a, b, c := m.Corners(t)
		points[k] = a.Add(b.Sub(a).Mul(u)).Add(c.Sub(a).Mul(v))
	}
	return points
}

func moved(points []r3.Vector, m geom.Motion) []r3.Vector {
	out := make([]r3.Vector, len(points))
	for i, p := range points {
		out[i] = m.Point(p)
	}
	return out
}

func cost(tree *index.Tree, points []r3.Vector, m geom.Motion, limit float64) float64 {
	sum := 0.0
	for _, f := range tree.NearestBatch(moved(points, m), limit, nil) {
		sum += min(f.Distance, limit)
	}
	return sum / float64(len(points))
}

func rate(tree *index.Tree, points []r3.Vector, m geom.Motion, turn int, noiseMM float64) Fit {
	f := Fit{Motion: m, Turn: turn}
	squares, near := 0.0, 0
	for _, foot := range tree.NearestBatch(moved(points, m), noiseMM, nil) {
		if foot.Distance <= noiseMM {
			near++
			squares += foot.Distance * foot.Distance
		}
	}
	f.Share = float64(near) / float64(len(points))
	if near > 0 {
		f.RootMeanSquareMM = math.Sqrt(squares / float64(near))
	}
	return f
}

// refine moves the points nearer to the surface, round by round, until they stand still. With moveOnly
// they are not turned.
func refine(tree *index.Tree, points []r3.Vector, m geom.Motion, noiseMM float64, moveOnly bool) geom.Motion {
	to := tree.Mesh()
	for range mostRounds {
		at := moved(points, m)
		feet := tree.NearestBatch(at, math.Inf(1), nil)
		distances := make([]float64, len(feet))
		for i, f := range feet {
			distances[i] = f.Distance
		}
		slices.Sort(distances)
		reach := max(3*distances[len(distances)/2], noiseMM)
		var middle r3.Vector
		n := 0
		for i, f := range feet {
			if f.Distance <= reach {
				middle = middle.Add(at[i])
				n++
			}
		}
		if n < 6 {
			return m
		}
		middle = middle.Mul(1 / float64(n))
		// Least squares of n.(p + w x p + t - q): six unknowns, or the three of t alone.
		var a [6][6]float64
		var b [6]float64
		for i, f := range feet {
			if f.Distance > reach {
				continue
			}
			normal := to.AreaVector(int(f.Triangle)).Normalize()
			p := at[i].Sub(middle)
			w := p.Cross(normal)
			row := [6]float64{normal.X, normal.Y, normal.Z, w.X, w.Y, w.Z}
			off := normal.Dot(f.Point.Sub(at[i]))
			for r := range row {
				for c := range row {
					a[r][c] += row[r] * row[c]
				}
				b[r] += row[r] * off
			}
		}
		size := 6
		if moveOnly {
			size = 3
		}
		x, ok := solve(a, b, size)
		if !ok {
			return m
		}
		t := r3.Vector{X: x[0], Y: x[1], Z: x[2]}
		w := r3.Vector{X: x[3], Y: x[4], Z: x[5]}
		step := geom.Translate(t)
		if angle := w.Norm(); angle > 0 {
			step = geom.Translate(middle.Add(t)).After(geom.Rotate(w.Mul(1/angle), angle)).After(geom.Translate(middle.Mul(-1)))
		}
		m = step.After(m)
		if t.Norm()+w.Norm()*to.Bounds().Diagonal() < noiseMM*stillShare {
			break
		}
	}
	return m
}

// stillShare of the noise is a step that changes nothing.
const stillShare = 0x1p-20

// solve is the least solution of a symmetric system; directions in which it says nothing, such as the
// turn of a round body about its axis, stay still.
func solve(a [6][6]float64, b [6]float64, size int) (x [6]float64, ok bool) {
	m := mat.NewSymDense(size, nil)
	for r := range size {
		for c := r; c < size; c++ {
			m.SetSym(r, c, a[r][c])
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(m, true) {
		return x, false
	}
	values := eigen.Values(nil)
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	const blind = 0x1p-30 // of the largest: under it a direction is not seen
	for k, v := range values {
		if v <= values[size-1]*blind {
			continue
		}
		d := 0.0
		for r := range size {
			d += vectors.At(r, k) * b[r]
		}
		for r := range size {
			x[r] += vectors.At(r, k) * d / v
		}
	}
	return x, true
}
