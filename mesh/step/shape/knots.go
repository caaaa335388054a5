package shape

import (
	"fmt"

	"github.com/golang/geo/r1"
)

// MaxDegree is the highest degree of a b-spline that is evaluated: working arrays live on the
// stack. Writers go to 9 for blends and rarely to 15 (common practice, no source).
const MaxDegree = 24

// knots is a knot vector written out with its multiplicities: count+degree+1 values.
type knots struct {
	degree int
	count  int // control points
	u      []float64
}

// newKnots writes the distinct knots out and checks them against the number of control points.
// Equal neighbours, which some writers list apart, count together.
func newKnots(degree, count int, multiplicities []int, values []float64) (knots, error) {
	if degree < 1 || degree > MaxDegree {
		return knots{}, fmt.Errorf("degree %d is not within 1 and %d", degree, MaxDegree)
	}
	if count < degree+1 {
		return knots{}, fmt.Errorf("%d control points are too few for degree %d", count, degree)
	}
	if len(multiplicities) != len(values) {
		return knots{}, fmt.Errorf("%d knots have %d multiplicities", len(values), len(multiplicities))
	}
	want := count + degree + 1
	u := make([]float64, 0, want)
	for i, m := range multiplicities {
		if m < 1 {
			return knots{}, fmt.Errorf("knot %d has multiplicity %d", i+1, m)
		}
		if !finiteNumber(values[i]) {
			return knots{}, fmt.Errorf("knot %d is not a number", i+1)
		}
		if i > 0 && values[i] < values[i-1] {
			return knots{}, fmt.Errorf("knot %d (%v) is less than the one before (%v)", i+1, values[i], values[i-1])
		}
		if m > want-len(u) {
			return knots{}, fmt.Errorf("multiplicities add up to more than the %d that %d control points of degree %d want", want, count, degree)
		}
		for range m {
			u = append(u, values[i])
		}
	}
	if len(u) != want {
		return knots{}, fmt.Errorf("multiplicities add up to %d where %d control points of degree %d want %d", len(u), count, degree, want)
	}
	k := knots{degree, count, u}
	d := k.domain()
	if !(d.Lo < d.Hi) || !finiteNumber(d.Hi-d.Lo) {
		return knots{}, fmt.Errorf("knots leave no room between %v and %v", d.Lo, d.Hi)
	}
	for i := 0; i+degree < len(u); i++ {
		if i+degree+1 < len(u) && u[i] == u[i+degree+1] {
			// That leaves a basis function without support.
			return knots{}, fmt.Errorf("knot %v has a multiplicity over %d, the degree and one", u[i], degree+1)
		}
		if u[i] == u[i+degree] && u[i] > d.Lo && u[i] < d.Hi {
			return knots{}, fmt.Errorf("inner knot %v has a multiplicity over the degree %d: the b-spline falls apart there", u[i], degree)
		}
	}
	return k, nil
}

func (k *knots) domain() r1.Interval {
	return r1.Interval{Lo: k.u[k.degree], Hi: k.u[k.count]}
}

// span finds i with u[i] <= t < u[i+1] by bisection, the last such span for the end of the
// domain. t must lie in the domain.
func (k *knots) span(t float64) int {
	lo, hi := k.degree, k.count
	if t >= k.u[hi] {
		hi--
		for k.u[hi] == k.u[hi+1] {
			hi--
		}
		return hi
	}
	for hi-lo > 1 {
		mid := int(uint(lo+hi) / 2)
		if t < k.u[mid] {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

// basis holds the degree+1 basis functions that do not vanish on a span.
type basis [MaxDegree + 1]float64

// The three evaluators run the recurrence of Cox and de Boor upwards, as in Piegl and Tiller,
// The NURBS Book, algorithm A2.2. Its quotients
//
//	q[r] = N[r, j-1] / (u[i+1+r] - u[i+1+r-j])
//
// are also those of the derivative formula N'[r, j] = j (q[r-1] - q[r]) (their equation 2.7),
// so that derivatives cost one pass more at the last one or two degrees and no table.
// A span of the knot vector is never empty, hence no denominator is 0.

// values sets n to the basis functions at t in span i.
func (k *knots) values(t float64, i int, n *basis) {
	p := k.degree
	u := k.u[i+1-p : i+p+1] // u[p-1] is knot i, u[p] knot i+1
	n[0] = 1
	for j := 1; j <= p; j++ {
		saved := 0.0
		for r := range j {
			left, right := t-u[p+r-j], u[p+r]-t
			q := n[r] / (right + left)
			n[r] = saved + right*q
			saved = left * q
		}
		n[j] = saved
	}
}

// first sets n and d to the basis functions and their first derivatives.
func (k *knots) first(t float64, i int, n, d *basis) {
	p := k.degree
	u := k.u[i+1-p : i+p+1]
	n[0] = 1
	for j := 1; j < p; j++ {
		saved := 0.0
		for r := range j {
			left, right := t-u[p+r-j], u[p+r]-t
			q := n[r] / (right + left)
			n[r] = saved + right*q
			saved = left * q
		}
		n[j] = saved
	}
	saved, before, degree := 0.0, 0.0, float64(p)
	for r := range p {
		left, right := t-u[r], u[p+r]-t
		q := n[r] / (right + left)
		n[r] = saved + right*q
		saved = left * q
		d[r] = degree * (before - q)
		before = q
	}
	n[p] = saved
	d[p] = degree * before
}

// second sets n, d and e to the basis functions and their first and second derivatives.
func (k *knots) second(t float64, i int, n, d, e *basis) {
	p := k.degree
	u := k.u[i+1-p : i+p+1]
	n[0] = 1
	d[0] = 0
	for j := 1; j < p; j++ {
		saved, before, degree := 0.0, 0.0, float64(j)
		for r := range j {
			left, right := t-u[p+r-j], u[p+r]-t
			q := n[r] / (right + left)
			n[r] = saved + right*q
			saved = left * q
			d[r] = degree * (before - q)
			before = q
		}
		n[j] = saved
		d[j] = degree * before
	}
	saved, before, slopeBefore, degree := 0.0, 0.0, 0.0, float64(p)
	for r := range p {
		left, right := t-u[r], u[p+r]-t
		q := n[r] / (right + left)
		slope := d[r] / (right + left)
		n[r] = saved + right*q
		saved = left * q
		d[r] = degree * (before - q)
		e[r] = degree * (slopeBefore - slope)
		before, slopeBefore = q, slope
	}
	n[p] = saved
	d[p] = degree * before
	e[p] = degree * slopeBefore
}

// breaks are the inner knots where the b-spline is less than twice continuously
// differentiable: those of multiplicity degree-1 or more.
func (k *knots) breaks() []float64 {
	var list []float64
	d := k.domain()
	for i := k.degree + 1; i < k.count; {
		j := i + 1
		for j < len(k.u) && k.u[j] == k.u[i] {
			j++
		}
		if k.u[i] > d.Lo && k.u[i] < d.Hi && j-i >= k.degree-1 {
			list = append(list, k.u[i])
		}
		i = j
	}
	return list
}

// greville is the abscissa of control point i: the mean of the degree knots within its support.
func (k *knots) greville(i int) float64 {
	sum := 0.0
	for _, u := range k.u[i+1 : i+k.degree+1] {
		sum += u
	}
	d := k.domain()
	return min(max(sum/float64(k.degree), d.Lo), d.Hi)
}

// spans lists the first knot index of each span that is not empty.
func (k *knots) spans() []int32 {
	var list []int32
	for i := k.degree; i < k.count; i++ {
		if k.u[i] < k.u[i+1] {
			list = append(list, int32(i))
		}
	}
	return list
}

// The knot vectors that ISO 10303-42 leaves unsaid.

// UniformKnots are those of a uniform_curve: 0 at the start of the domain, step 1, each once.
// A degree that is not evaluated gives none.
func UniformKnots(degree, count int) (multiplicities []int, values []float64) {
	if degree < 1 || degree > MaxDegree {
		return nil, nil
	}
	for i := range count + degree + 1 {
		multiplicities = append(multiplicities, 1)
		values = append(values, float64(i-degree))
	}
	return multiplicities, values
}

// QuasiUniformKnots are those of a quasi_uniform_curve: step 1, ends of multiplicity degree+1.
// A degree that is not evaluated gives none.
func QuasiUniformKnots(degree, count int) (multiplicities []int, values []float64) {
	if degree < 1 || degree > MaxDegree {
		return nil, nil
	}
	n := count - degree
	for i := 0; i <= n; i++ {
		multiplicities = append(multiplicities, 1)
		values = append(values, float64(i))
	}
	if n >= 1 {
		multiplicities[0], multiplicities[n] = degree+1, degree+1
	}
	return multiplicities, values
}

// BezierKnots are those of a bezier_curve: step 1, inner multiplicity degree.
func BezierKnots(degree, count int) (multiplicities []int, values []float64, err error) {
	if degree < 1 || count < 2 || (count-1)%degree != 0 {
		return nil, nil, fmt.Errorf("%d control points do not make whole Bezier segments of degree %d", count, degree)
	}
	n := (count - 1) / degree
	for i := 0; i <= n; i++ {
		multiplicities = append(multiplicities, degree)
		values = append(values, float64(i))
	}
	multiplicities[0], multiplicities[n] = degree+1, degree+1
	return multiplicities, values, nil
}
