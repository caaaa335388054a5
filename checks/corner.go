package checks

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/tol"
)

// corner is an inner corner of the detail: a run of edges along which the surface turns into the
// part's side, sharp or rounded.
type corner struct {
	// Upright corners run along the draw, between two walls: a cutter's outline makes them. The
	// others lie at the foot of a wall: its end makes them.
	upright bool
	sharp   bool
	// radiusMM is 0 for a sharp one.
	radiusMM, errorMM float64
	// lengthMM is that of its longest run of edges; lowMM and highMM its extent along the draw.
	lengthMM, lowMM, highMM float64
	at                      r3.Vector
}

var cornersFact = fact[[]corner]{findCorners}

// uprightCosine is how near to the draw the edges of a corner between two walls run: 45 degrees, for
// walls with draft lean and their corners with them.
const uprightCosine = 0.7

// flattestTurn is the turn under which an edge is no part of a corner: a fifth of a degree, under
// any fillet's facets.
const flattestTurn = 0.0035

// coarseSagittaMM: two facets that turn by more than tol.SmoothTurn may still stand for a round if
// the chords lie this near to it: exporters are set to hundredths.
const coarseSagittaMM = 0.05

// findCorners reads inner corners from the seams at which the detail turns inwards.
//
// Facets that stand for a round of radius r have their corners on it: a facet of width w spans
// the angle 2 asin(w/2r). Between two facets of like width the surface turns by that, so r =
// w/(2 sin(turn/2)); between the last facet and the flat face that the round runs into it turns by half
// of it, so r = w/(2 sin turn) with the lesser width. The first kind is preferred where a corner has it.
// A cylinder or torus that the file names is taken as it says.
func findCorners(s *Subject) []corner {
	m, of, draw := s.Part.Mesh, s.Surfaces().Of, s.Draw()
	f := facetsFact.of(s)
	storage := s.StorageMM()
	widest := s.widestCutMM() / 2
	type use struct {
		seam
		corner
		even bool
	}
	var uses []use
	// Facets narrower than the round is wide are pieces of it; the wall it runs into is none.
	strip := make([]bool, len(m.Triangles))
	for _, e := range s.seams() {
		if of[e.t] != Detail || of[e.o] != Detail {
			continue
		}
		c := f.normal[e.t].Dot(f.normal[e.o])
		if c > math.Cos(flattestTurn) || f.area[e.t] == 0 || f.area[e.o] == 0 {
			continue
		}
		a, b := m.Vertices[e.v], m.Vertices[e.w]
		along := b.Sub(a)
		length := along.Norm()
		// Turning inwards: the cross product of the normals runs against the edge as t has it.
		if f.normal[e.t].Cross(f.normal[e.o]).Dot(along) >= 0 {
			continue
		}
		ht, ho := 2*f.area[e.t]/length, 2*f.area[e.o]/length
		least := min(ht, ho)
		if least < 32*storage {
			continue // so narrow that its turn is rounding
		}
		turn := math.Acos(max(-1, c))
		u := use{seam: e, even: max(ht, ho) < 2*least}
		u.upright = abs(along.Dot(draw)) >= uprightCosine*length
		u.lengthMM, u.at = length, a.Add(b).Mul(0.5)
		u.lowMM, u.highMM = min(a.Dot(draw), b.Dot(draw)), max(a.Dot(draw), b.Dot(draw))
		if u.even {
			u.radiusMM = (ht + ho) / 2 / (2 * math.Sin(turn/2))
		} else {
			u.radiusMM = least / (2 * math.Sin(min(turn, math.Pi/2)))
		}
		u.errorMM = u.radiusMM*(2*storage/(least*turn)+storage/least+turn*turn/8) + s.Part.ChordMM
		if turn >= tol.SmoothTurn && u.radiusMM*(1-math.Cos(turn/2)) > coarseSagittaMM {
			u.sharp, u.radiusMM, u.errorMM = true, 0, 0
		}
		if r, ok := s.namedRadius(e); ok {
			u.radiusMM, u.errorMM, u.even = r, storage, true
		}
		if u.radiusMM > widest {
			continue
		}
		uses = append(uses, u)
		if !u.sharp {
			const chords = 1.5 // of the radius: a quarter round in one chord spans sqrt(2) of it
			strip[e.t] = strip[e.t] || ht <= chords*u.radiusMM
			strip[e.o] = strip[e.o] || ho <= chords*u.radiusMM
		}
	}
	if len(uses) == 0 {
		return nil
	}
	// Sharp edges hang together by their ends, rounded ones by the facets of the round.
	group := mesh.NewForest(len(m.Triangles))
	smooth := math.Cos(tol.SmoothTurn)
	for _, e := range s.seams() {
		if strip[e.t] && strip[e.o] && f.normal[e.t].Dot(f.normal[e.o]) >= smooth {
			group.Join(e.t, e.o)
		}
	}
	ends := [2]mesh.Forest{mesh.NewForest(len(m.Vertices)), mesh.NewForest(len(m.Vertices))}
	lying := func(u *use) int {
		if u.upright {
			return 0
		}
		return 1
	}
	for i := range uses {
		if u := &uses[i]; u.sharp {
			ends[lying(u)].Join(u.v, u.w)
		}
	}
	type name struct {
		root           int32
		sharp, upright bool
	}
	number := map[name]int{}
	var out []corner
	var even []bool
	for i := range uses {
		u := &uses[i]
		n := name{sharp: u.sharp, upright: u.upright}
		switch {
		case u.sharp:
			n.root = ends[lying(u)].Root(u.v)
		case strip[u.t]:
			n.root = group.Root(u.t)
		default:
			n.root = group.Root(u.o)
		}
		k, ok := number[n]
		if !ok {
			number[n] = len(out)
			out = append(out, u.corner)
			even = append(even, u.even)
			continue
		}
		c := &out[k]
		c.lowMM, c.highMM = min(c.lowMM, u.lowMM), max(c.highMM, u.highMM)
		c.lengthMM += u.lengthMM
		if u.even && !even[k] || u.even == even[k] && u.radiusMM < c.radiusMM {
			even[k] = u.even
			c.radiusMM, c.errorMM, c.at = u.radiusMM, u.errorMM, u.at
		}
	}
	// An edge that is only a seam's length of noise is no corner.
	out = slices.DeleteFunc(out, func(c corner) bool { return c.lengthMM < leastCornerMM })
	slices.SortStableFunc(out, func(a, b corner) int { return cmp.Compare(a.radiusMM, b.radiusMM) })
	return out
}

// leastCornerMM: a corner of less length is left out: less than the smallest cutter is wide.
const leastCornerMM = 0.2

// namedRadius is that of the round face on which both triangles of a seam lie, where the file
// says it: a cylinder's, or the tube of a torus.
func (s *Subject) namedRadius(e seam) (float64, bool) {
	i := s.Part.Mesh.FaceOf(int(e.t))
	if i != s.Part.Mesh.FaceOf(int(e.o)) || int(i) >= len(s.Part.Faces) {
		return 0, false
	}
	switch f := &s.Part.Faces[i]; f.Kind {
	case mesh.Cylinder:
		return f.RadiusMM, true
	case mesh.Torus:
		return f.MinorRadiusMM, true
	}
	return 0, false
}

// widestCutMM is the widest slot, or twice the widest corner, that can matter: what is wider than the detail is high over
// the reach that the rules allow is reached whatever its depth.
func (s *Subject) widestCutMM() float64 {
	making, box := &s.Frame.Making, s.detailBounds()
	high := box.Size().Norm()
	if d := s.Draw(); d.Z == 1 {
		high = box.Size().Z
	}
	widest := max(cutSearch*making.SmallestCutterMM.Value, 2*cutSearch*making.BottomRadiusMM.Value)
	if r := making.ReachRatio; r.Set {
		widest = max(widest, cutSearch*high/r.Value)
	}
	return widest
}

// cutSearch is how far beyond the limits corners and slots are looked at, so that a passing insert shows
// how close it came.
const cutSearch = 1.5
