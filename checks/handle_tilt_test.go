package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

func TestSpecimensOfHandleTilt(t *testing.T) {
	bolted := eyebolt()
	off := 10 - bolted.Faceted.CentroidMM.X
	hangs := func(tilt string) []checks.Finding {
		return of(t, handled(t, "handling: {lifting_thread_above: 1.5 kg, lifting_thread: M12, tilt: "+tilt+"}\n"+eyeboltAsked, bolted.Mesh), "handle.tilt")
	}
	specimens(t, "handle.tilt",
		specimen{clean, "10 mm off the middle of 12", hangs("12"), "", off, 1e-6},
		specimen{defective, "of 8", hangs("8"), "", off, 1e-6},
		specimen{looksWrong, "light enough for a hand", of(t, handled(t, "handling: {tilt: 8}\n", bolted.Mesh), "handle.tilt"), silent, 0, 0},
	)
}
