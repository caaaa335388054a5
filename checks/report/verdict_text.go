package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"pocketgauge/checks"
)

// Style says how text may look.
type Style struct {
	// Colour is for terminals only.
	Colour bool
	// All lists passing checks too.
	All bool
}

// The colours of verdicts are the terminal's own, and the word always stands beside them.
func (s Style) paint(verdict, text string) string {
	if !s.Colour {
		return text
	}
	code := map[string]string{VerdictFail: "1;31", VerdictBorderline: "1;33", "warn": "33", VerdictUnreadable: "1;35", "not judged": "35", VerdictPass: "32", VerdictWaived: "36"}[verdict]
	if code == "" {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

// WriteInsertText prints one insert's outcome for people: the verdict, then what is wrong, each
// with value, limit, place and mend, then how near the rest came.
func WriteInsertText(w io.Writer, in Insert, style Style) error {
	var b strings.Builder
	title := printable(in.File)
	if in.Name != "" && in.Name != in.File {
		title = printable(in.Name) + "  " + title
	}
	fmt.Fprintf(&b, "%s  %s\n", style.paint(in.Verdict, padRight(strings.ToUpper(in.Verdict), 12)), title)
	fmt.Fprintf(&b, "%14s%s half, frame %s\n", "", in.Half, printable(in.Frame))
	passed, nearest := 0, -1
	for i, f := range in.Findings {
		if f.Verdict == VerdictPass && !style.All {
			passed++
			if f.Margin != nil && f.Limit != nil && *f.Limit != 0 && f.Unit != string(checks.Count) && (nearest < 0 || closeness(f) < closeness(in.Findings[nearest])) {
				nearest = i
			}
			continue
		}
		if unjudged(f) {
			// One cause, said once: an open surface leaves a dozen checks without an answer.
			if i == 0 || !unjudged(in.Findings[i-1]) || in.Findings[i-1].Says != f.Says {
				writeUnjudged(&b, in.Findings[i:], style)
			}
			continue
		}
		writeFinding(&b, f, style)
	}
	if passed > 0 {
		fmt.Fprintf(&b, "%14s%s", "", passes(passed))
		if nearest >= 0 {
			f := in.Findings[nearest]
			fmt.Fprintf(&b, "; nearest to its limit: %s, %s %s (%s %s)", name(f), plain(*f.Value, f.Unit), f.Unit, f.LimitKind, plain(*f.Limit, f.Unit))
		}
		b.WriteString("\n")
	}
	b.WriteString("\n")
	_, err := io.WriteString(w, b.String())
	return err
}

func passes(n int) string {
	if n == 1 {
		return "1 reading passes"
	}
	return fmt.Sprintf("%d readings pass", n)
}

// closeness is the margin in proportion to the limit, so that millimetres and shares compare.
func closeness(f Finding) float64 {
	scale := max(*f.Limit, -*f.Limit)
	if scale == 0 {
		scale = 1
	}
	return *f.Margin / scale
}

func name(f Finding) string {
	if f.Of == "" {
		return f.Check
	}
	return f.Check + " [" + printable(f.Of) + "]"
}

func writeFinding(b *strings.Builder, f Finding, style Style) {
	const indent = 14
	fmt.Fprintf(b, "  %s%s", style.paint(f.Verdict, padRight(f.Verdict, indent-2)), name(f))
	if f.Value != nil && f.Unit != "count" {
		fmt.Fprintf(b, "  %s %s", plain(*f.Value, f.Unit), f.Unit)
		if f.Limit != nil {
			fmt.Fprintf(b, "  (%s %s; %s)", f.LimitKind, plain(*f.Limit, f.Unit), marginText(f))
		}
	}
	if f.AtMM != nil {
		fmt.Fprintf(b, "  at %s", Point(*f.AtMM))
	}
	b.WriteString("\n")
	writeWrapped(b, indent, f.Says)
	if f.Waiver != nil {
		writeWrapped(b, indent, "Was "+f.Waiver.Was+". "+f.Waiver.Sentence())
	} else if f.Mend != "" && f.Verdict != VerdictPass {
		writeWrapped(b, indent, "Mend: "+f.Mend)
	}
}

func unjudged(f Finding) bool { return f.Verdict == "not judged" }

// writeUnjudged prints the first of the findings with all that follow it and were not judged for the
// same reason.
func writeUnjudged(b *strings.Builder, list []Finding, style Style) {
	const indent = 14
	names := name(list[0])
	for _, f := range list[1:] {
		if !unjudged(f) || f.Says != list[0].Says {
			break
		}
		names += ", " + name(f)
	}
	var wrapped strings.Builder
	writeWrapped(&wrapped, indent, names)
	fmt.Fprintf(b, "  %s%s", style.paint("not judged", padRight("not judged", indent-2)), strings.TrimLeft(wrapped.String(), " "))
	writeWrapped(b, indent, list[0].Says)
}

func marginText(f Finding) string {
	u := ""
	if f.Uncertainty != nil && *f.Uncertainty > 0 {
		u = fmt.Sprintf(", known to ±%s", plainBound(*f.Uncertainty, f.Unit))
	}
	if *f.Margin < 0 {
		return fmt.Sprintf("%s beyond%s", plain(-*f.Margin, f.Unit), u)
	}
	return fmt.Sprintf("%s to spare%s", plain(*f.Margin, f.Unit), u)
}

// plainBound prints a bound with the decimals of plain, rounded up: a bound is never nothing.
func plainBound(u float64, unit string) string {
	scale := 100.0
	switch unit {
	case "mm":
		scale = 10000
	case "%", "deg":
		scale = 10
	}
	return plain(math.Ceil(u*scale)/scale, unit)
}

// Measured is the value with its bound as people read them, without the unit: no digits that say more
// than a tenth of a micrometre, and a bound rounded up.
func (f *Finding) Measured() string {
	if f.Value == nil {
		return ""
	}
	if f.Uncertainty == nil || *f.Uncertainty <= 0 {
		return plain(*f.Value, f.Unit)
	}
	return plain(*f.Value, f.Unit) + " ±" + plainBound(*f.Uncertainty, f.Unit)
}

// plain prints a value as a person at a machine would say it: micrometres for lengths, a tenth
// of a per cent.
func plain(x float64, unit string) string {
	switch unit {
	case "mm":
		return Decimal(x, 4)
	case "%", "deg":
		return Decimal(x, 1)
	}
	return Decimal(x, 2)
}

// lineWidth keeps the report readable in a window of the usual 80 to 100 columns.
const lineWidth = 96

func writeWrapped(b *strings.Builder, indent int, text string) {
	pad := strings.Repeat(" ", indent)
	line := pad
	for _, word := range strings.Fields(text) {
		word = printable(word)
		if utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > lineWidth && strings.TrimSpace(line) != "" {
			b.WriteString(line + "\n")
			line = pad
		}
		if strings.TrimSpace(line) != "" {
			line += " "
		}
		line += word
	}
	b.WriteString(line + "\n")
}

// writeWrappedFrom wraps text that begins with a head of its own.
func writeWrappedFrom(b *strings.Builder, head, text string) {
	var lines strings.Builder
	writeWrapped(&lines, 4, head+text)
	b.WriteString(strings.TrimLeft(lines.String(), " "))
}

func padRight(s string, n int) string {
	return s + strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s)))
}

// WriteSummaryText ends a run: how many of each verdict, what is the matter with the waivers, and
// what no entry names.
func WriteSummaryText(w io.Writer, r Judged, style Style) error {
	tally := map[string]int{}
	for _, in := range r.Inserts {
		tally[in.Verdict]++
	}
	var parts []string
	for _, v := range []string{VerdictPass, VerdictWaived, VerdictBorderline, VerdictFail, VerdictUnreadable} {
		if tally[v] > 0 {
			parts = append(parts, style.paint(v, fmt.Sprintf("%d %s", tally[v], v)))
		}
	}
	var b strings.Builder
	if len(parts) == 0 {
		parts = []string{"nothing to judge"}
	}
	fmt.Fprintf(&b, "%s: %s\n", count(len(r.Inserts), "insert"), strings.Join(parts, ", "))
	for i := range r.Waivers {
		v := &r.Waivers[i]
		if f := v.Finding(); f != nil {
			fmt.Fprintf(&b, "%s: %s:%d: %s %s %s\n", style.paint(f.Verdict, f.Verdict), printable(v.File), v.Line, f.Check, printable(f.Says), f.Mend)
		}
	}
	if len(r.Skipped) > 0 {
		writeWrappedFrom(&b, "not judged, left out on request: ", leftOut(r.Skipped))
	}
	for _, u := range r.Unassigned {
		fmt.Fprintf(&b, "not judged, no entry of the workspace names it: %s\n", printable(u))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// leftOut names the checks that were left out, as far as a person still reads them.
func leftOut(ids []string) string {
	const most = 12
	if len(ids) > most {
		return fmt.Sprintf("%d checks (json lists them)", len(ids))
	}
	return strings.Join(ids, ", ")
}
