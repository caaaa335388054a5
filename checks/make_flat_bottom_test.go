package checks_test

import (
	"math"
	"testing"

	"pocketgauge/checks"
)

func TestMakeFlatBottom(t *testing.T) {
	wantMade(t, "make.flat-bottom", []made{
		{"a cone of 118 deg", drills, blindHole(4, 30, 2/math.Tan(59*math.Pi/180)), checks.Pass, 0, 0, "No blind bore", 0},
		{"a cone of 140 deg", drills, blindHole(4, 30, 2/math.Tan(70*math.Pi/180)), checks.Pass, 0, 0, "No blind bore", 0},
		{"a flat end", drills, blindHole(4, 30, 0), checks.Fail, 1, 0, "30.0 mm deep, has a flat end", 0},
	})
}

func TestSpecimensOfMakeFlatBottom(t *testing.T) {
	specimens(t, "make.flat-bottom",
		specimen{clean, "a cone of 118 degrees", of(t, subject(t, making(t, drills), blindHole(4, 30, 2/math.Tan(59*math.Pi/180))), "make.flat-bottom"), "", 0, 0},
		specimen{defective, "a flat end", of(t, subject(t, making(t, drills), blindHole(4, 30, 0)), "make.flat-bottom"), "", 1, 0},
		specimen{looksWrong, "a cone of 140 degrees", of(t, subject(t, making(t, drills), blindHole(4, 30, 2/math.Tan(70*math.Pi/180))), "make.flat-bottom"), "", 0, 0},
	)
}
