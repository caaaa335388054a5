package difference

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/dexel"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// noiseQuanta is the length of a piece under which two coincident faces that are cut into
// different triangles may only have rounded apart: each is within half a quantum along the
// rays, and as far across, which a slope of the skew frame makes up to three.
const noiseQuanta = 8

// leastRegionRays is how many rays must meet a region for it to be told from noise.
const leastRegionRays = 4

// labelled is one band's pieces with their places.
type labelled struct {
	row0   int
	start  []int32 // by ray, len rays+1
	pieces []piece
}

// found is a region before it is described, with what is needed to order and measure it.
type found struct {
	Region
	kind  kind
	rays  int
	tries []r3.Vector // points in it, for its thickness
}

// tally is a region while its pieces are added up.
type tally struct {
	found
	quanta     int64
	longest    piece
	row0, row1 int
}

// pieces is what the rays of a grid go through, band by band. A piece's id is its place in the
// order of bands, rays and heights.
type pieces struct {
	grid  *dexel.Grid
	nu    int
	bands []labelled
	base  []int32 // by band, the id of its first piece; len bands+1
}

// regions finds the connected pieces of the kinds asked for: pieces of one kind on neighbouring
// rays belong together when they overlap along the ray or are less than two pitches apart, so
// that a thin sheet stays in one up to a slope of two. It also returns the volume, by kind, that
// is in no region.
func (s *scene) regions(axis dexel.Axis, wanted [kinds]bool, noiseMM float64, rays int) ([]found, [kinds]float64, error) {
	g, err := s.grid(axis, s.window, max(rays, leastRows*leastRows))
	if err != nil {
		return nil, [kinds]float64{}, err
	}
	g = g.Scatter(mix(s.seed + uint64(axis) + uint64(rays)))
	noise := int32(noiseQuanta)
	if noiseMM > 0 {
		noise = int32(min(noiseMM/g.QuantumMM(), 1<<30))
	}
	p, rest := s.cut(g, wanted, noise)
	all, number := s.tally(p)
	list := s.measured(p, all, number, &rest)
	return list, rest, nil
}

// cut is the pieces of the kinds wanted along every ray, and the volume of those under noise.
func (s *scene) cut(g *dexel.Grid, wanted [kinds]bool, noise int32) (*pieces, [kinds]float64) {
	nu, _ := g.Size()
	p := &pieces{grid: g, nu: nu, bands: make([]labelled, g.Bands()), base: make([]int32, g.Bands()+1)}
	restQuanta := make([][kinds]int64, g.Bands())
	dexel.Scan(g, []*dexel.Solid{s.a, s.b}, func(band, _ int, of []dexel.Band) {
		l := labelled{row0: of[0].Row0, start: make([]int32, 1, of[0].Rows*nu+1)}
		for j := range of[0].Rows {
			for i := range nu {
				from := len(l.pieces)
				l.pieces, _ = divide(l.pieces, of[0].Ray(i, j), of[1].Ray(i, j), s.chain)
				kept := l.pieces[:from]
				for _, p := range l.pieces[from:] {
					switch {
					case !wanted[p.kind]:
					case p.high-p.low < noise:
						restQuanta[band][p.kind] += int64(p.high) - int64(p.low)
					default:
						kept = append(kept, p)
					}
				}
				l.pieces = kept
				l.start = append(l.start, int32(len(l.pieces)))
			}
		}
		p.bands[band] = l
	})
	var rest [kinds]float64
	for k := range p.bands {
		p.base[k+1] = p.base[k] + int32(len(p.bands[k].pieces))
		for i, n := range restQuanta[k] {
			rest[i] += float64(n) * p.perQuantum()
		}
	}
	return p, rest
}

// perQuantum is the volume of a quantum of one ray.
func (p *pieces) perQuantum() float64 { return p.grid.QuantumMM() * p.grid.CellMM2() }

func (p *pieces) pitchMM() float64 {
	u, v := p.grid.PitchMM()
	return max(u, v)
}

// each visits every piece in order of its id, with the column and row of its ray.
func (p *pieces) each(do func(id int32, x piece, i, j int)) {
	for k := range p.bands {
		b := &p.bands[k]
		id := p.base[k]
		for r := range len(b.start) - 1 {
			for _, x := range b.pieces[b.start[r]:b.start[r+1]] {
				do(id, x, r%p.nu, b.row0+r/p.nu)
				id++
			}
		}
	}
}

// joined is the pieces that touch as one tree each. Neighbours are joined band by band at once,
// each in its own stretch of the forest, and then over the borders of bands.
func (p *pieces) joined() mesh.Forest {
	reach := int32(min(2*p.pitchMM()/p.grid.QuantumMM(), 1<<29))
	f := mesh.NewForest(int(p.base[len(p.bands)]))
	parallel.Each(len(p.bands), func(k, _ int) {
		b, base := &p.bands[k], p.base[k]
		for r := range len(b.start) - 1 {
			if i := r % p.nu; i > 0 {
				link(f, b, b, base, base, r-1, r, reach)
			}
			if r >= p.nu {
				linkUp(f, b, b, base, base, r-p.nu, r, p.nu, reach)
			}
		}
	})
	for k := 1; k < len(p.bands); k++ {
		above, b := &p.bands[k-1], &p.bands[k]
		last := len(above.start) - 1 - p.nu
		for i := range p.nu {
			linkUp(f, above, b, p.base[k-1], p.base[k], last+i, i, p.nu, reach)
		}
	}
	return f
}

// tally adds up the regions, and says by piece which region, counted from 1, it is of. The root
// of a region is its lowest piece, so regions come in the order of their pieces.
func (s *scene) tally(p *pieces) (all []tally, number []int32) {
	f, g, pitch := p.joined(), p.grid, p.pitchMM()
	number = make([]int32, p.base[len(p.bands)])
	p.each(func(id int32, x piece, i, j int) {
		root := f.Root(id)
		if number[root] == 0 {
			all = append(all, tally{found: found{kind: x.kind, Region: Region{Box: geom.EmptyBox(), PitchMM: pitch}}, row0: j})
			number[root] = int32(len(all))
		}
		n := number[root]
		number[id] = n
		t := &all[n-1]
		t.rays++
		t.quanta += int64(x.high) - int64(x.low)
		t.row1 = j
		if s.depth != nil {
			at := g.Point(i, j, x.low+(x.high-x.low)/2)
			if d := s.depth(at); d > t.DepthMM {
				t.DepthMM, t.DeepestPoint = d, at
			}
		} else if x.high-x.low > t.longest.high-t.longest.low {
			t.longest = x
		}
		t.Box = t.Box.AddPoint(g.Point(i, j, x.low)).AddPoint(g.Point(i, j, x.high))
	})
	return all, number
}

// mostMeasured is how many regions, the largest first, are told with an error of their own.
const mostMeasured = 256

// measured is the largest regions with their errors, which their row sums give, and with points
// to try for their thickness. The small fry go to the rest, which has one estimate.
func (s *scene) measured(p *pieces, all []tally, number []int32, rest *[kinds]float64) []found {
	keep := make([]int32, 0, len(all))
	for n := range all {
		t := &all[n]
		t.VolumeMM3 = float64(t.quanta) * p.perQuantum()
		if t.rays < leastRegionRays {
			rest[t.kind] += t.VolumeMM3
			continue
		}
		keep = append(keep, int32(n))
	}
	slices.SortStableFunc(keep, func(x, y int32) int { return cmp.Compare(all[y].quanta, all[x].quanta) })
	for len(keep) > mostMeasured {
		t := &all[keep[len(keep)-1]]
		rest[t.kind] += t.VolumeMM3
		keep = keep[:len(keep)-1]
	}
	slot := make([]int32, len(all)) // by region, its place in keep counted from 1
	rows := make([][]float64, len(keep))
	for k, n := range keep {
		slot[n] = int32(k + 1)
		// Two empty rows on either side.
		rows[k] = make([]float64, all[n].row1-all[n].row0+5)
	}
	seen := make([]int, len(keep))
	p.each(func(id int32, x piece, i, j int) {
		k := int(slot[number[id]-1]) - 1
		if k < 0 {
			return
		}
		t := &all[keep[k]]
		if s.depth == nil && (seen[k]%(t.rays/candidates+1) == 0 || x == t.longest) {
			t.tries = append(t.tries, p.grid.Point(i, j, x.low+(x.high-x.low)/2))
		}
		seen[k]++
		rows[k][j-t.row0+2] += float64(int64(x.high)-int64(x.low)) * p.perQuantum()
	})
	var out []found
	_, nv := p.grid.Size()
	pu, pv := p.grid.PitchMM()
	for k, n := range keep {
		t := &all[n]
		// Not beyond the grid, where nothing can be.
		r := rows[k][max(0, 2-t.row0):min(len(rows[k]), nv-t.row0+2)]
		t.ErrorMM3 = min(RowError(r)+unseen(pu, pv), t.VolumeMM3) + s.rounding
		t.Box = t.Box.Expand(p.pitchMM() / 2)
		out = append(out, t.found)
	}
	return out
}

// candidates is about how many points of a region are tried for its thickest place.
const candidates = 128

// thicken sets the depth of each region to its thickness at the best of its candidate points:
// exact rays through every one, along the three axes of a frame that must not be turned.
func (s *scene) thicken(list []found) error {
	var points []r3.Vector
	for i := range list {
		points = append(points, list[i].tries...)
	}
	thin := make([]int32, len(points))
	for i := range thin {
		thin[i] = math.MaxInt32
	}
	for _, axis := range [...]dexel.Axis{dexel.Z, dexel.X, dexel.Y} {
		for from := 0; from < len(points); from += dexel.MaxSide {
			some := points[from:min(from+dexel.MaxSide, len(points))]
			g, row, err := dexel.NewProbe(s.frame, axis, some)
			if err != nil {
				return err
			}
			owner := make([]int, len(some))
			for k, j := range row {
				owner[j] = from + k
			}
			kindOf := func(point int) kind {
				for i := range list {
					if point -= len(list[i].tries); point < 0 {
						return list[i].kind
					}
				}
				return kinds
			}
			dexel.Scan(g, []*dexel.Solid{s.a, s.b}, func(_, _ int, of []dexel.Band) {
				var buffer [64]piece
				for j := range of[0].Rows {
					point := owner[of[0].Row0+j]
					p := points[point]
					w := g.Place(component(p, int(axis)))
					length := int32(0)
					pieces, _ := divide(buffer[:0], of[0].Ray(0, j), of[1].Ray(0, j), s.chain)
					for _, x := range pieces {
						// A point in the middle of a piece a few quanta long may round out of it.
						if x.kind == kindOf(point) && x.low-noiseQuanta <= w && w <= x.high+noiseQuanta {
							length = max(length, x.high-x.low)
						}
					}
					thin[point] = min(thin[point], length)
				}
			})
		}
	}
	point := 0
	for i := range list {
		f := &list[i]
		f.DepthMM = 0
		for _, p := range f.tries {
			if d := float64(thin[point]) * s.frame.QuantumMM(); d > f.DepthMM {
				f.DepthMM, f.DeepestPoint = d, p
			}
			point++
		}
		f.tries = nil
	}
	return nil
}

// link joins the pieces of ray r of x with those of ray s of y that touch, both in order.
func link(f mesh.Forest, x, y *labelled, baseX, baseY int32, r, s int, reach int32) {
	i, iEnd := x.start[r], x.start[r+1]
	j, jEnd := y.start[s], y.start[s+1]
	for i < iEnd && j < jEnd {
		p, q := x.pieces[i], y.pieces[j]
		if p.kind == q.kind && p.low <= q.high+reach && q.low <= p.high+reach {
			f.Join(baseX+i, baseY+j)
		}
		if p.high < q.high {
			i++
		} else {
			j++
		}
	}
}

// linkUp joins ray s of y with the three rays around r, straight above it, in the row of x.
func linkUp(f mesh.Forest, x, y *labelled, baseX, baseY int32, r, s, nu int, reach int32) {
	if y.start[s] == y.start[s+1] {
		return
	}
	i := s % nu
	link(f, x, y, baseX, baseY, r, s, reach)
	if i > 0 {
		link(f, x, y, baseX, baseY, r-1, s, reach)
	}
	if i+1 < nu {
		link(f, x, y, baseX, baseY, r+1, s, reach)
	}
}
