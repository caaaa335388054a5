package cavity

import (
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/dexel"
)

// overlap is a stretch of a ray that both halves claim.
type overlap struct {
	ray, low, high int32
}

// noiseQuanta is the overlap that rounding to the frame can make of two faces in one plane: a
// crossing lies within a quantum of its plane, for each of two meshes, and as much again.
const noiseQuanta = 4

// nearlyLongest is the share of the longest overlap from which one is looked into.
const nearlyLongest = 0.8

// scan fills the two heights of every ray.
func (r *Room) scan(below, above *dexel.Solid) []overlap {
	bands := make([][]overlap, r.grid.Bands())
	tallies := dexel.Scan(r.grid, []*dexel.Solid{below, above}, func(band, _ int, of []dexel.Band) {
		var a, b [64]dexel.Span
		var found []overlap
		for j := range of[0].Rows {
			row := (of[0].Row0 + j) * r.nu
			for i := range r.nu {
				ca, cb := of[0].Ray(i, j), of[1].Ray(i, j)
				k := row + i
				r.of[k] = noSolid
				if len(ca)+len(cb) == 0 {
					continue
				}
				found = r.ray2(found, k, dexel.Metal(a[:0], ca), dexel.Metal(b[:0], cb))
			}
		}
		bands[band] = found
	})
	for _, t := range tallies {
		r.FoldedRays += t.Folded
		r.OddRays += t.Odd
	}
	return slices.Concat(bands...)
}

// ray2 finds the room and the overlaps on one ray.
//
// Of several places where metal of the fixed half is followed by metal of the moving one, the
// widest is the room.
func (r *Room) ray2(found []overlap, k int, a, b []dexel.Span) []overlap {
	switch {
	case len(a) == 0 && len(b) == 0:
		return found
	case len(b) == 0:
		r.state[k] = metalBelow
		r.low[k] = a[len(a)-1].High
		return found
	case len(a) == 0:
		r.state[k] = metalAbove
		r.high[k] = b[0].Low
		return found
	}
	r.state[k] = inside
	widest := int32(-1)
	for i, s := range a {
		for _, t := range b {
			if low, high := max(s.Low, t.Low), min(s.High, t.High); high-low > noiseQuanta {
				found = append(found, overlap{int32(k), low, high})
			}
			if t.High <= s.High || i+1 < len(a) && t.Low > a[i+1].Low {
				continue
			}
			// The first of the moving half's metal above this one of the fixed half's.
			if w := max(t.Low-s.High, 0); w > widest {
				widest = w
				r.low[k], r.high[k] = s.High, s.High+w
				r.state[k] |= hasGap
			}
			break
		}
	}
	return found
}

// clashes gathers overlaps on neighbouring rays into pieces.
func (r *Room) clashes(list []overlap) {
	if len(list) == 0 {
		return
	}
	at := map[int32][]int32{}
	for n, o := range list {
		at[o.ray] = append(at[o.ray], int32(n))
	}
	f := mesh.NewForest(len(list))
	for n, o := range list {
		for _, next := range [...]int32{1, int32(r.nu)} {
			for _, m := range at[o.ray+next] {
				if p := list[m]; max(o.low, p.low) < min(o.high, p.high) {
					f.Join(int32(n), m)
				}
			}
		}
	}
	members := map[int32][]int32{}
	var roots []int32
	for n := range list {
		root := f.Root(int32(n))
		if len(members[root]) == 0 {
			roots = append(roots, root)
		}
		members[root] = append(members[root], int32(n))
	}
	q, cell := r.grid.QuantumMM(), r.grid.CellMM2()
	for _, root := range roots {
		ids := members[root]
		var c Clash
		var quanta int64
		var squares float64
		rays := len(ids)
		longest := int32(0)
		for _, id := range ids {
			o := list[id]
			w := float64(o.high-o.low) * q
			quanta += int64(o.high - o.low)
			squares += w * w
			longest = max(longest, o.high-o.low)
		}
		// Among those that are nearly as long as the longest, places spread over all of them.
		long := slices.DeleteFunc(ids, func(id int32) bool {
			o := list[id]
			return float64(o.high-o.low) < nearlyLongest*float64(longest)
		})
		for n := range min(mostMids, len(long)) {
			c.Middles = append(c.Middles, r.middle(list[long[n*len(long)/min(mostMids, len(long))]]))
		}
		c.AlongMM = float64(longest) * q
		c.VolumeMM3 = float64(quanta) * q * cell
		c.VolumeErrorMM3 = r.borderError(rays, squares)
		r.Clashes = append(r.Clashes, c)
	}
	slices.SortStableFunc(r.Clashes, func(a, b Clash) int {
		switch {
		case a.VolumeMM3 > b.VolumeMM3:
			return -1
		case a.VolumeMM3 < b.VolumeMM3:
			return 1
		}
		return 0
	})
}

func (r *Room) middle(o overlap) r3.Vector {
	return r.grid.Point(int(o.ray)%r.nu, int(o.ray)/r.nu, o.low+(o.high-o.low)/2)
}
