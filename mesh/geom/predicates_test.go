package geom

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

func rat(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
func sub(a, b *big.Rat) *big.Rat {
	return new(big.Rat).Sub(a, b)
}
func mul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func add(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }

func orient2DRat(a, b, c r2.Point) int {
	ax, ay := sub(rat(a.X), rat(c.X)), sub(rat(a.Y), rat(c.Y))
	bx, by := sub(rat(b.X), rat(c.X)), sub(rat(b.Y), rat(c.Y))
	return sub(mul(ax, by), mul(ay, bx)).Sign()
}

func orient3DRat(a, b, c, d r3.Vector) int {
	v := func(p r3.Vector) [3]*big.Rat {
		return [3]*big.Rat{sub(rat(p.X), rat(d.X)), sub(rat(p.Y), rat(d.Y)), sub(rat(p.Z), rat(d.Z))}
	}
	p, q, r := v(a), v(b), v(c)
	det := mul(p[2], sub(mul(q[0], r[1]), mul(r[0], q[1])))
	det = add(det, mul(q[2], sub(mul(r[0], p[1]), mul(p[0], r[1]))))
	det = add(det, mul(r[2], sub(mul(p[0], q[1]), mul(q[0], p[1]))))
	return det.Sign()
}

func inCircleRat(a, b, c, d r2.Point) int {
	v := func(p r2.Point) [3]*big.Rat {
		x, y := sub(rat(p.X), rat(d.X)), sub(rat(p.Y), rat(d.Y))
		return [3]*big.Rat{x, y, add(mul(x, x), mul(y, y))}
	}
	p, q, r := v(a), v(b), v(c)
	det := mul(p[2], sub(mul(q[0], r[1]), mul(r[0], q[1])))
	det = add(det, mul(q[2], sub(mul(r[0], p[1]), mul(p[0], r[1]))))
	det = add(det, mul(r[2], sub(mul(p[0], q[1]), mul(q[0], p[1]))))
	return det.Sign()
}

// nudge moves x by up to two units in its last place.
func nudge(r *rand.Rand, x float64) float64 {
	for range r.IntN(3) {
		x = math.Nextafter(x, math.Inf(1-2*r.IntN(2)))
	}
	return x
}

// Points on a line, a plane or a circle moved by a last place or two: the plain sign is wrong for
// many of them (the control), the exact one for none.
func TestSignsAgainstRationals(t *testing.T) {
	const seed = 20250101
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	plainWrong := 0
	for range 20000 {
		o := r2.Point{X: r.Float64() * 300, Y: r.Float64() * 300}
		d := r2.Point{X: r.Float64() - .5, Y: r.Float64() - .5}
		on := func(s float64) r2.Point {
			return r2.Point{X: nudge(r, o.X+d.X*s), Y: nudge(r, o.Y+d.Y*s)}
		}
		a, b, c := on(r.Float64()), on(r.Float64()*100), on(r.Float64()*1e-3)
		want := orient2DRat(a, b, c)
		if got := Orient2D(a, b, c); got != want {
			t.Fatalf("Orient2D(%v, %v, %v) = %d, want %d", a, b, c, got, want)
		}
		if got := Orient2D(b, a, c); got != -want {
			t.Fatalf("Orient2D is not antisymmetric at %v %v %v", a, b, c)
		}
		if got := Orient2D(b, c, a); got != want {
			t.Fatalf("Orient2D is not cyclic at %v %v %v", a, b, c)
		}
		plain := (a.X-c.X)*(b.Y-c.Y) - (a.Y-c.Y)*(b.X-c.X)
		if want == 0 && plain != 0 || float64(want)*plain < 0 || want != 0 && plain == 0 {
			plainWrong++
		}
	}
	if plainWrong == 0 {
		t.Error("the control failed: plain arithmetic got every sign right, so the inputs are not hard")
	}
	for range 3000 {
		o, radius := r2.Point{X: r.Float64() * 50, Y: r.Float64() * 50}, 10*r.Float64()
		on := func() r2.Point {
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			return r2.Point{X: nudge(r, o.X+radius*c), Y: nudge(r, o.Y+radius*s)}
		}
		a, b, c, d := on(), on(), on(), on()
		want := inCircleRat(a, b, c, d)
		if got := InCircle(a, b, c, d); got != want {
			t.Fatalf("InCircle(%v, %v, %v, %v) = %d, want %d", a, b, c, d, got, want)
		}
		if got := InCircle(b, a, c, d); got != -want {
			t.Fatalf("InCircle is not antisymmetric at %v %v %v %v", a, b, c, d)
		}
		if got := InCircle(b, c, a, d); got != want {
			t.Fatalf("InCircle is not cyclic")
		}
	}
	for range 5000 {
		o := r3.Vector{X: r.Float64() * 50, Y: r.Float64() * 50, Z: r.Float64() * 50}
		e := r3.Vector{X: r.Float64(), Y: r.Float64(), Z: r.Float64()}
		f := r3.Vector{X: r.Float64(), Y: -r.Float64(), Z: r.Float64()}
		on := func() r3.Vector {
			p := o.Add(e.Mul(r.Float64() * 20)).Add(f.Mul(r.Float64() * 20))
			return r3.Vector{X: nudge(r, p.X), Y: nudge(r, p.Y), Z: nudge(r, p.Z)}
		}
		a, b, c, d := on(), on(), on(), on()
		want := orient3DRat(a, b, c, d)
		if got := Orient3D(a, b, c, d); got != want {
			t.Fatalf("Orient3D(%v, %v, %v, %v) = %d, want %d", a, b, c, d, got, want)
		}
		if got := Orient3D(b, a, c, d); got != -want {
			t.Fatalf("Orient3D is not antisymmetric")
		}
		if got := Orient3D(a, b, d, c); got != -want {
			t.Fatalf("Orient3D is not antisymmetric in its last")
		}
	}
}

// Points of a square grid are on lines and circles exactly.
func TestSignsOfAGrid(t *testing.T) {
	p := func(i, j int) r2.Point { return r2.Point{X: .1 * float64(i), Y: float64(j)} }
	if Orient2D(p(0, 0), p(1, 0), p(7, 0)) != 0 || InCircle(p(0, 0), p(1, 0), p(1, 1), p(0, 1)) != 0 {
		t.Error("a sign of a degenerate grid is not 0")
	}
	if InCircle(r2.Point{}, r2.Point{X: 1}, r2.Point{Y: 1}, r2.Point{X: .25, Y: .25}) != 1 {
		t.Error("a point within the circle is not told to be")
	}
	if Orient3D(r3.Vector{X: 1}, r3.Vector{Y: 1}, r3.Vector{}, r3.Vector{Z: -1}) != 1 {
		t.Error("a point below the plane is not told to be")
	}
}

func TestSum(t *testing.T) {
	var s Sum
	plain := 0.0
	for _, x := range []float64{1, 1e100, 1, -1e100} {
		s.Add(x)
		plain += x
	}
	if s.Value() != 2 {
		t.Errorf("sum %v, want 2", s.Value())
	}
	if plain == 2 {
		t.Error("the control failed: plain addition loses nothing")
	}
}

func FuzzSigns(f *testing.F) {
	f.Add(0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, dx, dy float64) {
		for _, v := range []float64{ax, ay, bx, by, cx, cy, dx, dy} {
			// Within the range that the package doc gives: no overflow, no product that vanishes.
			if a := math.Abs(v); !(a < 1e60) || a != 0 && a < 1e-60 {
				t.Skip("outside the range that the package doc gives")
			}
		}
		a, b, c, d := r2.Point{X: ax, Y: ay}, r2.Point{X: bx, Y: by}, r2.Point{X: cx, Y: cy}, r2.Point{X: dx, Y: dy}
		if Orient2D(a, b, c) != orient2DRat(a, b, c) || InCircle(a, b, c, d) != inCircleRat(a, b, c, d) {
			t.Errorf("%v %v %v %v", a, b, c, d)
		}
	})
}

func BenchmarkInCircle(b *testing.B) {
	a, c, d := r2.Point{X: .1}, r2.Point{X: 1.1}, r2.Point{X: 1.1, Y: 1}
	for _, e := range []struct {
		name string
		p    r2.Point
	}{{"filtered", r2.Point{X: .3, Y: .4}}, {"exact", r2.Point{X: .1, Y: 1}}} {
		b.Run(e.name, func(b *testing.B) {
			for b.Loop() {
				InCircle(a, c, d, e.p)
			}
		})
	}
}
