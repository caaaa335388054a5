package reach

import (
	"math"

	"pocketgauge/mesh/parallel"
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
		parallel.Each(l.nv, func(j, _ int) {
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

// search finds, for a block of fan by fan places, the maximum of field less profile over the
// footprint of each.
//
// The profile grows with the distance, so within a cell it is nowhere less than at the cell's
// nearest ray: most of the cell less that bounds what the cell can give, and a cell that cannot
// beat the least of the block's values so far is passed over whole. On the floors and walls of
// machined parts nearly all are. (Decomposing the disc into rows and sliding a maximum along
// each, as van Herk and Gil and Werman do, costs a pass for each row of the footprint and serves
// only flat ends. Searching for one place at a time took 1.8 times as long as for a block.)
type search struct {
	*pyramid
	*shape
	x0, y0, x1, y1 int // the block, up to but without x1 and y1
	best           [fan * fan]int32
	least          int32
	bx, by         int // where the last of them is, -1 at first
}

// offset is the distance from c to the range lo..hi.
func offset(c, lo, hi int) int { return max(lo-c, c-hi, 0) }

// apart is the distance between the ranges a0 to a1-1 and b0 to b1-1.
func apart(a0, a1, b0, b1 int) int { return max(b0-a1+1, a0-b1+1, 0) }

func (s *search) cell(k, i, j int) {
	l := &s.layer[k]
	most := l.most[j*l.nu+i]
	if most <= s.least {
		return
	}
	dx := apart(s.x0, s.x1, i*l.size, i*l.size+l.size)
	dy := apart(s.y0, s.y1, j*l.size, j*l.size+l.size)
	if dy >= s.side || int32(dx) > s.wide[dy] || most-s.rise[dy*s.side+dx] <= s.least {
		return
	}
	if k == 0 {
		s.leaf(i, j, most)
		return
	}
	below := &s.layer[k-1]
	for y := j * fan; y < min((j+1)*fan, below.nv); y++ {
		for x := i * fan; x < min((i+1)*fan, below.nu); x++ {
			s.cell(k-1, x, y)
		}
	}
}

// leaf tries the rays of a cell of the lowest level for each place of the block.
func (s *search) leaf(i, j int, most int32) {
	u0, u1 := i*fan, min((i+1)*fan, s.nu)
	v0, v1 := j*fan, min((j+1)*fan, s.nv)
	least := int32(math.MaxInt32)
	for y := s.y0; y < s.y1; y++ {
		for x := s.x0; x < s.x1; x++ {
			at := &s.best[(y-s.y0)*fan+x-s.x0]
			best := *at
			dx, dy := offset(x, u0, u1-1), offset(y, v0, v1-1)
			if dy < s.side && int32(dx) <= s.wide[dy] && most-s.rise[dy*s.side+dx] > best {
				for v := v0; v < v1; v++ {
					dy := max(v-y, y-v)
					if dy >= s.side {
						continue
					}
					wide := s.wide[dy]
					rise := s.rise[dy*s.side : (dy+1)*s.side]
					for u, h := range s.field[v*s.nu+u0 : v*s.nu+u1] {
						if h <= best {
							continue
						}
						dx := max(u0+u-x, x-u0-u)
						if int32(dx) > wide {
							continue
						}
						if h -= rise[dx]; h > best {
							best, s.bx, s.by = h, u0+u, v
						}
					}
				}
				*at = best
			}
			least = min(least, best)
		}
	}
	s.least = least
}

// tile is the side, in rays, of the squares in which work is skipped: the cells of level 1.
const tile = fan * fan

// tiles marks squares of a field.
type tiles struct {
	nu, nv int
	wide   int // rays in a row
	marked []bool
}

func newTiles(nu, nv int) *tiles {
	t := &tiles{nu: (nu + tile - 1) / tile, nv: (nv + tile - 1) / tile, wide: nu}
	t.marked = make([]bool, t.nu*t.nv)
	return t
}

// near marks every tile that lies within reach rays of a marked one.
func (t *tiles) near(reach int) *tiles {
	d := (reach + tile - 1) / tile
	out := &tiles{nu: t.nu, nv: t.nv, wide: t.wide, marked: make([]bool, len(t.marked))}
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

// and marks the tiles that both mark, in t.
func (t *tiles) and(o *tiles) *tiles {
	for k := range t.marked {
		t.marked[k] = t.marked[k] && o.marked[k]
	}
	return t
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
	parallel.Each(count, func(c, _ int) {
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
	parallel.Each((p.nv+tile-1)/tile, func(k, _ int) {
		f := search{pyramid: p, shape: s}
		for y := k * tile; y < min((k+1)*tile, p.nv); y += fan {
			f.bx, f.by = -1, -1
			for t := range across {
				if only == nil || only.marked[k*across+t] {
					for x := t * tile; x < min((t+1)*tile, p.nu); x += fan {
						f.block(out, seed, x, y, ceiling[k*across+t])
					}
				}
			}
		}
	})
}

// block fills out for the block at x, y, where no value can be above ceiling.
func (s *search) block(out, seed []int32, x0, y0 int, ceiling int32) {
	s.x0, s.y0, s.x1, s.y1 = x0, y0, min(x0+fan, s.nu), min(y0+fan, s.nv)
	s.least = math.MaxInt32
	for y := y0; y < s.y1; y++ {
		for x := x0; x < s.x1; x++ {
			best := s.field[y*s.nu+x]
			if seed != nil {
				best = max(best, seed[y*s.nu+x])
			}
			// The place that held the last block up holds this one up, as a rule.
			if s.bx >= 0 {
				dx, dy := max(s.bx-x, x-s.bx), max(s.by-y, y-s.by)
				if dy < s.side && int32(dx) <= s.wide[dy] {
					best = max(best, s.field[s.by*s.nu+s.bx]-s.rise[dy*s.side+dx])
				}
			}
			s.best[(y-y0)*fan+x-x0] = best
			s.least = min(s.least, best)
		}
	}
	if s.least < ceiling {
		top := &s.layer[levels-1]
		reach := s.side - 1
		i0, i1 := max(x0-reach, 0)/top.size, min(s.x1-1+reach, s.nu-1)/top.size
		j0, j1 := max(y0-reach, 0)/top.size, min(s.y1-1+reach, s.nv-1)/top.size
		for j := j0; j <= j1; j++ {
			for i := i0; i <= i1; i++ {
				s.cell(levels-1, i, j)
			}
		}
	}
	for y := y0; y < s.y1; y++ {
		copy(out[y*s.nu+x0:y*s.nu+s.x1], s.best[(y-y0)*fan:])
	}
}
