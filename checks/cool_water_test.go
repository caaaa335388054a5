package checks_test

import (
	"strconv"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
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

func num(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
