package checks

import (
	"math"

	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/tol"
)

var partingFact = fact[found[measure.Level]]{findParting}

// partingFace is the level at which the insert meets the other half; false where there is none.
func (s *Subject) partingFace() (measure.Level, bool) {
	l := partingFact.of(s)
	return l.value, l.err == nil
}

const (
	// rimMM is how near to the outline the border of a face lies that runs out to the side: what lies between is an
	// edge break, and none is wider.
	rimMM = 3
	// landMM is how far a land may stand above the relief around it; what stands higher is a core.
	landMM = 2
	// landShare is the least area of a land beside that of its relief.
	landShare = 0.1
)

// findParting looks for the parting face in the upper half of the pocket and above.
//
// A floor is fenced in by the walls of its cavity and a core's top by the parting face around it; the parting face runs
// out to the side. So the level counts that has the longest border along the outline. Where that is
// lower than the frame's face and a land stands on it that is nearer to where a parting face should be, the level is the
// relief around the land: shops relieve all but the shut-off. Without any border along the outline, as in a model that lies elsewhere, the level
// of most area is taken.
func findParting(s *Subject) found[measure.Level] {
	up := levelsFact.of(s).up
	low := s.Measures().Bounds.Min.Z
	half := low + s.DepthMM()/2
	rim, longest := -1, 0.0
	for i := range up {
		if up[i].ZMM < half {
			continue
		}
		if l := s.rimLengthMM(&up[i]); l > longest {
			rim, longest = i, l
		}
	}
	if rim < 0 {
		l, ok := measure.Largest(up, half)
		if !ok {
			return foundOf(l, errNoParting)
		}
		return foundOf(l, nil)
	}
	proud := s.Frame.Pocket.ProudMM
	wanted := low + s.DepthMM() + (proud.Least.Value+proud.Most.Value)/2
	best := up[rim]
	if best.ZMM < wanted-tol.RelievedMM {
		for _, l := range up[rim+1:] {
			if l.ZMM-up[rim].ZMM <= landMM && l.AreaMM2 >= landShare*up[rim].AreaMM2 && math.Abs(l.ZMM-wanted) < math.Abs(best.ZMM-wanted) {
				best = l
			}
		}
	}
	return foundOf(best, nil)
}

// rimLengthMM is the length of a level's border that lies along the outline.
func (s *Subject) rimLengthMM(l *measure.Level) float64 {
	m := s.Part.Mesh
	type side struct{ a, b int32 }
	near := map[int32]bool{}
	isNear := func(v int32) bool {
		is, known := near[v]
		if !known {
			p := m.Vertices[v]
			d, _ := s.Pocket.Clearance(flat(p.X, p.Y))
			is = abs(d) <= rimMM
			near[v] = is
		}
		return is
	}
	// A side that two of the level's triangles share is no border: the second takes the first away.
	border := map[side]float64{}
	for _, t := range l.Triangles {
		tri := m.Triangles[t]
		for k := range 3 {
			a, b := tri[k], tri[(k+1)%3]
			if !isNear(a) || !isNear(b) {
				continue
			}
			if _, shared := border[side{b, a}]; shared {
				delete(border, side{b, a})
				continue
			}
			border[side{a, b}] = m.Vertices[a].Sub(m.Vertices[b]).Norm()
		}
	}
	// In an order of its own, so that the sum is the same every time.
	sum := 0.0
	for _, t := range l.Triangles {
		tri := m.Triangles[t]
		for k := range 3 {
			sum += border[side{tri[k], tri[(k+1)%3]}]
		}
	}
	return sum
}
