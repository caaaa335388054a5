package tessellate

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// The measures of a body are surface integrals over its faces (divergence theorem, with x from a
// point near the middle of the body and N = du x dv outward):
//
//	area     = int |N|
//	volume   = int x.N / 3
//	moment_i = int x_i^2 N_i / 2
//
// A face's part of the parameter plane is the triangles of its triangulation and, along curved
// edges, the slivers between the straight sides of those and the true image of the edge. Over a
// triangle Radon's rule of seven points is exact to the fifth degree (J. Radon, Zur mechanischen
// Kubatur, 1948). A sliver is swept by the straight lines from a point of the chord to the point
// of the image at the same share of the edge; the image is interpolated from three points
// between the ends.

// integrals are the sums over faces.
type integrals struct {
	area, volume float64
	moment       r3.Vector
	// Estimated errors.
	areaError, volumeError float64
	momentError            float64
}

func (s *integrals) add(o *integrals) {
	s.area += o.area
	s.volume += o.volume
	s.moment = s.moment.Add(o.moment)
	s.areaError += o.areaError
	s.volumeError += o.volumeError
	s.momentError += o.momentError
}

// turn reverses the orientation.
func (s *integrals) turn() {
	s.volume = -s.volume
	s.moment = s.moment.Mul(-1)
}

// sample adds the point x with the area vector n by a weight, which may be negative.
func (s *integrals) sample(x, n r3.Vector, weight float64) {
	s.area += weight * n.Norm()
	s.volume += weight * x.Dot(n) / 3
	half := weight / 2
	s.moment.X += half * x.X * x.X * n.X
	s.moment.Y += half * x.Y * x.Y * n.Y
	s.moment.Z += half * x.Z * x.Z * n.Z
}

// flat adds a triangle of space: the square of a linear function over a triangle is exact from
// its values at the middles of the sides.
func (s *integrals) flat(a, b, c r3.Vector) {
	n := b.Sub(a).Cross(c.Sub(a)).Mul(1.0 / 6)
	s.sample(a.Add(b).Mul(0.5), n, 1)
	s.sample(b.Add(c).Mul(0.5), n, 1)
	s.sample(c.Add(a).Mul(0.5), n, 1)
}

// deviation adds to the errors what a surface up to d away from triangles of the total perimeter
// round may make of them.
func (s *integrals) deviation(d, round float64) {
	s.volumeError += s.area * d
	s.areaError += round * d
	s.momentError += s.area * d * d
}

func (s *integrals) finite() bool {
	for _, x := range [...]float64{s.area, s.volume, s.moment.X, s.moment.Y, s.moment.Z} {
		if x-x != 0 {
			return false
		}
	}
	return true
}

// gap adds to the errors what a strip of an area may hold, anywhere within reach.
func (s *integrals) gap(area, reach float64) {
	s.areaError += area
	s.volumeError += area * reach / 3
	s.momentError += area * reach * reach / 2
}

// Radon's rule in barycentric coordinates: the centroid and two rings of three.
var (
	radonA  = (6 - math.Sqrt(15)) / 21
	radonB  = (6 + math.Sqrt(15)) / 21
	radonW0 = 9.0 / 40
	radonWA = (155 - math.Sqrt(15)) / 1200
	radonWB = (155 + math.Sqrt(15)) / 1200
	// The centroid and the second ring alone, exact to the second degree: with one ring of
	// coordinates (b, b, 1-2b) the mean of the square of a coordinate, 1/6, asks for the
	// ring's weight q of (1/6-1/9)/((2b^2+(1-2b)^2)/3-1/9).
	lesserB = (1.0/6 - 1.0/9) / ((2*radonB*radonB+(1-2*radonB)*(1-2*radonB))/3 - 1.0/9)
)

// Gauss's rules on [0, 1].
var (
	gauss2X = [2]float64{0.5 - math.Sqrt(3)/6, 0.5 + math.Sqrt(3)/6}
	gauss4X = [4]float64{0.06943184420297371, 0.33000947820757187, 0.6699905217924281, 0.9305681557970262}
	gauss4W = [4]float64{0.17392742256872692, 0.32607257743127305, 0.32607257743127305, 0.17392742256872692}
)

func (b *body) origin() r3.Vector {
	if b.box.IsEmpty() {
		return r3.Vector{}
	}
	return b.box.Center()
}

// integrate adds the integrals over the face that the worker has just divided.
func (w *worker) integrate(s shape.Surface, forward bool, sums *integrals) {
	rings, plan := w.rings, w.cover
	_, flat := s.(*shape.Plane)
	o := w.body.origin()
	sign := 1.0
	if !forward {
		sign = -1
	}
	if flat {
		// A quadratic over a triangle is exact from its values at the middles of the sides.
		p, du, dv := s.First(0, 0)
		p = p.Sub(o)
		n := du.Cross(dv)
		at := func(a, b r2.Point) r3.Vector {
			return p.Add(du.Mul((a.X + b.X) / 2)).Add(dv.Mul((a.Y + b.Y) / 2))
		}
		for _, t := range plan {
			a, b, c := w.uv[t[0]], w.uv[t[1]], w.uv[t[2]]
			weight := b.Sub(a).Cross(c.Sub(a)) / 6
			sums.sample(at(a, b), n, weight)
			sums.sample(at(b, c), n, weight)
			sums.sample(at(c, a), n, weight)
		}
	} else {
		var lesser integrals
		w.owed = int64(len(plan)) * w.measureCost()
		for _, t := range plan {
			w.owed -= w.measureCost()
			w.charge(triangleUnits)
			w.triangle(s, o, w.uv[t[0]], w.uv[t[1]], w.uv[t[2]], sums, &lesser, 0)
		}
		sums.estimate(&lesser)
		sums.gap(tol.QuadratureShare*math.Abs(sums.area), w.body.box.Diagonal()/2)
	}
	period := s.Period()
	for i := range rings {
		nodes := rings[i].nodes
		for k := range nodes {
			if nodes[k].edge >= 0 {
				w.sliver(s, period, o, &nodes[k], nodes[(k+1)%len(nodes)].uv, sums)
			}
		}
	}
	sums.volume *= sign
	sums.moment = sums.moment.Mul(sign)
}

// estimate sets the errors from the sums of the lesser rule. The lesser errs with the third power
// of the size of triangles and Radon's with the sixth: what they differ by, as a share, squared.
func (s *integrals) estimate(lesser *integrals) {
	size := math.Abs(s.area)
	if !(size > 0) {
		return
	}
	share := math.Abs(s.area-lesser.area) / size
	s.areaError += size * min(share, share*share)
	of := func(a, b, scale float64) float64 {
		if !(scale > 0) {
			return 0
		}
		d := math.Abs(a-b) / scale
		return scale * min(d, d*d)
	}
	s.volumeError += of(s.volume, lesser.volume, math.Abs(s.volume))
	m := s.moment.Norm()
	s.momentError += of(s.moment.Sub(lesser.moment).Norm(), 0, m)
}

// quarterings bounds how often a triangle is divided in four for its integral alone.
const quarterings = 4

// triangle adds the integrals over a triangle by Radon's rule and by the lesser one. Where the two
// differ by more than quarterShare, as across a knot of a b-spline, its four quarters are taken.
func (w *worker) triangle(s shape.Surface, o r3.Vector, a, b, c r2.Point, sums, lesser *integrals, depth int) {
	w.charge(3 + 7*w.cost.Evaluate)
	ab, ac := b.Sub(a), c.Sub(a)
	half := ab.Cross(ac) / 2
	var fine, rough integrals
	at := func(p, q, weight, other float64) {
		x, du, dv := s.First(a.X+p*ab.X+q*ac.X, a.Y+p*ab.Y+q*ac.Y)
		n := du.Cross(dv)
		x = x.Sub(o)
		fine.sample(x, n, half*weight)
		if other != 0 {
			rough.sample(x, n, half*other)
		}
	}
	at(1.0/3, 1.0/3, radonW0, 1-lesserB)
	at(radonA, radonA, radonWA, 0)
	at(1-2*radonA, radonA, radonWA, 0)
	at(radonA, 1-2*radonA, radonWA, 0)
	at(radonB, radonB, radonWB, lesserB/3)
	at(1-2*radonB, radonB, radonWB, lesserB/3)
	at(radonB, 1-2*radonB, radonWB, lesserB/3)
	if depth < quarterings {
		limit := quarterShare * math.Abs(fine.area)
		if math.Abs(fine.area-rough.area) > limit || math.Abs(fine.volume-rough.volume) > limit*w.body.box.Diagonal() {
			if !w.may(0) {
				sums.add(&fine)
				lesser.add(&rough)
				return
			}
			ma, mb, mc := b.Add(c).Mul(0.5), c.Add(a).Mul(0.5), a.Add(b).Mul(0.5)
			w.triangle(s, o, a, mc, mb, sums, lesser, depth+1)
			w.triangle(s, o, mc, b, ma, sums, lesser, depth+1)
			w.triangle(s, o, mb, ma, c, sums, lesser, depth+1)
			w.triangle(s, o, ma, mb, mc, sums, lesser, depth+1)
			return
		}
	}
	sums.add(&fine)
	lesser.add(&rough)
}

// quarterShare: the lesser rule errs with the third power of a triangle's size and Radon's with
// the sixth, so that the latter is then good to about the square of this.
const quarterShare = 1.0 / (1 << 13)

// sliver adds what lies between the straight side from n to end and the true image of its edge.
//
// With the side l(t) and d(t) from it to the image, both over t in [0, 1], the points are
// x(r, t) = l(t) + r d(t), and what lies to the right of the side, outside the triangles, counts
// positive: its area is int int d x (l' + r d') dr dt.
func (w *worker) sliver(s shape.Surface, period r2.Point, o r3.Vector, n *node, end r2.Point, sums *integrals) {
	e := &w.body.edges[n.edge]
	_, plane := s.(*shape.Plane)
	if _, straight := e.Curve.(*shape.Line); straight && plane {
		return
	}
	w.charge(3*w.cost.Find + 8*w.cost.Evaluate)
	side := end.Sub(n.uv)
	var d [3]r2.Point
	size := math.Abs(side.X) + math.Abs(side.Y)
	most := 0.0
	for k := range 3 {
		t := float64(k+1) / 4
		p := e.Curve.Point(n.ta + (n.tb-n.ta)*t)
		// The side itself is the nearest guess.
		hint := n.uv.Add(side.Mul(t))
		uv, _ := s.Parameters(p, hint, true)
		d[k] = uv.Sub(hint)
		most = max(most, math.Abs(d[k].X)+math.Abs(d[k].Y))
	}
	if !(most > tol.StraightShare*size) {
		return
	}
	if most > size {
		// Not the image of this part: at a pole, or across a fold.
		return
	}
	// d vanishes at both ends: d = t (1-t) q(t), q through its values at the quarters.
	var q [3]r2.Point
	for k := range 3 {
		t := float64(k+1) / 4
		q[k] = d[k].Mul(1 / (t * (1 - t)))
	}
	for i, t := range gauss4X {
		z := 4*t - 2 // -1, 0, 1 at the quarters
		l0, l1, l2 := z*(z-1)/2, 1-z*z, z*(z+1)/2
		m0, m1, m2 := 4*(z-0.5), -8*z, 4*(z+0.5)
		at := q[0].Mul(l0).Add(q[1].Mul(l1)).Add(q[2].Mul(l2))
		slope := q[0].Mul(m0).Add(q[1].Mul(m1)).Add(q[2].Mul(m2))
		g := t * (1 - t)
		dt := at.Mul(g)
		dd := slope.Mul(g).Add(at.Mul(1 - 2*t))
		l := n.uv.Add(side.Mul(t))
		for _, r := range gauss2X {
			j := dt.Cross(side.Add(dd.Mul(r))) * gauss4W[i] / 2
			uv := l.Add(dt.Mul(r))
			x, du, dv := s.First(uv.X, uv.Y)
			sums.sample(x.Sub(o), du.Cross(dv), j)
		}
	}
}

// measures are those of the whole body.
func (b *body) measures(shells []integrals, m *mesh.Mesh) *mesh.Measures {
	var s integrals
	for i := range shells {
		s.add(&shells[i])
	}
	if !s.finite() {
		return nil
	}
	// Between edges that were sewn the faces leave a gap.
	length := 0.0
	for i := range b.edges {
		if b.edges[i].sewn {
			length += b.lengthOf(&b.edges[i])
		}
	}
	s.gap(b.sewnMM*length, b.box.Diagonal()/2)
	q := &mesh.Measures{VolumeMM3: s.volume, AreaMM2: s.area}
	box := m.Bounds()
	// Rounding: each sum has about as many terms as triangles, each off by some units.
	round := tol.RoundoffDouble * 16 * (1 + box.MaxAbs()/max(box.Diagonal(), math.SmallestNonzeroFloat64))
	q.VolumeErrorMM3 = s.volumeError + round*s.area*box.Diagonal()
	q.AreaErrorMM2 = s.areaError + round*s.area
	q.CentroidMM = b.origin()
	if v := math.Abs(s.volume); v > 0 {
		offset := s.moment.Mul(1 / s.volume)
		q.CentroidMM = q.CentroidMM.Add(offset)
		q.CentroidErrorMM = (s.momentError+q.VolumeErrorMM3*offset.Norm())/v + round*box.Diagonal()
	}
	q.Bounds, q.BoundsErrorMM = b.bounds(box)
	return q
}
