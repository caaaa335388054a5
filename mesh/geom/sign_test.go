package geom

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
)

// Points computed on one circle are on it to a rounding, which is finer than the filter sees. The
// sign must be that of rational arithmetic, and must turn when two points change places.
func TestInCircleOfPointsOnOneCircle(t *testing.T) {
	const seed = 11
	r := rand.New(rand.NewPCG(seed, seed))
	on := func(c r2.Point, radius float64) r2.Point {
		s, co := math.Sincos(2 * math.Pi * r.Float64())
		return r2.Point{X: c.X + radius*co, Y: c.Y + radius*s}
	}
	var signs [3]int
	for i := range 4000 {
		c := r2.Point{X: 100 * r.Float64(), Y: 100 * r.Float64()}
		if i%2 == 0 {
			c = r2.Point{}
		}
		radius := math.Ldexp(r.Float64(), r.IntN(20)-10)
		p := [4]r2.Point{on(c, radius), on(c, radius), on(c, radius), on(c, radius)}
		if i%5 == 0 {
			p[3] = p[i%3]
		}
		want := inCircleRat(p[0], p[1], p[2], p[3])
		signs[want+1]++
		if got := InCircle(p[0], p[1], p[2], p[3]); got != want {
			t.Fatalf("seed %d: InCircle%v = %d, want %d", seed, p, got, want)
		}
		if got := InCircle(p[1], p[0], p[2], p[3]); got != -want {
			t.Fatalf("seed %d: InCircle%v with the first two exchanged = %d, want %d", seed, p, got, -want)
		}
		if got := InCircle(p[0], p[1], p[3], p[2]); got != -want {
			t.Fatalf("seed %d: InCircle%v with the last two exchanged = %d, want %d", seed, p, got, -want)
		}
	}
	for i, n := range signs {
		if n < 100 {
			t.Errorf("sign %d came up %d times: the test is blind there", i-1, n)
		}
	}
}

// The bound of the middle tier against its error, measured in rational arithmetic. The control is
// a bound of u^2, which the error must pass somewhere.
func TestPairDeterminantErrs(t *testing.T) {
	const seed = 12
	r := rand.New(rand.NewPCG(seed, seed))
	tight := false
	for range 3000 {
		x := pair2{r.Float64(), 0}.plus(pair2{r.Float64() * epsilon / 2, 0})
		y := pair2{-r.Float64(), 0}.plus(pair2{r.Float64() * epsilon / 2, 0})
		exact := func(p pair2) *big.Rat { return add(rat(p.hi), rat(p.lo)) }
		for k, z := range []pair2{x.times(y), x.plus(y), x.minus(y)} {
			want := mul(exact(x), exact(y))
			share := 5.0
			switch k {
			case 1:
				want, share = add(exact(x), exact(y)), 3.001
			case 2:
				want, share = sub(exact(x), exact(y)), 3.001
			}
			miss, _ := sub(exact(z), want).Float64()
			size, _ := want.Float64()
			if math.Abs(miss) > share*epsilon*epsilon*math.Abs(size) {
				t.Fatalf("seed %d: operation %d errs by %g of %g", seed, k, miss, size)
			}
			tight = tight || math.Abs(miss) > epsilon*epsilon*math.Abs(size)
		}
	}
	if !tight {
		t.Error("no error passed u^2: the test is blind")
	}
}

func TestRectanglesAreOnOneCircle(t *testing.T) {
	x0, x1, y0, y1 := 0.1, 7.3, -1.0/3, 1e-9
	p := [4]r2.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
	for a := range 4 {
		for b := range 4 {
			for c := range 4 {
				d := 6 - a - b - c
				if a == b || b == c || a == c {
					continue
				}
				if !isRectangle(p[a], p[b], p[c], p[d]) && !isRectangle(p[b], p[c], p[a], p[d]) && !isRectangle(p[c], p[a], p[b], p[d]) {
					t.Errorf("%d %d %d %d is not seen as a rectangle", a, b, c, d)
				}
			}
		}
	}
	// Control: one corner a bit off.
	q := r2.Point{X: math.Nextafter(x0, 1), Y: y1}
	if isRectangle(p[0], p[1], q, p[2]) || isRectangle(p[1], p[0], p[2], q) {
		t.Error("a corner off by a bit is taken for a rectangle's")
	}
	if got, want := InCircle(p[0], p[1], p[2], q), inCircleRat(p[0], p[1], p[2], q); got != want || want != 1 {
		t.Errorf("a corner a bit inside: %d, want %d", got, want)
	}
}
