package waive_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pocketgauge/checks/report"
	"pocketgauge/checks/waive"
)

func ref(v float64) *float64 { return &v }

func day(t *testing.T, text string) time.Time {
	t.Helper()
	d, err := waive.ParseDay(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func book(t *testing.T, text, on string) *waive.Book {
	t.Helper()
	file := filepath.Join(t.TempDir(), "waivers.yaml")
	if err := os.WriteFile(file, []byte("waivers:\n"+text), 0o644); err != nil {
		t.Fatal(err)
	}
	b, err := waive.Open(file, day(t, on), []string{"shop-rule"})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// wall is an insert whose one finding is a wall of so much, known to so much.
func wall(value, uncertainty float64, verdict string) *report.Insert {
	f := report.Finding{Check: "steel.wall", Verdict: verdict, Value: ref(value), Uncertainty: ref(uncertainty), Unit: "mm", Limit: ref(2.5), LimitKind: "at least",
		Margin: ref(value - 2.5), AtMM: &[3]float64{10, 0, 20}, Says: "Thin.", Mend: "Move it."}
	if verdict == "not judged" {
		f.Value, f.Uncertainty, f.Limit, f.Margin, f.AtMM = nil, nil, nil, nil, nil
	}
	return &report.Insert{File: "x/a.stl", Verdict: map[string]string{"not judged": "unreadable", "warn": "pass"}[verdict] + map[string]string{"fail": "fail", "borderline": "borderline"}[verdict],
		Findings: []report.Finding{f}}
}

const entry = "  - {check: steel.wall, models: x/**, who: W, why: Y, until: 2026-12-31"

func TestWhatAWaiverLetsPass(t *testing.T) {
	for _, c := range []struct {
		name, waiver, on string
		in               *report.Insert
		want             string
	}{
		{"any value", "}", "2026-01-01", wall(1, 0.01, "fail"), "waived"},
		{"borderline", "}", "2026-01-01", wall(2.5, 0.01, "borderline"), "waived"},
		{"a warning", "}", "2026-01-01", wall(1, 0.01, "warn"), "waived"},
		{"V1: not measured", "}", "2026-01-01", wall(0, 0, "not judged"), "unreadable"},
		{"as bad as accepted", ", accepts: 1.7 mm}", "2026-01-01", wall(1.7, 0.01, "fail"), "waived"},
		{"V2: worse within what is known", ", accepts: 1.7 mm}", "2026-01-01", wall(1.695, 0.01, "fail"), "waived"},
		{"V2: proven worse", ", accepts: 1.7 mm}", "2026-01-01", wall(1.68, 0.01, "fail"), "fail"},
		{"in another unit", ", accepts: 0.17 cm}", "2026-01-01", wall(1.8, 0.01, "fail"), "waived"},
		{"V3: at the place", ", at: [12, 0, 20], within: 3}", "2026-01-01", wall(1, 0.01, "fail"), "waived"},
		{"V3: beside it", ", at: [14, 0, 20], within: 3}", "2026-01-01", wall(1, 0.01, "fail"), "fail"},
		{"last day", "}", "2026-12-31", wall(1, 0.01, "fail"), "waived"},
		{"day after", "}", "2027-01-01", wall(1, 0.01, "fail"), "fail"},
	} {
		b := book(t, entry+c.waiver+"\n", c.on)
		f := c.in.Findings[0]
		b.Apply(c.in, "x/a.stl")
		if c.in.Verdict != c.want {
			t.Errorf("%s: the insert is %s, want %s", c.name, c.in.Verdict, c.want)
		}
		got := c.in.Findings[0]
		if waived := c.want == "waived"; waived != (got.Waiver != nil) || waived && (got.Waiver.Was != f.Verdict || got.Waiver.Who != "W" || got.Waiver.Until != "2026-12-31" || got.Waiver.Line != 2) {
			t.Errorf("%s: %+v", c.name, got.Waiver)
		}
		if got.Value != f.Value || got.Margin != f.Margin {
			t.Errorf("%s: a number changed", c.name)
		}
	}
	// Another model, another check.
	b := book(t, entry+"}\n", "2026-01-01")
	in := wall(1, 0.01, "fail")
	if b.Apply(in, "y/a.stl"); in.Verdict != "fail" {
		t.Error("a model that the glob does not match is waived")
	}
	// At most: worse is larger.
	b = book(t, "  - {check: fit.clearance, models: x/**, accepts: 0.1 mm, who: W, why: Y, until: 2026-12-31}\n", "2026-01-01")
	for _, c := range []struct {
		value float64
		want  string
	}{{0.09, "waived"}, {0.105, "waived"}, {0.12, "fail"}} {
		in := wall(c.value, 0.01, "fail")
		in.Findings[0].Check, in.Findings[0].LimitKind = "fit.clearance", "at most"
		if b.Apply(in, "x/a.stl"); in.Verdict != c.want {
			t.Errorf("at most 0.1, value %g: %s, want %s", c.value, in.Verdict, c.want)
		}
	}
}

func TestStatesOfWaivers(t *testing.T) {
	text := entry + "}\n  - {check: fit.seat, models: x/**, who: W, why: Y, until: 2026-12-31}\n  - {check: fit.seat, models: x/a*, who: W, why: Y, until: 2025-12-31}\n"
	for _, c := range []struct {
		name  string
		in    *report.Insert
		whole bool
		want  string
	}{
		{"whole run", wall(1, 0.01, "fail"), true, "in use, not needed, expired"},
		{"part of one", wall(1, 0.01, "fail"), false, "in use, not known, expired"},
		{"nothing read", &report.Insert{Verdict: "unreadable", Findings: []report.Finding{{Check: "file.readable", Verdict: "fail"}}}, true, "not known, not known, expired"},
		{"not judged", wall(0, 0, "not judged"), true, "not known, not needed, expired"},
	} {
		b := book(t, text, "2026-01-01")
		b.Apply(c.in, "x/a.stl")
		var states []string
		for _, w := range b.States(c.whole) {
			states = append(states, w.State)
		}
		if got := strings.Join(states, ", "); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	// V4: in whatever order, the same.
	a, b := book(t, text, "2026-01-01"), book(t, text, "2026-01-01")
	a.Apply(wall(1, 0.01, "fail"), "x/a.stl")
	a.Apply(wall(9, 0.01, "warn"), "x/b.stl")
	b.Apply(wall(9, 0.01, "warn"), "x/b.stl")
	b.Apply(wall(1, 0.01, "fail"), "x/a.stl")
	for i, w := range a.States(true) {
		v := b.States(true)[i]
		v.File = w.File
		if v != w {
			t.Errorf("%+v and %+v", w, v)
		}
	}
}

func TestMistakesInWaiversAreShown(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"  - {check: steel.wal, models: x, who: W, why: Y, until: 2026-12-31}", `did you mean "steel.wall"?`},
		{"  - {check: steel.wall, models: x, accepts: 3 %, who: W, why: Y, until: 2026-12-31}", "this is a share, steel.wall measures a length"},
		{"  - {check: steel.wall, models: x, accepts: 3, who: W, why: Y, until: 2026-12-31}", "this is a plain number"},
	} {
		file := filepath.Join(t.TempDir(), "w.yaml")
		if err := os.WriteFile(file, []byte("waivers:\n"+c.text+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := waive.Open(file, day(t, "2026-01-01"), nil); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s gives %v, want %s", c.text, err, c.want)
		}
	}
	if _, err := waive.ParseDay("2026-02-30"); err == nil {
		t.Error("the 30th of February is a day")
	}
}
