package checks

import (
	"fmt"
	"math"
	"strings"

	"pocketgauge/mesh/tol"
)

var fileUnit = Check{
	ID:    "file.unit",
	Title: "The model is drawn in the unit it is read in",
	Doc: `STL carries no unit, and a block drawn in inches but read as millimetres is 25.4 times too small.
Measured: the factor by which the model must grow to be as wide as the pocket, judged against 1 only
where a factor of 25.4 either way explains it better than a mistake in the design. A model whose size
is merely wrong passes here and fails fit.outline.`,
	Unit: Count,
	Mend: `State the model's unit in the workspace file, or export it in millimetres.`,
	Measure: func(s *Subject) []Reading {
		r := Reading{Measured: true, Limit: Between(1-tol.UnitShare, 1+tol.UnitShare), Value: 1}
		factor := s.unitFactor()
		unit := s.StatedUnit
		switch unit {
		case "":
			unit = "mm, which nobody states,"
		case "in":
			unit = "inches"
		}
		switch {
		case factor > 1:
			r.Value = factor
			r.Says = fmt.Sprintf("Read in %s the model is 25.4 times too small for the pocket, and in inches it has the pocket's size: it is drawn in inches.", unit)
			r.Mend = `Set "unit: in" for this model in the workspace file, or export it in millimetres.`
		case factor < 1:
			r.Value = factor
			r.Says = fmt.Sprintf("Read in %s the model is 25.4 times too large for the pocket, and in millimetres it has the pocket's size: it is drawn in millimetres.", unit)
			r.Mend = `Set "unit: mm" for this model in the workspace file, or export it in inches.`
		default:
			r.Says = fmt.Sprintf("The size fits the unit (%s).", strings.TrimSuffix(unit, ","))
		}
		return []Reading{r}
	},
}

// unitFactor is 25.4 or its inverse where the model has the pocket's size only when scaled by
// it, and 1 otherwise.
func (s *Subject) unitFactor() float64 {
	pocket := s.Pocket.Bounds()
	size := s.Measures().Bounds.Size()
	want := [2]float64{max(pocket.X.Length(), pocket.Y.Length()), min(pocket.X.Length(), pocket.Y.Length())}
	have := [3]float64{size.X, size.Y, size.Z}
	const inch = 25.4
	for _, f := range []float64{inch, 1 / inch} {
		if sizeFits(have, want, f) && !sizeFits(have, want, 1) {
			return f
		}
	}
	return 1
}

// sizeFits asks that two of the three sides agree with the pocket's within tol.UnitShare.
func sizeFits(have [3]float64, want [2]float64, f float64) bool {
	close := func(a, b float64) bool { return math.Abs(a*f-b) <= tol.UnitShare*b }
	for i := range 3 {
		for j := range 3 {
			if i != j && close(have[i], want[0]) && close(have[j], want[1]) {
				return true
			}
		}
	}
	return false
}
