package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/tol"
)

// undercut is a place of the detail that holds the part back as the mould opens.
type undercut struct {
	// over are the triangles that hang over, under those that lie hidden beneath them.
	over, under []int32
	areaMM2     float64 // of over
	// depthMM is how far the part must give way sideways: the largest distance, square to the
	// draw, from a point of the overhang to its lip. A lower bound, short by at most depthErrorMM.
	depthMM, depthErrorMM float64
	deepest               r3.Vector
	// volumeMM3 is what lies under the overhang down to the next metal, by samples.
	volumeMM3 float64
	box       geom.Box
	// slide is the direction, square to the draw, in which metal around the undercut could be
	// drawn off without rubbing; zero where there is none. travelMM is the overhang's extent along
	// it, widthMM across it.
	slide             r3.Vector
	travelMM, widthMM float64
}

// undercuts are those of the detail.
type undercuts struct {
	list []undercut
	// hidden marks triangles that hang over or lie under an overhang.
	hidden []bool
}

var undercutsFact = fact[*undercuts]{findUndercuts}

// findUndercuts groups the facets that hang over by the edges they share, and asks of each facet
// of the detail nearby whether a ray along the draw runs into metal.
//
// No grid is laid over the detail: an overhang of half a degree on 10 mm is 0.09 mm deep, which
// rays a tenth of a millimetre apart would miss and which the facets give exactly.
func findUndercuts(s *Subject) *undercuts {
	d := draftsFact.of(s)
	out := &undercuts{hidden: make([]bool, len(d.of))}
	if !s.IsSolid() {
		return out
	}
	over := s.patches(func(t int32) bool { return float64(d.of[t]) < -tol.ZeroDraft-float64(d.error[t]) })
	over = slices.DeleteFunc(over, func(p patch) bool { return p.areaMM2 < tol.DraftNoiseMM2 })
	if len(over) == 0 {
		return out
	}
	owner := make([]int32, len(d.of)) // index in out.list plus one
	for k, p := range over {
		u := undercut{over: p.triangles, areaMM2: p.areaMM2, box: geom.EmptyBox()}
		for _, t := range p.triangles {
			owner[t], out.hidden[t] = int32(k+1), true
			a, b, c := s.Part.Mesh.Corners(int(t))
			u.box = u.box.AddPoint(a).AddPoint(b).AddPoint(c)
		}
		out.list = append(out.list, u)
	}
	s.findHidden(out, owner)
	lips := s.findLips(len(out.list), owner)
	for k := range out.list {
		s.measureUndercut(&out.list[k], lips[k])
	}
	slices.SortStableFunc(out.list, func(a, b undercut) int { return cmp.Compare(b.depthMM, a.depthMM) })
	return out
}

// findHidden looks along the draw from the middle of each facet of the detail that may lie under
// an overhang.
func (s *Subject) findHidden(u *undercuts, owner []int32) {
	f, draw, of := facetsFact.of(s), s.Draw(), s.Surfaces().Of
	off := 16 * s.StorageMM()
	far := 2 * s.Measures().Bounds.Diagonal()
	var rays []index.Ray
	var asked []int32
	// Seen along the draw, a box is a rectangle in any two directions square to it.
	side := draw.Ortho()
	across := draw.Cross(side)
	type shadow struct{ lowU, highU, lowV, highV, top float64 }
	var shadows []shadow
	for k := range u.list {
		b := u.list[k].box
		sh := shadow{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, p := range b.Corners() {
			sh.lowU, sh.highU = min(sh.lowU, p.Dot(side)), max(sh.highU, p.Dot(side))
			sh.lowV, sh.highV = min(sh.lowV, p.Dot(across)), max(sh.highV, p.Dot(across))
			sh.top = max(sh.top, p.Dot(draw))
		}
		shadows = append(shadows, sh)
	}
	for t, k := range of {
		if k != Detail || owner[t] > 0 || f.area[t] == 0 {
			continue
		}
		// Just off the facet, on the side of the part.
		p := s.middle(int32(t)).Add(f.normal[t].Mul(off))
		pu, pv, pd := p.Dot(side), p.Dot(across), p.Dot(draw)
		if slices.ContainsFunc(shadows, func(sh shadow) bool {
			return pd < sh.top && pu > sh.lowU-off && pu < sh.highU+off && pv > sh.lowV-off && pv < sh.highV+off
		}) {
			rays = append(rays, index.Ray{Origin: p, Direction: draw, TMin: 0, TMax: far})
			asked = append(asked, int32(t))
		}
	}
	for i, hit := range s.Tree().FirstBatch(rays, nil) {
		if hit.Triangle < 0 || hit.Leaves {
			continue
		}
		if k := owner[hit.Triangle]; k > 0 {
			t := asked[i]
			u.hidden[t] = true
			u.list[k-1].under = append(u.list[k-1].under, t)
		}
	}
}

// slideSteps is in how many directions a slide is tried: every 5 degrees.
const slideSteps = 72

// segment is a straight piece of a lip, seen along the draw.
type segment struct{ a, b r3.Vector }

// findLips collects for each overhang where it ends and the surface does not turn into the metal.
func (s *Subject) findLips(n int, owner []int32) [][]segment {
	m, f, draw := s.Part.Mesh, facetsFact.of(s), s.Draw()
	square := func(p r3.Vector) r3.Vector { return p.Sub(draw.Mul(p.Dot(draw))) }
	noise := s.StorageMM()
	lips := make([][]segment, n)
	for _, e := range s.seams() {
		if owner[e.t] == owner[e.o] {
			continue
		}
		for _, side := range [...][2]int32{{e.t, e.o}, {e.o, e.t}} {
			t, o := side[0], side[1]
			if owner[t] == 0 {
				continue
			}
			apex := m.Vertices[m.Triangles[o][0]]
			for _, v := range m.Triangles[o] {
				if v != e.v && v != e.w {
					apex = m.Vertices[v]
				}
			}
			if apex.Sub(m.Vertices[e.v]).Dot(f.normal[t]) <= noise {
				lips[owner[t]-1] = append(lips[owner[t]-1], segment{square(m.Vertices[e.v]), square(m.Vertices[e.w])})
			}
		}
	}
	return lips
}

func (s *Subject) measureUndercut(u *undercut, lips []segment) {
	m, f, draw := s.Part.Mesh, facetsFact.of(s), s.Draw()
	square := func(p r3.Vector) r3.Vector { return p.Sub(draw.Mul(p.Dot(draw))) }

	toOne := func(q r3.Vector, l segment) float64 {
		d := l.b.Sub(l.a)
		x := 0.0
		if n := d.Norm2(); n > 0 {
			x = clamp01(q.Sub(l.a).Dot(d) / n)
		}
		return q.Sub(l.a.Add(d.Mul(x))).Norm()
	}
	toLip := func(p r3.Vector) (least float64, nearest int) {
		q := square(p)
		least = math.Inf(1)
		for i, l := range lips {
			if d := toOne(q, l); d < least {
				least, nearest = d, i
			}
		}
		return least, nearest
	}
	if len(lips) > 0 {
		// Corners and middles of facets; in turn, where there are very many. The distance to any one
		// lip is convex, so over a facet it is greatest at a corner: that bounds what lies between.
		const mostWork = 20_000_000
		step := max(1, 4*len(u.over)*len(lips)/mostWork)
		upper := 0.0
		for i := 0; i < len(u.over); i += step {
			t := u.over[i]
			a, b, c := m.Corners(int(t))
			bound := math.Inf(1)
			for _, p := range [...]r3.Vector{a, b, c, s.middle(t)} {
				x, j := toLip(p)
				if x > u.depthMM {
					u.depthMM, u.deepest = x, p
				}
				bound = min(bound, max(toOne(square(a), lips[j]), toOne(square(b), lips[j]), toOne(square(c), lips[j])))
			}
			upper = max(upper, bound)
		}
		u.depthErrorMM = upper - u.depthMM
	}
	u.volumeMM3 = s.volumeUnder(u.over)

	// A slide frees it in a direction along which no face of the undercut looks.
	least := math.Sin(tol.ZeroDraft)
	side := draw.Ortho()
	if x := (r3.Vector{X: 1}); abs(draw.Dot(x)) < 0.5 {
		side = square(x).Normalize()
	}
	across := draw.Cross(side)
	for k := range slideSteps {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / slideSteps)
		to := side.Mul(cos).Add(across.Mul(sin))
		worst, least0 := math.Inf(-1), 0.0
		for _, list := range [][]int32{u.over, u.under} {
			for _, t := range list {
				worst = max(worst, f.normal[t].Dot(to))
				least0 += f.normal[t].Dot(to) * f.area[t]
			}
		}
		// A slide that rubs nowhere and moves most squarely away from the part.
		if worst <= math.Sin(tol.ZeroDraft) && least0 < least-tol.FlushMM {
			least, u.slide = least0, to
		}
	}
	span := func(to r3.Vector) float64 {
		low, high := math.Inf(1), math.Inf(-1)
		for _, t := range u.over {
			for _, v := range m.Triangles[t] {
				x := m.Vertices[v].Dot(to)
				low, high = min(low, x), max(high, x)
			}
		}
		return high - low
	}
	if u.slide != (r3.Vector{}) {
		u.travelMM, u.widthMM = span(u.slide), span(draw.Cross(u.slide))
	} else {
		u.widthMM = max(span(side), span(across))
	}
}

// volumeUnder is the room from an overhang down to the next metal: each facet's area as seen
// along the draw times the drop from its middle, in pieces of at most sampleMM.
func (s *Subject) volumeUnder(over []int32) float64 {
	const sampleMM, most = 1, 24
	m, f, draw := s.Part.Mesh, facetsFact.of(s), s.Draw()
	off, far := 16*s.StorageMM(), 2*s.Measures().Bounds.Diagonal()
	var rays []index.Ray
	var share []float64
	for _, t := range over {
		a, b, c := m.Corners(int(t))
		longest := math.Sqrt(max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2()))
		n := int(min(max(math.Ceil(longest/sampleMM), 1), most))
		e, g := b.Sub(a).Mul(1/float64(n)), c.Sub(a).Mul(1/float64(n))
		part := f.area[t] * abs(f.normal[t].Dot(draw)) / float64(n*n)
		put := func(i, j float64) {
			p := a.Add(e.Mul(i)).Add(g.Mul(j)).Sub(draw.Mul(off))
			rays = append(rays, index.Ray{Origin: p, Direction: draw.Mul(-1), TMax: far})
			share = append(share, part)
		}
		for i := range n {
			for j := range n - i {
				put(float64(i)+1.0/3, float64(j)+1.0/3)
				if i+j+1 < n {
					put(float64(i)+2.0/3, float64(j)+2.0/3)
				}
			}
		}
	}
	sum := 0.0
	for i, hit := range s.Tree().FirstBatch(rays, nil) {
		if hit.Triangle >= 0 && !hit.Leaves {
			sum += share[i] * hit.T
		}
	}
	return sum
}

// directionName says a direction square to the draw for people.
func directionName(d r3.Vector) string {
	for _, c := range [...]struct {
		is   r3.Vector
		name string
	}{
		{r3.Vector{X: 1}, "to the right (+x)"}, {r3.Vector{X: -1}, "to the left (-x)"},
		{r3.Vector{Y: 1}, "to the back (+y)"}, {r3.Vector{Y: -1}, "to the front (-y)"},
		{r3.Vector{Z: 1}, "up (+z)"}, {r3.Vector{Z: -1}, "down (-z)"},
	} {
		if d.Dot(c.is) > 1-tol.FlushMM {
			return c.name
		}
	}
	return fmt.Sprintf("along (%.2f, %.2f, %.2f)", d.X+0, d.Y+0, d.Z+0)
}
