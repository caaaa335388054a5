package checks

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/parallel"
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

// seamSlack: edges whose facets alone would make a round of up to so many times what matters are cut across.
const seamSlack = 4

// flattestTurn is the turn under which an edge is no part of a corner: a fifth of a degree, under
// any fillet's facets.
const flattestTurn = 0.0035

// coarseSagittaMM: two facets that turn by more than tol.SmoothTurn may still stand for a round if
// the chords lie this near to it: exporters are set to hundredths.
const coarseSagittaMM = 0.05

// findCorners reads inner corners from the seams at which the detail turns inwards: each is cut across (see
// section), and what hangs together is one corner. A cylinder or torus that the file names is taken as it says.
func findCorners(s *Subject) []corner {
	m, of, draw := s.Part.Mesh, s.Surfaces().Of, s.Draw()
	f := facetsFact.of(s)
	storage := s.StorageMM()
	widest := s.widestCutMM() / 2
	type use struct {
		seam
		corner
		is bool
	}
	var uses []use
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
		least := 2 * min(f.area[e.t], f.area[e.o]) / length
		if least < 32*storage {
			continue // so narrow that its turn is rounding
		}
		// The round is as narrow as its narrowest facet at least, so a wide one is none that matters.
		turn := math.Acos(max(-1, c))
		if turn < tol.SmoothTurn && least > 2*seamSlack*widest*math.Sin(turn) {
			continue
		}
		u := use{seam: e}
		u.lengthMM, u.at = length, a.Add(b).Mul(0.5)
		u.lowMM, u.highMM = min(a.Dot(draw), b.Dot(draw)), max(a.Dot(draw), b.Dot(draw))
		uses = append(uses, u)
	}
	cutter := s.cornerCutter(widest)
	parallel.Chunks(len(uses), 512, func(_, from, to, _ int) {
		for i := from; i < to; i++ {
			u := &uses[i]
			c, ok := s.namedRound(u.seam)
			if !ok {
				c, ok = cutter.cut(u.seam)
			}
			u.is = ok && c.radiusMM <= widest
			u.sharp, u.radiusMM, u.errorMM = c.sharp, c.radiusMM, c.errorMM
			u.upright = abs(c.along.Dot(draw)) >= uprightCosine
		}
	})
	uses = slices.DeleteFunc(uses, func(u use) bool { return !u.is })
	// Facets narrower than the round is wide are pieces of it; the wall it runs into is none.
	strip := make([]bool, len(m.Triangles))
	for i := range uses {
		if u := &uses[i]; !u.sharp {
			for _, t := range [...]int32{u.t, u.o} {
				strip[t] = strip[t] || 2*f.area[t]/u.lengthMM <= widestChord*u.radiusMM
			}
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
			continue
		}
		c := &out[k]
		c.lowMM, c.highMM = min(c.lowMM, u.lowMM), max(c.highMM, u.highMM)
		c.lengthMM += u.lengthMM
		// The tightest place that is surely so tight.
		if u.radiusMM+u.errorMM < c.radiusMM+c.errorMM {
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

// namedRound is the round face on which a seam lies, where the file says it: a cylinder's, or the tube of a torus.
// Where such a face runs smoothly into another the corner is the face's too.
func (s *Subject) namedRound(e seam) (section, bool) {
	faces, normal := s.Part.Faces, facetsFact.of(s).normal
	i, j := s.Part.Mesh.FaceOf(int(e.t)), s.Part.Mesh.FaceOf(int(e.o))
	if i != j && normal[e.t].Dot(normal[e.o]) < math.Cos(tol.SmoothTurn) {
		return section{}, false
	}
	best, ok := section{radiusMM: math.Inf(1), errorMM: s.StorageMM()}, false
	for _, k := range [...]int32{i, j} {
		if int(k) >= len(faces) {
			continue
		}
		f := &faces[k]
		radius, along := f.RadiusMM, f.Axis
		if f.Kind == mesh.Torus {
			// Along the circle around the axis.
			radius, along = f.MinorRadiusMM, f.Axis.Cross(s.Part.Mesh.Vertices[e.v].Sub(f.Origin)).Normalize()
		}
		if (f.Kind == mesh.Torus || f.Kind == mesh.Cylinder && f.Inner) && radius < best.radiusMM {
			best.radiusMM, best.along, ok = radius, along, true
		}
	}
	return best, ok
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
