package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"pocketgauge/checks/report"
)

// nasty is a name that a format would act upon where it forgets to escape it: markup, every kind of
// quote, separators, line breaks, a terminal escape, a mark that turns text round, a byte that is no
// UTF-8, and what a spreadsheet, a workflow command or a forge would run.
const nasty = "=cmd|<script>alert(\"1\")</script>&amp; ]]> 'x', a:b%0A::error::boo\n::error file=x::pwned\r\t\x1b[31m\u202eevil \xff `code` @someone #12 **b** | c"

func ref(v float64) *float64 { return &v }

// mixed is a run with every verdict, in an insert with plain names and one with nasty ones.
func mixed() *report.Judged {
	at := [3]float64{82.038, 48, 17.764}
	finding := func(verdict string) report.Finding {
		return report.Finding{Check: "fit.outline", Of: nasty, Verdict: verdict, Value: ref(-0.038), Unit: "mm", Limit: ref(0.007), LimitKind: "at least",
			Margin: ref(-0.045), Uncertainty: ref(0.002), AtMM: &at, Says: "In the way: " + nasty, Mend: "Take it off, " + nasty}
	}
	pass := finding("pass")
	pass.Mend, pass.Of, pass.Says = "", "", "Fits."
	waived := finding("waived")
	waived.Mend = ""
	waived.Waiver = &report.WaivedBy{Was: "fail", Who: nasty, Why: "Ran well, " + nasty, Until: "2027-03-31", File: "shop/waivers.yaml", Line: 4}
	missing := report.Finding{Check: "fit.seat", Verdict: "not judged", Unit: "%", Says: "no seat"}
	unread := report.Finding{Check: "file.readable", Verdict: "fail", Unit: "count", Says: "Cannot be read: byte 84: the file ends", Mend: "Export again."}
	own := finding("warn")
	own.Check, own.Of = "rule.shop-own", ""
	sum := strings.Repeat("ab", 32)
	return &report.Judged{
		Tool: "pocketgauge dev", Rules: []report.Source{{File: "rules/f.yaml", SHA256: sum}},
		Inserts: []report.Insert{
			{File: "inserts/plain one.stl", Name: "Plain", SHA256: sum, Half: "fixed", Frame: "F", Verdict: "pass", Findings: []report.Finding{pass, pass}},
			{File: "inserts/" + nasty + ".stl", Name: nasty, SHA256: sum, Half: "moving", Frame: nasty, Verdict: "fail",
				Findings: []report.Finding{pass, finding("fail"), finding("fail"), finding("borderline"), own, missing, waived}},
			{File: "/abs/gone.stl", Name: "Gone", Half: "unstated", Frame: "F", Verdict: "unreadable", Findings: []report.Finding{unread}},
			{File: "inserts/w.stl", Name: "W", SHA256: sum, Half: "fixed", Frame: "F", Verdict: "waived", Findings: []report.Finding{pass, waived}},
		},
		Waivers: []report.Waiver{
			{File: "shop/waivers.yaml", Line: 4, Check: "fit.outline", Models: "inserts/**", Who: nasty, Why: "Ran well", Until: "2027-03-31", State: "in use", Inserts: 3, Waives: 2},
			{File: "shop/waivers.yaml", Line: 9, Check: "fit.seat", Models: nasty, Who: "Toolroom", Why: "Old", Until: "2025-01-31", State: "expired", Inserts: 1},
			{File: "shop/waivers.yaml", Line: 15, Check: "fit.height", Models: "gone/*", Who: "Toolroom", Why: "Old", Until: "2027-01-31", State: "not needed"},
		},
		Unassigned: []string{"inserts/" + nasty},
	}
}

func written(t *testing.T, name string, r *report.Judged, gate report.Gate) string {
	t.Helper()
	for _, f := range report.Forms {
		if f.Name == name {
			var b bytes.Buffer
			if err := f.Write(&b, r, gate); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			return b.String()
		}
	}
	t.Fatalf("no form %s", name)
	return ""
}

func TestFormsAreWholeAndTheSameEachTime(t *testing.T) {
	for _, f := range report.Forms {
		if f.Doc == "" {
			t.Errorf("%s has no doc", f.Name)
		}
		once, again := written(t, f.Name, mixed(), report.FailOnFail), written(t, f.Name, mixed(), report.FailOnFail)
		if once != again || !strings.HasSuffix(once, "\n") {
			t.Errorf("%s: differs from one time to the next, or ends in no line break", f.Name)
		}
		// Bytes that a terminal, a parser or a reader's eye would trip over never come out as they are.
		// JSON escapes them in its own way, which is undone by whoever reads it.
		for _, c := range []string{"\x1b", "\xff", "\r", "\t"} {
			if strings.Contains(once, c) {
				t.Errorf("%s: %q comes out raw", f.Name, c)
			}
		}
		if strings.Contains(once, "\u202e") && !strings.HasPrefix(f.Name, "json") && f.Name != "gitlab" {
			t.Errorf("%s: the mark that turns text round comes out raw", f.Name)
		}
		// An empty run is a run too.
		if empty := written(t, f.Name, &report.Judged{Tool: "t", Inserts: []report.Insert{}}, report.FailOnFail); f.Name == "json" && !json.Valid([]byte(empty)) {
			t.Errorf("%s: an empty run gives %q", f.Name, empty)
		}
	}
}

func compiled(t *testing.T, text []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func against(s *jsonschema.Schema, text string) error {
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

func TestJSONFollowsItsSchema(t *testing.T) {
	text, _ := report.Schema("check")
	schema := compiled(t, text)
	out := written(t, "json", mixed(), report.FailOnFail)
	if err := against(schema, out); err != nil {
		t.Error(err)
	}
	lines := strings.Split(strings.TrimSuffix(written(t, "jsonl", mixed(), report.FailOnFail), "\n"), "\n")
	if len(lines) != len(mixed().Inserts) {
		t.Errorf("%d lines for %d inserts", len(lines), len(mixed().Inserts))
	}
	for _, l := range lines {
		if err := against(schema, l); err != nil {
			t.Error(err)
		}
	}
	for _, c := range [][2]string{{`"waived"`, `"forgiven"`}, {`"in use"`, `"idle"`}, {`"was": "fail"`, `"was": "pass"`}, {`"2027-03-31"`, `"soon"`}} {
		if !strings.Contains(out, c[0]) || against(schema, strings.ReplaceAll(out, c[0], c[1])) == nil {
			t.Errorf("the schema takes %s in place of %s", c[1], c[0])
		}
	}
}

// The schema is OASIS's own; see testdata/README.md.
func TestSARIFFollowsThePublishedSchema(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "sarif-2.1.0.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	schema := compiled(t, text)
	out := written(t, "sarif", mixed(), report.FailOnFail)
	if err := against(schema, out); err != nil {
		t.Error(err)
	}
	for _, c := range [][2]string{{`"level": "error"`, `"level": "fatal"`}, {`"kind": "external"`, `"kind": "outside"`}, {`"version": "2.1.0"`, `"version": "2.2"`}, {`"startLine": 4`, `"startLine": 0`}} {
		if !strings.Contains(out, c[0]) || against(schema, strings.Replace(out, c[0], c[1], 1)) == nil {
			t.Errorf("the schema takes %s in place of %s", c[1], c[0])
		}
	}
	var log struct {
		Runs []struct {
			Tool struct {
				Driver struct{ Rules []struct{ ID string } }
			}
			Invocations []struct{ ExecutionSuccessful bool }
			Results     []struct {
				RuleID, Kind, Level string
				RuleIndex           int
				Locations           []struct {
					PhysicalLocation struct {
						ArtifactLocation struct{ URI string }
					}
				}
				PartialFingerprints map[string]string
				Suppressions        []any
				Properties          struct{ Verdict string }
			}
		}
	}
	if err := json.Unmarshal([]byte(out), &log); err != nil {
		t.Fatal(err)
	}
	run := log.Runs[0]
	if run.Invocations[0].ExecutionSuccessful {
		t.Error("a run with an unreadable model counts as wholly executed")
	}
	levels := map[string]string{}
	seen := map[string]bool{}
	for _, r := range run.Results {
		levels[r.Properties.Verdict] = r.Level
		if run.Tool.Driver.Rules[r.RuleIndex].ID != r.RuleID {
			t.Errorf("result of %s points to the rule %s", r.RuleID, run.Tool.Driver.Rules[r.RuleIndex].ID)
		}
		if (r.Properties.Verdict == "waived") != (len(r.Suppressions) == 1) {
			t.Errorf("%s has %d suppressions", r.Properties.Verdict, len(r.Suppressions))
		}
		u, err := url.Parse(r.Locations[0].PhysicalLocation.ArtifactLocation.URI)
		if err != nil || u.Path == "" || u.RawQuery != "" || u.Fragment != "" {
			t.Errorf("place %q: %v", r.Locations[0].PhysicalLocation.ArtifactLocation.URI, err)
		}
		f := r.PartialFingerprints["finding/v1"]
		if len(f) != 32 || seen[f] {
			t.Errorf("fingerprint %q is short or stands twice", f)
		}
		seen[f] = true
	}
	want := map[string]string{"fail": "error", "borderline": "warning", "warn": "warning", "not judged": "error", "waived": "error"}
	if fmt.Sprint(levels) != fmt.Sprint(want) || len(run.Results) != 10 {
		t.Errorf("levels %v of %d results, want %v of 10", levels, len(run.Results), want)
	}
}

// A fingerprint names the same finding in the next run: it does not move with the value, the words or
// the inserts around it, and does with file, check and what was measured.
func TestFingerprintsStayWithTheFinding(t *testing.T) {
	before := mixed()
	after := mixed()
	after.Inserts = after.Inserts[1:2]
	after.Inserts[0].Name, after.Inserts[0].Findings[1].Says, after.Inserts[0].Findings[1].Value = "renamed", "other words", ref(-0.5)
	a, b := before.Items()[2:9], after.Items()[:7]
	for i := range a {
		if a[i].Fingerprint != b[i].Fingerprint || a[i].Finding.Check != b[i].Finding.Check {
			t.Errorf("item %d: %s became %s", i, a[i].Fingerprint, b[i].Fingerprint)
		}
	}
	for what, change := range map[string]func(*report.Insert){
		"file":  func(in *report.Insert) { in.File = "other.stl" },
		"check": func(in *report.Insert) { in.Findings[1].Check = "fit.height" },
		"of":    func(in *report.Insert) { in.Findings[1].Of = "left" },
	} {
		c := mixed()
		change(&c.Inserts[1])
		if c.Items()[3].Fingerprint == a[1].Fingerprint {
			t.Errorf("another %s has the same fingerprint", what)
		}
	}
}

func TestGitLabReportHasItsShape(t *testing.T) {
	// The members that GitLab's documentation of code quality reports asks for.
	schema := compiled(t, []byte(`{"type": "array", "items": {"type": "object", "additionalProperties": false,
		"required": ["description", "check_name", "fingerprint", "severity", "location"], "properties": {
		"description": {"type": "string", "minLength": 1}, "check_name": {"type": "string", "minLength": 1}, "fingerprint": {"type": "string", "pattern": "^[0-9a-f]{32}$"},
		"severity": {"enum": ["info", "minor", "major", "critical", "blocker"]},
		"location": {"type": "object", "required": ["path", "lines"], "properties": {"path": {"type": "string", "pattern": "^(\\./)?[^/]|^/abs"},
			"lines": {"type": "object", "required": ["begin"], "properties": {"begin": {"type": "integer", "minimum": 1}}}}}}}}`))
	out := written(t, "gitlab", mixed(), report.FailOnFail)
	if err := against(schema, out); err != nil {
		t.Error(err)
	}
	if against(schema, strings.Replace(out, `"critical"`, `"bad"`, 1)) == nil {
		t.Error("the shape takes any severity")
	}
	var list []struct {
		Fingerprint, Severity string
		Location              struct{ Path string }
	}
	if err := json.Unmarshal([]byte(out), &list); err != nil {
		t.Fatal(err)
	}
	var severities []string
	seen := map[string]bool{}
	for _, l := range list {
		severities = append(severities, l.Severity)
		if seen[l.Fingerprint] {
			t.Errorf("fingerprint %s stands twice: GitLab drops the second", l.Fingerprint)
		}
		seen[l.Fingerprint] = true
	}
	want := []string{"critical", "critical", "minor", "info", "blocker", "blocker", "info", "info"}
	if !slices.Equal(severities, want) {
		t.Errorf("severities %v, want %v", severities, want)
	}
	if strict := written(t, "gitlab", mixed(), report.FailOnBorderline); !strings.Contains(strict, `"major"`) {
		t.Error("what a stricter gate rejects is still minor")
	}
}

var githubCommand = regexp.MustCompile(`^::(error|warning|notice) (file=[^,:]*(?:,line=[0-9]+)?,)?title=[^,:]*::.*$`)

func TestGitHubCommandsAreOneLineEach(t *testing.T) {
	out := written(t, "github", mixed(), report.FailOnFail)
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	count := map[string]int{}
	for _, l := range lines {
		if !githubCommand.MatchString(l) {
			t.Errorf("no workflow command: %q", l)
		}
		count[strings.Fields(l)[0]]++
	}
	if count["::error"] != 4 || count["::warning"] != 4 || count["::notice"] != 2 || len(lines) != 10 {
		t.Errorf("%v of %d lines", count, len(lines))
	}
	// What GitHub does to read the file back gives the path, but for what cannot be shown.
	_, rest, _ := strings.Cut(lines[0], "file=")
	file, _, _ := strings.Cut(rest, ",")
	file = strings.NewReplacer("%3A", ":", "%2C", ",", "%0A", "\n", "%0D", "\r", "%25", "%").Replace(file)
	if want := "inserts/=cmd|<script>alert(\"1\")</script>&amp; ]]> 'x', a:b%0A::error::boo\n::error file=x::pwned\n"; !strings.HasPrefix(file, want) {
		t.Errorf("the path reads back as %q", file)
	}
	// More than GitHub shows is said.
	many := mixed()
	for range 12 {
		many.Inserts[1].Findings = append(many.Inserts[1].Findings, many.Inserts[1].Findings[1])
	}
	if out := written(t, "github", many, report.FailOnFail); !strings.Contains(out, "::notice title=pocketgauge::16 errors in all; GitHub shows 10") {
		t.Errorf("nothing is said of 16 errors:\n%s", out)
	}
}

func TestCSVReadsBack(t *testing.T) {
	rows, err := csv.NewReader(strings.NewReader(written(t, "csv", mixed(), report.FailOnFail))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+len(mixed().Items()) {
		t.Errorf("%d rows for %d findings", len(rows)-1, len(mixed().Items()))
	}
	column := map[string]int{}
	for i, h := range rows[0] {
		column[h] = i
	}
	fail := rows[4]
	for what, want := range map[string]string{"verdict": "fail", "value": "-0.038", "limit": "0.007", "margin": "-0.045", "uncertainty": "0.002", "x_mm": "82.038", "insert_verdict": "fail"} {
		if fail[column[what]] != want {
			t.Errorf("%s is %q, want %q", what, fail[column[what]], want)
		}
	}
	if lost := rows[8]; lost[column["verdict"]] != "not judged" || lost[column["value"]] != "" {
		t.Errorf("what was not measured has the value %q", lost[column["value"]])
	}
	for _, row := range rows[1:] {
		for i, cell := range row {
			if strings.ContainsAny(cell, "\n\r\t\x1b") {
				t.Errorf("%s holds a control character: %q", rows[0][i], cell)
			}
			if cell != "" && strings.ContainsRune("=+@", rune(cell[0])) {
				t.Errorf("a spreadsheet would run %s: %q", rows[0][i], cell)
			}
		}
	}
}

func TestMarkdownShowsNamesAsTheyAre(t *testing.T) {
	out := written(t, "markdown", mixed(), report.FailOnFail)
	// Outside code spans nothing of the nasty name is left that acts.
	bare := regexp.MustCompile("(?s)``? .*? ``?|`[^`\n]*`").ReplaceAllString(out, "")
	for _, c := range []string{"<script", "@someone", "#12", "**b**", "&amp;amp ", "://"} {
		if strings.Contains(bare, c) {
			t.Errorf("%q is left raw:\n%s", c, bare)
		}
	}
	rows := 0
	for _, l := range strings.Split(out, "\n") {
		if strings.HasPrefix(l, "| ") {
			rows++
			if n := len(regexp.MustCompile(`(?:^|[^\\])\|`).FindAllString(l, -1)); n != 6 {
				t.Errorf("%d strokes that end a cell, want 6: %s", n, l)
			}
		}
	}
	if rows != 2+len(mixed().Inserts) || !strings.HasPrefix(out, "## 4 inserts: 0 rejected, 2 not wholly judged\n") {
		t.Errorf("%d rows, beginning %q", rows, out[:60])
	}
	many := mixed()
	for range 4000 {
		many.Inserts = append(many.Inserts, many.Inserts[1])
	}
	if out := written(t, "markdown", many, report.FailOnFail); len(out) > 1<<20 || !strings.Contains(out, "more, not listed here") {
		t.Errorf("%d bytes for 4004 inserts", len(out))
	}
}

func TestTextShowsWaiversAndNoControlCharacters(t *testing.T) {
	out := written(t, "text", mixed(), report.FailOnFail)
	for _, want := range []string{"\nWAIVED ", "Was fail. Accepted by", "until 2027-03-31", "warn: shop/waivers.yaml:9: waiver.state The waiver of fit.seat", "matches no insert",
		"4 inserts: 1 pass, 1 waived, 1 fail, 1 unreadable"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	if strings.Contains(out, "\n::error") {
		t.Error("a name begins a line of its own")
	}
}

func TestGatesRejectWhatTheyName(t *testing.T) {
	for _, c := range []struct {
		gate report.Gate
		want string
	}{{report.FailOnFail, "fail"}, {report.FailOnBorderline, "fail borderline"}, {report.FailOnWarn, "fail borderline warn"}} {
		var got []string
		for _, v := range []string{"pass", "waived", "not judged", "fail", "borderline", "warn"} {
			if c.gate.Rejects(v) {
				got = append(got, v)
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s rejects %v, want %s", c.gate, got, c.want)
		}
		if g, err := report.ParseGate(string(c.gate)); err != nil || g != c.gate {
			t.Errorf("%s reads as %s, %v", c.gate, g, err)
		}
	}
	if _, err := report.ParseGate("bordrline"); err == nil || !strings.Contains(err.Error(), `did you mean "borderline"?`) {
		t.Errorf("a slip of the pen gives %v", err)
	}
}
