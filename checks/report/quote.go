package report

import (
	"fmt"
	"math"

	"github.com/shopspring/decimal"

	"pocketgauge/checks/quote"
	"pocketgauge/checks/takeoff"
	"pocketgauge/rules"
)

// Quoted is what quote prints with --format json. Money and hours are decimal strings with two
// places: what a program adds up is then what is printed.
type Quoted struct {
	Tool     string        `json:"tool"`
	Rates    Source        `json:"rates"`
	Shop     string        `json:"shop"`
	Currency string        `json:"currency"`
	Jobs     []any         `json:"jobs"` // QuotedJob or Unreadable
	Total    *QuotedTotals `json:"total,omitempty"`
}

// QuotedJob is one insert or pair.
type QuotedJob struct {
	Name      string           `json:"name"`
	Halves    []QuotedHalf     `json:"halves"`
	Lines     []QuotedLine     `json:"lines"`
	Total     QuotedTotals     `json:"total"`
	Notes     []string         `json:"notes"`
	Dedicated *QuotedDedicated `json:"dedicated,omitempty"`
}

// QuotedHalf names what was measured.
type QuotedHalf struct {
	File      string `json:"file"`
	Name      string `json:"name"`
	SHA256    string `json:"sha256"`
	Half      string `json:"half"`
	Frame     string `json:"frame"`
	Steel     string `json:"steel"`
	BlankKG   Figure `json:"blank_kg"`
	RemoveMM3 Figure `json:"remove_mm3"`
}

// QuotedLine is one line with where it comes from.
type QuotedLine struct {
	Operation string   `json:"operation"`
	Step      string   `json:"step"`
	Half      string   `json:"half"`
	Machine   string   `json:"machine"`
	Rate      *string  `json:"rate"`
	Hours     *Spanned `json:"hours"`
	Money     Spanned  `json:"money"`
	Origin    string   `json:"origin"`
	Keys      []string `json:"keys"`
}

// Spanned is a low, a likely and a high figure.
type Spanned struct {
	Low    string `json:"low"`
	Likely string `json:"likely"`
	High   string `json:"high"`
}

// Summed is a sum of lines: together as promised, and what lines that miss independently would give.
type Summed struct {
	Spanned
	Expected  float64 `json:"expected"`
	ApartLow  float64 `json:"apart_low"`
	ApartHigh float64 `json:"apart_high"`
}

// QuotedTotals are the sums of a job or of all jobs.
type QuotedTotals struct {
	Jobs     int            `json:"jobs"`
	Hours    Summed         `json:"hours"`
	Cost     Summed         `json:"cost"`
	Price    Summed         `json:"price"`
	Delivery QuotedDelivery `json:"delivery"`
}

// QuotedDelivery is how long the work takes.
type QuotedDelivery struct {
	LowWeeks     float64      `json:"low_weeks"`
	LikelyWeeks  float64      `json:"likely_weeks"`
	HighWeeks    float64      `json:"high_weeks"`
	Critical     string       `json:"critical"`
	OutsideWeeks float64      `json:"outside_weeks"`
	Loads        []QuotedLoad `json:"loads"`
}

// QuotedLoad is how long a machine is busy.
type QuotedLoad struct {
	Machine     string  `json:"machine"`
	Hours       float64 `json:"hours"`
	WeeklyHours float64 `json:"weekly_hours"`
	Weeks       float64 `json:"weeks"`
}

// QuotedDedicated is the same detail as a mould of its own.
type QuotedDedicated struct {
	Lines  []QuotedLine `json:"lines"`
	Total  QuotedTotals `json:"total"`
	Design Compared     `json:"design_hours"`
	Build  Compared     `json:"hours"`
	Price  Compared     `json:"price"`
	Weeks  Compared     `json:"weeks"`
	Life   QuotedLife   `json:"life"`
}

// Compared are the likely figures of both.
type Compared struct {
	Insert string `json:"insert"`
	Mould  string `json:"mould"`
}

// QuotedLife is the payback over the part's life.
type QuotedLife struct {
	Years           float64  `json:"years"`
	BatchesAYear    float64  `json:"batches_a_year"`
	Batches         float64  `json:"batches"`
	Outlay          Compared `json:"outlay"`
	FrameShare      string   `json:"frame_share"`
	ChangeOverHours Compared `json:"change_over_hours"`
	PerBatch        Compared `json:"per_batch"`
	Total           Compared `json:"total"`
	Saving          string   `json:"saving"`
	BreakEven       string   `json:"break_even"`
	FromBatch       *int     `json:"from_batch"`
	UpToBatch       *int     `json:"up_to_batch"`
	FrameInserts    int      `json:"inserts_that_pay_the_frame"`
}

func fixed(d decimal.Decimal) string { return d.StringFixed(2) }

func spanned(s quote.Span) Spanned { return Spanned{fixed(s.Low), fixed(s.Likely), fixed(s.High)} }

// cents rounds what is no sum of lines as money is rounded.
func cents(v float64) float64 { return math.Round(v*100) / 100 }

func summed(c quote.Combination) Summed {
	return Summed{spanned(c.Span), cents(c.Expected), cents(c.ApartLow), cents(c.ApartHigh)}
}

// NewQuotedJob puts a quote in the form of the report.
func NewQuotedJob(q *quote.Quote) QuotedJob {
	j := QuotedJob{Name: q.Name, Lines: newQuotedLines(q.Lines), Notes: q.Notes, Total: totalsOf(1, q.Hours, q.Cost, q.Price, q.Delivery)}
	if j.Notes == nil {
		j.Notes = []string{}
	}
	for _, t := range q.Halves {
		j.Halves = append(j.Halves, newQuotedHalf(t))
	}
	return j
}

// NewQuotedTotals are the sums of a batch.
func NewQuotedTotals(b quote.Batch) QuotedTotals {
	return totalsOf(len(b.Quotes), b.Hours, b.Cost, b.Price, b.Delivery)
}

func totalsOf(jobs int, hours, cost, price quote.Combination, d quote.Delivery) QuotedTotals {
	t := QuotedTotals{Jobs: jobs, Hours: summed(hours), Cost: summed(cost), Price: summed(price),
		Delivery: QuotedDelivery{cents(d.Weeks[0]), cents(d.Weeks[1]), cents(d.Weeks[2]), d.Critical, d.OutsideWeeks, []QuotedLoad{}}}
	for _, l := range d.Loads {
		t.Delivery.Loads = append(t.Delivery.Loads, QuotedLoad{l.Machine, cents(l.Hours), cents(l.Weekly), cents(l.Weeks)})
	}
	return t
}

func newQuotedHalf(t *takeoff.Takeoff) QuotedHalf {
	m := t.Mass(t.BlankMM3)
	return QuotedHalf{
		File: t.File, Name: t.Name, SHA256: t.SHA256, Half: halfName(t.Half), Frame: t.Frame, Steel: t.Steel,
		BlankKG:   Figure{*rounded(m.Value, m.Error), *rounded(m.Error, m.Error)},
		RemoveMM3: Figure{*rounded(t.RemoveMM3.Value, t.RemoveMM3.Error), *rounded(t.RemoveMM3.Error, t.RemoveMM3.Error)},
	}
}

func newQuotedLines(lines []quote.Line) []QuotedLine {
	var all []QuotedLine
	for i := range lines {
		l := &lines[i]
		q := QuotedLine{Operation: l.Operation, Step: l.Step, Half: l.For, Machine: l.Machine, Money: spanned(l.Money), Origin: l.Origin(), Keys: l.Keys}
		if l.Machine != "" {
			rate, hours := fixed(l.Rate), spanned(l.Hours)
			q.Rate, q.Hours = &rate, &hours
		}
		all = append(all, q)
	}
	return all
}

// NewQuotedDedicated puts the comparison in the form of the report.
func NewQuotedDedicated(d *quote.Dedicated) *QuotedDedicated {
	insertDesign, _ := d.Insert.Of("design")
	mouldDesign, _ := d.Of("design")
	two := func(a, b decimal.Decimal) Compared { return Compared{fixed(a), fixed(b)} }
	plain := func(a, b float64) Compared { return Compared{Decimal(a, 2), Decimal(b, 2)} }
	l := d.Life
	q := &QuotedDedicated{
		Lines: newQuotedLines(d.Lines), Total: totalsOf(1, d.Hours, d.Cost, d.Price, d.Delivery),
		Design: two(insertDesign.Likely, mouldDesign.Likely), Build: two(d.Insert.Hours.Likely, d.Hours.Likely),
		Price: two(d.Insert.Price.Likely, d.Price.Likely), Weeks: plain(d.Insert.Delivery.Weeks[1], d.Delivery.Weeks[1]),
		Life: QuotedLife{
			Years: l.Years, BatchesAYear: l.BatchesAYear, Batches: l.Batches, Outlay: two(l.InsertOutlay, l.MouldOutlay), FrameShare: fixed(l.FrameShare),
			ChangeOverHours: plain(l.InsertHours, l.MouldHours), PerBatch: two(l.InsertPerBatch, l.MouldPerBatch), Total: two(l.InsertTotal, l.MouldTotal),
			Saving: fixed(l.Saving), BreakEven: l.BreakEven.Words(), FrameInserts: l.FrameInserts,
		},
	}
	if b := l.BreakEven; b.From > 0 {
		q.Life.FromBatch = &b.From
	}
	if b := l.BreakEven; b.UpTo > 0 {
		q.Life.UpToBatch = &b.UpTo
	}
	return q
}

// CustomerQuote is what a customer reads: the price and the time, and nothing of what the shop's work
// costs it.
type CustomerQuote struct {
	Tool     string        `json:"tool"`
	Shop     string        `json:"shop"`
	Currency string        `json:"currency"`
	Jobs     []CustomerJob `json:"jobs"`
	Total    CustomerTotal `json:"total"`
}

// CustomerJob is one insert or pair.
type CustomerJob struct {
	Name    string           `json:"name"`
	Inserts []CustomerInsert `json:"inserts"`
	// Included is the work in words.
	Included []string `json:"included"`
	Price    string   `json:"price"`
	// Weeks from order, in whole weeks: likely and at most.
	Weeks     int `json:"weeks"`
	MostWeeks int `json:"most_weeks"`
}

// CustomerInsert is one half.
type CustomerInsert struct {
	Name        string     `json:"name"`
	Half        string     `json:"half"`
	Frame       string     `json:"frame"`
	Steel       string     `json:"steel"`
	BlankSizeMM [3]float64 `json:"blank_size_mm"`
}

// CustomerTotal is the sum over the jobs.
type CustomerTotal struct {
	Jobs      int    `json:"jobs"`
	Price     string `json:"price"`
	Weeks     int    `json:"weeks"`
	MostWeeks int    `json:"most_weeks"`
}

// wholeWeeks rounds up: a customer plans by weeks.
func wholeWeeks(w float64) int { return int(math.Ceil(w)) }

// NewCustomerQuote is a batch as the customer reads it.
func NewCustomerQuote(tool, shop, currency string, b quote.Batch) CustomerQuote {
	c := CustomerQuote{Tool: tool, Shop: shop, Currency: currency, Jobs: []CustomerJob{},
		Total: CustomerTotal{len(b.Quotes), fixed(b.Price.Likely), wholeWeeks(b.Delivery.Weeks[1]), wholeWeeks(b.Delivery.Weeks[2])}}
	for _, q := range b.Quotes {
		j := CustomerJob{Name: q.Name, Included: included(q), Price: fixed(q.Price.Likely), Weeks: wholeWeeks(q.Delivery.Weeks[1]), MostWeeks: wholeWeeks(q.Delivery.Weeks[2])}
		for _, t := range q.Halves {
			size := func(v float64) float64 { return *rounded(v, placeError) }
			j.Inserts = append(j.Inserts, CustomerInsert{t.Name, halfName(t.Half), t.Frame, t.Steel, [3]float64{size(t.BlankSizeMM.X), size(t.BlankSizeMM.Y), size(t.BlankSizeMM.Z)}})
		}
		c.Jobs = append(c.Jobs, j)
	}
	return c
}

// sold is what an operation is called to whom it is sold.
var sold = []struct{ operation, words string }{
	{"design", "design"}, {"material", "steel"}, {"milling", "milling"}, {"drilling", "drilling"}, {"heat treatment", "hardening"}, {"grinding", "grinding to the pocket"},
	{"erosion", "spark erosion with its electrodes"}, {"polishing", "polishing"}, {"fitting", "fitting"}, {"measuring", "inspection report"},
	{"purchase", "screws, pins and other bought parts"}, {"trial", "trial in the press and corrections"},
}

func included(q *quote.Quote) []string {
	var words []string
	for _, s := range sold {
		for i := range q.Lines {
			if q.Lines[i].Operation == s.operation {
				words = append(words, s.words)
				break
			}
		}
	}
	return words
}

// jobTitle names a job and what it is of.
func jobTitle(j QuotedJob) string {
	of := "insert"
	switch {
	case len(j.Halves) > 1:
		of = "pair"
	case len(j.Halves) == 1:
		of = halfWords(j.Halves[0].Half)
	}
	return fmt.Sprintf("%s (%s)", orNameless(j.Name), of)
}

// halfWords is a half in a heading; where nobody stated which, it is an insert.
func halfWords(half string) string {
	if half == string(rules.Fixed) || half == string(rules.Moving) {
		return half + " half"
	}
	return "insert"
}
