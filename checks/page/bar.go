package page

import (
	"math"

	"pocketgauge/checks/report"
)

// Bar shows where a value lies beside its limit, in percent of the bar's length.
type Bar struct {
	// Limit and Value are places on the bar, From and To the ends of the value's uncertainty.
	Limit, Value, From, To float64
	// BadFrom and BadTo are the part of the bar on the wrong side of the limit.
	BadFrom, BadTo float64
	// Says is the same in words.
	Says string
}

// barOf lays the bar out: limit and value with its uncertainty lie within the middle four fifths,
// and the scale is the same to both sides.
func barOf(f report.Finding) *Bar {
	if f.Value == nil || f.Limit == nil || f.Margin == nil {
		return nil
	}
	spread := 0.0
	if f.Uncertainty != nil {
		spread = *f.Uncertainty
	}
	v, l := *f.Value, *f.Limit
	lo, hi := min(v-spread, l), max(v+spread, l)
	if span := hi - lo; span > 0 {
		const margin = 1.0 / 8
		lo, hi = lo-span*margin, hi+span*margin
	} else {
		lo, hi = lo-1, hi+1 // at the limit exactly: in the middle
	}
	at := func(x float64) float64 {
		const percent, places = 100, 10
		return math.Round((x-lo)/(hi-lo)*percent*places) / places
	}
	b := &Bar{Limit: at(l), Value: at(v), From: at(v - spread), To: at(v + spread), BadFrom: at(l), BadTo: 100}
	if f.LimitKind == "at least" {
		b.BadFrom, b.BadTo = 0, at(l)
	}
	by := math.Abs(*f.Margin)
	side := "within the limit by "
	if *f.Margin < 0 {
		side = "past the limit by "
	}
	u := unit(f.Unit)
	b.Says = number(&v) + u + ", " + f.LimitKind + " " + number(&l) + u + " asked: " + side + number(&by) + u
	return b
}

// Width is the length of the bad part, Spread that of the uncertainty.
func (b *Bar) Width() float64  { return b.BadTo - b.BadFrom }
func (b *Bar) Spread() float64 { return b.To - b.From }

// past is how far a finding is past its limit, as a share of the limit; negative within it.
func past(f report.Finding) float64 {
	if f.Margin == nil || f.Limit == nil {
		return math.Inf(1) // what could not be measured stands before what was
	}
	if *f.Limit == 0 {
		return -*f.Margin
	}
	return -*f.Margin / math.Abs(*f.Limit)
}
