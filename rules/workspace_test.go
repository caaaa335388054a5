package rules

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"pocketgauge/rules/quantity"
)

const someWorkspace = `
inserts:
  - {models: inserts/special.stl, rules: frames/round.yaml, half: fixed, name: Special, pair: inserts/other-moving.stl}
  - {models: "inserts/**/*-moving.*", rules: frames/rect.yaml, half: moving, name: not used}
  - {models: inserts/*.stl, rules: ../shop/rect.yaml, half: fixed, unit: in}
  - {models: blanks/**, skip: true}
`

func workspaceFiles() map[string]string {
	return map[string]string{
		"tool/pocketgauge.yaml":                     someWorkspace,
		"tool/inserts/special.stl":                  "",
		"tool/inserts/other-moving.stl":             "",
		"tool/inserts/a.stl":                        "",
		"tool/inserts/deep/er/cap-moving.STEP":      "",
		"tool/inserts/deep/loose.stp":               "",
		"tool/inserts/readme.txt":                   "",
		"tool/inserts/.hidden.stl":                  "",
		"tool/.git/x.stl":                           "",
		"tool/blanks/block.stl":                     "",
		"tool/z.STL":                                "",
		"other/unseen.stl":                          "",
		"tool/frames/round.yaml":                    tiny,
		"tool/inserts/deep/er/cap-moving-notes.txt": "",
	}
}

func resolved(models []Model) []string {
	var lines []string
	for _, m := range models {
		lines = append(lines, fmt.Sprintf("%s | %s | %s | %s | %s", m.Path, m.Name, m.Entry.RulesPath, m.Entry.Half, m.Partner))
	}
	return lines
}

func TestFirstEntryThatMatchesWins(t *testing.T) {
	w, err := LoadWorkspaceFS(folder(workspaceFiles()), "tool/pocketgauge.yaml")
	if err != nil {
		t.Fatal(err)
	}
	models, unmatched, err := w.Resolve()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{
		"tool/inserts/a.stl | inserts/a.stl | shop/rect.yaml | fixed | ",
		"tool/inserts/deep/er/cap-moving.STEP | inserts/deep/er/cap-moving.STEP | tool/frames/rect.yaml | moving | ",
		"tool/inserts/other-moving.stl | inserts/other-moving.stl | tool/frames/rect.yaml | moving | ",
		"tool/inserts/special.stl | Special | tool/frames/round.yaml | fixed | tool/inserts/other-moving.stl",
	}, resolved(models)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"tool/inserts/deep/loose.stp", "tool/z.STL"}, unmatched); diff != "" {
		t.Error(diff)
	}
	if w.Entries[2].Unit.Value != "in" || !w.Entries[0].Unit.Origin.IsDefault() || w.Entries[0].Unit.Value != "mm" {
		t.Errorf("units %v, %v", w.Entries[2].Unit, w.Entries[0].Unit)
	}
}

// The same tree on a disk gives the same models.
func TestWorkspaceOnDisk(t *testing.T) {
	root := t.TempDir()
	for name, text := range workspaceFiles() {
		path := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	// A link to a folder is passed over, so that a circle of links cannot trap the walk.
	if err := os.Symlink(root, filepath.Join(root, "tool", "inserts", "round")); err != nil {
		t.Log("no links here:", err)
	}
	t.Chdir(root)
	w, err := LoadWorkspace("tool/pocketgauge.yaml")
	if err != nil {
		t.Fatal(err)
	}
	models, unmatched, err := w.Resolve()
	if err != nil {
		t.Fatal(err)
	}
	v, err := LoadWorkspaceFS(folder(workspaceFiles()), "tool/pocketgauge.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want, wantUnmatched, err := v.Resolve()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(resolved(want), resolved(models)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(wantUnmatched, unmatched); diff != "" {
		t.Error(diff)
	}
	if w.Digest() != v.Digest() {
		t.Error("one file has two digests")
	}
}

func TestEntriesThatMatchNothingAreReported(t *testing.T) {
	files := map[string]string{
		"pocketgauge.yaml": `
inserts:
  - {models: "*.stl", rules: r.yaml}
  - {models: a.stl, rules: r.yaml, pair: none.stl}
  - {models: "b*.stp", rules: r.yaml}
`,
		"a.stl": "",
	}
	w, err := LoadWorkspaceFS(folder(files), "pocketgauge.yaml")
	if err != nil {
		t.Fatal(err)
	}
	models, _, err := w.Resolve()
	var p *Problems
	if !errors.As(err, &p) || len(p.List) != 3 || len(models) != 1 {
		t.Fatalf("%v, %v", models, err)
	}
	for i, want := range []string{
		"pocketgauge.yaml:4:14: inserts[2].models: \"a.stl\" matches only files that an earlier entry has taken",
		"pocketgauge.yaml:4:42: inserts[2].pair: there is no file \"none.stl\"",
		"pocketgauge.yaml:5:14: inserts[3].models: \"b*.stp\" matches no file",
	} {
		if got := p.List[i].String(); !strings.HasPrefix(got, want) {
			t.Errorf("%s\nwant %s", got, want)
		}
	}
}

func TestPlacements(t *testing.T) {
	w, err := LoadWorkspace("testdata/sample-workspace.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if p := w.Entries[0].Placement; p.How.Value != AsModelled || p.How.Origin.IsDefault() {
		t.Errorf("%+v", p)
	}
	if p := w.Entries[1].Placement; p.How.Value != ByMotion || p.Move.At.Z != 2 || !near(p.Turn.At.Z, math.Pi/2) {
		t.Errorf("%+v", p)
	}
	if p := w.Entries[2].Placement; p.How.Value != BySystem || p.System.Value != "POCKET" {
		t.Errorf("%+v", p)
	}
	d, err := LoadWorkspaceFS(folder(map[string]string{"w.yaml": "inserts: [{models: a.stl, rules: r.yaml}]\n"}), "w.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if p := d.Entries[0].Placement; p.How.Value != AsModelled || !p.How.Origin.IsDefault() {
		t.Errorf("%+v", p)
	}
}

func TestEntriesAgainstTheirFrame(t *testing.T) {
	f, err := Load("testdata/sample-frame.yaml")
	if err != nil {
		t.Fatal(err)
	}
	w, err := LoadWorkspaceFS(folder(map[string]string{"w.yaml": `
inserts:
  - {models: a.stl, rules: r.yaml, steel: "1.2344", resin: PP, finish: VDI 24}
  - {models: b.stl, rules: r.yaml, steel: "1.2343", resin: PPP, finish: matt}
`}), "w.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Against(&w.Entries[0], f); err != nil {
		t.Errorf("\n%v", err)
	}
	err = w.Against(&w.Entries[1], f)
	for _, want := range []string{`w.yaml:4:43: steel: testdata/sample-frame.yaml lists no "1.2343"`, `did you mean "1.2344"?`, `did you mean "PP"?`, "list it under draw.draft.by_finish"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v\nwant %s", err, want)
		}
	}
	if got := f.Draw.Draft.For("VDI 30"); !near(got.Value, 1.5*math.Pi/180) {
		t.Errorf("draft with VDI 30: %v", got)
	}
	if got := f.Draw.Draft.For("none"); !near(got.Value, 0.5*math.Pi/180) {
		t.Errorf("draft without a listed finish: %v", got)
	}
	if f.Resin("PP") == nil || f.Resin("PE-XX") != nil || f.SteelGrade("1.2344") == nil {
		t.Error("look-ups")
	}
}

func TestWaivers(t *testing.T) {
	w, err := LoadWaivers("testdata/sample-waivers.yaml")
	if err != nil {
		t.Fatal(err)
	}
	wall, draft := &w.List[0], &w.List[1]
	if wall.Accepts.Value != 1.7 || wall.Dimension != quantity.Length || wall.WithinMM.Value != 4 {
		t.Errorf("%+v", wall)
	}
	if !near(draft.Accepts.Value, 0.25*math.Pi/180) || draft.Dimension != quantity.Angle || !draft.WithinMM.Origin.IsDefault() {
		t.Errorf("%+v", draft)
	}
	if !wall.Matches("steel.wall", "inserts/entrance-disc-fixed.stl") || wall.Matches("steel.blade", "inserts/entrance-disc-fixed.stl") ||
		wall.Matches("steel.wall", "inserts/other.stl") || !draft.Matches("draw.draft", "./inserts/a/b.stp") {
		t.Error("matching")
	}
	day := func(y int, m time.Month, d, h int) time.Time { return time.Date(y, m, d, h, 0, 0, 0, time.UTC) }
	if wall.Expired(day(2027, 3, 31, 23)) || !wall.Expired(day(2027, 4, 1, 0)) {
		t.Error("the last day counts, the next does not")
	}
	east := time.FixedZone("east", 13*3600)
	if !wall.Expired(time.Date(2027, 4, 1, 0, 30, 0, 0, east)) {
		t.Error("it is the next day there already")
	}
}
