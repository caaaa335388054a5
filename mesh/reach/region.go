package reach

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

// Kind says why material is left.
type Kind uint8

// The kinds of regions.
const (
	// Undercut lies under metal of the insert.
	Undercut Kind = iota
	// Narrow was entered by no cutter: a slot, or a corner of a pocket too small for any.
	Narrow
	// Deep would have been reached by a cutter with a longer stick-out.
	Deep
	// Corner is what the round outline or the rounded end of a cutter leaves in a corner.
	Corner
	regionKinds
)

func (k Kind) String() string { return [...]string{"undercut", "narrow", "deep", "corner"}[k] }

// Region is a connected piece of material that is left.
type Region struct {
	Kind   Kind
	Volume Quantity
	// Box is around the region, within the pitch.
	Box geom.Box
	// HeightMM is the most material on one ray, and Point its middle.
	HeightMM float64
	Point    r3.Vector
}

// cell is what is left on one ray, of one kind.
type cell struct {
	left int32 // quanta in all
	low  int32 // of the lowest piece
	high int32 // of the highest
}

// describe finds the regions. Rays at which nothing is left for one of their eight neighbours
// are a rind: along every wall there is one, a ray wide, where the wall passes between rays. A
// region is a connected set of rays that are no rind, with the rind that touches it.
func (s *scene) describe(r *Result, st state, opt Options) {
	most := opt.MostRegions
	if most == 0 {
		most = DefaultMostRegions
	}
	n := s.nu * s.nv
	cells := make([]cell, n)
	kinds := make([]Kind, n)
	pu, pv := s.grid.PitchMM()
	pitch := max(pu, pv)
	// Heights under the pitch are not to be told from the lattice on slopes.
	noise := int32(min(pitch/16/s.grid.QuantumMM(), math.MaxInt32))
	rest := int64(0)
	for _, under := range [...]bool{true, false} {
		for k := range cells {
			cells[k] = cell{}
			var c cell
			if under {
				for _, p := range s.hidden[s.hideEnds[k]:s.hideEnds[k+1]] {
					c.take(p)
				}
				kinds[k] = Undercut
			} else {
				entered := false
				for _, p := range s.pieces[s.start[k]:s.start[k+1]] {
					if p.high > st.top[k] {
						entered = true
					}
					p.high = min(p.high, st.top[k])
					if p.high > p.low {
						c.take(p)
					}
				}
				switch {
				case c.left > 0 && st.free[k] < st.top[k] && c.high > st.free[k]:
					kinds[k] = Deep
				case entered:
					kinds[k] = Corner
				default:
					kinds[k] = Narrow
				}
			}
			if c.left > noise {
				cells[k] = c
			} else {
				rest += int64(c.left)
			}
		}
		rest += s.label(r, cells, kinds)
	}
	sortRegions(r.Regions)
	if len(r.Regions) > most {
		for _, x := range r.Regions[most:] {
			rest += int64(math.Round(x.Volume.MM3 / r.perQuantum))
		}
		r.Regions = r.Regions[:most]
	}
	r.Rest = Quantity{MM3: float64(rest) * r.perQuantum, ErrorMM3: r.Undercut.ErrorMM3 + r.Residue.ErrorMM3}
}

// sortRegions puts the largest first, ties by place.
func sortRegions(list []Region) {
	slices.SortStableFunc(list, func(a, b Region) int {
		return cmp.Or(cmp.Compare(b.Volume.MM3, a.Volume.MM3), cmp.Compare(a.Box.Min.Z, b.Box.Min.Z), cmp.Compare(a.Box.Min.Y, b.Box.Min.Y), cmp.Compare(a.Box.Min.X, b.Box.Min.X))
	})
}

func (c *cell) take(p piece) {
	if c.left == 0 {
		c.low = p.low
	}
	c.left += p.high - p.low
	c.high = p.high
}

// label adds the regions of the cells and returns what is in none.
func (s *scene) label(r *Result, cells []cell, kinds []Kind) (rest int64) {
	nu, nv := s.nu, s.nv
	same := func(k, o int) bool { return cells[o].left > 0 && kinds[o] == kinds[k] }
	core := make([]bool, len(cells))
	for j := 1; j+1 < nv; j++ {
		for i := 1; i+1 < nu; i++ {
			k := j*nu + i
			if cells[k].left == 0 {
				continue
			}
			core[k] = same(k, k-1) && same(k, k+1) && same(k, k-nu-1) && same(k, k-nu) && same(k, k-nu+1) &&
				same(k, k+nu-1) && same(k, k+nu) && same(k, k+nu+1)
		}
	}
	type tally struct {
		Region
		quanta, edge int64
	}
	var all []tally
	number := make([]int32, len(cells))
	around := [...]int{-nu - 1, -nu, -nu + 1, -1, 1, nu - 1, nu, nu + 1}
	pu, pv := s.grid.PitchMM()
	q := s.grid.QuantumMM()
	var queue []int32
	put := func(t *tally, id int32, k int) {
		number[k] = id
		c := cells[k]
		t.quanta += int64(c.left)
		if !core[k] {
			t.edge += int64(c.left)
		}
		i, j := k%nu, k/nu
		t.Box = t.Box.AddPoint(s.grid.Point(i, j, c.low)).AddPoint(s.grid.Point(i, j, c.high))
		if h := float64(c.left) * q; h > t.HeightMM {
			t.HeightMM = h
			t.Point = s.grid.Point(i, j, c.low+(c.high-c.low)/2)
		}
	}
	for k := range cells {
		if !core[k] || number[k] != 0 {
			continue
		}
		id := int32(len(all) + 1)
		all = append(all, tally{Region: Region{Kind: kinds[k], Box: geom.EmptyBox()}})
		t := &all[id-1]
		put(t, id, k)
		queue = append(queue[:0], int32(k))
		for len(queue) > 0 {
			at := int(queue[len(queue)-1])
			queue = queue[:len(queue)-1]
			for _, d := range around {
				o := at + d
				if number[o] == 0 && same(at, o) {
					put(t, id, o)
					if core[o] {
						queue = append(queue, int32(o))
					}
				}
			}
		}
	}
	for k, c := range cells {
		if number[k] == 0 {
			rest += int64(c.left)
		}
	}
	for _, t := range all {
		t.Box = t.Box.Expand(max(pu, pv) / 2)
		// The outline of a region passes somewhere through the rays of its rind.
		t.Volume = Quantity{MM3: float64(t.quanta) * r.perQuantum, ErrorMM3: float64(t.edge) * r.perQuantum}
		r.Regions = append(r.Regions, t.Region)
	}
	return rest
}
