package thickness

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/index"
)

// pair is two points of the surface that bound a wall.
type pair struct {
	a, b   r3.Vector
	ta, tb int32
	length float64
}

const (
	// patchMost is how many triangles of a patch enter the comparison of all pairs. Where more lie
	// within a pitch its reach is halved. Almost all pairs are passed over by the boxes of
	// clusters, so that the cost lies in finding the triangles.
	patchMost    = 4096
	clusterMost  = 16
	clusterCells = 8 // cells along the reach by which a patch is sorted into clusters
	// descents bounds the steps of a refinement; each moves by up to a patch.
	descents = 256
	// sameSide is the cosine within which a triangle near a foot belongs to the same side of
	// the wall: 72 degrees, so that the end face of a rib belongs to neither.
	sameSide = 0.3
)

// refiner moves pairs to the nearest local minimum of the distance between the two sides.
type refiner struct {
	f      *Field
	accept func(a, b int32) bool
	pa, pb side
	hits   []index.Hit
}

// side is the patch of triangles around one end of a pair, in clusters that lie together.
type side struct {
	ids      []int32
	clusters []cluster
	keys     []uint64
}

type cluster struct {
	box      geom.Box
	from, to int32
}

// gather collects the triangles within reach of p that face as normal does.
func (r *refiner) gather(s *side, p, normal r3.Vector, reach float64) {
	t := r.f.tree
	for {
		s.ids = t.Within(p, reach, s.ids[:0])
		n := 0
		for _, id := range s.ids {
			if r.f.normal[id].Dot(normal) >= sameSide {
				s.ids[n] = id
				n++
			}
		}
		s.ids = s.ids[:n]
		if n <= patchMost || reach <= r.f.RoundingMM {
			break
		}
		reach /= 2
	}
	m := t.Mesh()
	if len(s.ids) > clusterMost {
		// By the cell of the first corner, ties by the index of the triangle.
		s.keys = s.keys[:0]
		for _, id := range s.ids {
			d := m.Vertices[m.Triangles[id][0]].Sub(p).Mul(clusterCells / reach)
			cell := func(x float64) uint64 { return uint64(max(0, min(2*clusterCells-1, x+clusterCells))) }
			s.keys = append(s.keys, (cell(d.X)<<8|cell(d.Y)<<4|cell(d.Z))<<32|uint64(id))
		}
		slices.Sort(s.keys)
		for k, key := range s.keys {
			s.ids[k] = int32(uint32(key))
		}
	}
	s.clusters = s.clusters[:0]
	for from := 0; from < len(s.ids); from += clusterMost {
		b := cluster{geom.EmptyBox(), int32(from), int32(min(len(s.ids), from+clusterMost))}
		for _, id := range s.ids[b.from:b.to] {
			p, q, r := m.Corners(int(id))
			b.box = b.box.AddPoint(p).AddPoint(q).AddPoint(r)
		}
		s.clusters = append(s.clusters, b)
	}
}

// refine lowers the pair until no pair of triangles in the patches around both ends is nearer.
// A patch is what lies within a pitch and faces the same way.
// The distance falls at every step, so it ends; at its end the line between the points is normal
// to both sides, or the points have met (a feather edge). Each step compares all pairs of
// triangles of the two patches exactly.
func (r *refiner) refine(p pair) pair {
	f := r.f
	for range descents {
		reach := f.PitchMM
		r.gather(&r.pa, p.a, f.normal[p.ta], reach)
		r.gather(&r.pb, p.b, f.normal[p.tb], reach)
		best := p
		for _, a := range r.pa.clusters {
			for _, b := range r.pb.clusters {
				if boxesApart(&a.box, &b.box) < best.length {
					best = r.nearestOfClusters(a, b, best)
				}
			}
		}
		// Less than the rounding of the coordinates is no progress.
		if p.length-best.length <= f.RoundingMM/16 {
			return best
		}
		p = best
		if p.length <= f.RoundingMM {
			return p
		}
	}
	return p
}

// nearestOfClusters is the nearest pair of any two of their triangles, or best.
func (r *refiner) nearestOfClusters(a, b cluster, best pair) pair {
	for _, ta := range r.pa.ids[a.from:a.to] {
		for _, tb := range r.pb.ids[b.from:b.to] {
			if ta == tb {
				continue
			}
			q := r.nearest(ta, tb, best.length)
			if q.length < best.length && (r.accept == nil || r.accept(ta, tb)) {
				best = q
			}
		}
	}
	return best
}

// boxesApart is the distance of two boxes.
func boxesApart(p, q *geom.Box) float64 {
	x := max(0, p.Min.X-q.Max.X, q.Min.X-p.Max.X)
	y := max(0, p.Min.Y-q.Max.Y, q.Min.Y-p.Max.Y)
	z := max(0, p.Min.Z-q.Max.Z, q.Min.Z-p.Max.Z)
	return math.Sqrt(x*x + y*y + z*z)
}

// across is the wall across a round body such as a pin, along the normal of one side. Chords beside
// it are shorter and have nothing to say. The sample is moved over the surface to where it is
// least: eight ways from the best place so far, in steps that are halved where none of them leads
// down (a pattern search; Hooke, Jeeves, "Direct Search Solution of Numerical and Statistical
// Problems", JACM 8, 1961). It reports false for a spike, where it falls to nothing.
func (r *refiner) across(start pair) (pair, bool) {
	f := r.f
	best, ok := r.straight(start.a, start.ta)
	if !ok {
		return start, false
	}
	first := best.length
	moves := 0
	for step := f.CoverMM; step > f.PitchMM/finestStep && moves < mostMoves; moves++ {
		n := f.normal[best.ta]
		x := n.Ortho()
		y := n.Cross(x)
		from := best
		for k := range 8 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 4)
			foot, ok := f.tree.Nearest(from.a.Add(x.Mul(step*cos)).Add(y.Mul(step*sin)), step)
			if !ok || f.normal[foot.Triangle].Dot(f.normal[start.ta]) < turnCos || !f.Sampled(foot.Triangle) {
				continue
			}
			// Less than the rounding of the coordinates is no progress.
			if q, ok := r.straight(foot.Point, foot.Triangle); ok && q.length < best.length-f.RoundingMM/16 {
				best = q
			}
		}
		if best == from {
			step /= 2
		}
	}
	return best, best.length >= spikeShare*first
}

// straight is the wall along the normal of triangle t at its point p.
func (r *refiner) straight(p r3.Vector, t int32) (pair, bool) {
	f := r.f
	n := f.normal[t]
	ray := index.Ray{Origin: p, Direction: n, TMin: f.RoundingMM, TMax: math.Inf(1)}
	hit, ok := f.tree.First(ray)
	if !ok || hit.Triangle == t || -f.normal[hit.Triangle].Dot(n) < f.facing || r.accept != nil && !r.accept(t, hit.Triangle) {
		return pair{}, false
	}
	return pair{p, ray.At(hit.T), t, hit.Triangle, hit.T}, true
}

const (
	// finestStep ends the search at this part of a pitch, mostMoves bounds it.
	finestStep = 256
	mostMoves  = 256
	// spikeShare: where the wall falls to less than this share of what the best sample has along
	// its normal, a pitch or so away, it falls to nothing. A pin of 30 degrees draft loses less.
	spikeShare = 0.25
)

// nearest is the nearest pair of points of two triangles that do not cross: of the six corners
// against the other triangle and the nine pairs of edges, the least. Pairs that cannot be under
// the limit are given up at once.
func (r *refiner) nearest(ta, tb int32, limit float64) pair {
	t := r.f.tree
	m := t.Mesh()
	var p, q [3]r3.Vector
	p[0], p[1], p[2] = m.Corners(int(ta))
	q[0], q[1], q[2] = m.Corners(int(tb))
	best := pair{ta: ta, tb: tb, length: math.Inf(1)}
	if boxGap(&p, &q) >= limit {
		return best
	}
	for i := range 3 {
		if foot := t.FootOn(p[i], tb); foot.Distance < best.length {
			best.a, best.b, best.length = p[i], foot.Point, foot.Distance
		}
		if foot := t.FootOn(q[i], ta); foot.Distance < best.length {
			best.a, best.b, best.length = foot.Point, q[i], foot.Distance
		}
	}
	for i := range 3 {
		for j := range 3 {
			a, b := geom.NearestOfSegments(p[i], p[(i+1)%3], q[j], q[(j+1)%3])
			if d := b.Sub(a).Norm(); d < best.length {
				best.a, best.b, best.length = a, b, d
			}
		}
	}
	return best
}

func boxGap(p, q *[3]r3.Vector) float64 {
	gap := func(a0, a1, a2, b0, b1, b2 float64) float64 {
		return max(0, min(a0, a1, a2)-max(b0, b1, b2), min(b0, b1, b2)-max(a0, a1, a2))
	}
	x := gap(p[0].X, p[1].X, p[2].X, q[0].X, q[1].X, q[2].X)
	y := gap(p[0].Y, p[1].Y, p[2].Y, q[0].Y, q[1].Y, q[2].Y)
	z := gap(p[0].Z, p[1].Z, p[2].Z, q[0].Z, q[1].Z, q[2].Z)
	return math.Sqrt(x*x + y*y + z*z)
}

// grazing is the sine under which a line runs along a facet and does not cross it: half a degree.
// The shortest line of a truncated wedge lies in its end face.
const grazing = 0.01

// clear reports whether only the measured side (metal, or room) lies between the two points.
func (r *refiner) clear(p pair) bool {
	f := r.f
	if p.length <= 4*f.RoundingMM {
		return true
	}
	d := p.b.Sub(p.a).Mul(1 / p.length)
	// Both ends lie on the surface to rounding, so the outermost of the line is left out.
	skip := min(p.length/4, 4*f.RoundingMM)
	r.hits = f.tree.All(index.Ray{Origin: p.a, Direction: d, TMin: skip, TMax: p.length - skip}, r.hits[:0])
	for _, h := range r.hits {
		if math.Abs(f.normal[h.Triangle].Dot(d)) > grazing {
			return false
		}
	}
	mid := p.a.Add(d.Mul(p.length / 2))
	if foot, ok := f.tree.Nearest(mid, 4*f.RoundingMM); ok && math.Abs(f.normal[foot.Triangle].Dot(d)) <= grazing {
		return true
	}
	return f.tree.Inside(mid) == (f.options.Side == Metal)
}
