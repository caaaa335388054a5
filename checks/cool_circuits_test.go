package checks_test

import (
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/rules"
)

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

func TestSpecimensOfCoolCircuits(t *testing.T) {
	m := drilled(-10, 10, 30, line{-16, 12, 8}, line{16, 12, 8})
	stands := func(name string, x, y float64) string {
		return "    - {name: " + name + ", at: [" + num(x) + ", " + num(y) + ", 12], diameter: 8}\n"
	}
	front := "  ports:\n" + stands("in", -16, -29.98) + stands("out", 16, -29.98)
	both := "  ports:\n" + stands("in 1", -16, -29.98) + stands("out 1", -16, 29.98) + stands("in 2", 16, -29.98) + stands("out 2", 16, 29.98)
	specimens(t, "cool.circuits",
		specimen{clean, "straight through, twice", by(t, ports+"  circuits: {least: 2, most: 2}\n"+both, m), "", 2, 0},
		specimen{defective, "two lines that are never joined", by(t, ports+"  circuits: {least: 1, most: 1}\n"+front, m), "", 0, 0},
		specimen{defective, "and their ports lead nowhere", by(t, ports+"  circuits: {least: 1, most: 1}\n"+front, m), "ports that lead nowhere", 2, 0},
		specimen{looksWrong, "no ports are stated: what opens twice is a circuit", by(t, ports+"  circuits: {most: 2}\n", m), "", 2, 0},
	)
}
