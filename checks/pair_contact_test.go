package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

func TestPairContact(t *testing.T) {
	area := 99.96*59.96 - 50*22
	for force, verdict := range map[string]checks.Verdict{"350 kN": checks.Pass, "430 kN": checks.Fail} {
		s := closed(t, "press: {clamp_force: "+force+"}\n", pocketed(detail), plain())
		n := map[string]float64{"350 kN": 350e3, "430 kN": 430e3}[force]
		want(t, force, of(t, s, "pair.contact"), "", verdict, n/area, 0.5)
	}
	wantNone(t, "no press", of(t, closed(t, "", pocketed(detail), plain()), "pair.contact"))
	// A relief of 0.3 around the cavity bears nothing: 20 x 59.96 of it.
	s := closed(t, "press: {clamp_force: 350 kN}\n", pocketed(detail, box(-60, -40, nominalTop-0.3, -29.98, 40, 50)), plain())
	want(t, "relieved", of(t, s, "pair.contact"), "", checks.Fail, 350e3/(area-20*59.96), 0.8)
}

func TestSpecimensOfPairContact(t *testing.T) {
	const area = 99.96*59.96 - 50*22
	specimens(t, "pair.contact",
		specimen{clean, "350 kN", of(t, closed(t, "press: {clamp_force: 350 kN}\n", pocketed(detail), plain()), "pair.contact"), "", 350e3 / area, 0.5},
		specimen{defective, "430 kN", of(t, closed(t, "press: {clamp_force: 430 kN}\n", pocketed(detail), plain()), "pair.contact"), "", 430e3 / area, 0.5},
		specimen{looksWrong, "relieved over a fifth of it, and enough", of(t, closed(t, "press: {clamp_force: 250 kN}\n", pocketed(detail, box(-60, -40, nominalTop-0.3, -29.98, 40, 50)), plain()), "pair.contact"), "", 250e3 / (area - 20*59.96), 0.8},
	)
}
