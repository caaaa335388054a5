package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

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

func TestSpecimensOfCoolPorts(t *testing.T) {
	port := func(x float64, more string) []checks.Finding {
		return by(t, ports+"  ports: [{name: in, at: ["+num(x)+", -29.98, 12], diameter: 8"+more+"}]\n", drilled(-10, 10, 30, line{-20, 12, 8}))
	}
	specimens(t, "cool.ports",
		specimen{clean, "in place", port(-20, ""), "in", 0, 1e-9},
		specimen{defective, "0.3 beside it", port(-19.7, ", position: 0.2"), "in", 0.3, 1e-9},
		specimen{looksWrong, "0.3 beside it where 0.4 are let pass", port(-19.7, ", position: 0.4"), "in", 0.3, 1e-9},
	)
}
