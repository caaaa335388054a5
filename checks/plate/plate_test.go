package plate_test

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"pocketgauge/checks/plate"
)

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s: %g, want %g within %g", what, got, want, share)
	}
}

var steel = plate.Steel{ModulusMPa: 210000, Poisson: 0.3}

// 50 MPa on plates of 12 mm; the numbers were worked out by hand from the formulas that the
// package names.
func TestWorkedNumbers(t *testing.T) {
	const q = 50
	square := plate.Rectangle{Steel: steel, LongMM: 60, ShortMM: 60, ThicknessMM: 12}
	near(t, "square, hinged", square.BendingMM(q, plate.Hinged), 0.0793, 0.002)
	near(t, "square, fixed", square.BendingMM(q, plate.Fixed), 0.0246, 0.003)
	disc := plate.Disc{Steel: steel, RadiusMM: 30, ThicknessMM: 12}
	near(t, "disc, fixed", disc.BendingMM(q, plate.Fixed), 0.01904, 0.001)
	near(t, "disc, hinged", disc.BendingMM(q, plate.Hinged), 0.07764, 0.001)
}

// Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, tables 8 and 35 (from memory): w = c q b^4 / D.
func TestRectanglesAgainstASecondTable(t *testing.T) {
	d := func(thickness float64) float64 { return 210000 * math.Pow(thickness, 3) / (12 * (1 - 0.09)) }
	for _, c := range []struct{ ratio, hinged, fixed float64 }{{1, 0.00406, 0.00126}, {1.5, 0.00772, 0.00220}, {2, 0.01013, 0.00254}} {
		r := plate.Rectangle{Steel: steel, LongMM: 40 * c.ratio, ShortMM: 40, ThicknessMM: 5}
		unit := math.Pow(40, 4) / d(5)
		near(t, "hinged", r.BendingMM(1, plate.Hinged), c.hinged*unit, 0.011)
		near(t, "fixed", r.BendingMM(1, plate.Fixed), c.fixed*unit, 0.012)
	}
}

// Navier's double series for the hinged rectangle (Timoshenko and Woinowsky-Krieger, article 30), at
// any ratio and Poisson's ratio: the second method for the table and for the straight lines in it.
func TestHingedRectangleAgainstNaviersSeries(t *testing.T) {
	for _, nu := range []float64{0.2, 0.3, 0.35} {
		s := plate.Steel{ModulusMPa: 71700, Poisson: nu}
		for ratio := 1.0; ratio < 5; ratio += 0.23 {
			b, thickness := 30.0, 4.0
			a := ratio * b
			rigidity := s.ModulusMPa * math.Pow(thickness, 3) / (12 * (1 - nu*nu))
			sum := 0.0
			for m := 1; m < 80; m += 2 {
				for n := 1; n < 80; n += 2 {
					sign := 1.0
					if (m+n)/2%2 == 0 {
						sign = -1
					}
					x := float64(m*m)/(a*a) + float64(n*n)/(b*b)
					sum += sign * 16 / (math.Pow(math.Pi, 6) * rigidity * float64(m*n) * x * x)
				}
			}
			got := plate.Rectangle{Steel: s, LongMM: a, ShortMM: b, ThicknessMM: thickness}.BendingMM(1, plate.Hinged)
			if got < sum*0.985 || got > sum*1.08 {
				t.Errorf("a/b %.2f, nu %g: %g, the series has %g", ratio, nu, got, sum)
			}
		}
	}
}

// The fixed plate gives less than the hinged one, a longer plate never less, a beam of its own
// formulas no less than the wall held on all three sides.
func TestOrder(t *testing.T) {
	last := 0.0
	for ratio := 1.0; ratio < 6; ratio += 0.1 {
		r := plate.Rectangle{Steel: steel, LongMM: 20 * ratio, ShortMM: 20, ThicknessMM: 5}
		f, h := r.BendingMM(10, plate.Fixed), r.BendingMM(10, plate.Hinged)
		if !(f < h && f >= last) {
			t.Errorf("a/b %g: fixed %g, hinged %g, before %g", ratio, f, h, last)
		}
		last = f
	}
	w := plate.Wall{Steel: steel, HeightMM: 40, LengthMM: 60, ThicknessMM: 12}
	// By hand: 1.5 50 40^4/(210000 12^3) = 0.52910, shear 50 1600/(2 (5/6) 80769.2 12) = 0.04952.
	near(t, "cantilever", w.CantileverMM(50), 0.52910+0.04952, 0.0002)
	// Shear 50 3600/(8 (5/6) 80769.2 12) = 0.02786, the lesser of the two.
	near(t, "shear of the wall", w.ShearMM(50), 0.02786, 0.0005)
	// A wall without ends gives what a cantilever of a plate's rigidity gives, one of short length what a
	// beam of it gives, but that a plate's free edge gives a little more.
	w.LengthMM = 1000
	near(t, "without ends", w.BendingMM(50), 0.52910*0.91, 0.002)
	w.LengthMM = 8
	near(t, "of short length", w.BendingMM(50), 50*math.Pow(8, 4)/(32*210000*math.Pow(12, 3)), 0.03)
	// A strip's own shear: that of the rectangle is no less.
	r := plate.Rectangle{Steel: steel, LongMM: 60, ShortMM: 60, ThicknessMM: 12}
	near(t, "shear of a strip", r.ShearMM(50), 0.02786, 0.0005)
	if d := (plate.Disc{Steel: steel, RadiusMM: 30, ThicknessMM: 12}); d.ShearMM(50) >= r.ShearMM(50) {
		t.Errorf("the disc in the strip gives more by shear: %g", d.ShearMM(50))
	}
}

// The wall's coefficients against a Ritz solution made here, between the table's entries too. The
// same solution is held to the endless cantilever, so that it is not trusted unseen.
func TestWallAgainstRitz(t *testing.T) {
	const nu = 0.3
	near(t, "an endless wall by Ritz", ritzWall(14, nu), 1.5*(1-nu*nu), 0.02)
	for _, ratio := range []float64{0.5, 0.6, 0.9, 1, 1.1, 1.4, 1.9, 2.2, 2.8, 3.3, 3.8, 4.5, 5.5, 7} {
		w := plate.Wall{Steel: plate.Steel{ModulusMPa: 1, Poisson: nu}, HeightMM: 1, LengthMM: ratio, ThicknessMM: 1}
		near(t, fmt.Sprintf("L/h %g", ratio), w.BendingMM(1), ritzWall(ratio, nu), 0.015)
	}
}

// ritzWall is beta of y = beta q h^4 / (E t^3): the energy of w = sum c_ij (1-u^2)^2 u^2i v^(2+j) is a quadratic form, with u
// from end to end and v from foot to top, and its integrals are of powers.
func ritzWall(ratio, nu float64) float64 {
	const ni, nj = 4, 6
	type poly []float64
	derive := func(p poly, n int) poly {
		for range n {
			d := make(poly, max(len(p)-1, 1))
			for k := 1; k < len(p); k++ {
				d[k-1] = float64(k) * p[k]
			}
			p = d
		}
		return p
	}
	integral := func(p, q poly, from float64) float64 {
		sum := 0.0
		for i, a := range p {
			for j, b := range q {
				n := float64(i + j + 1)
				sum += a * b * (1 - math.Pow(from, n)) / n
			}
		}
		return sum
	}
	fu := func(i int) poly {
		p := make(poly, 2*i+5)
		p[2*i], p[2*i+2], p[2*i+4] = 1, -2, 1
		return p
	}
	fv := func(j int) poly {
		p := make(poly, j+3)
		p[j+2] = 1
		return p
	}
	half := ratio / 2
	x := func(i, k, a, b int) float64 {
		return integral(derive(fu(i), a), derive(fu(k), b), -1) * half / math.Pow(half, float64(a+b))
	}
	y := func(j, l, a, b int) float64 { return integral(derive(fv(j), a), derive(fv(l), b), 0) }
	n := ni * nj
	stiff, load, crest := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil), make([]float64, n)
	for i := range ni {
		for j := range nj {
			load.SetVec(i*nj+j, integral(fu(i), poly{1}, -1)*half*integral(fv(j), poly{1}, 0))
			crest[i*nj+j] = fu(i)[0]
			for k := range ni {
				for l := range nj {
					e := x(i, k, 2, 2)*y(j, l, 0, 0) + x(i, k, 0, 0)*y(j, l, 2, 2) +
						nu*(x(i, k, 2, 0)*y(j, l, 0, 2)+x(i, k, 0, 2)*y(j, l, 2, 0)) + 2*(1-nu)*x(i, k, 1, 1)*y(j, l, 1, 1)
					stiff.Set(i*nj+j, k*nj+l, e)
				}
			}
		}
	}
	var c mat.VecDense
	if err := c.SolveVec(stiff, load); err != nil {
		panic(err)
	}
	w := 0.0
	for k, f := range crest {
		w += c.AtVec(k) * f
	}
	return w * 12 * (1 - nu*nu)
}
