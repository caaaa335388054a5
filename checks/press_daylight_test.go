package checks_test

import (
	"testing"
)

func TestSpecimensOfPressDaylight(t *testing.T) {
	specimens(t, "press.daylight",
		specimen{clean, "opens by 40", pressed(t, "press.daylight", "frame_height: 260, daylight: 300", ""), "", 40, 1e-9},
		specimen{defective, "opens by 25", pressed(t, "press.daylight", "frame_height: 260, daylight: 285", ""), "", 25, 1e-9},
		specimen{looksWrong, "opens by 31 for a part of 15.03", pressed(t, "press.daylight", "frame_height: 260, daylight: 291", ""), "", 31, 1e-9},
	)
}
