package cavity

import (
	"cmp"
	"math"
	"slices"

	"pocketgauge/mesh"
	"pocketgauge/mesh/tol"
)

// gaps finds the films: room within a solid, or at a leak, too thin for a part and of even width.
//
// Where two faces of a part meet in an edge, room thins out to nothing as well; there its width
// changes steadily, by more than tol.FilmSlope.
func (r *Room) gaps(opt Options, w []float32, dams []int32) {
	film := float32(opt.FilmMM)
	pu, _ := r.grid.PitchMM()
	step := float32(tol.FilmSlope * pu)
	isFilm := make([]bool, len(w))
	for _, k := range dams {
		isFilm[k] = true
	}
	thin := func(k int) bool { return r.of[k] >= 0 && w[k] <= film }
	for k := range w {
		if isFilm[k] || !thin(k) {
			continue
		}
		// Even to at least one neighbour in the row and one in the column.
		even := func(n int, there bool) bool {
			if !there || !thin(n) {
				return false
			}
			d := w[n] - w[k]
			return d <= step && d >= -step
		}
		i := k % r.nu
		isFilm[k] = (even(k-1, i > 0) || even(k+1, i < r.nu-1)) && (even(k-r.nu, k >= r.nu) || even(k+r.nu, k < len(w)-r.nu))
	}
	leak := map[int32]bool{}
	for _, k := range dams {
		leak[k] = true
	}
	f := mesh.NewForest(len(w))
	for k := range w {
		if !isFilm[k] {
			continue
		}
		// Rays of one gap touch at least by their corners.
		for _, n := range [...]int{k - 1, k - r.nu, k - r.nu - 1, k - r.nu + 1} {
			if n >= 0 && isFilm[n] {
				f.Join(int32(k), int32(n))
			}
		}
	}
	number := map[int32]int{}
	var rays []int
	for k := range w {
		if !isFilm[k] {
			continue
		}
		root := f.Root(int32(k))
		n, ok := number[root]
		if !ok {
			n = len(r.Gaps)
			number[root] = n
			r.Gaps = append(r.Gaps, Gap{WidthMM: -1})
			rays = append(rays, 0)
		}
		g := &r.Gaps[n]
		rays[n]++
		g.Leak = g.Leak || leak[int32(k)]
		if wide := float64(w[k]); wide > g.WidthMM {
			g.WidthMM, g.At = wide, r.point(k)
		}
	}
	kept := r.Gaps[:0]
	for n, g := range r.Gaps {
		g.AreaMM2 = float64(rays[n]) * r.grid.CellMM2()
		if g.Leak || rays[n] >= leastRays {
			kept = append(kept, g)
		}
	}
	r.Gaps = kept
	slices.SortStableFunc(r.Gaps, func(a, b Gap) int { return cmp.Compare(b.WidthMM, a.WidthMM) })
}

// bearing finds where the faces bear on each other, and the widest gap beside a solid that holds
// the melt back.
func (r *Room) bearing(opt Options, w []float32) {
	flush := float32(opt.FlushMM)
	pu, _ := r.grid.PitchMM()
	step := float32(tol.FilmSlope * pu)
	// At the rim of a cavity the room thins out through every width; only a gap of even width is one
	// that holds.
	even := func(a, b int) bool {
		if a < 0 || b >= len(w) {
			return false
		}
		d := w[a] - w[b]
		return w[a] >= 0 && w[b] >= 0 && d <= step && d >= -step
	}
	bears := func(k int) bool { return w[k] >= 0 && w[k] <= flush && r.state[k]&stopped == 0 }
	rays, edges := 0, 0
	for k := range w {
		if bears(k) {
			rays++
			r.around(k, func(n int) {
				if !bears(n) {
					edges++
				}
			})
		}
		if w[k] < 0 || w[k] > float32(opt.GapMM) || float64(w[k]) <= r.TightestMM {
			continue
		}
		if !(even(k, k+1) || even(k-1, k)) || !(even(k, k+r.nu) || even(k-r.nu, k)) {
			continue
		}
		r.around(k, func(n int) {
			if r.of[n] >= 0 {
				r.TightestMM, r.TightestAt = float64(w[k]), r.point(k)
			}
		})
	}
	r.ContactMM2 = float64(rays) * r.grid.CellMM2()
	r.ContactErrorMM2 = SigmaFactor * r.grid.CellMM2() * math.Sqrt(float64(edges)/12)
}
