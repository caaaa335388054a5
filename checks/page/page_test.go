package page_test

import (
	"bytes"
	"html"
	"math"
	"regexp"
	"strings"
	"testing"

	"pocketgauge/checks/page"
	"pocketgauge/checks/report"
)

func TestPageHoldsTheWholeReport(t *testing.T) {
	run, sections := judged(t)
	var b bytes.Buffer
	if err := page.Write(&b, run, sections); err != nil {
		t.Fatal(err)
	}
	text := html.UnescapeString(b.String())
	verdicts := map[string]string{"sound.stl": "pass", "spoilt.stl": "fail", "torn.stl": "unreadable"}
	for _, in := range run.Inserts {
		if in.Verdict != verdicts[in.File] {
			t.Errorf("%s is %s, want %s", in.File, in.Verdict, verdicts[in.File])
		}
		for _, f := range in.Findings { // H2
			if !strings.Contains(text, f.Check) || (f.Verdict != report.VerdictPass && !strings.Contains(text, f.Says)) {
				t.Errorf("%s: the page lacks %s: %s", in.File, f.Check, f.Says)
			}
		}
	}
	// The wall between the pockets is 2 mm of 2.5, a fifth under its limit; the slot is wholly missing and
	// comes first.
	var order []string
	for _, f := range sections[1].Findings {
		order = append(order, f.Check)
		if f.AtMM != nil && (f.Number == 0 || f.CloseUp == "") {
			t.Errorf("%s has a place and no mark or picture", f.Check)
		}
	}
	if got := strings.Join(order, " "); !strings.HasPrefix(got, "zone.open") || !strings.Contains(got, "steel.wall") {
		t.Errorf("findings come as %s", got)
	}
	if again := written(t); !bytes.Equal(b.Bytes(), again) { // H1
		t.Error("a second run gave other bytes")
	}
}

func TestNamesStayText(t *testing.T) {
	data := written(t)
	if n := bytes.Count(data, []byte("<script>")); n != 1 {
		t.Errorf("%d scripts on the page, one is ours", n)
	}
	if bytes.Contains(data, []byte("<img src=x")) {
		t.Error("a picture came out of a name")
	}
	// Nothing on the page names a network.
	for _, m := range regexp.MustCompile(`(?:src|href|url)\s*[=(]\s*["']?([a-z]+:)`).FindAllSubmatch(data, -1) {
		if string(m[1]) != "data:" {
			t.Errorf("the page asks for %s", m[1])
		}
	}
}

func TestBar(t *testing.T) {
	f := func(v, u, l, margin float64, kind string) report.Finding {
		return report.Finding{Value: &v, Uncertainty: &u, Limit: &l, Margin: &margin, LimitKind: kind, Unit: "mm"}
	}
	// Value 2 ± 0.1 under a least of 2.5: the span 1.9 to 2.5 takes the middle four fifths, so a
	// millimetre is 100 / 0.75 percent and the ends are 1.825 and 2.575.
	b := page.BarOf(f(2, 0.1, 2.5, -0.5, "at least"))
	for name, pair := range map[string][2]float64{
		"value": {b.Value, 0.175 / 0.75 * 100}, "limit": {b.Limit, 0.675 / 0.75 * 100}, "from": {b.From, 10}, "to": {b.To, 0.275 / 0.75 * 100},
		"bad from": {b.BadFrom, 0}, "bad to": {b.BadTo, 90},
	} {
		if math.Abs(pair[0]-pair[1]) > 0.051 { // places are rounded to a tenth
			t.Errorf("%s is at %v, want %v", name, pair[0], pair[1])
		}
	}
	if want := "2 mm, at least 2.5 mm asked: past the limit by 0.5 mm"; b.Says != want {
		t.Errorf("says %q, want %q", b.Says, want)
	}
	if b := page.BarOf(f(1, 0, 3, 2, "at most")); b.BadFrom != b.Limit || b.BadTo != 100 || !strings.Contains(b.Says, "within the limit by 2 mm") {
		t.Errorf("an upper limit: %+v", b)
	}
	if page.BarOf(report.Finding{}) != nil {
		t.Error("a bar of nothing")
	}
}

func TestSectionsMustMatch(t *testing.T) {
	if err := page.Write(&bytes.Buffer{}, &report.Judged{Inserts: make([]report.Insert, 2)}, nil); err == nil {
		t.Error("a page without its sections was written")
	}
}

// An open surface leaves a score of checks without an answer: they stand together, each by its name.
func TestOneReasonStandsOnce(t *testing.T) {
	at := &[3]float64{1, 2, 3}
	f := func(check, verdict, says string) report.Finding {
		return report.Finding{Check: check, Verdict: verdict, Says: says}
	}
	open := "not judged: the model is not a closed solid"
	in := report.Insert{Findings: []report.Finding{
		f("zone.open", "not judged", open), f("steel.wall", "not judged", open), f("steel.wall", "not judged", open),
		f("cool.reach", "not judged", "not judged: no water"), f("draw.draft", report.VerdictFail, open), f("fit.seat", "not judged", open),
	}}
	in.Findings[5].AtMM = at // what has a place of its own stands for itself
	var got []string
	for _, s := range page.Said(in, "").Findings {
		got = append(got, s.Checks())
	}
	if want := "draw.draft|zone.open steel.wall|cool.reach|fit.seat"; strings.Join(got, "|") != want {
		t.Errorf("findings stand as %s, want %s", strings.Join(got, "|"), want)
	}
	var b bytes.Buffer
	if err := page.Write(&b, &report.Judged{Inserts: []report.Insert{in}}, []page.Section{page.Said(in, "")}); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(b.String(), "<option>steel.wall</option>"); n != 1 { // the filter knows it
		t.Errorf("steel.wall can be chosen %d times", n)
	}
}

// A page of thousands can still be opened: what each insert may take goes down with their number.
func TestLargePagesAreDrawnSmall(t *testing.T) {
	for n, want := range map[int]page.Options{
		1:    {MostTriangles: 40_000, MostCloseUps: 8},
		50:   {MostTriangles: 18_000, MostCloseUps: 8},
		300:  {MostTriangles: 3_000, MostCloseUps: 5},
		2000: {MostTriangles: 3_000, MostCloseUps: 1, Small: true},
	} {
		if got := page.For(n); got != want {
			t.Errorf("for %d inserts %+v, want %+v", n, got, want)
		}
	}
	in, judged := spoilt(t)
	one, small := page.Of(in, judged, page.For(1)), page.Of(in, judged, page.For(2000))
	if small.Model != "" || len(small.Strip) > 0 || small.Thumbnail == "" || small.Unshown != "" {
		t.Errorf("drawn small it has a model of %d bytes, %d pictures in a strip, a thumbnail of %d, and says %q", len(small.Model), len(small.Strip), len(small.Thumbnail), small.Unshown)
	}
	closeUps, bytes := 0, len(small.Thumbnail)
	for _, f := range small.Findings {
		if f.CloseUp != "" {
			closeUps++
			bytes += len(f.CloseUp)
		}
	}
	// Two thousand such sections stay under 100 MB; the thumbnail stands there twice.
	if most := 100_000_000 / 2000; closeUps != 1 || bytes+len(small.Thumbnail) > most {
		t.Errorf("%d close-ups and %d bytes of pictures, want 1 and no more than %d", closeUps, bytes, most)
	}
	if one.Model == "" || len(one.Strip) == 0 {
		t.Error("alone on a page it has no model or no strip")
	}
}
