// Package waive applies a file of waivers to the outcomes of a run: findings that somebody has
// accepted get the verdict "waived", with who, why and until when beside it, and the run is told
// which waivers expired or are needed no more.
//
// It changes verdicts and never a number, and it stands behind everything that measures or keeps
// results, for what holds today may not hold tomorrow.
//
// Invariants (the tests cite these numbers):
//
//	V1  what was not measured or not read is never waived
//	V2  a value that is proven worse than the accepted one is not waived: v + u below it where the
//	    limit is a least, v - u above it where it is a most
//	V3  a waiver of a place lets pass nothing further from it than it says, nor a finding without a
//	    place
//	V4  the order in which inserts are handed over changes nothing
package waive

import (
	"fmt"
	"time"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/report"
	"pocketgauge/rules"
	"pocketgauge/rules/quantity"
)

// Book is one file of waivers during one run. It is not for several goroutines at once.
type Book struct {
	waivers *rules.Waivers
	state   []report.Waiver
	expired []bool
}

// Open reads a file of waivers for a run on a day. Ids of checks are held against the catalogue and
// the ids in own, those of rules that frames bring themselves.
func Open(file string, day time.Time, own []string) (*Book, error) {
	w, err := rules.LoadWaivers(file)
	if err != nil {
		return nil, err
	}
	var known []string
	for _, c := range checks.Catalogue {
		known = append(known, c.ID)
	}
	err = w.Against(append(known, own...), dimensionOf)
	if err != nil {
		return nil, err
	}
	b := &Book{waivers: w}
	for i := range w.List {
		v := &w.List[i]
		b.state = append(b.state, report.Waiver{
			File: file, Line: v.Origin.Line, Check: v.Check.Value, Models: v.Models.Value,
			Who: v.Who.Value, Why: v.Why.Value, Until: v.Until.Format(time.DateOnly),
		})
		b.expired = append(b.expired, v.Expired(day))
	}
	return b, nil
}

// dimensionOf is what a check's values are; ok is false where it is not known here.
func dimensionOf(id string) (quantity.Dimension, bool) {
	c := checks.ByID(id)
	if c == nil {
		return quantity.Plain, false
	}
	q, ok := inItsUnit(1, string(c.Unit))
	return q.Dimension, ok
}

// inItsUnit is a value as a report prints it, as a quantity. Counts have no unit.
func inItsUnit(v float64, unit string) (quantity.Quantity, bool) {
	if unit == string(checks.Count) {
		unit = ""
	}
	q, err := quantity.Of(v, unit)
	return q, err == nil
}

// Apply waives what the book accepts of one insert, given by its path from the folder of the
// waiver file, and sets the insert's verdict anew.
func (b *Book) Apply(in *report.Insert, model string) {
	for i := range b.waivers.List {
		v := &b.waivers.List[i]
		if !v.Matches(v.Check.Value, model) {
			continue
		}
		b.state[i].Inserts++
		waived, unjudged := 0, len(in.Findings) > 0 && in.Findings[0].Check == checks.FileReadable.ID && in.Findings[0].Value == nil
		for j := range in.Findings {
			f := &in.Findings[j]
			if f.Check != v.Check.Value {
				continue
			}
			unjudged = unjudged || f.Value == nil
			if !b.expired[i] && accepts(v, f) {
				f.Waiver = &report.WaivedBy{Was: f.Verdict, Who: v.Who.Value, Why: v.Why.Value, Until: b.state[i].Until, File: b.waivers.File, Line: v.Origin.Line}
				f.Verdict, f.Mend = report.VerdictWaived, ""
				waived++
			}
		}
		b.state[i].Waives += waived
		if unjudged {
			b.state[i].Unjudged++
		}
	}
	in.Verdict = overall(in)
}

// accepts tells whether a waiver that matches the check and the model lets a finding pass.
func accepts(v *rules.Waiver, f *report.Finding) bool {
	switch f.Verdict {
	case report.VerdictFail, report.VerdictBorderline, report.VerdictWarn:
	default:
		return false // V1, and what another waiver has let pass already
	}
	if f.Value == nil || f.Uncertainty == nil {
		return false
	}
	if v.At.Set {
		if f.AtMM == nil {
			return false
		}
		if at := (r3.Vector{X: f.AtMM[0], Y: f.AtMM[1], Z: f.AtMM[2]}); at.Sub(v.At.At).Norm() > v.WithinMM.Value {
			return false
		}
	}
	if !v.Accepts.Set {
		return true
	}
	side := *f.Uncertainty
	if f.LimitKind == "at most" {
		side = -side
	}
	best, ok := inItsUnit(*f.Value+side, f.Unit)
	if !ok || best.Dimension != v.Dimension {
		return false
	}
	if f.LimitKind == "at most" {
		return best.Value <= v.Accepts.Value
	}
	return best.Value >= v.Accepts.Value
}

// overall is the verdict on an insert after waivers.
func overall(in *report.Insert) string {
	if in.Verdict == report.VerdictUnreadable {
		return in.Verdict
	}
	has := map[string]bool{}
	for i := range in.Findings {
		has[in.Findings[i].Verdict] = true
	}
	for _, c := range [][2]string{{report.VerdictFail, report.VerdictFail}, {report.VerdictNotJudged, report.VerdictUnreadable},
		{report.VerdictBorderline, report.VerdictBorderline}, {report.VerdictWaived, report.VerdictWaived}} {
		if has[c[0]] {
			return c[1]
		}
	}
	return report.VerdictPass
}

// States is what became of each waiver. whole is set where everything that the waivers could be for
// was judged, by every check: only then is an idle waiver known to be idle.
func (b *Book) States(whole bool) []report.Waiver {
	for i := range b.state {
		w := &b.state[i]
		w.Expired = b.expired[i]
		w.Settle(whole)
	}
	return b.state
}

// ParseDay reads a day of the calendar.
func ParseDay(text string) (time.Time, error) {
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return day, fmt.Errorf("%q is no day of the calendar; write it like 2027-03-31", text)
	}
	return day, nil
}
