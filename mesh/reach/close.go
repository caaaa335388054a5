package reach

import (
	"math"

	"pocketgauge/mesh/dexel"
)

// lowest is below all heights, with room to subtract a profile.
const lowest = math.MinInt32 / 2

// fan is how many cells of one level a cell of the next covers along each side.
const fan = 4

// levels of a pyramid: cells of 4, 16 and 64 rays a side.
const levels = 3

// level is one layer of a pyramid: the greatest value of each cell.
type level struct {
	size   int // rays along a side of a cell
	nu, nv int
	most   []int32
}

// pyramid bounds a field from above by cells of growing size.
type pyramid struct {
	nu, nv int
	field  []int32
	layer  [levels]level
}

func (p *pyramid) build(field []int32, nu, nv int) {
	p.nu, p.nv, p.field = nu, nv, field
	below, bu, bv := field, nu, nv
	size := 1
	for k := range p.layer {
		l := &p.layer[k]
		size *= fan
		l.size, l.nu, l.nv = size, (bu+fan-1)/fan, (bv+fan-1)/fan
		if cap(l.most) < l.nu*l.nv {
			l.most = make([]int32, l.nu*l.nv)
		}
		l.most = l.most[:l.nu*l.nv]
		dexel.Parallel(l.nv, func(j int) {
			row := l.most[j*l.nu : (j+1)*l.nu]
			for i := range row {
				row[i] = lowest
			}
			for y := j * fan; y < min((j+1)*fan, bv); y++ {
				for x, h := range below[y*bu : (y+1)*bu] {
					row[x/fan] = max(row[x/fan], h)
				}
			}
		})
		below, bu, bv = l.most, l.nu, l.nv
	}
}

// search finds, for one place, the maximum of field less profile over the footprint.
//
// The profile grows with the distance, so within a cell it is nowhere less than at the cell's
// nearest ray: most of the cell less that bounds what the cell can give, and a cell that cannot
// beat the best so far is passed over whole. On the floors and walls of machined parts nearly
// all are. (Decomposing the disc into rows and sliding a maximum along each, as van Herk and Gil
// and Werman do, costs a pass for each row of the footprint and serves only flat ends.)
type search struct {
	*pyramid
	*shape
	x, y   int
	best   int32
	bx, by int // where the best is
}

// offset is the distance from c to the range lo..hi.
func offset(c, lo, hi int) int {
	if c < lo {
		return lo - c
	}
	if c > hi {
		return c - hi
	}
	return 0
}

func (s *search) cell(k, i, j int) {
	l := &s.layer[k]
	dx := offset(s.x, i*l.size, i*l.size+l.size-1)
	dy := offset(s.y, j*l.size, j*l.size+l.size-1)
	if dy >= s.side || int32(dx) > s.wide[dy] || l.most[j*l.nu+i]-s.rise[dy*s.side+dx] <= s.best {
		return
	}
	if k > 0 {
		below := &s.layer[k-1]
		for y := j * fan; y < min((j+1)*fan, below.nv); y++ {
			row := below.most[y*below.nu:]
			for x := i * fan; x < min((i+1)*fan, below.nu); x++ {
				if row[x] > s.best {
					s.cell(k-1, x, y)
				}
			}
		}
		return
	}
	x0, x1 := i*fan, min((i+1)*fan, s.nu)
	for y := j * fan; y < min((j+1)*fan, s.nv); y++ {
		dy := offset(s.y, y, y)
		if dy >= s.side {
			continue
		}
		wide := s.wide[dy]
		rise := s.rise[dy*s.side : (dy+1)*s.side]
		for x, h := range s.field[y*s.nu+x0 : y*s.nu+x1] {
			if h <= s.best {
				continue
			}
			dx := offset(s.x, x0+x, x0+x)
			if int32(dx) > wide {
				continue
			}
			if h -= rise[dx]; h > s.best {
				s.best, s.bx, s.by = h, x0+x, y
			}
		}
	}
}

// tile is the side, in rays, of the squares in which work is skipped: the cells of level 1.
const tile = fan * fan

// tiles marks squares of a field.
type tiles struct {
	nu, nv int
	marked []bool
}

func newTiles(nu, nv int) *tiles {
	t := &tiles{nu: (nu + tile - 1) / tile, nv: (nv + tile - 1) / tile}
	t.marked = make([]bool, t.nu*t.nv)
	return t
}

// near marks every tile that lies within reach rays of a marked one.
func (t *tiles) near(reach int) *tiles {
	d := (reach + tile - 1) / tile
	out := &tiles{nu: t.nu, nv: t.nv, marked: make([]bool, len(t.marked))}
	for j := range t.nv {
		for i := range t.nu {
			if !t.marked[j*t.nu+i] {
				continue
			}
			for y := max(j-d, 0); y <= min(j+d, t.nv-1); y++ {
				for x := max(i-d, 0); x <= min(i+d, t.nu-1); x++ {
					out.marked[y*t.nu+x] = true
				}
			}
		}
	}
	return out
}

// ceilings are, for each tile, the most that any ray within reach of it holds.
func (p *pyramid) ceilings(reach int) []int32 {
	l := &p.layer[1]
	d := (reach + tile - 1) / tile
	across := make([]int32, len(l.most))
	slide(across, l.most, l.nu, l.nv, 1, l.nu, d)
	out := make([]int32, len(l.most))
	slide(out, across, l.nv, l.nu, l.nu, 1, d)
	return out
}

// slide takes the maximum over d places either way along lines of n places step apart; there are
// count lines, next apart.
func slide(out, in []int32, n, count, step, next, d int) {
	dexel.Parallel(count, func(c int) {
		for i := range n {
			m := int32(lowest)
			for x := max(i-d, 0); x <= min(i+d, n-1); x++ {
				m = max(m, in[c*next+x*step])
			}
			out[c*next+i*step] = m
		}
	})
}

// dilate writes into out the maximum over the footprint of field less profile. What lies
// outside the field counts as lower than everything in it. With a set of tiles, only those are
// written. With seed, which may be out itself, the result is known to be nowhere less than it.
func (p *pyramid) dilate(s *shape, out []int32, only *tiles, seed []int32) {
	reach := s.side - 1
	ceiling := p.ceilings(reach)
	across := p.layer[1].nu
	dexel.Parallel((p.nv+tile-1)/tile, func(k int) {
		f := search{pyramid: p, shape: s}
		for y := k * tile; y < min((k+1)*tile, p.nv); y++ {
			f.bx, f.by = -1, -1
			for t := range across {
				if only == nil || only.marked[k*across+t] {
					f.run(out, seed, y, t*tile, min((t+1)*tile, p.nu), ceiling[k*across+t])
				}
			}
		}
	})
}

// run fills out for the rays x0 to x1-1 of row y, where no value can be above ceiling.
func (s *search) run(out, seed []int32, y, x0, x1 int, ceiling int32) {
	top := &s.layer[levels-1]
	reach := s.side - 1
	j0, j1 := max(y-reach, 0)/top.size, min(y+reach, s.nv-1)/top.size
	s.y = y
	for x := x0; x < x1; x++ {
		s.x = x
		at := s.field[y*s.nu+x]
		s.best = at
		// The place that held the last ray up holds this one up, as a rule.
		if s.bx >= 0 {
			dx, dy := offset(x, s.bx, s.bx), offset(y, s.by, s.by)
			if dy < s.side && int32(dx) <= s.wide[dy] {
				s.best = max(s.best, s.field[s.by*s.nu+s.bx]-s.rise[dy*s.side+dx])
			}
		}
		if s.best == at {
			s.bx, s.by = x, y
		}
		if seed != nil {
			s.best = max(s.best, seed[y*s.nu+x])
		}
		if s.best < ceiling {
			i0, i1 := max(x-reach, 0)/top.size, min(x+reach, s.nu-1)/top.size
			for j := j0; j <= j1; j++ {
				for i := i0; i <= i1; i++ {
					s.cell(levels-1, i, j)
				}
			}
		}
		out[y*s.nu+x] = s.best
	}
}
