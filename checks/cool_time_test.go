package checks_test

import (
	"math"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/meshtest"
)

// The plate formula against numbers worked out by hand from t = s^2/(pi^2 a) ln(4/pi (Tm-Tw)/(Te-Tw)):
// a = 0.1, 230/50/90 degC, where the logarithm is ln(5.7296) = 1.74564; and against the whole series of
// Carslaw and Jaeger, of which it is the first term.
func TestCoolingTime(t *testing.T) {
	meshtest.WantNear(t, "2 mm", checks.PlateCoolingS(2, 0.1, 230, 50, 90), 7.075, 0.001)
	meshtest.WantNear(t, "3 mm", checks.PlateCoolingS(3, 0.1, 230, 50, 90), 15.918, 0.001)
	meshtest.WantNear(t, "2 mm of 0.17", checks.PlateCoolingS(2, 0.17, 230, 50, 90), 4.162, 0.001)
	middle := func(time, s, a float64) float64 { // share of the temperature left
		sum := 0.0
		for k := range 50 {
			n := float64(2*k + 1)
			sum += 4 / math.Pi * math.Pow(-1, float64(k)) / n * math.Exp(-n*n*math.Pi*math.Pi*a*time/(s*s))
		}
		return sum
	}
	meshtest.WantNear(t, "series", middle(checks.PlateCoolingS(2, 0.1, 230, 50, 90), 2, 0.1), 40.0/180, 1e-5)

	const resin = `resins: [{name: test, diffusivity: 0.1 mm2/s, melt_temperature: 230 degC, mould_temperature: 50 degC, eject_temperature: 90 degC},
  {name: half known, diffusivity: 0.1 mm2/s, mould_temperature: 50 degC, eject_temperature: 90 degC}]
pair: {part_wall: {most: 2}}
cooling: {cooling_time: `
	for _, c := range []struct {
		rules, resin string
		verdict      checks.Verdict
		says         string
	}{
		{resin + "8 s}\n", "test", checks.Pass, "7.1 s"},
		{resin + "7 s}\n", "test", checks.Fail, "7.1 s"},
		{strings.Replace(resin, "pair: {part_wall: {most: 2}}", "", 1) + "8 s}\n", "test", checks.NotJudged, "thickest wall"},
		{resin + "8 s}\n", "half known", checks.NotJudged, "melt temperature of half known"},
		// Of the known resins, by hand: 4/(9.8696 0.17) ln(1.27324 (241-60)/(90-60)) = 2.3841 2.0390.
		{resin + "5 s}\n", "ABS", checks.Pass, "4.9 s"},
		{resin + "4.8 s}\n", "ABS", checks.Fail, "4.9 s"},
		{resin + "8 s}\n", "", checks.NotJudged, "the resin"},
	} {
		f := frame(t, c.rules)
		s, err := checks.NewSubject(f, exact(drilled(-10, 10, 30)))
		if err != nil {
			t.Fatal(err)
		}
		s.Resin = f.Resin(c.resin)
		list := checks.ByID("cool.time").Measure(s)
		if len(list) != 1 {
			t.Fatalf("%q: %d readings", c.resin, len(list))
		}
		if v := checks.Judge(list[0]).Verdict; v != c.verdict || !strings.Contains(list[0].Says+list[0].Why, c.says) {
			t.Errorf("%q: %v, want %v: %+v", c.resin, v, c.verdict, list[0])
		}
	}
}

// The wall between the halves goes into the cooling time, before what the rules say of it.
func TestCoolingTimeTakesTheMeasuredWall(t *testing.T) {
	const rule = `pair: {part_wall: {most: 9}}
cooling: {cooling_time: 40 s}
resins: [{name: test, diffusivity: 0.1 mm2/s, melt_temperature: 230 degC, mould_temperature: 50 degC, eject_temperature: 90 degC}]
`
	s := closed(t, rule, pocketed(box(-20, -12, nominalTop-3, 30, 10, 50)), plain())
	s.Resin = s.Frame.Resin("test")
	// 3^2/(pi^2 0.1) ln(4/pi 180/40) s.
	want(t, "a slab of 3", of(t, s, "cool.time"), "", checks.Pass, 9/(math.Pi*math.Pi*0.1)*math.Log(4/math.Pi*180/40), 0.2)
}

func TestSpecimensOfCoolTime(t *testing.T) {
	const resin = "resins: [{name: test, diffusivity: 0.1 mm2/s, melt_temperature: 230 degC, mould_temperature: 50 degC, eject_temperature: 90 degC}]\n"
	takes := func(wall string, limit string) []checks.Finding {
		s := subject(t, frame(t, resin+"pair: {part_wall: {most: "+wall+"}}\ncooling: {cooling_time: "+limit+"}\n"), plain())
		s.Resin = s.Frame.Resin("test")
		return of(t, s, "cool.time")
	}
	// The rules speak of 9 mm, between the halves there are 3.
	thick := closed(t, resin+"pair: {part_wall: {most: 9}}\ncooling: {cooling_time: 40 s}\n", pocketed(box(-20, -12, nominalTop-3, 30, 10, 50)), plain())
	thick.Resin = thick.Frame.Resin("test")
	specimens(t, "cool.time",
		specimen{clean, "2 mm in 8 s", takes("2", "8 s"), "", 7.075, 0.001},
		specimen{defective, "2 mm in 7 s", takes("2", "7 s"), "", 7.075, 0.001},
		specimen{looksWrong, "the rules speak of a thicker wall than there is", of(t, thick, "cool.time"), "", 15.918, 0.2},
	)
}
