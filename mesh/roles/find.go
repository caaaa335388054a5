package roles

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/tol"
)

// Find gives every triangle of the part its role. onBlank says which triangles lie on the surface
// of the blank; nil for none.
func Find(part *mesh.Part, onBlank func(triangle int32) bool) *Roles {
	n := len(part.Mesh.Triangles)
	out := &Roles{Of: make([]Role, n), BoreOf: make([]int32, n)}
	for i := range n {
		out.BoreOf[i] = -1
		if onBlank != nil && onBlank(int32(i)) {
			out.Of[i] = Blank
		}
	}
	s := newSurface(part)
	walls := append(s.namedCylinders(part), s.fittedCylinders(part)...)
	slices.SortFunc(walls, func(a, b cylinder) int { return cmp.Compare(slices.Min(a.triangles), slices.Min(b.triangles)) })
	taken := make([]bool, len(walls))
	for i := range walls {
		if taken[i] {
			continue
		}
		taken[i] = true
		set := []*cylinder{&walls[i]}
		from, to := walls[i].from, walls[i].to
		// Steps follow one another along the axis, at most the wider radius apart (a chamfer or
		// a cone between them).
		for grew := true; grew; {
			grew = false
			for j := range walls {
				if taken[j] || !coaxial(&walls[i], &walls[j]) {
					continue
				}
				low, high := s.endsAlong(walls[i].origin, walls[i].axis, walls[j].triangles)
				if reach := max(walls[i].radius, walls[j].radius); low > to+reach || high < from-reach {
					continue
				}
				if !s.touch(set, &walls[j]) {
					continue
				}
				taken[j], grew = true, true
				set = append(set, &walls[j])
				from, to = min(from, low), max(to, high)
			}
		}
		b := s.bore(set)
		for _, t := range b.Triangles {
			out.Of[t], out.BoreOf[t] = InBore, int32(len(out.Bores))
		}
		out.Bores = append(out.Bores, b)
	}
	return out
}

// touch reports whether a patch of the other cylinder borders one of the set, or both border one
// patch that lies within the wider radius: the ring of a step, a chamfer.
func (s *surface) touch(set []*cylinder, o *cylinder) bool {
	mine := map[int32]bool{}
	radius := o.radius
	for _, c := range set {
		radius = max(radius, c.radius)
		for _, p := range c.patches {
			mine[p] = true
		}
	}
	for p := range s.bordering(o.patches) {
		if mine[p] {
			return true
		}
		if s.within(p, set[0], radius) {
			for q := range s.bordering([]int32{p}) {
				if mine[q] {
					return true
				}
			}
		}
	}
	return false
}

func (s *surface) bordering(patches []int32) map[int32]bool {
	out := map[int32]bool{}
	for _, p := range patches {
		for _, t := range s.patches[p] {
			for _, o := range s.across[t] {
				if o >= 0 && s.patch[o] != p {
					out[s.patch[o]] = true
				}
			}
		}
	}
	return out
}

// within reports whether no corner of a patch lies farther than radius from the axis.
func (s *surface) within(patch int32, c *cylinder, radius float64) bool {
	reach := radius + tol.ChordMM + c.error
	for _, t := range s.patches[patch] {
		for _, v := range s.m.Triangles[t] {
			if distanceFromAxis(s.m.Vertices[v], c.origin, c.axis) > reach {
				return false
			}
		}
	}
	return true
}

// bore joins the steps and what belongs to them, and finds which ends are open.
func (s *surface) bore(set []*cylinder) Bore {
	axis, origin := set[0].axis, set[0].origin
	longest := set[0]
	radius := 0.0
	from, to := math.Inf(1), math.Inf(-1)
	in := map[int32]bool{}
	var patches []int32
	for _, c := range set {
		c.from, c.to = s.endsAlong(origin, axis, c.triangles)
		from, to = min(from, c.from), max(to, c.to)
		radius = max(radius, c.radius)
		if c.to-c.from > longest.to-longest.from {
			longest = c
		}
		for _, p := range c.patches {
			in[p] = true
			patches = append(patches, p)
		}
	}
	// Tips, ends, rings and chamfers, patch by patch outwards; what lies within the radius of
	// the axis and borders the bore is part of it.
	for k := 0; k < len(patches); k++ {
		next := s.bordering(patches[k : k+1])
		order := make([]int32, 0, len(next))
		for p := range next {
			order = append(order, p)
		}
		slices.Sort(order)
		for _, p := range order {
			if in[p] || !s.within(p, set[0], radius) {
				continue
			}
			low, high := s.endsAlong(origin, axis, s.patches[p])
			if low < from-2*radius || high > to+2*radius {
				continue
			}
			in[p] = true
			patches = append(patches, p)
		}
	}
	b := Bore{DiameterMM: 2 * longest.radius, DiameterErrorMM: 2 * longest.error, Named: longest.named, DepthMM: to - from}
	closedLow, closedHigh := false, false
	for _, p := range patches {
		b.Triangles = append(b.Triangles, s.patches[p]...)
		for _, t := range s.patches[p] {
			if x, ok := s.crossesAxis(t, origin, axis); ok {
				if x < (from+to)/2 {
					closedLow = true
				} else {
					closedHigh = true
				}
			}
		}
	}
	slices.Sort(b.Triangles)
	b.Through = !closedLow && !closedHigh
	up := closedHigh || !closedLow
	if b.Through && upward(axis) != axis {
		up = false
	}
	b.Mouth, b.Into = origin.Add(axis.Mul(from)), axis
	if !up {
		b.Mouth, b.Into = origin.Add(axis.Mul(to)), axis.Mul(-1)
	}
	for _, c := range set {
		step := Step{2 * c.radius, 2 * c.error, c.from - from, c.to - from}
		if !up {
			step.FromMM, step.ToMM = to-c.to, to-c.from
		}
		b.Steps = append(b.Steps, step)
	}
	slices.SortStableFunc(b.Steps, func(x, y Step) int { return cmp.Compare(x.FromMM, y.FromMM) })
	return b
}

// crossesAxis gives where along the axis a triangle crosses it, its border included: the tip of
// a cone lies on it.
func (s *surface) crossesAxis(t int32, origin, axis r3.Vector) (float64, bool) {
	a, b, c := s.m.Corners(int(t))
	x := axis.Ortho()
	y := axis.Cross(x)
	flat := func(p r3.Vector) (float64, float64) { d := p.Sub(origin); return d.Dot(x), d.Dot(y) }
	ax, ay := flat(a)
	bx, by := flat(b)
	cx, cy := flat(c)
	u, v, w := bx*cy-by*cx, cx*ay-cy*ax, ax*by-ay*bx
	sum := u + v + w
	if sum < 0 {
		u, v, w, sum = -u, -v, -w, -sum
	}
	// A fitted axis misses a tip by the fit's error; a hundredth of the triangle covers it.
	slack := fitShare * sum
	if !(sum > 0) || u < -slack || v < -slack || w < -slack {
		return 0, false
	}
	return a.Add(b).Add(c).Mul(1.0 / 3).Sub(origin).Dot(axis), true
}
