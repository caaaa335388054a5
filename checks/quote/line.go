package quote

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"pocketgauge/rules"
)

// Line is one line of a quote: some hours at a machine, or something bought.
type Line struct {
	// Operation is what hours are booked on, Step what of it: "milling", "roughing".
	Operation, Step string
	// For is the half's name, "" for lines of the whole job.
	For string
	// Machine is where the hours are booked, "" for lines of money alone; Rate is what one costs.
	Machine string
	Rate    decimal.Decimal
	Hours   Span
	Money   Span
	// Parts are what the hours are made of; their sum is the likely hours before rounding.
	Parts []Part
	// Formula says in numbers where the money of a line without hours comes from.
	Formula string
	// Keys are the rates on which the line depends, in the order of the reference table.
	Keys []string
}

// Part is a share of a line's hours that follows from one rate above all.
type Part struct {
	Formula string
	Hours   float64
	// ErrorHours is the takeoff's bound on its error, in hours.
	ErrorHours float64
	// Key is the rate to which the hours are proportional or, where Inverse is set, inverse.
	Key     string
	Inverse bool
}

// Origin is all parts' formulas in one text.
func (l *Line) Origin() string {
	if len(l.Parts) == 0 {
		return l.Formula
	}
	all := make([]string, len(l.Parts))
	for i, p := range l.Parts {
		all[i] = p.Formula
	}
	return strings.Join(all, "; ")
}

// Shop quotes by one set of rates.
type Shop struct {
	rates *rules.Rates
	// path and order of each number, so that a line can say on which it depends without anybody
	// writing the keys a second time.
	path  map[*rules.Limit]string
	order map[string]int
}

// New is a shop that works by rates, which must not be changed while it is used.
func New(rates *rules.Rates) *Shop {
	s := &Shop{rates: rates, path: map[*rules.Limit]string{}, order: map[string]int{}}
	rates.EachNumber(func(path string, l *rules.Limit) {
		s.path[l] = path
		s.order[path] = len(s.order)
	})
	return s
}

// Rates are what the shop works by.
func (s *Shop) Rates() *rules.Rates { return s.rates }

// draft is a line in the making.
type draft struct {
	shop *Shop
	line Line
}

func (s *Shop) draft(operation, step, of string) *draft {
	return &draft{shop: s, line: Line{Operation: operation, Step: step, For: of}}
}

// use is a rate's value, noted among the line's keys.
func (d *draft) use(l *rules.Limit) float64 {
	if path := d.shop.path[l]; path != "" && !slices.Contains(d.line.Keys, path) {
		d.line.Keys = append(d.line.Keys, path)
	}
	return l.Value
}

// hours of a time in a rate.
func (d *draft) hours(l *rules.Limit) float64 { return d.use(l) / 3600 }

// part adds hours that are proportional to a rate, or inverse to it.
func (d *draft) part(handle *rules.Limit, inverse bool, hours, errorHours float64, format string, args ...any) {
	d.use(handle)
	if hours == 0 {
		return
	}
	d.line.Parts = append(d.line.Parts, Part{Formula: fmt.Sprintf(format, args...), Hours: hours, ErrorHours: errorHours, Key: d.shop.path[handle], Inverse: inverse})
}

// each adds a number of things at so long each.
func (d *draft) each(n float64, what string, time *rules.Limit) {
	h := d.hours(time)
	d.part(time, false, n*h, 0, "%s x %s h %s", short(n), short(h), what)
}

// close makes the line, nil where it has no hours.
func (d *draft) close(machine rules.Text, spread *rules.Spread) (*Line, error) {
	likely, bound := 0.0, 0.0
	for _, p := range d.line.Parts {
		likely += p.Hours
		// A volume that is known worse than it is large says nothing of its hours: a bound beyond them would
		// be the count's and no forecast. The notes tell where that is.
		bound += min(p.ErrorHours, p.Hours)
	}
	if sum := likely + bound; math.IsInf(sum, 0) || math.IsNaN(sum) {
		return nil, fmt.Errorf("%s, %s: the hours are no number", d.line.Operation, d.line.Step)
	}
	if !(likely > 0) {
		return nil, nil
	}
	m := d.shop.rates.Machine(machine.Value)
	if m == nil {
		return nil, fmt.Errorf("%s names no machine of the rates: %q", d.line.Operation, machine.Value)
	}
	d.line.Machine = m.Name.Value
	d.line.Rate = number(d.use(&m.HourlyRate))
	low, high := d.use(&spread.Low), d.use(&spread.High)
	d.line.Hours = spanOf(max(likely-bound, 0)*low, likely, (likely+bound)*high)
	d.line.Money = d.line.Hours.at(d.line.Rate)
	d.sortKeys()
	return &d.line, nil
}

// bought makes a line of money without hours.
func (d *draft) bought(likely decimal.Decimal, spread *rules.Spread, format string, args ...any) *Line {
	likely = likely.Round(places)
	d.line.Money = Span{likely, likely, likely}
	if spread != nil {
		d.line.Money.Low = likely.Mul(number(d.use(&spread.Low))).Round(places)
		d.line.Money.High = likely.Mul(number(d.use(&spread.High))).Round(places)
	}
	d.line.Formula = fmt.Sprintf(format, args...)
	d.sortKeys()
	return &d.line
}

func (d *draft) sortKeys() {
	slices.SortFunc(d.line.Keys, func(a, b string) int { return d.shop.order[a] - d.shop.order[b] })
}

// short is a number with four figures, as formulas show it.
func short(v float64) string {
	const figures = 4
	a := math.Abs(v)
	if a == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	decimals := max(figures-1-int(math.Floor(math.Log10(a))), 0)
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
