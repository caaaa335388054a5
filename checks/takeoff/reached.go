package takeoff

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/reach"
)

// over is what becomes of the stock next to a place of the surface, as far off it as given or nearly so;
// false where there is none.
func (p *plan) over(at, normal r3.Vector, offMM float64) (reach.Fate, bool) {
	for _, by := range [...]float64{1, 0.5, 1.5, 0.25} {
		if f := p.sequence.At(at.Add(normal.Mul(offMM * by))); f.Stock {
			return f, true
		}
	}
	return reach.Fate{}, false
}

// first is the cutter that roughs in a set-up, -1 for none.
func (p *plan) first(setUp int) int {
	for k, by := range p.loaded[setUp] {
		if by == k {
			return k
		}
	}
	return -1
}

// wallRays is how far off a wall, in rays, is asked which cutter came: nearer the count leaves a rind that
// a larger cutter missed only between the rays.
const wallRays = 2.5

// reached counts which diameter of cutter clears the metal over each group of the surface. Every piece no
// longer than a hundred and fiftieth of the insert is asked once.
func (t *Takeoff) reached(s *checks.Subject, e extent, groups []uint8, count int) [][]Share {
	m := s.Part.Mesh
	limit := m.Bounds().Diagonal() * pieceShare
	off := t.PitchMM * wallRays
	// Diameters by set-up and cutter; 0 is for none.
	var diameters []float64
	at := make([][]int, len(t.plan.setUps))
	slot := func(d float64) int {
		i := slices.Index(diameters, d)
		if i < 0 {
			i = len(diameters)
			diameters = append(diameters, d)
		}
		return i
	}
	slot(0)
	for i, u := range t.plan.setUps {
		for k := range u.Cutters {
			n := 0
			if by := t.plan.loaded[i][k]; by >= 0 {
				n = slot(u.Cutters[by].DiameterMM)
			}
			at[i] = append(at[i], n)
		}
	}
	// Fixed blocks of triangles, added up in their order.
	const block = 512
	blocks := (len(groups) + block - 1) / block
	tallies := make([][]float64, blocks)
	parallel.Each(blocks, func(n, _ int) {
		tally := make([]float64, count*len(diameters))
		for i := n * block; i < min((n+1)*block, len(groups)); i++ {
			g := int(groups[i])
			if g == 0 {
				continue
			}
			normal := m.AreaVector(i).Normalize()
			a, b, c := m.Corners(i)
			inPieces(a, b, c, limit, func(middle r3.Vector, area float64) {
				k := 0
				if f, ok := t.plan.over(middle, normal, off); ok && f.SetUp >= 0 {
					k = at[f.SetUp][f.Cutter]
				}
				tally[g*len(diameters)+k] += area * e.of(i)
			})
		}
		tallies[n] = tally
	})
	sums := make([]float64, count*len(diameters))
	for _, tally := range tallies {
		for k, v := range tally {
			sums[k] += v
		}
	}
	list := make([][]Share, count)
	for g := range list {
		areas := sums[g*len(diameters) : (g+1)*len(diameters)]
		total := 0.0
		for _, a := range areas {
			total += a
		}
		if !(total > 0) {
			continue
		}
		percents := make([]float64, len(areas))
		for k, a := range areas {
			percents[k] = 100 * a / total
		}
		whole, _ := Allot(percents, 100, 1)
		for k, p := range whole {
			if p > 0 {
				list[g] = append(list[g], Share{diameters[k], int(p)})
			}
		}
		slices.SortFunc(list[g], func(a, b Share) int { return cmp.Compare(b.DiameterMM, a.DiameterMM) })
		list[g] = withoutCrumbs(list[g])
	}
	return list
}

// leastPercent: a smaller share goes with the next thinner cutter, which is there anyway.
const leastPercent = 5

func withoutCrumbs(list []Share) []Share {
	out := list[:0]
	for i, x := range list {
		next := i + 1
		if x.Percent < leastPercent && x.DiameterMM > 0 && next < len(list) && list[next].DiameterMM > 0 {
			list[next].Percent += x.Percent
			continue
		}
		out = append(out, x)
	}
	return out
}

// inPieces halves a triangle across its longest edge until no piece is longer than the limit.
func inPieces(a, b, c r3.Vector, limit float64, see func(middle r3.Vector, area float64)) {
	type piece struct {
		a, b, c r3.Vector
		area    float64
	}
	stack := make([]piece, 1, 32)
	stack[0] = piece{a, b, c, b.Sub(a).Cross(c.Sub(a)).Norm() / 2}
	for len(stack) > 0 {
		x := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		ab, bc, ca := x.a.Sub(x.b).Norm(), x.b.Sub(x.c).Norm(), x.c.Sub(x.a).Norm()
		l := max(ab, bc, ca)
		// A flat sliver is no work, however long.
		if !(l > limit) || x.area == 0 || math.IsInf(l, 0) {
			see(x.a.Add(x.b).Add(x.c).Mul(1.0/3), x.area)
			continue
		}
		if l == bc {
			x.a, x.b, x.c = x.b, x.c, x.a
		} else if l == ca {
			x.a, x.b, x.c = x.c, x.a, x.b
		}
		h := x.a.Add(x.b).Mul(0.5)
		stack = append(stack, piece{x.a, h, x.c, x.area / 2}, piece{h, x.b, x.c, x.area / 2})
	}
}
