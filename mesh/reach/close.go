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
			for x := i * fan; x < min((i+1)*fan, below.nu); x++ {
				s.cell(k-1, x, y)
			}
		}
		return
	}
	for y := j * fan; y < min((j+1)*fan, s.nv); y++ {
		dy := offset(s.y, y, y)
		if dy >= s.side {
			continue
		}
		wide := s.wide[dy]
		for x := i * fan; x < min((i+1)*fan, s.nu); x++ {
			dx := offset(s.x, x, x)
			if int32(dx) > wide {
				continue
			}
			if h := s.field[y*s.nu+x] - s.rise[dy*s.side+dx]; h > s.best {
				s.best, s.bx, s.by = h, x, y
			}
		}
	}
}

// dilate writes into out the maximum over the footprint of field less profile. What lies
// outside the field counts as lower than everything in it.
func (p *pyramid) dilate(s *shape, out []int32) {
	const rows = 8
	top := &p.layer[levels-1]
	reach := s.side - 1
	dexel.Parallel((p.nv+rows-1)/rows, func(k int) {
		f := search{pyramid: p, shape: s}
		for y := k * rows; y < min((k+1)*rows, p.nv); y++ {
			j0, j1 := max(y-reach, 0)/top.size, min(y+reach, p.nv-1)/top.size
			f.bx, f.by = -1, -1
			for x := range p.nu {
				f.x, f.y = x, y
				f.best = p.field[y*p.nu+x]
				at := f.best
				// The place that held the last ray up holds this one up, as a rule.
				if f.bx >= 0 {
					dx, dy := offset(x, f.bx, f.bx), offset(y, f.by, f.by)
					if dy < s.side && int32(dx) <= s.wide[dy] {
						f.best = max(f.best, p.field[f.by*p.nu+f.bx]-s.rise[dy*s.side+dx])
					}
				}
				if f.best == at {
					f.bx, f.by = x, y
				}
				i0, i1 := max(x-reach, 0)/top.size, min(x+reach, p.nu-1)/top.size
				for j := j0; j <= j1; j++ {
					for i := i0; i <= i1; i++ {
						f.cell(levels-1, i, j)
					}
				}
				out[y*p.nu+x] = f.best
			}
		}
	})
}
