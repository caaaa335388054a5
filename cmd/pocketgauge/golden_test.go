package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pocketgauge/checks/report"
)

var update = flag.Bool("update", false, "rewrite the golden reports (not where CI is set)")

// golden holds got against a file. A golden pins text and never truth: each number in it is
// asserted elsewhere against a closed form or a second method.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", "golden", name)
	if *update && os.Getenv("CI") == "" {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v\nto make it: go test ./cmd/pocketgauge -run '^%s$' -update, then read the difference", err, t.Name())
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from line %d on:\n%s\nto take it over: go test ./cmd/pocketgauge -run '^%s$' -update, then read the difference", name, firstDifference(want, got), difference(want, got), t.Name())
	}
}

func firstDifference(want, got []byte) int {
	a, b := bytes.Split(want, []byte("\n")), bytes.Split(got, []byte("\n"))
	for i := range min(len(a), len(b)) {
		if !bytes.Equal(a[i], b[i]) {
			return i + 1
		}
	}
	return min(len(a), len(b)) + 1
}

// difference shows a few lines of each around the first that differ.
func difference(want, got []byte) string {
	from := firstDifference(want, got) - 1
	var b strings.Builder
	for _, side := range []struct {
		mark string
		text []byte
	}{{"-", want}, {"+", got}} {
		lines := strings.Split(string(side.text), "\n")
		for _, l := range lines[min(from, len(lines)):min(from+4, len(lines))] {
			b.WriteString(side.mark + " " + l + "\n")
		}
	}
	return b.String()
}

// progressLine is what a log is told now and then on a slow machine.
var progressLine = regexp.MustCompile(`(?m)^\d+ of \d+ [a-z]+.*\n`)

// apiary is the demo as a person at the top of the repository names it.
const apiary = "testdata/apiary"

// atTop runs the command in the top folder, where the README's commands are given.
func atTop(t *testing.T, args ...string) (status int, out, messages []byte) {
	t.Helper()
	t.Chdir(filepath.Join("..", ".."))
	var o, e bytes.Buffer
	status = run(context.Background(), args, streams{in: strings.NewReader(""), out: &o, err: &e})
	t.Chdir(filepath.Join("cmd", "pocketgauge"))
	return status, o.Bytes(), e.Bytes()
}

// The whole report on the demo, as text on one core and as json on two, and three of its inserts
// as jsonl: what is said is the same whatever the form and the cores, the schemas take it, and it is
// what it was.
func TestApiaryReports(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: the whole demo is judged twice")
	}
	some := []string{apiary + "/inserts/frame-spacer-fixed.stl", apiary + "/inserts/feeder-plug-fixed.stp", apiary + "/inserts/bee-escape-fixed.stl"}
	reports := map[string][]byte{}
	for _, c := range []struct {
		format, jobs string
		models       []string
	}{{"text", "1", []string{apiary}}, {"json", "2", []string{apiary}}, {"jsonl", "3", some}} {
		status, out, messages := atTop(t, append([]string{"check", "--format", c.format, "--jobs", c.jobs}, c.models...)...)
		if want := demoStatus(out, c.format); status != want {
			t.Errorf("%s: exit status %d, want %d", c.format, status, want)
		}
		if messages = progressLine.ReplaceAll(messages, nil); len(messages) > 0 {
			t.Errorf("%s: on standard error: %s", c.format, messages)
		}
		if at := timeOrPlace.Find(out); at != nil {
			t.Errorf("%s: %q depends on time or place", c.format, at)
		}
		reports[c.format] = out
	}
	for _, format := range []string{"json", "jsonl"} {
		if err := validate("check", format, reports[format]); err != nil {
			t.Errorf("%s: %v", format, err)
		}
	}
	// The text, made on one core, is what the json, made on two, comes to in words.
	var judged report.Judged
	if err := json.Unmarshal(reports["json"], &judged); err != nil {
		t.Fatal(err)
	}
	var words bytes.Buffer
	for _, in := range judged.Inserts {
		if err := report.WriteInsertText(&words, in, report.Style{}); err != nil {
			t.Fatal(err)
		}
	}
	if err := report.WriteSummaryText(&words, judged, report.Style{}); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(words.Bytes(), reports["text"]) {
		t.Errorf("text on one core and json on two differ:\n%s", difference(words.Bytes(), reports["text"]))
	}
	lines := map[string]string{}
	for _, in := range judged.Inserts {
		line, err := json.Marshal(in)
		if err != nil {
			t.Fatal(err)
		}
		lines[in.File] = string(line)
	}
	var want strings.Builder
	for _, file := range some {
		want.WriteString(lines[file] + "\n")
	}
	if want.String() != string(reports["jsonl"]) {
		t.Errorf("jsonl differs from json:\n%s", difference([]byte(want.String()), reports["jsonl"]))
	}
	golden(t, "apiary.txt", reports["text"])
	golden(t, "apiary.json", reports["json"])
	golden(t, "apiary.jsonl", reports["jsonl"])
}

var timeOrPlace = regexp.MustCompile(`/tmp/|elapsed|\d{4}-\d\d-\d\d|0x[0-9a-f]{6}`)

// demoStatus is the exit status that what is printed calls for.
func demoStatus(out []byte, format string) int {
	switch {
	case format == "text" && bytes.Contains(out, []byte("\n  not judged")), bytes.Contains(out, []byte(`"not judged"`)), bytes.Contains(out, []byte("UNREADABLE")):
		return statusPartial
	case format == "text" && bytes.Contains(out, []byte("\nFAIL")), bytes.HasPrefix(out, []byte("FAIL")), bytes.Contains(out, []byte(`"fail"`)):
		return statusRejected
	}
	return statusPass
}

// Each insert of the demo is rejected by just what was seeded in it, as its table says; the clean
// ones pass.
func TestApiaryFindsWhatWasSeeded(t *testing.T) {
	table, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(apiary), "volumes.json"))
	if err != nil {
		t.Fatal(err)
	}
	var seeded map[string]struct {
		File, Seeded string
	}
	if err := json.Unmarshal(table, &seeded); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join("testdata", "golden", "apiary.json"))
	if err != nil {
		t.Fatal(err)
	}
	var judged report.Judged
	if err := json.Unmarshal(text, &judged); err != nil {
		t.Fatal(err)
	}
	// What a mistake of the table's words must be found as.
	found := map[string]string{
		"bee-escape-fixed": "file.unit", "bee-escape-moving": "fit.placement", "feeder-plug-fixed": "fit.height", "feeder-plug-moving": "stock.metal",
		"frame-spacer-fixed": "file.solid", "mouse-guard-fixed": "fit.outline", "mouse-guard-moving": "zone.solid",
		"queen-clip-fixed": "steel.wall", "queen-clip-moving": "zone.open",
	}
	seen := 0
	for _, in := range judged.Inserts {
		name := strings.TrimSuffix(filepath.Base(in.File), filepath.Ext(in.File))
		what, ok := seeded[name]
		if !ok {
			t.Errorf("%s stands in no table", in.File)
			continue
		}
		seen++
		var fails []string
		for _, f := range in.Findings {
			if f.Verdict == "fail" {
				fails = append(fails, f.Check)
			}
		}
		switch {
		case what.Seeded == "" && in.Verdict != report.VerdictPass:
			t.Errorf("%s is clean and comes out as %s (%v)", name, in.Verdict, fails)
		case what.Seeded != "" && (len(fails) != 1 || fails[0] != found[name]):
			t.Errorf("%s (%s) is rejected by %v, want %s alone", name, what.Seeded, fails, found[name])
		}
	}
	if seen != len(seeded) || seen < 8 {
		t.Errorf("%d of %d inserts were judged", seen, len(seeded))
	}
}
