package checks_test

import (
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/rules"
)

func ownRule(when, holds, severity string) string {
	text := "rules:\n  - id: own\n    holds: " + holds + "\n    says: It must not.\n"
	if when != "" {
		text += "    when: " + when + "\n"
	}
	if severity != "" {
		text += "    severity: " + severity + "\n"
	}
	return text
}

// The block is 99.96 x 59.96 x 40.03 with a cavity 15.03 deep and a clamp slot of 4.98 x 20 x 10.
func TestOwnRules(t *testing.T) {
	for _, c := range []struct {
		name, when, holds, severity string
		want                        checks.Verdict
		value, limit                float64
	}{
		{"holds", "", "detail_depth_mm <= 0.4 * parting_height_mm", "", checks.Pass, 15.03, 16.012},
		{"broken", "", "detail_depth_mm <= 0.3 * parting_height_mm", "", checks.Fail, 15.03, 12.009},
		{"broken, to warn", "", "detail_depth_mm <= 0.3 * parting_height_mm", "warn", checks.Warned, 15.03, 12.009},
		{"two parts", "insert_height_mm > 40", "detail_depth_mm > 10 && insert_width_mm > 200", "", checks.Fail, 0, 1},
		{"a check's reading", "", "fit_height_mm > 0.01", "", checks.Pass, 0.03, 0.01},
		{"volume", "", "insert_volume_cm3 > 220", "", checks.Pass, 222.394872048, 220},
	} {
		list, _ := run(t, frame(t, whole+ownRule(c.when, c.holds, c.severity)), exact(cleanSolid().Mesh))
		f := find(t, list, "rule.own", "")
		if f.Verdict != c.want || abs(f.Value-c.value) > 1e-6 || abs(f.Nearest-c.limit) > 1e-6 {
			t.Errorf("%s: %v with %v against %v, want %v with %v against %v: %s%s", c.name, f.Verdict, f.Value, f.Nearest, c.want, c.value, c.limit, f.Says, f.Why)
		}
	}
	list, _ := run(t, frame(t, whole+ownRule("detail_depth_mm > 30", "detail_depth_mm < 1", "")), exact(cleanSolid().Mesh))
	for _, f := range list {
		if f.Check.ID == "rule.own" {
			t.Errorf("a rule that does not apply was judged: %v", f.Verdict)
		}
	}
}

func abs(x float64) float64 { return max(x, -x) }

// A rule over what could not be measured is not judged, and never a pass.
func TestOwnRuleWithoutItsValue(t *testing.T) {
	list, _ := run(t, frame(t, zones+ownRule("", "stock_metal_mm < 1", "")), exact(cleanSolid().Mesh))
	if f := find(t, list, "rule.own", ""); f.Verdict != checks.NotJudged || !strings.Contains(f.Why, "stock_metal_mm") {
		t.Errorf("%v: %s%s", f.Verdict, f.Says, f.Why)
	}
	// Walls are looked for up to half above their limit: beyond that there is a bound, no value.
	list, _ = run(t, frame(t, wall+ownRule("", "steel_wall_mm < 9", "")), exact(cleanSolid().Mesh))
	if f := find(t, list, "rule.own", ""); f.Verdict != checks.NotJudged || !strings.Contains(f.Why, "at least 3.75") {
		t.Errorf("%v: %s%s", f.Verdict, f.Says, f.Why)
	}
}

func TestRuleMistakes(t *testing.T) {
	mistakes := func(more string, cases bool) []rules.RuleMistake {
		f := frame(t, more)
		return checks.RuleMistakes(&f.Rules[0], cases)
	}
	if m := mistakes(ownRule("", "detail_depht_mm > 1", ""), false); len(m) != 1 || m[0].Column != 1 || !strings.Contains(m[0].Hint, "detail_depth_mm") {
		t.Errorf("a wrong name: %+v", m)
	}
	good := ownRule("core_height_mm > 0", "core_height_mm < 5", "") + `    cases:
      - {name: low,  values: {core_height_mm: 4}, want: pass}
      - {name: none, values: {core_height_mm: 0}, want: skip}
`
	if m := mistakes(good, true); len(m) != 0 {
		t.Errorf("sound cases: %+v", m)
	}
	bad := good + "      - {name: tall, values: {core_height_mm: 9}, want: pass}\n      - {name: unnamed, values: {core_mm: 9}, want: pass}\n"
	if m := mistakes(bad, true); len(m) != 1 || !strings.Contains(m[0].Says, `"core_mm"`) {
		t.Errorf("a case with a value of no name: %+v", m)
	}
	bad = good + "      - {name: tall, values: {core_height_mm: 9}, want: pass}\n      - {name: lacking, values: {}, want: pass}\n"
	m := mistakes(bad, true)
	if len(m) != 2 || !strings.Contains(m[0].Says, "comes out as fail, not pass") || !strings.Contains(m[1].Says, "no value of core_height_mm") {
		t.Errorf("cases that do not come out: %+v", m)
	}
	if m := mistakes(bad, false); len(m) != 0 {
		t.Errorf("cases were run where nobody asked: %+v", m)
	}
}
