package rules

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
)

// tiny is the least that a frame can say.
const tiny = `frame: Tiny
pocket:
  outline:
    rectangle: {width: 100, length: 60, corner_radius: 5}
  depth: 40
  fit: H7/g6
`

func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}

func mustLoad(t *testing.T, files map[string]string, name string) *Frame {
	t.Helper()
	f, err := LoadFS(folder(files), name)
	if err != nil {
		t.Fatalf("\n%v", err)
	}
	return f
}

func refused(t *testing.T, text string) *Problems {
	t.Helper()
	_, err := LoadFS(folder(map[string]string{"f.yaml": text}), "f.yaml")
	var p *Problems
	if !errors.As(err, &p) {
		t.Fatalf("want problems, got %v", err)
	}
	return p
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(1, math.Abs(b)) }

func TestInheritanceShopThenFrameThenCustomer(t *testing.T) {
	files := map[string]string{
		"shop.yaml": `
unit: in
steel:
  wall: {any: 0.1, detail_side: 0.4}
making:
  cutters:
    - {name: flat 6, kind: flat, diameter: 6 mm, stick_out: 20 mm}
    - {name: ball 4, kind: ball, diameter: 4 mm, stick_out: 15 mm}
cooling:
  waterline_diameters: [0.25, 0.375]
pocket: {clearance: {least: 0.001, most: 0.002}, proud: {least: 0.001}}
blank: {model: blanks/block.stl}
judge: {steel.wall: warn, zone.open: "off"}
`,
		"frames/r.yaml": "inherits: ../shop.yaml\n" + tiny + `
steel: {wall: {detail_side: 9}}
making:
  cutters:
    - {name: flat 6, kind: flat, diameter: 6, stick_out: 30}
    - {name: flat 2, kind: flat, diameter: 2, stick_out: 9}
cooling:
  waterline_diameters: [8]
judge: {zone.open: fail}
`,
		"customers/c.yaml": `
inherits: ../frames/r.yaml
frame: Tiny for one customer
pocket:
  outline:
    circle: {diameter: 80}
steel: {wall: {detail_side: 0.5 in}}
blank: {height: 42}
`,
	}
	f := mustLoad(t, files, "customers/c.yaml")
	if diff := cmp.Diff([]string{"customers/c.yaml", "frames/r.yaml", "shop.yaml"}, f.Chain); diff != "" {
		t.Error(diff)
	}
	w := f.Steel.Wall
	if !near(w.AnyMM.Value, 2.54) || w.AnyMM.Origin.String() != "shop.yaml:4:15" {
		t.Errorf("wall any %v; 0.1 in of the shop's file is 2.54 mm", w.AnyMM)
	}
	if !near(w.DetailSideMM.Value, 12.7) || w.DetailSideMM.Origin.String() != "customers/c.yaml:7:29" {
		t.Errorf("wall detail_side %v; the customer's 0.5 in is 12.7 mm", w.DetailSideMM)
	}
	if o := w.DetailBackMM.Origin; !o.IsDefault() || o.File != "" || !w.DetailBackMM.Set {
		t.Errorf("R2: wall detail_back %v should be a default", w.DetailBackMM)
	}
	if p := f.Pocket.ProudMM.Least; !near(p.Value, 0.0254) {
		t.Errorf("proud least %v", p)
	}
	if f.Pocket.Outline.Rectangle != nil || f.Pocket.Outline.Circle == nil {
		t.Error("the customer's circle should stand in place of the frame's rectangle")
	}
	if f.Pocket.StatedClearanceMM.Set() || f.Pocket.Fit.Value != "H7/g6" {
		t.Error("the frame's fit should stand in place of the shop's clearance")
	}
	if f.Blank.Model.Set || f.Blank.ModelPath != "" || f.Blank.HeightMM.Value != 42 {
		t.Errorf("the customer's height should stand in place of the shop's model: %+v", f.Blank)
	}
	var cutters []string
	for _, c := range f.Making.Cutters {
		cutters = append(cutters, fmt.Sprintf("%s %g %s", c.Name.Value, c.StickOutMM.Value, c.Origin.File))
	}
	if diff := cmp.Diff([]string{"flat 6 30 frames/r.yaml", "ball 4 15 shop.yaml", "flat 2 9 frames/r.yaml"}, cutters); diff != "" {
		t.Error(diff)
	}
	if d := f.Cooling.WaterlineDiametersMM; len(d.Values) != 1 || d.Values[0] != 8 {
		t.Errorf("a plain list is replaced as a whole: %v", d)
	}
	if f.SeverityOf("steel.wall") != SeverityWarn || f.SeverityOf("zone.open") != SeverityFail || f.SeverityOf("fit.seat") != SeverityFail {
		t.Errorf("judge %v", f.Judge)
	}
	// The middle file alone keeps the model, found from the file that named it.
	g := mustLoad(t, files, "frames/r.yaml")
	if g.Blank.ModelPath != "blanks/block.stl" {
		t.Errorf("model path %q", g.Blank.ModelPath)
	}
	if f.Digest() == g.Digest() || len(f.Digest()) != 64 {
		t.Error("two chains have one digest")
	}
	if _, err := LintFS(folder(files), "shop.yaml"); err != nil {
		t.Errorf("a set of defaults should lint: %v", err)
	}
}

func TestInheritedEntriesCanBeDropped(t *testing.T) {
	slot := "zones: [{name: slot, must: open, shape: {box: {min: [0, 0, 0], max: [9, 9, 9]}}}, {name: pad, must: solid, shape: {box: {min: [10, 0, 0], max: [19, 9, 9]}}}]\n"
	files := map[string]string{
		"base.yaml": slot,
		"f.yaml":    "inherits: base.yaml\n" + tiny + "zones: [{name: slot, drop: true}, {name: new, must: open, shape: {box: {min: [0, 10, 0], max: [9, 19, 9]}}}]\n",
		"bad.yaml":  "inherits: base.yaml\n" + tiny + "zones: [{name: slat, drop: true}, {drop: true}, {name: pad, drop: true, must: open}, {name: pad, drop: false}, {name: slot, drop: true}, {name: slot, drop: true}]\n",
	}
	f := mustLoad(t, files, "f.yaml")
	if len(f.Zones) != 2 || f.Zones[0].Name.Value != "pad" || f.Zones[1].Name.Value != "new" {
		t.Errorf("%+v", f.Zones)
	}
	_, err := LoadFS(folder(files), "bad.yaml")
	for _, want := range []string{`no inherited file has an entry "slat" to drop`, `did you mean "slot"?`, "name is missing", `"must" stands beside drop`, "drop is true or not there", "replace the entry or drop it"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q in\n%v", want, err)
		}
	}
}

// R2: every row in force names a file, line and column, or a reason.
func TestEveryValueHasAnOrigin(t *testing.T) {
	f, err := Load("testdata/sample-round.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defaults, written := 0, 0
	for _, r := range Show(f) {
		switch {
		case r.Origin.IsDefault():
			defaults++
		case r.Origin.File != "" && r.Origin.Line > 0 && r.Origin.Column > 0:
			written++
			text, err := os.ReadFile(r.Origin.File)
			if err != nil {
				t.Fatal(err)
			}
			line := []rune(strings.Split(string(text), "\n")[r.Origin.Line-1])
			if r.Origin.Column > len(line) || line[r.Origin.Column-1] == ' ' {
				t.Errorf("%s: nothing stands at %s", r.Key, r.Origin)
			}
		default:
			t.Errorf("%s has no origin: %+v", r.Key, r.Origin)
		}
		if r.Doc == "" {
			t.Errorf("%s has no doc", r.Key)
		}
	}
	if defaults < 20 || written < 20 {
		t.Errorf("%d defaults, %d written: one of the two kinds was hardly seen", defaults, written)
	}
}

// The sample is the one place where all keys can be seen; it must have them.
func TestSampleStatesEveryKey(t *testing.T) {
	f, err := Load("testdata/sample-frame.yaml")
	if err != nil {
		t.Fatal(err)
	}
	round, err := Load("testdata/sample-round.yaml")
	if err != nil {
		t.Fatal(err)
	}
	stated := map[string]bool{}
	for _, r := range append(Show(f), Show(round)...) {
		if r.Origin.IsDefault() {
			continue
		}
		key := r.Key
		for {
			i := strings.IndexByte(key, '[')
			j := strings.IndexByte(key, ']')
			if i < 0 || j < i {
				break
			}
			key = key[:i] + "{}" + key[j+1:]
		}
		stated[strings.ReplaceAll(key, "{}", "[]")] = true
	}
	// Stated in place of others, or of the file and not of the frame.
	elsewhere := map[string]bool{"unit": true, "inherits": true, "blank.model": true, "pocket.fit_size": true,
		"pocket.clearance.least": true, "pocket.clearance.most": true}
	for _, k := range Reference() {
		leaf := true
		for _, other := range Reference() {
			leaf = leaf && !strings.HasPrefix(other.Key, k.Key+".")
		}
		if !leaf || elsewhere[k.Key] || strings.HasSuffix(k.Key, ".center") || strings.HasSuffix(k.Key, ".size") ||
			strings.Contains(k.Key, "ejection.outline.") || strings.Contains(k.Key, "extrusion.outline.circle") || strings.Contains(k.Key, "pocket.outline.polygon") {
			continue
		}
		if !stated[k.Key] && k.Key != "judge" && k.Key != "rules[].cases[].values" {
			t.Errorf("no sample states %s", k.Key)
		}
	}
}

func TestBareNumbersAreInTheFilesUnit(t *testing.T) {
	text := strings.Replace(tiny, "frame: Tiny", "frame: Tiny\nunit: in", 1)
	text = strings.Replace(text, "width: 100, length: 60, corner_radius: 5", "width: 4, length: 60 mm, corner_radius: .25", 1)
	text = strings.Replace(text, "depth: 40", "depth: 1.5 in", 1)
	f := mustLoad(t, map[string]string{"f.yaml": text}, "f.yaml")
	r := f.Pocket.Outline.Rectangle
	if !near(r.WidthMM.Value, 101.6) || r.LengthMM.Value != 60 || !near(r.CornerRadiusMM.Value, 6.35) || !near(f.Pocket.DepthMM.Value, 38.1) {
		t.Errorf("%+v, depth %v", r, f.Pocket.DepthMM)
	}
}

// What a fit means per side. g6 at 100 mm is -12/-34 um and at 60 mm -10/-29 um, H7 is +35 and +30:
// component makers' catalogue pages after JIS B 0401 (100 mm), ISO 286-2 from memory (60 mm).
func TestFitBecomesGapsPerSide(t *testing.T) {
	f := mustLoad(t, map[string]string{"f.yaml": tiny}, "f.yaml")
	for _, s := range f.Pocket.Outline.Segments() {
		least, most, play := 0.0, 0.0, 0.0
		switch s.Name {
		case "left", "right":
			least, most, play = 0.006, 0.017, (0.035+0.034)/2
		case "front", "back":
			least, most, play = 0.005, 0.0145, (0.030+0.029)/2
		case "corner": // from the nearer side's least to the farther side's most
			least, most, play = 0.005, 0.017, (0.035+0.034)/2
		}
		if !near(s.ClearanceMM.Lo, least) || !near(s.ClearanceMM.Hi, most) || !near(s.PlayMM.Lo, least) || !near(s.PlayMM.Hi, play) {
			t.Errorf("%s: gap %v play %v, want %g to %g and %g", s.Name, s.ClearanceMM, s.PlayMM, least, most, play)
		}
		if s.Locating != (s.Name != "corner") {
			t.Errorf("%s: locating %v", s.Name, s.Locating)
		}
	}
	if c := f.Pocket.ClearanceMM; !near(c.Least.Value, 0.005) || !near(c.Most.Value, 0.017) || c.Least.Origin != f.Pocket.Fit.Origin {
		t.Errorf("clearance %v", c)
	}
	if g := f.Pocket.FitHeightMM; g.Value != 40 || !g.Origin.IsDefault() {
		t.Errorf("fit height %v", g)
	}
	// A square with full corners has no straight side and still has its gap.
	o := strings.Replace(tiny, "width: 100, length: 60, corner_radius: 5", "width: 100, length: 100, corner_radius: 50", 1)
	if c := mustLoad(t, map[string]string{"f.yaml": o}, "f.yaml").Pocket.ClearanceMM; !near(c.Least.Value, 0.006) || !near(c.Most.Value, 0.017) {
		t.Errorf("full corners: %v", c)
	}
	// An interference fit has a gap below zero: H7/m6 at 100 mm is -35 to +22 um.
	m := mustLoad(t, map[string]string{"f.yaml": strings.Replace(tiny, "H7/g6", "H7/m6", 1)}, "f.yaml")
	if p := m.Pocket.Outline.Segments()[2].PlayMM; !near(p.Lo, -0.0175) || !near(p.Hi, 0.011) {
		t.Errorf("H7/m6 at 100 mm: play %v per side", p)
	}
	// fit_size stands in for the outline's own.
	s := mustLoad(t, map[string]string{"f.yaml": tiny + "  fit_size: 100\n"}, "f.yaml")
	if c := s.Pocket.ClearanceMM; !near(c.Least.Value, 0.006) || !near(c.Most.Value, 0.017) {
		t.Errorf("with fit_size: %v", c)
	}
}

func TestClearanceStandsAsWritten(t *testing.T) {
	text := strings.Replace(tiny, "fit: H7/g6", "clearance: {least: 0.01}", 1)
	f := mustLoad(t, map[string]string{"f.yaml": text}, "f.yaml")
	for _, s := range f.Pocket.Outline.Segments() {
		if s.ClearanceMM.Lo != 0.01 || !math.IsInf(s.ClearanceMM.Hi, 1) {
			t.Errorf("%s: %v", s.Name, s.ClearanceMM)
		}
	}
	if f.Pocket.ClearanceMM.Most.Set {
		t.Error("a most that nobody stated is set")
	}
}

func TestBlankOutlineGrows(t *testing.T) {
	f := mustLoad(t, map[string]string{"f.yaml": tiny + "blank: {height: 50, side_stock: 2, seat_stock: 1}\n"}, "f.yaml")
	o, ok := f.BlankOutline()
	if !ok || !near(o.AreaMM2(), 104*64-(4-math.Pi)*49) {
		t.Errorf("%v, area %g", ok, o.AreaMM2())
	}
	if _, ok := mustLoad(t, map[string]string{"f.yaml": tiny}, "f.yaml").BlankOutline(); ok {
		t.Error("a blank without height has an outline")
	}
}

func TestUnknownChecks(t *testing.T) {
	f := mustLoad(t, map[string]string{"f.yaml": tiny + "judge: {steel.wal: warn, fit.seat: \"off\"}\n"}, "f.yaml")
	err := f.UnknownChecks([]string{"steel.wall", "fit.seat"})
	if err == nil || !strings.Contains(err.Error(), `f.yaml:7:20: judge: there is no check "steel.wal"`) || !strings.Contains(err.Error(), `did you mean "steel.wall"?`) {
		t.Errorf("%v", err)
	}
	if err := f.UnknownChecks([]string{"steel.wal", "fit.seat"}); err != nil {
		t.Errorf("%v", err)
	}
}

func TestFilesThatCannotBeRead(t *testing.T) {
	big := strings.Repeat("# filler\n", mostBytes/9+1)
	files := folder(map[string]string{"big.yaml": big, "latin.yaml": "frame: ok\nnote: caf\xe9\n", "d/x": "", "empty.yaml": "", "comment.yaml": "# nothing\n"})
	for name, want := range map[string]string{
		"none.yaml": "none.yaml: ", "big.yaml": "too large", "latin.yaml": "latin.yaml:2: this line is not UTF-8",
		"d": "a folder, not a file", "empty.yaml": "frame is missing", "comment.yaml": "frame is missing",
	} {
		f, err := LoadFS(files, name)
		if err == nil || f != nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", name, err, want)
		}
	}
	if _, err := LoadFS(files, "none.yaml"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a missing file should be told as such: %v", err)
	}
	if _, err := Load(filepath.Join(t.TempDir(), "none.yaml")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("%v", err)
	}
	if _, err := Load(os.DevNull); err == nil || !strings.Contains(err.Error(), "not a regular file") {
		t.Errorf("%v", err)
	}
	// An inherited file that cannot be read is a problem of the line that names it.
	_, err := LoadFS(folder(map[string]string{"f.yaml": "inherits: big.yaml\n" + tiny, "big.yaml": big}), "f.yaml")
	if err == nil || !strings.Contains(err.Error(), "f.yaml:1:11: inherits: cannot read big.yaml: ") {
		t.Errorf("%v", err)
	}
}

func TestChainTooLong(t *testing.T) {
	files := map[string]string{"0.yaml": tiny}
	for i := 1; i <= mostChain; i++ {
		files[fmt.Sprintf("%d.yaml", i)] = fmt.Sprintf("inherits: %d.yaml\n", i-1)
	}
	if _, err := LoadFS(folder(files), fmt.Sprintf("%d.yaml", mostChain-1)); err != nil {
		t.Errorf("%d files: %v", mostChain, err)
	}
	if _, err := LoadFS(folder(files), fmt.Sprintf("%d.yaml", mostChain)); err == nil || !strings.Contains(err.Error(), "a chain of more than 8 files: 8.yaml -> 7.yaml") {
		t.Errorf("%v", err)
	}
}

// A path out of the tree cannot be read from a file system, and says so.
func TestInheritsOutOfTheTree(t *testing.T) {
	_, err := LoadFS(folder(map[string]string{"f.yaml": "inherits: ../../etc/shop.yaml\n" + tiny}), "f.yaml")
	if err == nil || !strings.Contains(err.Error(), "f.yaml:1:11: inherits: cannot read ../../etc/shop.yaml") {
		t.Errorf("%v", err)
	}
}

// R6, for the files that make parsers and followers of aliases slow. The test fails by the time
// limit of the test run or by running out of memory, not by a clock.
func TestHostileFilesAreBounded(t *testing.T) {
	many := func(s string, n int) string { return strings.Repeat(s, n) }
	for name, text := range map[string]string{
		"open brackets":   "a: " + many("[", 200000),
		"open braces":     many("{a: ", 60000),
		"dashes":          many("- ", 120000),
		"question marks":  many("? ", 120000),
		"deep block":      deepBlock(700),
		"anchors":         many("- &a\n", 50000),
		"tags":            many("!!a\n", 60000),
		"many keys":       manyKeys(20000),
		"one key":         many("a: 1\n", 50000),
		"zones":           "zones:\n" + many("  - {name: a}\n", 15000),
		"long word":       many("x", 250000) + ": 1",
		"long quote":      `a: "` + many(`\n`, 120000) + `"`,
		"open quote":      `a: "` + many("x\n", 120000),
		"block text":      "note: |\n" + many("  x\n", 60000),
		"comments":        many("#\n", 120000),
		"aliases":         "a: &a [1, 2, 3]\nb: [" + many("*a, ", 60000) + "]",
		"colons":          many(":", 250000),
		"documents":       many("---\n", 60000),
		"long number":     "frame: 1\npocket: {depth: " + many("9", 250000) + "}",
		"wide polygon":    "frame: 1\npocket: {depth: 9, fit_size: 9, fit: H7/g6, outline: {polygon: [" + polygon(1000) + "]}}",
		"names in a list": "pocket: {locating: [" + many("a, ", 60000) + "]}",
	} {
		if len(text) > mostBytes {
			t.Errorf("%s: the case is larger than what is read", name)
		}
		_, err := LoadFS(folder(map[string]string{"f.yaml": text}), "f.yaml")
		if err == nil && name != "wide polygon" {
			t.Errorf("%s: loaded", name)
		}
		if name == "wide polygon" && err != nil {
			t.Errorf("%s: %v", name, err)
		}
		var p *Problems
		if errors.As(err, &p) && len(p.List) > mostProblems {
			t.Errorf("%s: %d problems listed", name, len(p.List))
		}
	}
}

func deepBlock(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

func manyKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "key%d: 1\n", i)
	}
	return b.String()
}

func polygon(n int) string {
	var parts []string
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		parts = append(parts, fmt.Sprintf("{to: [%.6f, %.6f]}", 50*math.Cos(a), 50*math.Sin(a)))
	}
	return strings.Join(parts, ", ")
}

// R5.
func TestTheSameFilesGiveTheSameResult(t *testing.T) {
	for _, file := range []string{"testdata/sample-frame.yaml", "testdata/sample-round.yaml"} {
		a, err := Load(file)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Load(file)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(Show(a), Show(b)) || a.Digest() != b.Digest() {
			t.Errorf("%s loads differently the second time", file)
		}
	}
	for name, schema := range map[string]func() []byte{"frame": Schema, "workspace": WorkspaceSchema} {
		first := schema()
		if again := schema(); string(first) != string(again) {
			t.Errorf("the schema of a %s differs from one call to the next", name)
		}
	}
}

// Line endings and a byte order mark must not move a place.
func TestCarriageReturnsAndMark(t *testing.T) {
	text := strings.Replace(tiny, "depth: 40", "depth: 40 lb", 1)
	a := refused(t, text)
	b := refused(t, "\ufeff"+strings.ReplaceAll(text, "\n", "\r\n"))
	if diff := cmp.Diff(a, b); diff != "" {
		t.Error(diff)
	}
	if a.List[0].Line != 5 || a.List[0].Column != 10 || a.List[0].Width != 5 {
		t.Errorf("%+v", a.List[0])
	}
}

// The layout that designers are promised.
func TestTheShapeOfAProblem(t *testing.T) {
	p := refused(t, tiny+"draw:\n  draft:\n    least: 1.5 mm\n")
	want := `f.yaml:9:12: draw.draft.least: "1.5 mm" is a length, this limit is an angle
     9 |     least: 1.5 mm
       |            ^^^^^^  write it like "1.5 deg"`
	if diff := cmp.Diff(want, p.Error()); diff != "" {
		t.Error(diff)
	}
}

func TestListOfProblemsIsCut(t *testing.T) {
	p := refused(t, tiny+manyKeys(150))
	if len(p.List) != mostProblems || p.More != 50 || !strings.HasSuffix(p.Error(), "and 50 more") {
		t.Errorf("%d listed, %d more", len(p.List), p.More)
	}
}

func TestWhatHoldsForWhichHalf(t *testing.T) {
	for _, c := range []struct {
		h, of Half
		want  bool
	}{{Both, Fixed, true}, {Both, "", true}, {Fixed, Fixed, true}, {Fixed, Moving, false}, {Fixed, "", false}} {
		if got := c.h.HoldsFor(c.of); got != c.want {
			t.Errorf("%q for %q: %v", c.h, c.of, got)
		}
	}
	f := mustLoad(t, map[string]string{"f.yaml": tiny}, "f.yaml")
	if f.Blank.Set() {
		t.Error("nobody stated a blank")
	}
	if g := mustLoad(t, map[string]string{"f.yaml": tiny + "blank: {model: b.stl}\n"}, "f.yaml"); !g.Blank.Set() || g.Blank.ModelPath != "b.stl" {
		t.Errorf("%+v", g.Blank)
	}
}
