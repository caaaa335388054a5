package checks_test

import (
	"testing"
)

func TestSpecimensOfFitSeat(t *testing.T) {
	const whole = 99.96 * 59.96
	specimens(t, "fit.seat",
		specimen{clean, "flat", one(t, "fit.seat", "", plain()), "", 100 * whole / 6000, 1e-9},
		specimen{defective, "cut away under most of it", one(t, "fit.seat", "", pocketed(box(-44, -25, -1, 28, 8, 0.5))), "", 100 * (whole - 72*33) / 6000, 1e-9},
		specimen{looksWrong, "a deep hole in the middle leaves enough", one(t, "fit.seat", "", pocketed(box(-15, -15, -1, 15, 15, 20))), "", 100 * (whole - 900) / 6000, 1e-9},
	)
}
