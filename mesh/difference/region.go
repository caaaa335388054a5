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

// regions finds the connected pieces of the kinds asked for: pieces of one kind on neighbouring
// rays belong together when they overlap along the ray or are less than two pitches apart, so
// that a thin sheet stays in one up to a slope of two. It also returns the volume, by kind, that
// is in no region.
func (s *scene) regions(axis dexel.Axis, wanted [kinds]bool, noiseMM float64, rays int) ([]found, [kinds]float64, error) {
	var rest [kinds]float64
	g, err := s.grid(axis, s.window, max(rays, leastRows*leastRows))
	if err != nil {
		return nil, rest, err
	}
	g = g.Scatter(mix(s.seed + uint64(axis) + uint64(rays)))
	nu, nv := g.Size()
	q := g.QuantumMM()
	noise := int32(noiseQuanta)
	if noiseMM > 0 {
		noise = int32(min(noiseMM/q, 1<<30))
	}
	bands := make([]labelled, g.Bands())
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
		bands[band] = l
	})
	perQuantum := q * g.CellMM2()
	base := make([]int32, len(bands)+1)
	for k := range bands {
		base[k+1] = base[k] + int32(len(bands[k].pieces))
		for i, n := range restQuanta[k] {
			rest[i] += float64(n) * perQuantum
		}
	}
	pu, pv := g.PitchMM()
	pitch := max(pu, pv)
	reach := int32(min(2*pitch/q, 1<<29))

	// Neighbours are joined band by band at once, each in its own stretch of the forest, and
	// then over the borders of bands.
	f := mesh.NewForest(int(base[len(bands)]))
	parallel.Each(len(bands), func(k, _ int) {
		b := &bands[k]
		rays := len(b.start) - 1
		for r := range rays {
			if i := r % nu; i > 0 {
				link(f, b, b, base[k], base[k], r-1, r, reach)
			}
			if r >= nu {
				linkUp(f, b, b, base[k], base[k], r-nu, r, nu, reach)
			}
		}
	})
	for k := 1; k < len(bands); k++ {
		above, b := &bands[k-1], &bands[k]
		last := len(above.start) - 1 - nu
		for i := range nu {
			linkUp(f, above, b, base[k-1], base[k], last+i, i, nu, reach)
		}
	}

	// Roots are the lowest piece of each region, so regions come in the order of their pieces.
	type tally struct {
		found
		quanta     int64
		longest    piece
		row0, row1 int
	}
	number := make([]int32, base[len(bands)])
	var all []tally
	eachPiece := func(do func(id int32, p piece, i, j int)) {
		for k := range bands {
			b := &bands[k]
			id := base[k]
			for r := range len(b.start) - 1 {
				for _, p := range b.pieces[b.start[r]:b.start[r+1]] {
					do(id, p, r%nu, b.row0+r/nu)
					id++
				}
			}
		}
	}
	eachPiece(func(id int32, p piece, i, j int) {
		root := f.Root(id)
		if number[root] == 0 {
			all = append(all, tally{found: found{kind: p.kind, Region: Region{Box: geom.EmptyBox(), PitchMM: pitch}}, row0: j})
			number[root] = int32(len(all))
		}
		n := number[root]
		number[id] = n
		t := &all[n-1]
		t.rays++
		t.quanta += int64(p.high) - int64(p.low)
		t.row1 = j
		if s.depth != nil {
			at := g.Point(i, j, p.low+(p.high-p.low)/2)
			if d := s.depth(at); d > t.DepthMM {
				t.DepthMM, t.DeepestPoint = d, at
			}
		} else if p.high-p.low > t.longest.high-t.longest.low {
			t.longest = p
		}
		t.Box = t.Box.AddPoint(g.Point(i, j, p.low)).AddPoint(g.Point(i, j, p.high))
	})
	// Row sums of the larger regions give their errors; the small fry share one estimate.
	keep := make([]int32, 0, len(all))
	for n := range all {
		t := &all[n]
		t.VolumeMM3 = float64(t.quanta) * perQuantum
		if t.rays < leastRegionRays {
			rest[t.kind] += t.VolumeMM3
			continue
		}
		keep = append(keep, int32(n))
	}
	slices.SortStableFunc(keep, func(x, y int32) int { return cmp.Compare(all[y].quanta, all[x].quanta) })
	const mostMeasured = 256
	slot := make([]int32, len(all))
	for k, n := range keep {
		if k < mostMeasured {
			slot[n] = int32(k + 1)
		}
	}
	rows := make([][]float64, min(len(keep), mostMeasured))
	for k := range rows {
		t := &all[keep[k]]
		rows[k] = make([]float64, t.row1-t.row0+5)
	}
	seen := make([]int, len(rows))
	eachPiece(func(id int32, p piece, i, j int) {
		if k := slot[number[id]-1]; k > 0 {
			t := &all[keep[k-1]]
			if s.depth == nil && (seen[k-1]%(t.rays/candidates+1) == 0 || p == t.longest) {
				t.tries = append(t.tries, g.Point(i, j, p.low+(p.high-p.low)/2))
			}
			seen[k-1]++
			rows[k-1][j-t.row0+2] += float64(int64(p.high)-int64(p.low)) * perQuantum
		}
	})
	var out []found
	for k, n := range keep {
		t := &all[n]
		if k >= mostMeasured {
			rest[t.kind] += t.VolumeMM3
			continue
		}
		// Two empty rows on either side, but not beyond the grid, where nothing can be.
		r := rows[k]
		r = r[max(0, 2-t.row0):min(len(r), nv-t.row0+2)]
		t.ErrorMM3 = min(RowError(r)+unseen(pu, pv), t.VolumeMM3) + s.rounding
		t.Box = t.Box.Expand(pitch / 2)
		out = append(out, t.found)
	}
	return out, rest, nil
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
