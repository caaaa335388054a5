package thickness

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
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
	// Refined is unset where the refined pair had something else between its points, or the wall
	// does not face itself there, and the best sample's own reading stands instead: a distance
	// of two points all the same, but not shown to be the least.
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

// Regions groups the samples whose wall is at most limit mm (0: all) into basins and refines the
// least of each. Only pairs that accept allows are looked at, nil for all; it is asked with the
// sample's triangle first and must not mind being asked often. Thinnest first.
func (f *Field) Regions(limit float64, accept func(a, b int32) bool) []Region {
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
	if len(picked) == 0 {
		return nil
	}
	slices.SortFunc(picked, func(x, y int32) int {
		return cmp.Or(cmp.Compare(f.Samples[x].WallMM, f.Samples[y].WallMM), cmp.Compare(x, y))
	})
	basin := f.flood(picked)

	// Basins in the order of their bottoms, which is that of picked.
	number := make(map[int32]int)
	var bottoms []int32
	members := [][]int32{}
	for k, i := range picked {
		root := basin.root(int32(k))
		n, ok := number[root]
		if !ok {
			n = len(bottoms)
			number[root] = n
			bottoms = append(bottoms, i)
			members = append(members, nil)
		}
		members[n] = append(members[n], i)
	}
	regions := make([]Region, len(bottoms))
	keep := make([]bool, len(bottoms))
	chunkedRegions(len(bottoms), func(from, to int) {
		r := &refiner{f: f, accept: accept}
		for n := from; n < to; n++ {
			regions[n], keep[n] = f.settle(r, members[n])
		}
	})
	out := regions[:0]
	for n := range regions {
		if keep[n] && regions[n].ValueMM <= limit {
			out = append(out, regions[n])
		}
	}
	slices.SortStableFunc(out, func(x, y Region) int { return cmp.Compare(x.ValueMM, y.ValueMM) })
	return mergeSame(out, f.PitchMM)
}

// settle refines a basin from its lowest samples. A basin that runs down to where its two sides
// meet is the flank of a feather edge and no wall.
func (f *Field) settle(r *refiner, members []int32) (Region, bool) {
	s := &f.Samples[members[0]]
	start := pair{s.Point, s.Opposite, s.Triangle, s.Partner, float64(s.WallMM)}
	start.length = start.b.Sub(start.a).Norm()
	p := r.refine(start)
	refined := true
	switch {
	case p.length <= 4*f.RoundingMM:
		return Region{}, false
	case !f.opposed(p) || !r.clear(p):
		p, refined = start, false
		if !r.clear(p) {
			return Region{}, false
		}
	}
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
		out.Bounds = out.Bounds.AddPoint(s.Point)
		out.Members = append(out.Members, i)
	}
	slices.Sort(out.Members)
	return out, true
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
