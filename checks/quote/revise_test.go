package quote

import (
	"slices"
	"testing"

	"pocketgauge/rules"
)

// A revision is quoted by the lines of a quote of the same takeoff that cut metal, each to the cent the
// same, and its totals are theirs.
func TestRevisionIsTheWorkAlone(t *testing.T) {
	rng := random(t)
	s := New(rules.DefaultRates())
	for range 10 {
		job := Job{Name: "x", Halves: pair(varied(rng, rules.Fixed), varied(rng, rules.Moving)).Halves[:1]}
		whole := quoted(t, s, job)
		change, err := s.Revise(job)
		if err != nil {
			t.Fatal(err)
		}
		checkSums(t, change)
		if len(change.Lines) == 0 || len(change.Lines) >= len(whole.Lines) || len(change.Notes) == 0 {
			t.Fatalf("%d lines of %d", len(change.Lines), len(whole.Lines))
		}
		for _, l := range change.Lines {
			if l.Operation == Contingency || l.Operation == Margin {
				continue
			}
			if slices.Contains(notRevised, l.Operation) {
				t.Errorf("a revision pays for %s", l.Operation)
			}
			if !slices.ContainsFunc(whole.Lines, func(o Line) bool {
				return o.Operation == l.Operation && o.Step == l.Step && o.Money.Likely.Equal(l.Money.Likely)
			}) {
				t.Errorf("%s %s: %v is no line of the whole quote", l.Operation, l.Step, l.Money)
			}
		}
		if !change.Price.Likely.LessThan(whole.Price.Likely) {
			t.Errorf("the change costs %v, the whole %v", change.Price.Likely, whole.Price.Likely)
		}
	}
}
