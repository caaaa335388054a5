package shape

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

// reader turns fuzz bytes into numbers that now and then are wild.
type reader struct{ b []byte }

func (r *reader) byte() int {
	if len(r.b) == 0 {
		return 0
	}
	x := r.b[0]
	r.b = r.b[1:]
	return int(x)
}

func (r *reader) number() float64 {
	switch k := r.byte(); {
	case k < 200:
		return float64(int8(r.byte())) / 8
	case k < 230:
		return float64(k - 215)
	default:
		var raw [8]byte
		for i := range raw {
			raw[i] = byte(r.byte())
		}
		return math.Float64frombits(binary.LittleEndian.Uint64(raw[:]))
	}
}

func (r *reader) vector() r3.Vector { return vec(r.number(), r.number(), r.number()) }

func (r *reader) knots(n int) (m []int, v []float64) {
	for range n {
		m = append(m, r.byte()%6)
		v = append(v, r.number())
	}
	return m, v
}

func (r *reader) curve(depth int) (Curve, error) {
	m := geom.Frame(r.vector(), r.vector(), r.vector())
	switch r.byte() % 10 {
	case 0:
		return NewLine(r.vector(), r.vector())
	case 1:
		return NewCircle(m, r.number())
	case 2:
		return NewEllipse(m, r.number(), r.number())
	case 3:
		return NewParabola(m, r.number())
	case 4:
		return NewHyperbola(m, r.number(), r.number())
	case 5:
		var p []r3.Vector
		for range r.byte() % 5 {
			p = append(p, r.vector())
		}
		return NewPolyline(p)
	case 6:
		if depth > 0 {
			c, err := r.curve(depth - 1)
			if err != nil {
				return nil, err
			}
			return NewTrimmedCurve(c, r.number(), r.number(), r.byte()%2 == 0)
		}
	case 7:
		if depth > 0 {
			c, err := r.curve(depth - 1)
			if err != nil {
				return nil, err
			}
			return NewOffsetCurve(c, r.number(), r.vector())
		}
	}
	degree := r.byte() % 5
	n := degree + 1 + r.byte()%4
	var p []r3.Vector
	var w []float64
	for range n {
		p = append(p, r.vector())
	}
	if r.byte()%2 == 0 {
		for range n {
			w = append(w, r.number())
		}
	}
	if r.byte()%2 == 0 {
		mu, v := QuasiUniformKnots(degree, n)
		return NewBSplineCurve(degree, p, w, mu, v)
	}
	mu, v := r.knots(r.byte() % 6)
	return NewBSplineCurve(degree, p, w, mu, v)
}

func (r *reader) surface(depth int) (Surface, error) {
	m := geom.Frame(r.vector(), r.vector(), r.vector())
	switch r.byte() % 10 {
	case 0:
		return NewPlane(m)
	case 1:
		return NewCylinder(m, r.number())
	case 2:
		return NewCone(m, r.number(), r.number())
	case 3:
		return NewSphere(m, r.number())
	case 4:
		return NewTorus(m, r.number(), r.number(), TorusPart(r.byte()%3))
	case 5:
		c, err := r.curve(1)
		if err != nil {
			return nil, err
		}
		return NewExtrusion(c, r.vector())
	case 6:
		c, err := r.curve(1)
		if err != nil {
			return nil, err
		}
		return NewRevolution(c, r.vector(), r.vector())
	case 7:
		if depth > 0 {
			s, err := r.surface(depth - 1)
			if err != nil {
				return nil, err
			}
			return NewOffsetSurface(s, r.number())
		}
	case 8:
		if depth > 0 {
			s, err := r.surface(depth - 1)
			if err != nil {
				return nil, err
			}
			return NewTrimmedSurface(s, r2.Point{X: r.number(), Y: r.number()}, r2.Point{X: r.number(), Y: r.number()}, r.byte()%2 == 0, r.byte()%2 == 0)
		}
	}
	du, dv := r.byte()%4, r.byte()%4
	nu, nv := du+1+r.byte()%3, dv+1+r.byte()%3
	var p []r3.Vector
	var w []float64
	for range nu * nv {
		p = append(p, r.vector())
	}
	if r.byte()%2 == 0 {
		for range nu * nv {
			w = append(w, r.number())
		}
	}
	mu, vu := QuasiUniformKnots(du, nu)
	mv, vv := QuasiUniformKnots(dv, nv)
	return NewBSplineSurface(du, dv, nu, p, w, mu, mv, vu, vv)
}

// tame says whether the numbers of a shape are of a size that a part can have; beyond it
// squares overflow, which is no fault of the shape.
func tame(v r3.Vector) bool { return finite(v) && v.Norm() < 1e9 }

// What a constructor accepts evaluates to numbers within its domain, and inversion comes to an
// end with a distance that is that of the point it names.
func FuzzShapes(f *testing.F) {
	f.Add([]byte{})
	for k := range byte(10) {
		f.Add([]byte{k, 1, 2, 3, 1, 200, 8, 1, 16, 2, 8, 3, 7, 1, 9, 1, 8, 4, 3, k, 1, 24, 1, 12, 1, 7, 1, 5, 1, 8, 1, 9, 1, 2})
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 4096 {
			return
		}
		r := &reader{data}
		if r.byte()%2 == 0 {
			c, err := r.curve(2)
			if err != nil {
				return
			}
			d := c.Domain()
			for _, share := range []float64{0, 0.3, 0.5, 1} {
				s := bounded(d, share)
				p, _, _ := c.Derivatives(s)
				if math.Abs(s) < 1e6 && tame(p) {
					c.Parameter(p.Add(vec(0.1, 0.2, 0.3)), s, share > 0.4)
				}
				if isSmall(data) && math.Abs(s) < 100 && !finite(c.Point(s)) {
					t.Fatalf("%T at %v is %v", c, s, c.Point(s))
				}
			}
			c.Breaks(r1.Interval{Lo: bounded(d, 0), Hi: bounded(d, 1)})
			return
		}
		s, err := r.surface(2)
		if err != nil {
			return
		}
		d := s.Domain()
		s.Face()
		s.Breaks()
		s.Poles()
		for _, share := range []float64{0, 0.3, 0.5, 1} {
			u, v := bounded(d.X, share), bounded(d.Y, 1-share)
			p, _, _, _, _, _ := s.Second(u, v)
			if tame(p) && math.Abs(u) < 1e6 && math.Abs(v) < 1e6 {
				s.Parameters(p.Add(vec(0.1, 0.2, 0.3)), r2.Point{X: u, Y: v}, share > 0.4)
			}
			if isSmall(data) && math.Abs(u) < 100 && math.Abs(v) < 100 && !finite(p) {
				t.Fatalf("%T at %v, %v is %v", s, u, v, p)
			}
		}
	})
}

// isSmall says whether no byte of the input makes a number of raw bits.
func isSmall(data []byte) bool {
	for _, b := range data {
		if b >= 230 {
			return false
		}
	}
	return true
}
