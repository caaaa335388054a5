package checks_test

import (
	"testing"
)

func TestSpecimensOfPressShot(t *testing.T) {
	const shot = 50 * 22 * 15.03 / 1000 // of which the barrel holds 20 to 80 %
	specimens(t, "press.shot",
		specimen{clean, "a fitting barrel", pressed(t, "press.shot", "shot_volume: 30 cm3", ""), "", shot, 0.05},
		specimen{defective, "too small a barrel", pressed(t, "press.shot", "shot_volume: 20 cm3", ""), "", shot, 0.05},
		specimen{defective, "too large a barrel", pressed(t, "press.shot", "shot_volume: 100 cm3", ""), "", shot, 0.05},
		specimen{looksWrong, "a barrel of nearly five shots", pressed(t, "press.shot", "shot_volume: 80 cm3", ""), "", shot, 0.05},
	)
}
