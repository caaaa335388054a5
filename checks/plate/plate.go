package plate

import (
	"math"
	"sort"
)

// Steel is what a plate is made of.
type Steel struct{ ModulusMPa, Poisson float64 }

// shearMPa is the modulus of shear.
func (s Steel) shearMPa() float64 { return s.ModulusMPa / (2 * (1 + s.Poisson)) }

// shearShare is the share of a rectangular section that carries shear: 5/6 (Reissner).
const shearShare = 5.0 / 6

// Held says how the edges of a plate are held.
type Held uint8

// Fixed edges cannot turn, Hinged ones are simply supported.
const (
	Fixed Held = iota
	Hinged
)

// Rectangle is a plate of the longer side a and the shorter side b.
type Rectangle struct {
	Steel
	LongMM, ShortMM, ThicknessMM float64
}

// The coefficients alpha of y = alpha q b^4 / (E t^3), by a/b.
var (
	ratios = []float64{1, 1.2, 1.4, 1.6, 1.8, 2, 3}
	hinged = []float64{0.0444, 0.0616, 0.0770, 0.0906, 0.1017, 0.1110, 0.1335}
	fixed  = []float64{0.0138, 0.0188, 0.0226, 0.0251, 0.0267, 0.0277, 0.0284}
)

// strip is alpha of an endless plate: 12 (1 - nu^2) times 5/384 and 1/384, at nu = 0.3.
var strip = [...]float64{Fixed: 0.0284, Hinged: 0.1421}

// tableNu is the Poisson's ratio that the tables are for.
const tableNu = 0.3

// alpha is the table's coefficient, between its entries by a straight line over b/a: over a/b the
// curve bends so much that a straight line is up to 3 % low. Beyond a/b = 3 it is that of the
// endless plate, which no rectangle exceeds.
func alpha(ratio float64, held Held) float64 {
	table := fixed
	if held == Hinged {
		table = hinged
	}
	switch k := sort.SearchFloat64s(ratios, ratio); {
	case k == 0:
		return table[0]
	case k == len(ratios):
		return strip[held]
	default:
		share := (1/ratio - 1/ratios[k-1]) / (1/ratios[k] - 1/ratios[k-1])
		return table[k-1] + share*(table[k]-table[k-1])
	}
}

// BendingMM is the deflection of the middle under pressure q, MPa: Roark, Table 11.4, cases 8a and 1a.
func (r Rectangle) BendingMM(q float64, held Held) float64 {
	b := r.ShortMM
	nu := (1 - r.Poisson*r.Poisson) / (1 - tableNu*tableNu)
	return alpha(r.LongMM/b, held) * nu * q * math.Pow(b, 4) / (r.ModulusMPa * math.Pow(r.ThicknessMM, 3))
}

// ShearMM bounds what shear adds: that of an endless strip of the short span, q b^2 / (8 k G t).
func (r Rectangle) ShearMM(q float64) float64 {
	return q * r.ShortMM * r.ShortMM / (8 * shearShare * r.shearMPa() * r.ThicknessMM)
}

// Disc is a round plate.
type Disc struct {
	Steel
	RadiusMM, ThicknessMM float64
}

// BendingMM is the deflection of the middle: q R^4 / (64 D), Roark, Table 11.2, case 10b, for a
// fixed edge, and (5 + nu)/(1 + nu) times that for a hinged one, case 10a.
func (d Disc) BendingMM(q float64, held Held) float64 {
	rigidity := d.ModulusMPa * math.Pow(d.ThicknessMM, 3) / (12 * (1 - d.Poisson*d.Poisson))
	y := q * math.Pow(d.RadiusMM, 4) / (64 * rigidity)
	if held == Hinged {
		y *= (5 + d.Poisson) / (1 + d.Poisson)
	}
	return y
}

// ShearMM is what shear adds: q R^2 / (4 k G t).
func (d Disc) ShearMM(q float64) float64 {
	return q * d.RadiusMM * d.RadiusMM / (4 * shearShare * d.shearMPa() * d.ThicknessMM)
}

// Wall is a wall that stands on its foot, free along its top.
type Wall struct {
	Steel
	HeightMM, LengthMM, ThicknessMM float64
}

// CantileverMM is what the top gives where only the foot holds it: q h^4 / (8 E I) of a strip one
// wide (Roark, Table 8.1, case 2a), and shear q h^2 / (2 k G t).
func (w Wall) CantileverMM(q float64) float64 {
	t, h := w.ThicknessMM, w.HeightMM
	return 1.5*q*math.Pow(h, 4)/(w.ModulusMPa*math.Pow(t, 3)) + q*h*h/(2*shearShare*w.shearMPa()*t)
}

// wallRatios and wallBeta are the coefficient of y = beta q h^4 / (E t^3) at the middle of the top of a wall fixed
// at its foot and both ends, by L/h. Roark has the stresses of this plate (Table 11.4, case 10a) and
// not its deflection: these were computed by the Ritz method with polynomials that vanish with their slope
// at the fixed edges, at nu = 0.3, and agree to a thousandth with a coarser set of them.
var (
	wallRatios = []float64{0.5, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 3, 3.5, 4, 5, 6, 8, 12}
	wallBeta   = []float64{0.00199, 0.01018, 0.03219, 0.07547, 0.14364, 0.23507, 0.34376, 0.46155, 0.58045, 0.79852, 0.97238, 1.10014, 1.25067, 1.31805, 1.35798, 1.36647}
)

// BendingMM is the deflection at the middle of the top under pressure q. Between the table's entries
// the coefficient is taken for a power of the ratio; below them it goes with its fourth power, as of
// a beam between the ends, above them it is that of a wall without ends.
func (w Wall) BendingMM(q float64) float64 {
	nu := (1 - w.Poisson*w.Poisson) / (1 - tableNu*tableNu)
	return wallAlpha(w.LengthMM/w.HeightMM) * nu * q * math.Pow(w.HeightMM, 4) / (w.ModulusMPa * math.Pow(w.ThicknessMM, 3))
}

func wallAlpha(ratio float64) float64 {
	last := len(wallRatios) - 1
	switch k := sort.SearchFloat64s(wallRatios, ratio); {
	case k > last:
		return wallBeta[last]
	case k == 0:
		return wallBeta[0] * math.Pow(ratio/wallRatios[0], 4)
	default:
		share := math.Log(ratio/wallRatios[k-1]) / math.Log(wallRatios[k]/wallRatios[k-1])
		return wallBeta[k-1] * math.Pow(wallBeta[k]/wallBeta[k-1], share)
	}
}

// ShearMM bounds what shear adds: the lesser of what it adds to a cantilever of the height, q h^2 / (2 k G t), and to
// a beam between the ends, q L^2 / (8 k G t).
func (w Wall) ShearMM(q float64) float64 {
	h, l := w.HeightMM, w.LengthMM
	return q * min(h*h/2, l*l/8) / (shearShare * w.shearMPa() * w.ThicknessMM)
}

// Thin reports whether plate theory alone would do (V1).
func Thin(thickness, span float64) bool { return thickness <= span/4 }

// Small reports whether the deflection is small enough for it (V2).
func Small(deflection, thickness float64) bool { return deflection <= thickness/2 }
