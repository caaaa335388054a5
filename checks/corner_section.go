package checks

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/tol"
)

// section is what a plane square to an inner corner cuts out of the detail about one of its edges: facets become
// the sides of a polygon, edges its corners.
//
// Between two walls that run smoothly into a round of radius r, chord l of the round spans the angle
// 2 a(l) with a(l) = asin(l/2r); the polygon turns by a(l) + a(m) where chords l and m meet, and by a(l) where the
// outermost chord meets its wall. So over the whole corner
//
//	sum of turns = sum over chords of 2 a(l),
//
// whatever the chords' lengths, and r is the one unknown. Where the corner ends before its wall (the
// detail ends, or the surface turns back) the outermost turn there is left out on the left, and one a(l) of
// its chord on the right. Single edges would tell the radius too, but those of a round that was meshed unevenly run
// across it as they like, and a narrow facet beside a wide one turns by what the wide one asks for: a tenth of the
// radius comes of it.
type section struct {
	radiusMM, errorMM float64
	sharp             bool
	// along is the way of the corner, of length 1.
	along r3.Vector
}

const (
	// widestChord, in radii: a longer side between two corners of the polygon is a wall. A quarter round in one
	// chord is sqrt(2) long.
	widestChord = 1.5
	// wallTurn: a side that would span this many times the turn at either of its ends is a wall between two rounds,
	// for a chord spans no more than what the polygon turns by at each of its ends.
	wallTurn = 2
	// strayTurn: an outermost corner that turns by less than this share of what its chord asks for is not of the round.
	strayTurn = 0.25
	// lessThanCorner is the turn under which what was parted from more may be but a piece of a corner: 75 degrees.
	lessThanCorner = 2.5 * tol.SmoothTurn
	// mostSides of the polygon are looked at each way.
	mostSides = 32
)

// polygon walks from an edge over the detail. turns[i] is that between sides[i] and sides[i+1], after the turn at the edge itself;
// the last of sides is a wall where wall is set.
type polygon struct {
	turns, sides []float64
	wall         bool
	// last is the facet at its end.
	last int32
}

// cutter cuts corners; it is safe for use from several goroutines.
type cutter struct {
	s       *Subject
	f       *facets
	of      []Surface
	across  [][3]int32
	storage float64
	// exact is set where the file tells flat faces from round ones.
	exact bool
	// wallMM: a side this long is a wall.
	wallMM float64
}

func (s *Subject) cornerCutter(widest float64) *cutter {
	return &cutter{s: s, f: facetsFact.of(s), of: s.Surfaces().Of, across: acrossFact.of(s), storage: s.StorageMM(), exact: s.Part.Exact != nil, wallMM: widestChord * widest}
}

// cut measures the corner about an edge; false where it is none.
func (k *cutter) cut(e seam) (section, bool) {
	m := k.s.Part.Mesh
	a, b := m.Vertices[e.v], m.Vertices[e.w]
	along := b.Sub(a).Normalize()
	edge := along
	// On the stack: a million edges are cut.
	var room [4][2*mostSides + 2]float64
	var between [2*mostSides + 2]float64
	var left, right polygon
	var turn float64
	// The edge may run across the round; what runs along it is square to both of its walls.
	for range 2 {
		turn = k.turnAcross(e.t, e.o, along)
		middle := a.Add(b).Mul(0.5)
		left = k.walk(polygon{turns: room[0][:0], sides: room[1][:0]}, e, e.t, middle, along, turn > 0)
		right = k.walk(polygon{turns: room[2][:0], sides: room[3][:0]}, e, e.o, middle, along, turn < 0)
		walls := k.f.normal[left.last].Cross(k.f.normal[right.last])
		if walls.Norm() < math.Sin(flattestTurn) {
			break // half a turn: a slot's end. The edge's own way will do
		}
		along = walls.Normalize()
		if slant := abs(along.Dot(edge)); slant < leastSlant {
			return section{}, false
		} else if slant > straightOn {
			break
		}
	}
	turn = abs(turn)
	slices.Reverse(left.turns)
	slices.Reverse(left.sides)
	turns := append(append(left.turns, turn), right.turns...)
	// The outermost side of either way lies beyond the last turn.
	last := len(right.sides) - 1
	sides := append(append(between[:0], left.sides[1:]...), right.sides[:last]...)
	ends := [2]bool{left.wall, right.wall}
	beyond := [2]float64{left.sides[0], right.sides[last]}
	r, ok := k.round(turns, sides, ends, beyond, len(left.turns))
	r.along = along
	return r, ok
}

// leastSlant is the cosine between edge and corner under which the edge crosses the round and shows nothing of it: 78 degrees.
const leastSlant = 0.2

// straightOn is the cosine above which an edge runs along the corner: within two degrees the cut is longer by less than a thousandth.
const straightOn = 0.9994

// turnAcross is the angle by which the surface turns from t to o, seen along the way of the corner.
func (k *cutter) turnAcross(t, o int32, along r3.Vector) float64 {
	n, p := k.f.normal[t], k.f.normal[o]
	n, p = n.Sub(along.Mul(n.Dot(along))), p.Sub(along.Mul(p.Dot(along)))
	return math.Atan2(n.Cross(p).Dot(along), n.Dot(p))
}

// walk follows the cut from the edge into one of its two facets.
func (k *cutter) walk(out polygon, e seam, t int32, middle, along r3.Vector, turned bool) polygon {
	m := k.s.Part.Mesh
	out.last = t
	v, w := e.v, e.w
	at := middle
	side := 0.0
	sign := 1.0
	if turned {
		sign = -1
	}
	height := func(i int32) float64 { return m.Vertices[i].Sub(middle).Dot(along) }
	up := height(v) >= 0
	if up == (height(w) >= 0) {
		// The plane only touches the edge.
		out.sides = append(out.sides, 0)
		return out
	}
	for range 16 * mostSides {
		tri := m.Triangles[t]
		far, edge := tri[0], 0
		for _, x := range tri {
			if x != v && x != w {
				far = x
			}
		}
		h := height(far)
		// The cut leaves between the far corner and that of the two ends on its other side.
		if (h >= 0) == up {
			v = far
		} else {
			w = far
		}
		for i := range 3 {
			p, q := tri[i], tri[(i+1)%3]
			if p == v && q == w || p == w && q == v {
				edge = i
			}
		}
		hv, hw := height(v), height(w)
		share := 0.5
		if hv != hw {
			share = clamp01(hv / (hv - hw))
		}
		next := m.Vertices[v].Add(m.Vertices[w].Sub(m.Vertices[v]).Mul(share))
		side += next.Sub(at).Norm()
		at = next
		o := k.across[t][edge]
		if side >= k.wallMM {
			out.wall = true
			break
		}
		if o < 0 || k.of[o] != Detail || k.f.area[o] == 0 {
			break
		}
		turn := sign * k.turnAcross(t, o, along)
		if turn < -flattestTurn || len(out.turns) >= mostSides {
			// The surface turns back: the wall ends here, or the polygon is long enough.
			break
		}
		if turn >= flattestTurn {
			out.turns, out.sides = append(out.turns, turn), append(out.sides, side)
			side = 0
		}
		t, out.last = o, o
	}
	out.sides = append(out.sides, side)
	return out
}

// round fits the radius to the turns of a polygon and the sides between them; mid is the turn of the edge
// that it was begun at. walls says at which ends a wall follows, beyond how long the last side is there.
func (k *cutter) round(turns, sides []float64, walls [2]bool, beyond [2]float64, mid int) (section, bool) {
	from, to := 0, len(turns)-1
	var r, unparted float64
	for again := true; again && from < to; {
		again = false
		r = radiusOf(turns[from:to+1], sides[from:to], walls)
		arc := func(i int) float64 { return math.Asin(min(1, sides[i]/(2*r))) }
		// The longest side first: it may part two rounds.
		worst := from
		for i := from; i < to; i++ {
			if sides[i] > sides[worst] {
				worst = i
			}
		}
		if unparted == 0 {
			unparted = r
		}
		if sides[worst] > widestChord*r || arc(worst) > wallTurn*min(turns[worst], turns[worst+1]) && to-from > 1 {
			if worst < mid {
				from, walls[0], beyond[0] = worst+1, true, sides[worst]
			} else {
				to, walls[1], beyond[1] = worst, true, sides[worst]
			}
			again = true
			continue
		}
		switch {
		case from < mid && turns[from] < strayTurn*arc(from):
			beyond[0], walls[0] = sides[from], true
			from++
			again = true
		case to > mid && turns[to] < strayTurn*arc(to-1):
			beyond[1], walls[1] = sides[to-1], true
			to--
			again = true
		}
	}
	// What turns by less than most corners do, and was parted from more that turns the same way, may be a piece
	// of one coarsely meshed round as well as a corner of its own.
	doubt := func(radius float64) float64 {
		total := 0.0
		for _, t := range turns[from : to+1] {
			total += t
		}
		if total >= lessThanCorner || k.exact {
			return 0
		}
		return max(0, unparted-radius)
	}
	if from == to {
		// One edge alone between two walls: sharp, or as good as flat.
		return section{sharp: true, errorMM: doubt(0)}, turns[mid] >= tol.SmoothTurn
	}
	for i, at := range [2]int{from, to - 1} {
		// A wall that is no longer than the chord beside it may be a chord of the round.
		walls[i] = walls[i] || beyond[i] > widestChord*sides[at]
	}
	r = radiusOf(turns[from:to+1], sides[from:to], walls)
	doubtful := doubt(r)
	turns, sides = turns[from:to+1], sides[from:to]
	most, total, least := 0.0, 0.0, math.Inf(1)
	for _, t := range turns {
		most = max(most, t)
		total += t
	}
	for _, l := range sides {
		least = min(least, l)
	}
	if most >= tol.SmoothTurn && r*(1-math.Cos(most/2)) > coarseSagittaMM {
		out := section{sharp: true, errorMM: r}
		if k.exact {
			out.errorMM = 0
		}
		return out, true
	}
	out := section{radiusMM: r}
	// Points between the corners of facets lie off the round by the sagitta, which shortens the chords by its
	// cosine, and is under the chord tolerance where that is known; the walls' directions are known to the rounding over
	// their facets, that of a chord at least.
	out.errorMM = doubtful + r*(most*most/8+4*k.storage/(max(least, k.storage)*total)) + k.s.Part.ChordMM
	// A corner that is no circle has another radius in either half.
	if n := len(sides); n >= 4 {
		low := radiusOf(turns[:n/2+1], sides[:n/2], [2]bool{walls[0], false})
		high := radiusOf(turns[n-n/2:], sides[n-n/2:], [2]bool{false, walls[1]})
		out.errorMM += max(abs(low-r), abs(high-r)) / 2
	}
	return out, true
}

// radiusOf solves sum of turns = sum of 2 asin(l/2r) for r; see section. walls says whether the outermost turns
// at either end are of the round alone.
func radiusOf(turns, sides []float64, walls [2]bool) float64 {
	last := len(turns) - 1
	if len(sides) == 1 {
		walls = [2]bool{true, true} // nothing would be left
	}
	longest := slices.Max(sides)
	total := 0.0
	for i := range turns {
		if i == 0 && !walls[0] || i == last && !walls[1] {
			continue
		}
		total += turns[i]
	}
	weight := func(i int) float64 {
		n := 2.0
		if i == 0 && !walls[0] {
			n--
		}
		if i == len(sides)-1 && !walls[1] {
			n--
		}
		return n
	}
	if !(total > 0) {
		return math.Inf(1)
	}
	around := 0.0
	for i, l := range sides {
		around += weight(i) * l
	}
	// asin x > x, so that this is less than r; the sum is convex in r and falls, so that Newton's steps climb to
	// the root and never pass it.
	r := around / (2 * total)
	if least := longest / 2; r <= least {
		r = least
		sum := 0.0
		for i, l := range sides {
			sum += weight(i) * math.Asin(min(1, l/(2*r)))
		}
		if sum <= total {
			return r
		}
		r *= 1 + tol.RelativeStep
	}
	for range 50 {
		sum, slope := -total, 0.0
		for i, l := range sides {
			x := l / (2 * r)
			sum += weight(i) * math.Asin(x)
			slope += weight(i) * x / (r * math.Sqrt(1-x*x))
		}
		step := sum / slope
		if !(step > tol.RelativeStep*r) {
			break
		}
		r += step
	}
	return r
}
