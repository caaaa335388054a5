package quote

import (
	"math"
	"testing"

	"pocketgauge/rules"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, within)
	}
	// A comparison that lets twice its own tolerance pass would say nothing.
	if math.Abs(got+math.Copysign(2*within, got-want)-want) <= within && within > 0 {
		t.Errorf("%s: the comparison lets a wrong value pass", what)
	}
}

// Worked examples of Mitsubishi Materials' technical pages. Milling: ap 2 mm, ae 80 mm, vf 280 mm/min,
// kc 1800 N/mm2, efficiency 80 %: 1.68 kW. Turning: ap 3 mm, f 0.2 mm, vc 120 m/min, kc 3100 N/mm2,
// 80 %: 4.65 kW; Q = ap f vc.
func TestPublishedPower(t *testing.T) {
	near(t, "milling", CuttingPower(2*80*280/1000.0, 1800, 0.8), 1.68, 0.0005)
	near(t, "turning", CuttingPower(3*0.2*120, 3100, 0.8), 4.65, 0.0005)
	near(t, "milling, turned round", PowerLimitedRemoval(1.68, 1800, 0.8), 44.8, 1e-9)
}

// The units by hand: 1 cm3/min against 1 N/mm2 is 1000 mm3 in 60 s times 1e-3 J/mm3, 1/60 W.
func TestPowerByUnits(t *testing.T) {
	const mm3PerS, joulePerMM3 = 1000.0 / 60, 1e-3
	near(t, "power", CuttingPower(1, 1, 1)*1000, mm3PerS*joulePerMM3, 1e-15)
}

// kc1.1 and mc of VDI 3323 groups 8, 11, 10, 13 and 22 from ISCAR's general catalogue 2022, p. 111; kc
// at h = 0.1 mm worked out with a pocket calculator.
func TestKienzle(t *testing.T) {
	for _, c := range []struct{ kc11, mc, want float64 }{{1725, 0.24, 2998}, {2500, 0.23, 4246}, {2450, 0.23, 4161}, {1875, 0.21, 3041}, {800, 0.25, 1423}} {
		near(t, "kc", SpecificForce(c.kc11, c.mc, 0.1), c.want, 0.75)
		near(t, "kc at 1 mm", SpecificForce(c.kc11, c.mc, 1), c.kc11, 1e-9)
	}
}

// The shipped cutting forces are those of the catalogue.
func TestShippedForces(t *testing.T) {
	r := rules.DefaultRates()
	for grade, want := range map[string][2]float64{"1.2311": {1725, 0.24}, "1.2738": {1725, 0.24}, "1.2344": {2450, 0.23}, "1.2379": {2450, 0.23}, "1.2083": {1875, 0.21}, "7075-T6": {800, 0.25}} {
		s := r.Steel(grade)
		if s == nil || s.CuttingForceMPa.Value != want[0] || s.ChipExponent.Value != want[1] {
			t.Errorf("%s: %+v, want %v", grade, s, want)
		}
	}
}

// Another way to the mean chip: the thickness fz sin(theta) averaged over the tooth's way in small steps.
func TestMeanChipByQuadrature(t *testing.T) {
	for _, c := range []struct{ fz, ae, d float64 }{{0.1, 4, 10}, {0.05, 10, 10}, {0.2, 35, 50}, {0.03, 0.2, 8}, {0.1, 5, 10}} {
		phi := math.Acos(1 - 2*c.ae/c.d)
		const steps = 20000
		sum := 0.0
		for i := range steps {
			sum += c.fz * math.Sin(phi*(float64(i)+0.5)/steps)
		}
		near(t, "mean chip", MeanChip(c.fz, c.ae, c.d), sum/steps, 1e-9)
	}
	// A full slot: 2 fz / pi.
	near(t, "slot", MeanChip(0.1, 10, 10), 2*0.1/math.Pi, 1e-15)
}

// A public machining calculator's page: R 3 mm, ridges of 0.005 mm give 0.346 mm; a step of 0.5 mm
// leaves 0.01043 mm. Exactly 0.34626 and 0.0104348.
func TestScallop(t *testing.T) {
	near(t, "step", StepOver(3, 0.005), 0.3463, 0.00006)
	near(t, "step back", StepOver(3, 0.010435), 0.5, 0.0001)
	for _, r := range []float64{0.5, 3, 8} {
		for _, h := range []float64{0.001, 0.01, 0.1} {
			s := StepOver(r, h)
			near(t, "ridge", r-math.Sqrt(r*r-s*s/4), h, 1e-12)
		}
	}
	near(t, "ridges as high as the ball", StepOver(2, 5), 4, 0)
}

// Gun drill D10, 50 m/min, 0.03 mm: n 1592, vf 47.7 mm/min, worked out by hand.
func TestGunDrill(t *testing.T) {
	n := SpindleSpeed(50, 10, 0)
	near(t, "n", n, 1592, 0.5)
	near(t, "vf", n*0.03, 47.7, 0.06)
	near(t, "a slow spindle", SpindleSpeed(50, 10, 1000), 1000, 0)
	// A point of 118 degrees is 0.3 diameters long.
	near(t, "point", pointMM(10), 3.004, 0.0005)
}

// 4e4 I Tm^-1.23 mm3/min: 124 for steel of 1500 degrees at 25 A (Kalpakjian's formula as quoted by
// El-Hofy, Fundamentals of Machining Processes, 2nd ed., p. 395; problem set-up from memory), and the
// shipped rate is its value at 3 A.
func TestErosionDefault(t *testing.T) {
	at := func(i float64) float64 { return 4e4 * i * math.Pow(1500, -1.23) }
	near(t, "25 A", at(25), 124, 0.5)
	near(t, "shipped, mm3/min", 1000*rules.DefaultRates().Erosion.RoughRemoval.Value, at(3), 0.15)
}

// Depths over diameter of 3, 4, 5 and 6 take 10, 20, 30 and 35 to 40 % of the speed and 10, 10, 20 and
// 20 % of the feed: a public drilling reference guide.
func TestDeratingDefaults(t *testing.T) {
	s := New(rules.DefaultRates())
	h := &half{shop: s}
	for _, c := range []struct{ ratio, speed, feed float64 }{{1, 1, 1}, {2.99, 1, 1}, {3, 0.9, 0.9}, {4.5, 0.8, 0.9}, {5, 0.7, 0.8}, {6, 0.6, 0.8}, {40, 0.6, 0.8}} {
		d := s.draft("drilling", "", "")
		if speed, feed := h.derated(d, c.ratio); speed != c.speed || feed != c.feed {
			t.Errorf("at %v diameters: %v, %v, want %v, %v", c.ratio, speed, feed, c.speed, c.feed)
		}
	}
}
