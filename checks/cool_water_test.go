package checks_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

// coolCase is a block with lines drilled through it and what one check must make of it.
type coolCase struct {
	name, rules string
	m           *mesh.Mesh
	id, of      string
	value       float64
	within      float64
	verdict     checks.Verdict
	says        string
}

// wantCool runs the cases; of the checks of steel and cool only the one named may not pass.
func wantCool(t *testing.T, cases []coolCase) {
	t.Helper()
	for _, c := range cases {
		list, _ := run(t, frame(t, c.rules), exact(c.m))
		for _, f := range list {
			family, _, _ := strings.Cut(f.Check.ID, ".")
			if (family == "steel" || family == "cool") && f.Verdict != checks.Pass && f.Check.ID != c.id {
				t.Errorf("%s: %s [%s] is %v too: %s%s", c.name, f.Check.ID, f.Of, f.Verdict, f.Says, f.Why)
			}
		}
		if c.verdict == checks.NotJudged {
			for _, f := range list {
				if f.Check.ID == c.id {
					t.Errorf("%s: %s [%s] is %v: %s", c.name, c.id, f.Of, f.Verdict, f.Says)
				}
			}
			continue
		}
		f := find(t, list, c.id, c.of)
		if f.Verdict != c.verdict || !strings.Contains(f.Says, c.says) {
			t.Errorf("%s: %v, want %v: %s", c.name, f.Verdict, c.verdict, f.Says)
		}
		meshtest.WantNear(t, c.name, f.Value, c.value, c.within)
		if c.verdict == checks.Fail && f.Advice() == "" {
			t.Errorf("%s: no mend", c.name)
		}
	}
}

// A line along y comes out at the front (y = -29.98) and at the rear.
const ports = `cooling:
  waterline_diameters: [8]
  cover: {least: 1, most: 4}
  pitch: {least: 2, most: 9}
`

const noLimit = checks.NotJudged // as a verdict wanted: no reading at all

func TestWaterlineDiameters(t *testing.T) {
	wantCool(t, []coolCase{
		{"as listed", ports, drilled(-10, 10, 30, line{0, 12, 8}), "cool.diameter", "", 8, 1e-9, checks.Pass, "of 1"},
		{"too wide, at a port", ports + "  ports: [{name: in, at: [20, -30, 12], diameter: 9}]\n", drilled(-10, 10, 30, line{-20, 12, 8}, line{20, 12, 9}), "cool.diameter", "", 9, 1e-9, checks.Fail, "(20.0, -30.0, 12.0)"},
		// A hole across that runs into no water and is none of the frame's is for something else.
		{"a hole of another width", ports, drilled(-10, 10, 30, line{20, 12, 9}), "cool.diameter", "", 0, 0, noLimit, ""},
	})
}

func TestPorts(t *testing.T) {
	port := func(x, diameter float64, position string) string {
		return ports + "  ports: [{name: in, at: [" + num(x) + ", -29.98, 12], diameter: " + num(diameter) + position + "}]\n"
	}
	m := drilled(-10, 10, 30, line{-20, 12, 8})
	wantCool(t, []coolCase{
		{"in place", port(-20, 8, ""), m, "cool.ports", "in", 0, 1e-9, checks.Pass, ""},
		{"beside it", port(-19.7, 8, ", position: 0.2"), m, "cool.ports", "in", 0.3, 1e-9, checks.Fail, "0.300 mm beside"},
		{"as far beside it as is let pass", port(-19.7, 8, ", position: 0.4"), m, "cool.ports", "in", 0.3, 1e-9, checks.Pass, ""},
		{"none there", port(33, 8, ", position: 0.2"), m, "cool.ports", "in", 8.2, 1e-9, checks.Fail, "No waterline"},
		{"narrower than the port", port(-20, 10, ""), m, "cool.ports", "in, diameter", 8, 1e-9, checks.Fail, "the port 10 mm"},
		{"of the other half", port(20, 8, ", half: moving"), m, "cool.ports", "", 0, 0, noLimit, ""},
	})
}

func TestCircuits(t *testing.T) {
	at := func(name string, x, y float64) string {
		return "    - {name: " + name + ", at: [" + num(x) + ", " + num(y) + ", 12], diameter: 8}\n"
	}
	m := drilled(-10, 10, 30, line{-16, 12, 8}, line{16, 12, 8})
	both := ports + "  circuits: {least: 2, most: 2}\n  ports:\n" + at("in 1", -16, -29.98) + at("out 1", -16, 29.98) + at("in 2", 16, -29.98) + at("out 2", 16, 29.98)
	front := ports + "  circuits: {least: 1, most: 1}\n  ports:\n" + at("in", -16, -29.98) + at("out", 16, -29.98)
	wantCool(t, []coolCase{
		{"straight through, twice", both, m, "cool.circuits", "", 2, 0, checks.Pass, "2 of 2"},
		{"none of its ports joined", both, m, "cool.circuits", "ports that lead nowhere", 0, 0, checks.Pass, "All 4"},
		{"never joined", front, m, "cool.circuits", "", 0, 0, checks.Fail, "0 of 2"},
		{"never joined: ports", front, m, "cool.circuits", "ports that lead nowhere", 2, 0, checks.Fail, `"in"`},
		{"no ports stated", ports + "  circuits: {most: 2}\n", m, "cool.circuits", "", 2, 0, checks.Pass, "twice"},
		{"nothing asked", ports, m, "cool.circuits", "", 0, 0, noLimit, ""},
	})
}

// The demo's lines are joined by a thinner drilling that ends in the one and crosses the other, so
// that it comes out of the mesh in two pieces. Its own opening is plugged.
func TestCrossedDrillingIsOneLine(t *testing.T) {
	f, err := rules.Load("../testdata/apiary/rules/smoker.yaml")
	if err != nil {
		t.Fatal(err)
	}
	f.Cooling.Circuits = rules.Range{Least: rules.Limit{Set: true, Value: 1}, Most: rules.Limit{Set: true, Value: 1}}
	s, _, err := batch.Read(batch.Insert{File: "../testdata/apiary/inserts/feeder-cap-fixed.stp", Frame: f, Half: rules.Fixed})
	if err != nil {
		t.Fatal(err)
	}
	list := checks.ByID("cool.circuits").Measure(s)
	if len(list) != 2 || list[0].Value != 1 || list[1].Value != 0 || !strings.Contains(list[0].Says, "1 of 1 drilled circuits") || !strings.Contains(list[0].Says, "1 openings") {
		t.Errorf("%+v", list)
	}
	if d := checks.ByID("cool.diameter").Measure(s); len(d) != 1 || !strings.Contains(d[0].Says, "of 3") {
		t.Errorf("three lines are drilled: %+v", d)
	}
	// Cut short by its rules: the ports lie where nothing opens.
	f.Cooling.Ports[1].At.At = r3.Vector{X: 10, Y: -49.5, Z: 12}
	s, _, err = batch.Read(batch.Insert{File: "../testdata/apiary/inserts/feeder-cap-fixed.stp", Frame: f, Half: rules.Fixed})
	if err != nil {
		t.Fatal(err)
	}
	if p := checks.ByID("cool.ports").Measure(s); len(p) != 3 || !p[2].Beyond || checks.Judge(p[2]).Verdict != checks.Fail {
		t.Errorf("%+v", p)
	}
}

func TestCover(t *testing.T) {
	const water = "cooling: {waterline_diameters: [8]}\n"
	wantCool(t, []coolCase{
		{"between", water, drilled(-10, 10, 30, line{0, 12, 8}), "cool.cover", "", 14.0 / 8, 1e-9, checks.Pass, "14.000 mm"},
		{"too deep", water, drilled(-10, 10, 33, line{0, 7, 8}), "cool.cover", "", 22.0 / 8, 1e-9, checks.Fail, "22.000 mm"},
		{"too near", water, drilled(-10, 10, 30, line{0, 16, 8}), "cool.cover", "", 10.0 / 8, 1e-9, checks.Fail, "10.000 mm"},
		// The steel is too thin then, and that is the one finding.
		{"much too near", water, drilled(-10, 10, 30, line{0, 22, 8}), "steel.wall", "detail to waterline", 4, 1e-9, checks.Fail, ""},
	})
}

func TestPitch(t *testing.T) {
	const water = "cooling: {waterline_diameters: [8]}\nsteel: {wall: {bore_bore: 6}}\n"
	pair := func(x float64) *mesh.Mesh { return drilled(-10, 10, 30, line{-x, 12, 8}, line{x, 12, 8}) }
	wantCool(t, []coolCase{
		{"between", water, pair(16), "cool.pitch", "", 4, 1e-9, checks.Pass, "32.000 mm"},
		{"crowded", water, pair(10), "cool.pitch", "", 2.5, 1e-9, checks.Fail, "20.000 mm"},
		{"far apart", strings.Replace(water, "[8]", "[8], cover: {most: 4}", 1), pair(22), "cool.pitch", "", 5.5, 1e-9, checks.Fail, "44.000 mm"},
		// So crowded that the steel between them is too thin: that is the one finding.
		{"hardly apart", water, pair(6), "steel.wall", "bore to bore", 4, 1e-9, checks.Fail, ""},
		{"three, evenly", strings.Replace(water, "[8]", "[8], cover: {most: 4}", 1), drilled(-10, 10, 30, line{-30, 12, 8}, line{0, 12, 8}, line{30, 12, 8}), "cool.pitch", "", 30.0 / 8, 1e-9, checks.Pass, ""},
		{"a lone line has no neighbour", water, drilled(-10, 10, 30, line{0, 12, 8}), "cool.pitch", "", 0, 0, noLimit, ""},
	})
}

func TestReach(t *testing.T) {
	const water = "cooling: {waterline_diameters: [8], cover: {most: 9}, pitch: {most: 12}, reach: "
	far := math.Hypot(10, 40.03-12) - 4 // from the line to the upper edges of the groove
	amid := math.Hypot(40, 30-12) - 4   // from both lines to the middle of its floor, amid facets
	wantCool(t, []coolCase{
		{"within", water + "26 mm}\n", drilled(-10, 10, 30, line{0, 12, 8}), "cool.reach", "", far, 1e-4, checks.Pass, ""},
		{"beyond", water + "25 mm}\n", drilled(-10, 10, 30, line{0, 12, 8}), "cool.reach", "", far, 1e-4, checks.Fail, ""},
		{"farthest amid a facet", water + "39 mm}\n", drilled(-10, 10, 30, line{-40, 12, 8}, line{40, 12, 8}), "cool.reach", "", amid, 0.01, checks.Fail, "39.8"},
		{"not asked", "cooling: {waterline_diameters: [8]}\n", drilled(-10, 10, 30, line{0, 12, 8}), "cool.reach", "", 0, 0, noLimit, ""},
	})
	// Every vertex of the detail has its distance, and no other.
	s, err := checks.NewSubject(frame(t, ports), exact(drilled(-10, 10, 30, line{0, 12, 8})))
	if err != nil {
		t.Fatal(err)
	}
	for v, d := range s.CoolingReach().VertexMM {
		p := s.Part.Mesh.Vertices[v]
		detail := math.Abs(p.X) == 10
		if want := math.Hypot(p.X, p.Z-12) - 4; detail != !math.IsNaN(float64(d)) || detail && math.Abs(float64(d)-want) > 1e-5 {
			t.Errorf("vertex %v: %g, want %g", p, d, want)
		}
	}
	// Water that is not there is not measured.
	list, _ := run(t, frame(t, water+"26 mm}\n"), exact(drilled(-10, 10, 30)))
	if f := find(t, list, "cool.reach", ""); f.Verdict != checks.NotJudged || f.Why == "" {
		t.Errorf("no water: %v", f.Verdict)
	}
}

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

func num(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
