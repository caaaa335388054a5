package roles

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"

	"pocketgauge/mesh"
	"pocketgauge/mesh/tol"
)

const (
	// fitShare of the radius, and at least tol.ChordMM, is how far a corner may lie off a fitted
	// cylinder: exporters put corners on the surface, so a hundredth is generous and still
	// refuses an oval.
	fitShare = 0.01
	// flatShare is how large the least eigenvalue of the normals may be beside the middle one:
	// sin^2 of two degrees, so that a cone of a draft of two degrees is no cylinder.
	flatShare = 0.00122
	// taperSine is how far the normals may lean along the axis on the mean: 0.15 degrees. On a
	// cylinder they do not lean at all, on a short cavity with draft the corners alone would pass.
	taperSine = 0.0026
	// turnShare is how small the middle eigenvalue may be beside the largest: a full round has
	// them equal.
	turnShare = 0.3
	// fewestSides is what a round has at least, see growCos.
	fewestSides = 12
)

// cylinder is the inner wall of one diameter of a bore.
type cylinder struct {
	origin, axis  r3.Vector
	radius, error float64
	// from and to are the ends along axis, from origin.
	from, to  float64
	named     bool
	patches   []int32
	triangles []int32
}

// namedCylinders groups the file's inner cylinder faces by axis and radius and keeps those that
// go all around and whose pieces touch along the axis.
func (s *surface) namedCylinders(part *mesh.Part) []cylinder {
	var out []cylinder
	for n, members := range s.patches {
		f := int(s.m.FaceOf(int(members[0])))
		if f >= len(part.Faces) || part.Faces[f].Kind != mesh.Cylinder || !part.Faces[f].Inner {
			continue
		}
		face := part.Faces[f]
		c := cylinder{origin: face.Origin, axis: face.Axis.Normalize(), radius: face.RadiusMM, named: true, patches: []int32{int32(n)}, triangles: members}
		s.measureEnds(&c)
		merged := false
		for k := range out {
			o := &out[k]
			if coaxial(o, &c) && math.Abs(o.radius-c.radius) <= tol.ChordMM {
				low, high := s.endsAlong(o.origin, o.axis, c.triangles)
				if low <= o.to+tol.ChordMM && high >= o.from-tol.ChordMM {
					o.from, o.to = min(o.from, low), max(o.to, high)
					o.patches = append(o.patches, int32(n))
					o.triangles = append(o.triangles, members...)
					merged = true
					break
				}
			}
		}
		if !merged {
			c.triangles = slices.Clone(members)
			out = append(out, c)
		}
	}
	return slices.DeleteFunc(out, func(c cylinder) bool { return !s.goesAround(&c) })
}

// fittedCylinders tries every patch that the file does not name.
func (s *surface) fittedCylinders(part *mesh.Part) []cylinder {
	var out []cylinder
	for n, members := range s.patches {
		if f := int(s.m.FaceOf(int(members[0]))); f < len(part.Faces) && part.Faces[f].Kind != mesh.Unknown {
			continue
		}
		if len(members) < fewestSides {
			continue
		}
		if c, ok := s.fit(members); ok {
			c.patches = []int32{int32(n)}
			out = append(out, c)
		}
	}
	return out
}

// fit is R2: the axis from the normals, the circle from the corners seen along it.
func (s *surface) fit(members []int32) (cylinder, bool) {
	var cov [6]float64
	for _, t := range members {
		n, a := s.normal[t], s.area[t]
		cov[0] += a * n.X * n.X
		cov[1] += a * n.X * n.Y
		cov[2] += a * n.X * n.Z
		cov[3] += a * n.Y * n.Y
		cov[4] += a * n.Y * n.Z
		cov[5] += a * n.Z * n.Z
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(mat.NewSymDense(3, []float64{cov[0], cov[1], cov[2], cov[1], cov[3], cov[4], cov[2], cov[4], cov[5]}), true) {
		return cylinder{}, false
	}
	values := eigen.Values(nil) // ascending
	if !(values[0] <= flatShare*values[1]) || !(values[1] >= turnShare*values[2]) {
		return cylinder{}, false
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	axis := r3.Vector{X: vectors.At(0, 0), Y: vectors.At(1, 0), Z: vectors.At(2, 0)}.Normalize()
	axis = upward(axis)

	corners := s.cornersOf(members)
	base := s.m.Vertices[corners[0]]
	x := axis.Ortho()
	y := axis.Cross(x)
	// |p|^2 = 2 c.p + (r^2 - |c|^2) is linear in the centre c and the rest (Kasa, "A circle
	// fitting procedure and its error analysis", IEEE Trans. Instrum. Meas. 25, 1976); its bias
	// vanishes on a full round, which is all that is accepted.
	rows := mat.NewDense(len(corners), 3, nil)
	right := mat.NewVecDense(len(corners), nil)
	for i, v := range corners {
		p := s.m.Vertices[v].Sub(base)
		px, py := p.Dot(x), p.Dot(y)
		rows.SetRow(i, []float64{2 * px, 2 * py, 1})
		right.SetVec(i, px*px+py*py)
	}
	var solved mat.VecDense
	if err := solved.SolveVec(rows, right); err != nil {
		return cylinder{}, false
	}
	cx, cy := solved.AtVec(0), solved.AtVec(1)
	radius := math.Sqrt(solved.AtVec(2) + cx*cx + cy*cy)
	if !(radius > 0) || math.IsInf(radius, 1) {
		return cylinder{}, false
	}
	c := cylinder{origin: base.Add(x.Mul(cx)).Add(y.Mul(cy)), axis: axis, radius: radius, triangles: members}
	for _, v := range corners {
		c.error = max(c.error, math.Abs(distanceFromAxis(s.m.Vertices[v], c.origin, axis)-radius))
	}
	if c.error > max(tol.ChordMM, fitShare*radius) {
		return cylinder{}, false
	}
	lean := 0.0
	for _, t := range members {
		lean += s.area[t] * s.normal[t].Dot(axis)
	}
	if total := s.areaOf(members); math.Abs(lean) > taperSine*total {
		return cylinder{}, false
	}
	for _, t := range members {
		a, b, d := s.m.Corners(int(t))
		out := a.Add(b).Add(d).Mul(1.0 / 3).Sub(c.origin)
		if s.normal[t].Dot(out.Sub(axis.Mul(out.Dot(axis)))) > 0 {
			return cylinder{}, false // a boss or a pin
		}
	}
	s.measureEnds(&c)
	return c, s.goesAround(&c)
}

func (s *surface) areaOf(members []int32) float64 {
	sum := 0.0
	for _, t := range members {
		sum += s.area[t]
	}
	return sum
}

// upward turns an axis, whose sign means nothing, to the side of positive z, then y, then x.
func upward(a r3.Vector) r3.Vector {
	for _, x := range [3]float64{a.Z, a.Y, a.X} {
		// A component under the rounding of an eigenvector is none.
		if math.Abs(x) > 64*tol.RoundoffSTL {
			if x < 0 {
				return a.Mul(-1)
			}
			return a
		}
	}
	return a
}

func (s *surface) cornersOf(members []int32) []int32 {
	var out []int32
	for _, t := range members {
		tri := s.m.Triangles[t]
		out = append(out, tri[:]...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func distanceFromAxis(p, origin, axis r3.Vector) float64 {
	d := p.Sub(origin)
	return d.Sub(axis.Mul(d.Dot(axis))).Norm()
}

func (s *surface) endsAlong(origin, axis r3.Vector, members []int32) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, t := range members {
		for _, v := range s.m.Triangles[t] {
			x := s.m.Vertices[v].Sub(origin).Dot(axis)
			low, high = min(low, x), max(high, x)
		}
	}
	return low, high
}

func (s *surface) measureEnds(c *cylinder) { c.from, c.to = s.endsAlong(c.origin, c.axis, c.triangles) }

// goesAround reports whether the corners leave no gap of more than a side of the coarsest round.
func (s *surface) goesAround(c *cylinder) bool {
	x := c.axis.Ortho()
	y := c.axis.Cross(x)
	var angles []float64
	for _, v := range s.cornersOf(c.triangles) {
		d := s.m.Vertices[v].Sub(c.origin)
		angles = append(angles, math.Atan2(d.Dot(y), d.Dot(x)))
	}
	slices.Sort(angles)
	widest := angles[0] + 2*math.Pi - angles[len(angles)-1]
	for i := 1; i < len(angles); i++ {
		widest = max(widest, angles[i]-angles[i-1])
	}
	const sideSlack = 1.01
	return widest <= 2*math.Pi/fewestSides*sideSlack
}

// coaxial reports whether two cylinders share an axis: within half a degree, and within a chord
// tolerance or what the fits are unsure of where they are nearest the middle of either.
func coaxial(a, b *cylinder) bool {
	const halfDegreeCos = 0.99996
	if math.Abs(a.axis.Dot(b.axis)) < halfDegreeCos {
		return false
	}
	off := tol.ChordMM + a.error + b.error
	return distanceFromAxis(b.middle(), a.origin, a.axis) <= 2*off || distanceFromAxis(a.middle(), b.origin, b.axis) <= 2*off
}

func (c *cylinder) middle() r3.Vector { return c.origin.Add(c.axis.Mul((c.from + c.to) / 2)) }
