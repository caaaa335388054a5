package quote

import "math"

// SpecificForce is Kienzle's law: the specific cutting force in N/mm2 at a chip h mm thick.
//
// Kienzle, Die Bestimmung von Kräften und Leistungen an spanenden Werkzeugen und Werkzeugmaschinen,
// VDI-Zeitschrift 94 (1952), p. 299 (title from memory).
func SpecificForce(kc11, mc, hMM float64) float64 { return kc11 * math.Pow(hMM, -mc) }

// MeanChip is the mean thickness in mm of the chip that a milling cutter's tooth takes at feed fz per
// tooth, cutting ae wide with diameter d. See the package's doc.
func MeanChip(fzMM, aeMM, dMM float64) float64 {
	return 2 * fzMM * aeMM / (math.Acos(1-2*aeMM/dMM) * dMM)
}

// CuttingPower is what a spindle must give, in kW, to clear q cm3/min against kc N/mm2 where a share
// eta of it reaches the cutter.
func CuttingPower(qCM3Min, kc, eta float64) float64 { return qCM3Min * kc / (60000 * eta) }

// PowerLimitedRemoval is CuttingPower turned round: what a spindle of so many kW clears, in cm3/min.
func PowerLimitedRemoval(powerKW, kc, eta float64) float64 { return 60000 * powerKW * eta / kc }

// SpindleSpeed in 1/min at which the edge of a tool of diameter d goes vc m/min; most bounds it where
// it is more than 0.
func SpindleSpeed(vc, dMM, most float64) float64 {
	n := 1000 * vc / (math.Pi * dMM)
	if most > 0 && n > most {
		return most
	}
	return n
}

// StepOver is the distance in mm between parallel passes of a ball of radius r that leaves ridges of
// height h on a flat floor: s = 2 sqrt(h (2r - h)), from the chord of a circle, exact. It is the
// inverse of h = r - sqrt(r^2 - s^2/4).
func StepOver(rMM, hMM float64) float64 {
	if hMM >= rMM {
		return 2 * rMM
	}
	return 2 * math.Sqrt(hMM*(2*rMM-hMM))
}

// pointMM is how far a drill of diameter d runs on until its point is through: its point of 118
// degrees is d/2 / tan(59 deg) long.
func pointMM(dMM float64) float64 { return dMM / 2 / math.Tan(59*math.Pi/180) }
