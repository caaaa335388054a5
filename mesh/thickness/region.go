package thickness

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/tol"
)

// Region is a thin place: a basin of the thickness, and the least distance in it.
type Region struct {
	// ValueMM is the distance of A and B, the least in this basin (W1, W2); ErrorMM bounds what
	// the rounding of the stored coordinates may have done to it.
	ValueMM, ErrorMM     float64
	A, B                 r3.Vector
	TriangleA, TriangleB int32
	// AreaMM2 is the area, mean of both sides, over which the readings are within a tenth of
	// ValueMM: sampled, good to a ring of half a pitch around it.
	AreaMM2 float64
	// Bounds is the box of the samples of that area.
	Bounds geom.Box
	// Refined is set where W2 holds. Else a reading stands: a distance of two points all the same,
	// but not shown to be the least. That is so across a round pin, where a chord slides off to
	// nothing and no pair is nearest: there the reading is that along the normal, the lowest that
	// a search in steps down to a 256th of the pitch found. And it is so where something lies
	// between the refined pair; there the best sample's own reading stands.
	Refined bool
	// Members are the samples of that area, in ascending order.
	Members []int32
}

const (
	// thinShare is how much thicker than its least value a place may be and count for its area.
	thinShare = 0.1
	// prominence is how much higher than its bottom the rim between two basins must be for them
	// to be told apart, as a share of the lower reading, and at least prominenceMM: less is the
	// noise of sampling a facetted surface.
	prominence   = 0.1
	prominenceMM = 0.02
	// linkPitches is how far samples are joined, in pitches: more than the sqrt(2) of a square
	// grid's diagonal.
	linkPitches = 1.5
	// turnCos keeps the two faces of an edge apart: samples whose normals differ by more than 60
	// degrees are not neighbours.
	turnCos = 0.5
)

// Taper is a place where a wall runs out to nothing: its two sides meet at At. Where they meet
// along an edge of the mesh, FeatherEdges has the angle and the length exactly.
type Taper struct {
	At r3.Vector
	// Angle is that between the two sides where the taper was read, about a pitch from At.
	Angle s1.Angle
	// Triangles are those the two sides were read on.
	Triangles [2]int32
	// AreaMM2 is the area, mean of both sides, that was set aside as the flank of the taper.
	AreaMM2 float64
}

// Blocked is a reading that something else turned out to lie across: neither the pair of points it
// was refined to nor its own has only the measured side between them. On a closed mesh that does
// not cross itself none was ever seen; where bodies overlap or a surface is open they are, and
// the place could not be measured.
type Blocked struct {
	A, B      r3.Vector
	Triangles [2]int32
	// WallMM is what the sample read.
	WallMM float64
	// AreaMM2 is the area, mean of both sides, that was set aside with it.
	AreaMM2 float64
}

// Thin is all that a limit finds.
type Thin struct {
	Regions []Region  // thinnest first
	Tapers  []Taper   // flanks of places where a wall runs out to nothing
	Blocked []Blocked // could not be measured: not to be passed over in silence
}

// Regions are those of Thin. What runs out to nothing and what could not be measured is not among
// them.
func (f *Field) Regions(limit float64, accept func(a, b int32) bool) []Region {
	return f.Thin(limit, accept).Regions
}

// Thin groups the samples whose wall is at most limit mm (0: all) into basins and refines the least
// of each. Only pairs of triangles that accept allows are looked at, nil for all; it is asked with
// either one first and must not mind being asked often and from several goroutines.
//
// A basin whose lowest pair slides down to where its two sides meet is the flank of a taper. The
// samples around are set aside and the next ones tried, for a taper may drain a wall whose own
// bottom is flat. Several tapers may have shared out one such wall between their basins, so what is
// left of all of them is grouped anew together.
func (f *Field) Thin(limit float64, accept func(a, b int32) bool) Thin {
	if limit == 0 {
		limit = math.Inf(1)
	}
	var picked []int32
	for i := range f.Samples {
		s := &f.Samples[i]
		if s.Partner >= 0 && float64(s.WallMM) <= limit && (accept == nil || accept(s.Triangle, s.Partner)) {
			picked = append(picked, int32(i))
		}
	}
	slices.SortFunc(picked, func(x, y int32) int {
		return cmp.Or(cmp.Compare(f.Samples[x].WallMM, f.Samples[y].WallMM), cmp.Compare(x, y))
	})
	var out Thin
	for round := 0; len(picked) > 0; round++ {
		basins := f.grouped(picked)
		found := make([]settler, len(basins))
		parallel.Chunks(len(basins), 1, func(n, _, _, _ int) {
			found[n] = settler{refiner: refiner{f: f, accept: accept}}
			found[n].settle(basins[n], round >= mostRounds)
		})
		gone := make(map[int32]bool, len(picked))
		for _, i := range picked {
			gone[i] = true
		}
		for n := range found {
			for _, r := range found[n].regions {
				if r.ValueMM <= limit {
					out.Regions = append(out.Regions, r)
				}
			}
			out.Tapers = append(out.Tapers, found[n].tapers...)
			out.Blocked = append(out.Blocked, found[n].blocked...)
			for _, i := range found[n].left {
				delete(gone, i)
			}
		}
		picked = slices.DeleteFunc(picked, func(i int32) bool { return gone[i] })
	}
	slices.SortStableFunc(out.Regions, func(x, y Region) int { return cmp.Compare(x.ValueMM, y.ValueMM) })
	out.Regions = mergeSame(out.Regions, f.PitchMM)
	out.Tapers = mergeTapers(out.Tapers, linkPitches*f.PitchMM)
	return out
}

// grouped are the basins of the picked samples, each ascending, in the order of their bottoms.
func (f *Field) grouped(picked []int32) [][]int32 {
	basin := f.flood(picked)
	number := make(map[int32]int)
	var out [][]int32
	for k, i := range picked {
		root := basin.root(int32(k))
		n, ok := number[root]
		if !ok {
			n = len(out)
			number[root] = n
			out = append(out, nil)
		}
		out[n] = append(out[n], i)
	}
	return out
}

// settler turns basins into regions and tapers.
type settler struct {
	refiner
	regions []Region
	tapers  []Taper
	blocked []Blocked
	left    []int32 // to be grouped anew
}

const (
	// asideBeforeWider widens what one taper sets aside after so many in one basin, by half
	// each time and up to eight links: a long flank is stepped over in some hundred steps, at
	// the price that a wall within that reach of its middle goes unseen.
	asideBeforeWider = 32
	widestTaper      = 8
	// mostRounds ends the regrouping: a basin then keeps its first wall in spite of its tapers.
	// Two rounds are usual.
	mostRounds = 64
)

// settle finds the region of a basin, or its tapers and what is left; with last set, both.
func (s *settler) settle(members []int32, last bool) {
	f := s.f
	gone := make([]bool, len(members))
	reach := linkPitches * f.PitchMM
	widest := widestTaper * reach
	aside := 0
	for k, i := range members {
		if gone[k] {
			continue
		}
		sample := &f.Samples[i]
		start := pair{f.Point(sample), f.Opposite(sample), sample.Triangle, sample.Partner, 0}
		start.length = start.b.Sub(start.a).Norm()
		p := s.refine(start)
		met := p.length <= 4*f.RoundingMM
		round := false
		if met && -f.normal[p.ta].Dot(f.normal[p.tb]) < f.facing {
			if low, ok := s.across(start); ok {
				round, met, p = true, false, low
			}
		}
		if !met {
			refined := !round && f.opposed(p) && s.clear(p)
			if !refined && !round {
				p = start
			}
			if refined || s.clear(p) {
				if aside == 0 || last {
					s.regions = append(s.regions, f.region(p, refined, members))
					return
				}
				for j, m := range members {
					if !gone[j] {
						s.left = append(s.left, m)
					}
				}
				return
			}
		}
		aside++
		if aside%asideBeforeWider == 0 {
			reach = min(reach*1.5, widest)
		}
		area := 0.0
		for j := k; j < len(members); j++ {
			if gone[j] {
				continue
			}
			o := &f.Samples[members[j]]
			if at := f.Point(o); near(at, start.a, reach) || near(at, start.b, reach) || near(at, p.a, reach) {
				gone[j] = true
				area += float64(o.AreaMM2) / 2
			}
		}
		gone[k] = true
		if met {
			n, o := f.normal[start.ta], f.normal[start.tb]
			s.tapers = append(s.tapers, Taper{p.a, s1.Angle(math.Pi - math.Atan2(n.Cross(o).Norm(), n.Dot(o))), [2]int32{start.ta, start.tb}, area})
		} else {
			s.blocked = append(s.blocked, Blocked{start.a, start.b, [2]int32{start.ta, start.tb}, float64(sample.WallMM), area})
		}
	}
}

func near(a, b r3.Vector, reach float64) bool { return a.Sub(b).Norm2() <= reach*reach }

func (f *Field) region(p pair, refined bool, members []int32) Region {
	out := Region{
		ValueMM: p.length, ErrorMM: 2*f.RoundingMM + f.arithmetic(), A: p.a, B: p.b, TriangleA: p.ta, TriangleB: p.tb,
		Bounds: geom.EmptyBox(), Refined: refined,
	}
	for _, i := range members {
		s := &f.Samples[i]
		if float64(s.WallMM) > p.length*(1+thinShare)+f.RoundingMM {
			break // members ascend by reading
		}
		out.AreaMM2 += float64(s.AreaMM2) / 2
		out.Bounds = out.Bounds.AddPoint(f.Point(s))
		out.Members = append(out.Members, i)
	}
	slices.Sort(out.Members)
	return out
}

// mergeTapers joins those that meet within reach of one another, keeping the first.
func mergeTapers(in []Taper, reach float64) []Taper {
	var out []Taper
	for _, t := range in {
		found := false
		for i := range out {
			if near(out[i].At, t.At, reach) {
				out[i].AreaMM2 += t.AreaMM2
				found = true
				break
			}
		}
		if !found {
			out = append(out, t)
		}
	}
	return out
}

// arithmetic bounds what computing a distance adds: some thirty roundings of binary64 at the
// size of the coordinates.
func (f *Field) arithmetic() float64 { return 32 * tol.RoundoffDouble * f.tree.Bounds().MaxAbs() }

// opposed reports whether the line between the points runs into the measured side at both ends.
// At a minimum over whole triangles it is normal to both or ends on an edge; what this rejects is
// a pair that slid to the rim of its patch.
func (f *Field) opposed(p pair) bool {
	d := p.b.Sub(p.a).Mul(1 / p.length)
	return f.normal[p.ta].Dot(d) > grazing && f.normal[p.tb].Dot(d) < -grazing
}

// mergeSame joins regions that settled at the same pair of points, or at the same with the sides
// exchanged.
func mergeSame(in []Region, near float64) []Region {
	var out []Region
	for _, r := range in {
		found := false
		for i := range out {
			o := &out[i]
			if r.ValueMM-o.ValueMM > near {
				continue
			}
			straight := max(r.A.Sub(o.A).Norm(), r.B.Sub(o.B).Norm())
			crossed := max(r.A.Sub(o.B).Norm(), r.B.Sub(o.A).Norm())
			if min(straight, crossed) <= near {
				o.AreaMM2 += r.AreaMM2
				o.Bounds = o.Bounds.Union(r.Bounds)
				o.Members = append(o.Members, r.Members...)
				slices.Sort(o.Members)
				found = true
				break
			}
		}
		if !found {
			out = append(out, r)
		}
	}
	return out
}
