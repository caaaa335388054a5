// Package page writes a run as one HTML file for people: a grid of pictures with verdicts, and for
// each insert its findings with value, limit and margin, a close-up of each place, and the insert
// itself to turn and cut.
//
// The file holds all it needs and asks no network for anything; a content security policy in it says
// so to the browser. Without scripts it is still whole, but for the turnable view and the filters.
// What a file or a product is called is text and stays text. Pictures show and measure nothing: every
// number on the page is one of the report's.
//
// Invariants (the tests cite these numbers):
//
//	H1  the same run and models give the same bytes
//	H2  every finding of the report stands on the page, with its verdict as a word
//	H3  no colour says what no word or shape says
package page

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"pocketgauge/checks"
	"pocketgauge/checks/report"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

var layout = template.Must(template.New("page").Funcs(template.FuncMap{
	"number": number, "slug": slug, "plural": plural, "place": place, "measured": measured, "unit": unit,
}).Parse(pageHTML))

// view is what the template sees.
type view struct {
	Run      *report.Judged
	Sections []Section
	Counts   []count
	Checks   []string
	Waivers  []waiverNote
	CSS      template.CSS
	JS       template.JS
	Tones    string // of layers, as JSON
	Small    bool   // the sections have no models to turn, for there are too many
}

// waiverNote is a waiver that is a finding itself.
type waiverNote struct {
	*report.Finding
	At string
}

type count struct {
	Verdict string
	N       int
}

// order is that of verdicts, gravest first.
var order = []string{report.VerdictFail, report.VerdictUnreadable, report.VerdictNotJudged, report.VerdictBorderline, "warn", "waived", report.VerdictPass}

func rank(verdict string) int {
	if i := slices.Index(order, verdict); i >= 0 {
		return i
	}
	return len(order)
}

// Write puts a run with its sections, one for each of run.Inserts and in their order, on one page.
func Write(w io.Writer, run *report.Judged, sections []Section) error {
	if len(sections) != len(run.Inserts) {
		return fmt.Errorf("page: %d sections for %d inserts", len(sections), len(run.Inserts))
	}
	v := view{Run: run, Sections: sections, CSS: template.CSS(pageCSS), JS: template.JS(pageJS), Small: For(len(sections)).Small}
	tones, err := json.Marshal(map[string]any{"ramp": ramp, "kinds": kindTones})
	if err != nil {
		return fmt.Errorf("page: %w", err)
	}
	v.Tones = string(tones)
	n := map[string]int{}
	seen := map[string]bool{}
	for _, s := range sections {
		n[s.Insert.Verdict]++
		for _, f := range s.Findings {
			for _, id := range append([]string{f.Check}, f.Also...) {
				if !seen[id] {
					seen[id] = true
					v.Checks = append(v.Checks, id)
				}
			}
		}
	}
	slices.Sort(v.Checks)
	for i := range run.Waivers {
		w := &run.Waivers[i]
		if f := w.Finding(); f != nil {
			v.Waivers = append(v.Waivers, waiverNote{f, fmt.Sprintf("%s:%d", w.File, w.Line)})
		}
	}
	for verdict := range n {
		v.Counts = append(v.Counts, count{verdict, n[verdict]})
	}
	slices.SortFunc(v.Counts, func(a, b count) int { return rank(a.Verdict) - rank(b.Verdict) })
	if err := layout.Execute(w, v); err != nil {
		return fmt.Errorf("page: %w", err)
	}
	return nil
}

func number(x *float64) string {
	if x == nil {
		return "–"
	}
	return report.Decimal(*x, shownDecimals)
}

// shownDecimals: a tenth of a micrometre is finer than anyone reads off a page.
const shownDecimals = 4

// measured is a value with its uncertainty.
func measured(f report.Finding) string {
	switch {
	case f.Value == nil:
		return "–"
	case f.Uncertainty == nil:
		return number(f.Value)
	}
	return f.Measured()
}

// unit stands behind a figure; a number of things and a ratio have none to show.
func unit(u string) string {
	switch u {
	case "", string(checks.Count), string(checks.Plain):
		return ""
	}
	return " " + u
}

// slug is a verdict as a CSS class.
func slug(verdict string) string { return strings.ReplaceAll(verdict, " ", "-") }

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func place(at *[3]float64) string {
	if at == nil {
		return ""
	}
	return report.Point(*at)
}
