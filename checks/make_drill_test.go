package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

func TestMakeDrill(t *testing.T) {
	wantMade(t, "make.drill", []made{
		{"4 mm, 30 deep", drills, blindHole(4, 30, 1.2), checks.Pass, 7.5, 1e-6, "screw hole of diameter 4.00 mm is 30.0 mm deep, 7.5 diameters, for a twist drill", 0},
		{"2.5 mm, 30 deep", drills, blindHole(2.5, 30, 0.7), checks.Fail, 12, 1e-6, "for a twist drill", 0},
		{"3 mm, 36 deep", drills, blindHole(3, 36, 0.9), checks.Pass, 12, 1e-6, "for a gun drill", 0},
		{"a wide hole is milled", drills, blindHole(20, 12, 0), checks.Pass, 0, 1e-9, "1 wider or thinner", 0},
	})
}

func TestSpecimensOfMakeDrill(t *testing.T) {
	specimens(t, "make.drill",
		specimen{clean, "4 mm, 30 deep, by a twist drill", of(t, subject(t, making(t, drills), blindHole(4, 30, 1.2)), "make.drill"), "", 7.5, 1e-6},
		specimen{defective, "2.5 mm, 30 deep, too thin for the gun drill", of(t, subject(t, making(t, drills), blindHole(2.5, 30, 0.7)), "make.drill"), "", 12, 1e-6},
		specimen{looksWrong, "3 mm, 36 deep, by the gun drill", of(t, subject(t, making(t, drills), blindHole(3, 36, 0.9)), "make.drill"), "", 12, 1e-6},
	)
}
