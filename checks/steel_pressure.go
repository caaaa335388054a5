package checks

import (
	"fmt"

	"pocketgauge/checks/plate"
	"pocketgauge/rules"
)

// meltPressure is the most that the melt presses on the detail with: the resin's, where one is
// named and has one, else the press's. Not set, nobody has stated any.
func (s *Subject) meltPressure() (rules.Limit, string) {
	if s.Resin != nil && s.Resin.CavityPressureMPa.Most.Set {
		return s.Resin.CavityPressureMPa.Most, s.Resin.Name.Value
	}
	return s.Frame.Press.CavityPressureMPa.Most, "the press"
}

// plateSteel is the steel as plate formulas want it; why says what is not known of it.
func (s *Subject) plateSteel() (steel plate.Steel, why string) {
	switch {
	case s.Steel == nil:
		return steel, "the rules know no steel grade for this insert, so its modulus is not known"
	case !s.Steel.ModulusMPa.Set:
		return steel, fmt.Sprintf("the modulus of %s is not known", s.Steel.Grade.Value)
	}
	steel = plate.Steel{ModulusMPa: s.Steel.ModulusMPa.Value, Poisson: defaultPoisson}
	if s.Steel.PoissonRatio.Set {
		steel.Poisson = s.Steel.PoissonRatio.Value
	}
	return steel, ""
}

// defaultPoisson is the usual value for steel in handbooks of strength.
const defaultPoisson = 0.3
