package report

import (
	"fmt"
	"io"
	"strings"
)

// WriteQuotedText prints one job for the estimator: every line with its figures, and below it where
// they come from.
func WriteQuotedText(w io.Writer, j QuotedJob, currency string) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", jobTitle(j))
	for _, h := range j.Halves {
		fmt.Fprintf(&b, "  %s: %s\n    frame %s, steel %s, blank %s kg, stock to remove %s cm3\n", halfWords(h.Half), h.File, h.Frame, h.Steel, Decimal(h.BlankKG.Value, 3), cm3(h.RemoveMM3))
	}
	b.WriteByte('\n')
	writeLines(&b, j.Lines, currency)
	writeTotals(&b, j.Total, currency)
	for _, n := range j.Notes {
		writeWrapped(&b, 2, "Note: "+n)
	}
	b.WriteByte('\n')
	if j.Dedicated != nil {
		writeDedicated(&b, j.Dedicated, currency)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

const figureFormat = "  %-40s %8s %18s %7s %11s %25s\n"

func between(s Spanned) string { return s.Low + " to " + s.High }

func writeLines(b *strings.Builder, lines []QuotedLine, currency string) {
	fmt.Fprintf(b, figureFormat, "", "hours", "low to high", "at", currency, "low to high")
	for _, l := range lines {
		name := l.Operation
		if l.Step != "" {
			name += ", " + l.Step
		}
		if l.Half != "" {
			name = l.Half + ": " + name
		}
		hours, reach, rate := "", "", ""
		if l.Hours != nil {
			hours, reach, rate = l.Hours.Likely, between(*l.Hours), *l.Rate
		}
		fmt.Fprintf(b, figureFormat, name, hours, reach, rate, l.Money.Likely, between(l.Money))
		if l.Origin != "" {
			writeWrapped(b, 6, l.Origin)
		}
	}
}

func writeTotals(b *strings.Builder, t QuotedTotals, currency string) {
	b.WriteByte('\n')
	fmt.Fprintf(b, figureFormat, "cost", t.Hours.Likely, between(t.Hours.Spanned), "", t.Cost.Likely, between(t.Cost.Spanned))
	fmt.Fprintf(b, figureFormat, "price", "", "", "", t.Price.Likely, between(t.Price.Spanned))
	fmt.Fprintf(b, "  low and high: all lines well, all lines badly; lines that miss independently: %s to %s h, %s to %s %s\n",
		Decimal(t.Hours.ApartLow, 1), Decimal(t.Hours.ApartHigh, 1), Decimal(t.Price.ApartLow, 0), Decimal(t.Price.ApartHigh, 0), currency)
	likely := Decimal(t.Delivery.LikelyWeeks, 1) + " weeks"
	if likely == "1 weeks" {
		likely = "1 week"
	}
	fmt.Fprintf(b, "  delivery %s (%s to %s)%s; critical: %s\n", likely, Decimal(t.Delivery.LowWeeks, 1), Decimal(t.Delivery.HighWeeks, 1),
		outsideWords(t.Delivery.OutsideWeeks), critical(t.Delivery))
}

func outsideWords(weeks float64) string {
	if weeks > 0 {
		return fmt.Sprintf(", %s of them at the hardener", Decimal(weeks, 1))
	}
	return ""
}

// critical names the machine that is busy longest, with its load.
func critical(d QuotedDelivery) string {
	for _, l := range d.Loads {
		if l.Machine == d.Critical {
			return fmt.Sprintf("%s, %s h of %s a week", l.Machine, Decimal(l.Hours, 1), Decimal(l.WeeklyHours, 1))
		}
	}
	return "none"
}

// WriteQuotedTotalText ends a batch of more than one job.
func WriteQuotedTotalText(w io.Writer, t QuotedTotals, currency string) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s in all\n", count(t.Jobs, "job"))
	fmt.Fprintf(&b, figureFormat, "", "hours", "low to high", "", currency, "low to high")
	writeTotals(&b, t, currency)
	for _, l := range t.Delivery.Loads {
		fmt.Fprintf(&b, "    %-20s %8s h  %6s weeks at %s h a week\n", l.Machine, Decimal(l.Hours, 1), Decimal(l.Weeks, 1), Decimal(l.WeeklyHours, 1))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func writeDedicated(b *strings.Builder, d *QuotedDedicated, currency string) {
	b.WriteString("  The same detail as a mould of its own\n")
	row := func(what string, c Compared) { fmt.Fprintf(b, "    %-34s %12s %12s\n", what, c.Insert, c.Mould) }
	row("", Compared{"insert", "mould"})
	row("design, h", d.Design)
	row("hours in all", d.Build)
	row("price, "+currency, d.Price)
	row("delivery, weeks", d.Weeks)
	row("with its share of the frame", d.Life.Outlay)
	row("change-over, h", d.Life.ChangeOverHours)
	row("press standing, a batch", d.Life.PerBatch)
	row(fmt.Sprintf("after %s years, %s batches", Decimal(d.Life.Years, 1), Decimal(d.Life.Batches, 0)), d.Life.Total)
	fmt.Fprintf(b, "    Saved over the part's life: %s %s; %s.\n", d.Life.Saving, currency, d.Life.BreakEven)
	switch n := d.Life.FrameInserts; {
	case n == 1:
		b.WriteString("    One insert like this saves more than the whole frame costs.\n")
	case n > 1:
		fmt.Fprintf(b, "    %s like this save more than the whole frame costs.\n", count(n, "insert"))
	}
	b.WriteByte('\n')
}

// WriteCustomerText prints what the customer reads.
func WriteCustomerText(w io.Writer, c CustomerQuote) error {
	var b strings.Builder
	if c.Shop != "" {
		fmt.Fprintf(&b, "%s\n", c.Shop)
	}
	b.WriteString("Quotation\n\n")
	for _, j := range c.Jobs {
		fmt.Fprintf(&b, "%s\n", j.Name)
		for _, in := range j.Inserts {
			fmt.Fprintf(&b, "  %s for frame %s: steel %s, %s x %s x %s mm\n", halfWords(in.Half), in.Frame, in.Steel, Decimal(in.BlankSizeMM[0], 1), Decimal(in.BlankSizeMM[1], 1), Decimal(in.BlankSizeMM[2], 1))
		}
		writeWrapped(&b, 2, "Included: "+strings.Join(j.Included, ", ")+".")
		fmt.Fprintf(&b, "  Price %s %s, delivery %s from order.\n\n", j.Price, c.Currency, weeksWords(j.Weeks, j.MostWeeks))
	}
	if len(c.Jobs) != 1 {
		fmt.Fprintf(&b, "%s in all: price %s %s, delivery %s from order.\n", count(c.Total.Jobs, "job"), c.Total.Price, c.Currency, weeksWords(c.Total.Weeks, c.Total.MostWeeks))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func weeksWords(likely, most int) string {
	if likely >= most {
		return count(likely, "week")
	}
	return fmt.Sprintf("%d to %s", likely, count(most, "week"))
}
