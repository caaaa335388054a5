package shape

import (
	"fmt"
	"math"
	"sync"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// BSplineSurface is a tensor-product b-spline surface, rational or not. Outside its domain it
// stands still at its border; in a direction in which it is closed it repeats with the length
// of the domain as its period, though it may have a crease along the seam.
type BSplineSurface struct {
	ku, kv  knots
	points  []r3.Vector // row by row, v running fastest; multiplied by weights
	weights []float64
	period  r2.Point
	size    float64
	poles   []Pole
	search  sync.Once
	boxes   []gridBox
}

// gridBox is the box of the control points of one patch.
type gridBox struct {
	box  geom.Box
	u, v int32 // spans
}

// NewBSplineSurface makes a surface of countU rows of control points along u, each of
// len(points)/countU along v; weights are nil where all are equal. Slices are copied.
func NewBSplineSurface(degreeU, degreeV, countU int, points []r3.Vector, weights []float64,
	multiplicitiesU, multiplicitiesV []int, valuesU, valuesV []float64) (*BSplineSurface, error) {
	if countU < 1 || len(points)%countU != 0 {
		return nil, fmt.Errorf("b-spline surface: %d control points do not make %d rows", len(points), countU)
	}
	s := &BSplineSurface{}
	var err error
	if s.ku, err = newKnots(degreeU, countU, multiplicitiesU, valuesU); err != nil {
		return nil, fmt.Errorf("b-spline surface along u: %w", err)
	}
	if s.kv, err = newKnots(degreeV, len(points)/countU, multiplicitiesV, valuesV); err != nil {
		return nil, fmt.Errorf("b-spline surface along v: %w", err)
	}
	if err := checkPoints(points, weights); err != nil {
		return nil, fmt.Errorf("b-spline surface: %w", err)
	}
	s.points, s.weights = weigh(points, weights)
	s.size = geom.BoxOf(points).Diagonal()
	s.findClosure()
	s.findPoles()
	return s, nil
}

// DegreeU is the degree along u.
func (s *BSplineSurface) DegreeU() int { return s.ku.degree }

// DegreeV is the degree along v.
func (s *BSplineSurface) DegreeV() int { return s.kv.degree }

// Rational says whether the surface has weights.
func (s *BSplineSurface) Rational() bool { return s.weights != nil }

// findClosure compares opposite sides at as many places as they have control points: two
// splines over the same knots that agree at their Greville abscissae are the same.
func (s *BSplineSurface) findClosure() {
	du, dv := s.ku.domain(), s.kv.domain()
	closed := true
	for i := range s.kv.count {
		v := s.kv.greville(i)
		closed = closed && coincide(s.Point(du.Lo, v), s.Point(du.Hi, v), s.size)
	}
	closedV := true
	for i := range s.ku.count {
		u := s.ku.greville(i)
		closedV = closedV && coincide(s.Point(u, dv.Lo), s.Point(u, dv.Hi), s.size)
	}
	if closed {
		s.period.X = du.Length()
	}
	if closedV {
		s.period.Y = dv.Length()
	}
}

func (s *BSplineSurface) findPoles() {
	du, dv := s.ku.domain(), s.kv.domain()
	for _, u := range [...]float64{du.Lo, du.Hi} {
		p := s.Point(u, dv.Lo)
		single := true
		for i := range s.kv.count {
			single = single && coincide(s.Point(u, s.kv.greville(i)), p, s.size)
		}
		if single {
			s.poles = append(s.poles, Pole{Value: u, Point: p})
		}
	}
	for _, v := range [...]float64{dv.Lo, dv.Hi} {
		p := s.Point(du.Lo, v)
		single := true
		for i := range s.ku.count {
			single = single && coincide(s.Point(s.ku.greville(i), v), p, s.size)
		}
		if single {
			s.poles = append(s.poles, Pole{AtV: true, Value: v, Point: p})
		}
	}
}

func (s *BSplineSurface) inside(u, v float64) (float64, float64) {
	return insideKnots(&s.ku, u, s.period.X), insideKnots(&s.kv, v, s.period.Y)
}

func insideKnots(k *knots, t, period float64) float64 {
	lo, hi := k.u[k.degree], k.u[k.count]
	if t >= lo && t <= hi {
		return t
	}
	if period > 0 {
		return intoPeriod(t, lo, period)
	}
	return min(max(t, lo), hi)
}

// Point is S(u, v).
func (s *BSplineSurface) Point(u, v float64) r3.Vector {
	var nu, nv basis
	u, v = s.inside(u, v)
	i, j := s.ku.span(u), s.kv.span(v)
	s.ku.values(u, i, &nu)
	s.kv.values(v, j, &nv)
	stride := s.kv.count
	low := j - s.kv.degree
	var p r3.Vector
	w := 0.0
	for a := range s.ku.degree + 1 {
		row := (i - s.ku.degree + a) * stride
		var q r3.Vector
		for b, c := range s.points[row+low : row+j+1] {
			q = addScaled(q, c, nv[b])
		}
		p = addScaled(p, q, nu[a])
		if s.weights != nil {
			k := 0.0
			for b, c := range s.weights[row+low : row+j+1] {
				k += c * nv[b]
			}
			w += k * nu[a]
		}
	}
	if s.weights != nil {
		return p.Mul(1 / w)
	}
	return p
}

// First are S and its first derivatives.
func (s *BSplineSurface) First(u, v float64) (p, du, dv r3.Vector) {
	var nu, eu, nv, ev basis
	u, v = s.inside(u, v)
	i, j := s.ku.span(u), s.kv.span(v)
	s.ku.first(u, i, &nu, &eu)
	s.kv.first(v, j, &nv, &ev)
	stride := s.kv.count
	low := j - s.kv.degree
	w, wu, wv := 0.0, 0.0, 0.0
	for a := range s.ku.degree + 1 {
		row := (i - s.ku.degree + a) * stride
		var q, qv r3.Vector
		for b, c := range s.points[row+low : row+j+1] {
			q = addScaled(q, c, nv[b])
			qv = addScaled(qv, c, ev[b])
		}
		p = addScaled(p, q, nu[a])
		du = addScaled(du, q, eu[a])
		dv = addScaled(dv, qv, nu[a])
		if s.weights != nil {
			k, kv := 0.0, 0.0
			for b, c := range s.weights[row+low : row+j+1] {
				k += c * nv[b]
				kv += c * ev[b]
			}
			w += k * nu[a]
			wu += k * eu[a]
			wv += kv * nu[a]
		}
	}
	if s.weights != nil {
		p = p.Mul(1 / w)
		du = addScaled(du, p, -wu).Mul(1 / w)
		dv = addScaled(dv, p, -wv).Mul(1 / w)
	}
	return p, du, dv
}

// Second are S and its derivatives up to the second.
func (s *BSplineSurface) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	var nu, eu, fu, nv, ev, fv basis
	u, v = s.inside(u, v)
	i, j := s.ku.span(u), s.kv.span(v)
	s.ku.second(u, i, &nu, &eu, &fu)
	s.kv.second(v, j, &nv, &ev, &fv)
	stride := s.kv.count
	low := j - s.kv.degree
	var w, wu, wv, wuu, wuv, wvv float64
	for a := range s.ku.degree + 1 {
		row := (i - s.ku.degree + a) * stride
		var q, qv, qvv r3.Vector
		for b, c := range s.points[row+low : row+j+1] {
			q = addScaled(q, c, nv[b])
			qv = addScaled(qv, c, ev[b])
			qvv = addScaled(qvv, c, fv[b])
		}
		p = addScaled(p, q, nu[a])
		du = addScaled(du, q, eu[a])
		dv = addScaled(dv, qv, nu[a])
		duu = addScaled(duu, q, fu[a])
		duv = addScaled(duv, qv, eu[a])
		dvv = addScaled(dvv, qvv, nu[a])
		if s.weights != nil {
			var k, kv, kvv float64
			for b, c := range s.weights[row+low : row+j+1] {
				k += c * nv[b]
				kv += c * ev[b]
				kvv += c * fv[b]
			}
			w += k * nu[a]
			wu += k * eu[a]
			wv += kv * nu[a]
			wuu += k * fu[a]
			wuv += kv * eu[a]
			wvv += kvv * nu[a]
		}
	}
	if s.weights != nil {
		// The quotient rule, The NURBS Book, equation 4.20.
		p = p.Mul(1 / w)
		du = addScaled(du, p, -wu).Mul(1 / w)
		dv = addScaled(dv, p, -wv).Mul(1 / w)
		duu = addScaled(addScaled(duu, du, -2*wu), p, -wuu).Mul(1 / w)
		dvv = addScaled(addScaled(dvv, dv, -2*wv), p, -wvv).Mul(1 / w)
		duv = addScaled(addScaled(addScaled(duv, du, -wv), dv, -wu), p, -wuv).Mul(1 / w)
	}
	return p, du, dv, duu, duv, dvv
}

// Domain is where the basis is complete.
func (s *BSplineSurface) Domain() r2.Rect { return r2.Rect{X: s.ku.domain(), Y: s.kv.domain()} }

// Period is the length of the domain in a direction in which the surface is closed.
func (s *BSplineSurface) Period() r2.Point { return s.period }

// Parameters tries the hint, then the patches nearest to p.
func (s *BSplineSurface) Parameters(p r3.Vector, hint r2.Point, hinted bool) (r2.Point, float64) {
	var uv r2.Point
	distance := math.Inf(1)
	if hinted {
		uv, distance = s.descendAround(p, hint)
	}
	if distance > tol.OnShapeShare*s.size {
		if at, d := s.nearestByPatches(p); d < distance {
			uv, distance = at, d
		}
	}
	return s.towards(p, uv, hint, hinted), distance
}

// towards chooses among the periods, and at a pole among the parameters that meet there.
func (s *BSplineSurface) towards(p r3.Vector, uv, hint r2.Point, hinted bool) r2.Point {
	if !hinted {
		return uv
	}
	for i := range s.poles {
		pole := &s.poles[i]
		if p.Sub(pole.Point).Norm() > tol.PoleMM {
			continue
		}
		if pole.AtV {
			return r2.Point{X: hint.X, Y: pole.Value}
		}
		return r2.Point{X: pole.Value, Y: hint.Y}
	}
	if s.period.X > 0 {
		uv.X = nearPeriod(uv.X, hint.X, s.period.X)
	}
	if s.period.Y > 0 {
		uv.Y = nearPeriod(uv.Y, hint.Y, s.period.Y)
	}
	return uv
}

// descendAround descends over the domain. Where it stops at a seam it crosses and goes on.
func (s *BSplineSurface) descendAround(p r3.Vector, start r2.Point) (r2.Point, float64) {
	d := s.Domain()
	start.X, start.Y = s.inside(start.X, start.Y)
	uv, distance := descendOn(s, p, start, d, s.size)
	if distance <= tol.NearestShare*s.size || s.period == (r2.Point{}) {
		return uv, distance
	}
	across := uv
	if s.period.X > 0 {
		across.X = otherEnd(uv.X, d.X.Lo, d.X.Hi)
	}
	if s.period.Y > 0 {
		across.Y = otherEnd(uv.Y, d.Y.Lo, d.Y.Hi)
	}
	if across != uv {
		if at, e := descendOn(s, p, across, d, s.size); e < distance {
			return at, e
		}
	}
	return uv, distance
}

func otherEnd(t, lo, hi float64) float64 {
	switch t {
	case lo:
		return hi
	case hi:
		return lo
	}
	return t
}

func (s *BSplineSurface) control(i int) r3.Vector {
	if s.weights == nil {
		return s.points[i]
	}
	return s.points[i].Mul(1 / s.weights[i])
}

func (s *BSplineSurface) prepareSearch() {
	spansU, spansV := s.ku.spans(), s.kv.spans()
	s.boxes = make([]gridBox, 0, len(spansU)*len(spansV))
	for _, i := range spansU {
		for _, j := range spansV {
			b := geom.EmptyBox()
			for a := int(i) - s.ku.degree; a <= int(i); a++ {
				for c := int(j) - s.kv.degree; c <= int(j); c++ {
					b = b.AddPoint(s.control(a*s.kv.count + c))
				}
			}
			s.boxes = append(s.boxes, gridBox{b, i, j})
		}
	}
}

// nearestByPatches descends in every patch whose box is nearer than the best point found so
// far, the nearest box first. The surface lies in the boxes, the weights being positive, so no
// patch left out can hold a nearer point, as long as mostDescents suffice; within a patch the samples choose the valley.
func (s *BSplineSurface) nearestByPatches(p r3.Vector) (uv r2.Point, distance float64) {
	s.search.Do(s.prepareSearch)
	start, least := 0, math.Inf(1)
	for i := range s.boxes {
		if d := distance2(&s.boxes[i].box, p); d < least {
			start, least = i, d
		}
	}
	distance = math.Inf(1)
	descents := 0
	for i := -1; i < len(s.boxes) && descents < mostDescents; i++ {
		b := &s.boxes[max(i, 0)]
		if i < 0 {
			b = &s.boxes[start]
		} else if i == start || distance2(&b.box, p) >= distance*distance {
			continue
		}
		descents++
		u0, u1 := s.ku.u[b.u], s.ku.u[b.u+1]
		v0, v1 := s.kv.u[b.v], s.kv.u[b.v+1]
		n, m := s.ku.degree+1, s.kv.degree+1
		var at r2.Point
		near := math.Inf(1)
		for k := 0; k <= n; k++ {
			u := u0 + (u1-u0)*float64(k)/float64(n)
			for l := 0; l <= m; l++ {
				v := v0 + (v1-v0)*float64(l)/float64(m)
				if d := s.Point(u, v).Sub(p).Norm2(); d < near {
					at, near = r2.Point{X: u, Y: v}, d
				}
			}
		}
		if q, d := s.descendAround(p, at); d < distance {
			uv, distance = q, d
		}
		if distance <= tol.NearestShare*s.size {
			break
		}
	}
	return uv, distance
}

// Face says only that the surface is a b-spline.
func (s *BSplineSurface) Face() mesh.Face { return mesh.Face{Kind: mesh.BSpline} }

// Breaks are the inner knots of low continuity.
func (s *BSplineSurface) Breaks() (u, v []float64) { return s.ku.breaks(), s.kv.breaks() }

// Poles are the sides that collapse.
func (s *BSplineSurface) Poles() []Pole { return s.poles }
