package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Decimal prints x with at most places decimals and no trailing zeros.
func Decimal(x float64, places int) string {
	s := strconv.FormatFloat(x, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// decimalsFor is how many decimals an error justifies: one digit beyond its leading one, none
// more than six.
func decimalsFor(err float64) int {
	if !(err > 0) {
		return 6
	}
	return min(6, max(0, 1-int(math.Floor(math.Log10(err)))))
}

// WithError prints a value with the decimals its error justifies, and the error, rounded up.
func WithError(x, err float64) string {
	if !(err > 0) {
		return Decimal(x, 6)
	}
	d := decimalsFor(err)
	scale := math.Pow(10, float64(d))
	return fmt.Sprintf("%s ±%s", Decimal(x, d), Decimal(math.Ceil(err*scale)/scale, d))
}

// Point prints three coordinates in mm.
func Point(p [3]float64) string {
	return fmt.Sprintf("(%s, %s, %s)", Decimal(p[0], 3), Decimal(p[1], 3), Decimal(p[2], 3))
}
