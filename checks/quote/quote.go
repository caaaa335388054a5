package quote

import (
	"errors"
	"fmt"

	"pocketgauge/checks/takeoff"
	"pocketgauge/rules"
)

// Job is what is quoted in one: an insert of one half, or of a pair.
type Job struct {
	Name   string
	Halves []*takeoff.Takeoff
}

// Quote is what a job comes to.
type Quote struct {
	Name, Currency string
	Halves         []*takeoff.Takeoff
	// Lines are in the order of the work; those of contingency and margin are the last two.
	Lines []Line
	// Hours are the lines' sum; Cost is the money of all lines but margin, Price of all.
	Hours, Cost, Price Combination
	Delivery           Delivery
	// Notes are what a reader must know that no line says.
	Notes []string
}

// Names of the lines that follow from the others.
const (
	Contingency = "contingency"
	Margin      = "margin"
)

// Quote works out what a job comes to. The error names what of the takeoff the rates have no answer
// for; it is the caller's to put a file's name before it.
func (s *Shop) Quote(job Job) (*Quote, error) {
	lines, halves, err := s.work(job)
	if err != nil {
		return nil, err
	}
	q := &Quote{Name: job.Name, Currency: s.rates.Currency.Value, Halves: job.Halves, Lines: lines}
	q.Delivery = s.delivery(lines, s.outside(halves))
	s.price(q)
	for _, h := range halves {
		q.Notes = append(q.Notes, h.notes()...)
	}
	q.Notes = append(q.Notes, loose(lines)...)
	return q, nil
}

// work is the lines before contingency and margin.
func (s *Shop) work(job Job) ([]Line, []*half, error) {
	if len(job.Halves) == 0 {
		return nil, nil, errors.New("nothing to quote: the job has no insert")
	}
	var halves []*half
	for _, t := range job.Halves {
		h := &half{shop: s, t: t, steel: s.rates.Steel(t.Steel), name: halfName(t, len(job.Halves))}
		if h.steel == nil {
			return nil, nil, fmt.Errorf("the rates have no steel %q; list it under steels", t.Steel)
		}
		halves = append(halves, h)
	}
	var lines []Line
	var failed error
	add := func(l *Line, err error) {
		failed = errors.Join(failed, err)
		if l != nil && err == nil {
			lines = append(lines, *l)
		}
	}
	each := func(make func(h *half) (*Line, error)) {
		for _, h := range halves {
			add(make(h))
		}
	}
	add(s.design(halves))
	each((*half).material)
	each((*half).programming)
	each((*half).setting)
	each((*half).facing)
	each(func(h *half) (*Line, error) { return h.roughing(false) })
	each(func(h *half) (*Line, error) { return h.roughing(true) })
	each((*half).finishing)
	each(func(h *half) (*Line, error) { return h.drilling(false) })
	each(func(h *half) (*Line, error) { return h.drilling(true) })
	each((*half).hardening)
	for _, h := range halves {
		made, graphite, err := h.electrodes()
		add(made, err)
		add(graphite, nil)
	}
	each((*half).erosion)
	each((*half).grinding)
	each((*half).edges)
	each((*half).polishing)
	add(s.fitting(halves))
	each((*half).measuring)
	for _, l := range s.purchase(halves) {
		add(l, nil)
	}
	add(s.trial())
	add(s.corrections())
	if failed != nil {
		return nil, nil, failed
	}
	return lines, halves, nil
}

// halfName is what lines of a half are called.
func halfName(t *takeoff.Takeoff, halves int) string {
	switch {
	case t.Half == rules.Fixed || t.Half == rules.Moving:
		return string(t.Half)
	case halves == 1:
		return "insert"
	}
	return t.Name
}

// price adds contingency and margin and sums all up.
func (s *Shop) price(q *Quote) {
	sum := Span{}
	for _, l := range q.Lines {
		sum = sum.Plus(l.Money)
	}
	share := func(operation string, of Span, rate *rules.Limit) Span {
		d := s.draft(operation, "", "")
		k := number(d.use(rate))
		d.line.Money = of.at(k)
		d.line.Formula = fmt.Sprintf("%s %% of %s", k.Shift(2), of.Likely.StringFixed(places))
		q.Lines = append(q.Lines, d.line)
		return of.Plus(d.line.Money)
	}
	cost := share(Contingency, sum, &s.rates.Contingency)
	share(Margin, cost, &s.rates.Margin)
	q.Hours, q.Cost, q.Price = totals(q.Lines)
}

// totals adds lines up.
func totals(lines []Line) (hours, cost, price Combination) {
	var h, c, p []Span
	for _, l := range lines {
		h = append(h, l.Hours)
		if l.Operation != Margin {
			c = append(c, l.Money)
		}
		p = append(p, l.Money)
	}
	return combine(h), combine(c), combine(p)
}

func (h *half) notes() []string {
	var notes []string
	notes = append(notes, h.left()...)
	classed := false
	for _, f := range h.t.Finish {
		classed = classed || f.Class != ""
	}
	if !classed {
		notes = append(notes, h.name+": no surface has a finish, so nothing is polished.")
	}
	if h.t.OutsideMM3.Value > h.t.OutsideMM3.Error {
		notes = append(notes, fmt.Sprintf("%s: %s mm3 of the insert lie outside its blank; the quote is for what the blank can give.", h.name, short(h.t.OutsideMM3.Value)))
	}
	return notes
}

// left tells what no cutter reaches and nobody is asked to burn.
func (h *half) left() []string {
	var notes []string
	strips := h.t.LeftMM3.Value
	var why []string
	places, volume := map[string]int{}, map[string]float64{}
	for _, b := range h.t.Burns {
		if b.Left == "" {
			continue
		}
		strips -= b.VolumeMM3.Value
		if places[b.Left] == 0 {
			why = append(why, b.Left)
		}
		places[b.Left]++
		volume[b.Left] += b.VolumeMM3.Value
	}
	for _, w := range why {
		notes = append(notes, fmt.Sprintf("%s: %d x %s, %s mm3 in all, left as the cutter leaves it: not priced. Ask the customer where the part must be sharp.", h.name, places[w], w, short(volume[w])))
	}
	// A hundredth of a cubic millimetre is below what the takeoff's grid tells from nothing.
	if strips >= 0.01 {
		notes = append(notes, fmt.Sprintf("%s: %s mm3 left in chamfers, and in strips too narrow to tell from noise, are not priced.", h.name, short(strips)))
	}
	return notes
}

// loose tells the lines whose hours are known less well than they are large, because the takeoff does not
// tell what is left for their cutters from what its rays may have missed. A tenth of an hour is worth no
// note.
func loose(lines []Line) []string {
	var notes []string
	for i := range lines {
		l := &lines[i]
		likely, bound := 0.0, 0.0
		for _, p := range l.Parts {
			likely += p.Hours
			bound += p.ErrorHours
		}
		const worth = 0.1
		if bound > likely && bound > worth {
			notes = append(notes, fmt.Sprintf("%s %s, %s: the takeoff's bound alone is %s h, more than the line; the high figure takes in what the parts have themselves.", l.For, l.Operation, l.Step, short(bound)))
		}
	}
	return notes
}

// Batch is many jobs with one total.
type Batch struct {
	Quotes             []*Quote
	Hours, Cost, Price Combination
	Delivery           Delivery
}

// Total adds quotes up, in their order. The combination is over all lines of all quotes.
func (s *Shop) Total(quotes []*Quote) Batch {
	b := Batch{Quotes: quotes}
	var all []Line
	for _, q := range quotes {
		all = append(all, q.Lines...)
	}
	b.Hours, b.Cost, b.Price = totals(all)
	b.Delivery = s.together(quotes)
	return b
}

// Of is the part of a span that lines of one operation have.
func (q *Quote) Of(operation string) (hours, money Span) {
	for _, l := range q.Lines {
		if l.Operation == operation {
			hours, money = hours.Plus(l.Hours), money.Plus(l.Money)
		}
	}
	return hours, money
}
