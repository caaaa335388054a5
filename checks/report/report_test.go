package report_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/mesh"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

func TestNumbersArePrintedAsTheirErrorsJustify(t *testing.T) {
	for _, c := range []struct {
		x, err float64
		want   string
	}{
		{1234.5678, 0, "1234.5678"},
		{1234.5678, 12, "1235 ±12"},
		{1234.5678, 0.12, "1234.57 ±0.12"},
		{1234.5678, 0.0031, "1234.5678 ±0.0031"},
		{-0.00000001, 0, "0"},
		{8000, 0.0000004, "8000 ±0.000001"},
		{5, math.NaN(), "5"},
	} {
		if got := report.WithError(c.x, c.err); got != c.want {
			t.Errorf("%g ± %g is printed as %q, want %q", c.x, c.err, got, c.want)
		}
	}
	if got := report.Decimal(12.3400, 4); got != "12.34" {
		t.Errorf("12.34 is printed as %q", got)
	}
	if got := report.Point([3]float64{1, -0.0001, 2.5}); got != "(1, 0, 2.5)" {
		t.Errorf("a point is printed as %q", got)
	}
}

func outcomeOf(findings ...checks.Finding) *batch.Outcome {
	o := &batch.Outcome{Findings: findings, Overall: checks.Overall(findings)}
	o.Insert = batch.Insert{File: "a.stl", Name: "A", Half: rules.Moving, Frame: &rules.Frame{}}
	o.Insert.Frame.Name.Value = "F"
	return o
}

func judged(id string, r checks.Reading) checks.Finding {
	return checks.Finding{Check: checks.ByID(id), Reading: r, Judged: checks.Judge(r)}
}

func TestWhatWasNotMeasuredIsNullAndNeverNought(t *testing.T) {
	in := report.NewInsert(outcomeOf(judged("fit.seat", checks.NotMeasured("floor", "no seat"))))
	f := in.Findings[0]
	if f.Value != nil || f.Limit != nil || f.Margin != nil || f.Uncertainty != nil || f.AtMM != nil || f.Says != "no seat" || f.Verdict != "not judged" {
		t.Errorf("%+v", f)
	}
	if in.Verdict == report.VerdictPass {
		t.Error("an insert with something not measured passes")
	}
	text, err := json.Marshal(in)
	if err != nil || !bytes.Contains(text, []byte(`"value":null`)) {
		t.Errorf("%s %v", text, err)
	}
}

func TestFindingKeepsValueLimitMarginAndPlace(t *testing.T) {
	r := checks.Reading{Measured: true, Value: -0.03812345678, Uncertainty: 0.0000123, Limit: checks.AtLeast(0.007),
		At: r3.Vector{X: 82.03812, Y: 47.8512, Z: -0.0000001}, Located: true, Says: "In the way."}
	in := report.NewInsert(outcomeOf(judged("fit.outline", r)))
	f := in.Findings[0]
	meshtest.WantNear(t, "value", *f.Value, -0.03812345678, 0.0000123)
	meshtest.WantNear(t, "uncertainty", *f.Uncertainty, 0.0000123, 0.000001)
	meshtest.WantNear(t, "margin", *f.Margin, -0.04512345678, 0.0000123)
	if *f.Limit != 0.007 || f.LimitKind != "at least" || f.Mend != checks.ByID("fit.outline").Mend || in.Verdict != report.VerdictFail || in.Half != "moving" || in.Frame != "F" {
		t.Errorf("%+v", in)
	}
	if at := *f.AtMM; math.Signbit(at[2]) || math.Abs(at[0]-82.03812) > 0.001 {
		t.Errorf("the place is printed as %v", at)
	}
	between := report.NewInsert(outcomeOf(judged("fit.height", checks.Reading{Measured: true, Value: 0.3, Limit: checks.Between(0.02, 0.05), Says: "High."})))
	if g := between.Findings[0]; g.LimitKind != "at most" || *g.Limit != 0.05 {
		t.Errorf("%+v", g)
	}
}

func TestTextSaysWhatIsWrongWhereAndHowToMendIt(t *testing.T) {
	in := report.NewInsert(outcomeOf(
		judged("file.solid", checks.Reading{Measured: true, Limit: checks.AtMost(0), Says: "Closed."}),
		judged("fit.height", checks.Reading{Measured: true, Value: 0.335, Limit: checks.Between(0.02, 0.05), Says: "Too high " + strings.Repeat("by far ", 30) + ".", Mend: "Lower it.", Located: true}),
		judged("zone.open", checks.NotMeasured("slot", "the model is not a closed solid")),
		judged("fit.outline", checks.Reading{Measured: true, Value: 0.02, Limit: checks.AtLeast(0.01), Says: "Inside."}),
	))
	text := func(s report.Style) string {
		var b bytes.Buffer
		if err := report.WriteInsertText(&b, in, s); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	plain := text(report.Style{})
	for _, want := range []string{"FAIL  ", "A  a.stl", "moving half, frame F", "fit.height  0.335 mm  (at most 0.05; 0.285 beyond", "at (0, 0, 0)", "Mend: Lower it.", "zone.open [slot]", "2 readings pass"} {
		if !strings.Contains(plain, want) {
			t.Errorf("the text has no %q:\n%s", want, plain)
		}
	}
	for _, line := range strings.Split(plain, "\n") {
		if len(line) > 100 {
			t.Errorf("a line of %d columns: %s", len(line), line)
		}
		if strings.Contains(line, "not judgedzone") {
			t.Errorf("the verdict runs into the check: %s", line)
		}
	}
	if strings.Contains(plain, "Inside.") || strings.Contains(plain, "\x1b") {
		t.Errorf("passing readings and colours are for those who ask:\n%s", plain)
	}
	if all := text(report.Style{All: true}); !strings.Contains(all, "Inside.") || !strings.Contains(all, "Closed.") {
		t.Errorf("--all leaves readings out:\n%s", all)
	}
	if c := text(report.Style{Colour: true}); !strings.Contains(c, "\x1b[1;31m") || strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(c, "\x1b[1;31m", ""), "\x1b[0m", ""), "\x1b[35m", ""), "\x1b[1;35m", "") != plain {
		t.Errorf("colour changes more than the colour:\n%s", c)
	}
}

func TestSummaryCountsEachVerdict(t *testing.T) {
	var b bytes.Buffer
	run := report.Judged{Unassigned: []string{"stray.stl"}}
	for _, v := range []string{report.VerdictPass, report.VerdictFail, report.VerdictPass, report.VerdictUnreadable, report.VerdictBorderline} {
		run.Inserts = append(run.Inserts, report.Insert{Verdict: v})
	}
	if err := report.WriteSummaryText(&b, run, report.Style{}); err != nil {
		t.Fatal(err)
	}
	want := "5 inserts: 2 pass, 1 borderline, 1 fail, 1 unreadable\n"
	if !strings.HasPrefix(b.String(), want) || !strings.Contains(b.String(), "stray.stl") {
		t.Errorf("%q, want %q and the stray", b.String(), want)
	}
}

func TestReadingErrorsKeepCodeAndPlace(t *testing.T) {
	u := report.NewUnreadable("a.stl", &load.Error{File: "a.stl", Code: "truncated", Place: "byte 84", Says: "cut short"})
	if u.Error != (report.ErrorModel{Code: "truncated", Message: "cut short", At: "byte 84"}) {
		t.Errorf("%+v", u)
	}
	if u := report.NewUnreadable("a.stl", errors.New("odd")); u.Error.Code != "internal" || u.Error.Message != "odd" {
		t.Errorf("%+v", u)
	}
	o := outcomeOf()
	o.Err = &load.Error{File: "a.stl", Code: "truncated", Place: "byte 84", Says: "cut short"}
	in := report.NewInsert(o)
	if in.Verdict != report.VerdictUnreadable || len(in.Findings) != 1 || in.Findings[0].Check != "file.readable" || !strings.Contains(in.Findings[0].Says, "byte 84: cut short") || in.Findings[0].Value != nil {
		t.Errorf("%+v", in)
	}
}

func TestMeasuredInWords(t *testing.T) {
	cube := meshtest.Box(r3.Vector{}, r3.Vector{X: 1, Y: 2, Z: 3})
	text := func(m *mesh.Mesh) string {
		p := mesh.Part{Name: "cube", Mesh: m, Audit: mesh.NewAudit(m), Roundoff: tol.RoundoffDouble}
		var b bytes.Buffer
		if err := report.WriteMeasuredText(&b, report.NewMeasured("cube.stl", &mesh.Model{Format: "STL binary", Parts: []mesh.Part{p}})); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	for want, m := range map[string]*mesh.Mesh{
		"volume     6 ±": cube.Mesh, "area       22 ±": cube.Mesh, "1 solid in 1 shell, 12 triangles": cube.Mesh, "no unit stated": cube.Mesh, "size       1 x 2 x 3 mm": cube.Mesh,
		"3 open edges": cube.Without(0), "volume     none": cube.Without(0), "1 shell turned inside out": cube.InsideOut().Mesh,
	} {
		if got := text(m); !strings.Contains(got, want) {
			t.Errorf("no %q in:\n%s", want, got)
		}
	}
	if report.WriteMeasuredText(&bytes.Buffer{}, 12) == nil {
		t.Error("a number is no measured model")
	}
}

// What people read of a value and its bound: 1.1 mm known to 19 nm is 1.1 ±0.0001, never ±0.
func TestMeasuredRoundsTheBoundUp(t *testing.T) {
	value := func(v, u float64, unit string) string {
		return (&report.Finding{Value: &v, Uncertainty: &u, Unit: unit}).Measured()
	}
	for want, got := range map[string]string{
		"1.1 ±0.0001":   value(1.1, 0.000019, "mm"),
		"4.035 ±0.0011": value(4.03499, 0.00105, "mm"),
		"95.6 ±0.1":     value(95.561318, 0.000042, "%"),
		"8":             value(8, 0, "count"),
		"":              (&report.Finding{}).Measured(),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
