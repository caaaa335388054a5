package checks_test

import (
	"testing"
)

func TestSpecimensOfPressClamp(t *testing.T) {
	specimens(t, "press.clamp",
		specimen{clean, "50 x 22 at 40 MPa by 60 kN", pressed(t, "press.clamp", "clamp_force: 60 kN", ""), "", 44, 0.2},
		specimen{defective, "by 50 kN", pressed(t, "press.clamp", "clamp_force: 50 kN", ""), "", 44, 0.2},
		specimen{defective, "a stiffer resin: half a tonne-force per square centimetre", pressed(t, "press.clamp", "clamp_force: 60 kN", "PC"), "", 1100 * 0.5 * 98.0665 / 1000, 0.2},
		specimen{looksWrong, "by 50 kN, of a resin that flows well", pressed(t, "press.clamp", "clamp_force: 50 kN", "PS"), "", 1100 * 0.35 * 98.0665 / 1000, 0.2},
	)
}
