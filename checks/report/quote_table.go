package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// tableCell is one cell of a table: text, or a number as it is to be shown.
type tableCell struct {
	text   string
	number bool
}

func words(s string) tableCell  { return tableCell{text: s} }
func figure(s string) tableCell { return tableCell{text: s, number: s != ""} }

// table is a named table.
type table struct {
	name string
	head []string
	rows [][]tableCell
}

func quotedLinesTable(jobs []QuotedJob) table {
	s := table{name: "Lines", head: []string{"job", "half", "operation", "step", "machine", "rate", "hours_low", "hours_likely", "hours_high",
		"money_low", "money_likely", "money_high", "origin", "keys"}}
	for _, j := range jobs {
		for _, l := range j.Lines {
			rate, h := "", Spanned{}
			if l.Hours != nil {
				rate, h = *l.Rate, *l.Hours
			}
			s.rows = append(s.rows, []tableCell{words(j.Name), words(l.Half), words(l.Operation), words(l.Step), words(l.Machine), figure(rate), figure(h.Low), figure(h.Likely), figure(h.High),
				figure(l.Money.Low), figure(l.Money.Likely), figure(l.Money.High), words(l.Origin), words(strings.Join(l.Keys, " "))})
		}
	}
	return s
}

func quotedJobsTable(jobs []QuotedJob, total QuotedTotals) table {
	s := table{name: "Jobs", head: []string{"job", "halves", "files", "steel", "hours_low", "hours_likely", "hours_high", "cost_low", "cost_likely", "cost_high",
		"price_low", "price_likely", "price_high", "weeks_low", "weeks_likely", "weeks_high", "critical"}}
	row := func(name string, halves int, files, steel string, t QuotedTotals) {
		r := []tableCell{words(name), figure(strconv.Itoa(halves)), words(files), words(steel)}
		for _, v := range []Spanned{t.Hours.Spanned, t.Cost.Spanned, t.Price.Spanned} {
			r = append(r, figure(v.Low), figure(v.Likely), figure(v.High))
		}
		d := t.Delivery
		s.rows = append(s.rows, append(r, figure(Decimal(d.LowWeeks, 2)), figure(Decimal(d.LikelyWeeks, 2)), figure(Decimal(d.HighWeeks, 2)), words(d.Critical)))
	}
	halves := 0
	for _, j := range jobs {
		var files []string
		steel := ""
		for _, h := range j.Halves {
			files = append(files, h.File)
			steel = h.Steel
		}
		halves += len(j.Halves)
		row(j.Name, len(j.Halves), strings.Join(files, " "), steel, j.Total)
	}
	row("all", halves, "", "", total)
	return s
}

func machinesTable(total QuotedTotals) table {
	s := table{name: "Machines", head: []string{"machine", "hours", "hours_a_week", "weeks"}}
	for _, l := range total.Delivery.Loads {
		s.rows = append(s.rows, []tableCell{words(l.Machine), figure(Decimal(l.Hours, 2)), figure(Decimal(l.WeeklyHours, 2)), figure(Decimal(l.Weeks, 2))})
	}
	return s
}

// dedicatedTable compares the jobs that were set beside a mould of their own; no rows where none was.
func dedicatedTable(jobs []QuotedJob) table {
	s := table{name: "Against a mould", head: []string{"job", "what", "insert", "mould", "saving", "break_even"}}
	for _, j := range jobs {
		d := j.Dedicated
		if d == nil {
			continue
		}
		for _, r := range []struct {
			what string
			c    Compared
		}{{"design, h", d.Design}, {"hours", d.Build}, {"price", d.Price}, {"delivery, weeks", d.Weeks}, {"price and share of the frame", d.Life.Outlay},
			{"change-over, h", d.Life.ChangeOverHours}, {"press standing, a batch", d.Life.PerBatch}} {
			s.rows = append(s.rows, []tableCell{words(j.Name), words(r.what), figure(r.c.Insert), figure(r.c.Mould), words(""), words("")})
		}
		s.rows = append(s.rows, []tableCell{words(j.Name), words("after " + Decimal(d.Life.Batches, 0) + " batches"), figure(d.Life.Total.Insert), figure(d.Life.Total.Mould), figure(d.Life.Saving), words(d.Life.BreakEven)})
	}
	return s
}

func customerTable(c CustomerQuote) table {
	s := table{name: "Quotation", head: []string{"job", "inserts", "frame", "steel", "included", "price", "currency", "weeks", "most_weeks"}}
	for _, j := range c.Jobs {
		frame, steel := "", ""
		if len(j.Inserts) > 0 {
			frame, steel = j.Inserts[0].Frame, j.Inserts[0].Steel
		}
		s.rows = append(s.rows, []tableCell{words(j.Name), figure(strconv.Itoa(len(j.Inserts))), words(frame), words(steel), words(strings.Join(j.Included, ", ")), figure(j.Price), words(c.Currency), figure(strconv.Itoa(j.Weeks)), figure(strconv.Itoa(j.MostWeeks))})
	}
	s.rows = append(s.rows, []tableCell{words("all"), words(""), words(""), words(""), words(""), figure(c.Total.Price), words(c.Currency), figure(strconv.Itoa(c.Total.Weeks)), figure(strconv.Itoa(c.Total.MostWeeks))})
	return s
}

// WriteQuotedCSV prints all lines of all jobs.
func WriteQuotedCSV(w io.Writer, jobs []QuotedJob) error {
	return writeTableCSV(w, quotedLinesTable(jobs))
}

// WriteCustomerCSV prints what the customer reads, a line a job and one for all.
func WriteCustomerCSV(w io.Writer, c CustomerQuote) error {
	return writeTableCSV(w, customerTable(c))
}

func writeTableCSV(w io.Writer, s table) error {
	c := csv.NewWriter(w)
	c.Write(s.head)
	for _, r := range s.rows {
		row := make([]string, len(r))
		for i, v := range r {
			row[i] = v.text
			if !v.number {
				row[i] = safeCell(v.text)
			}
		}
		c.Write(row)
	}
	c.Flush()
	return c.Error()
}

// WriteQuotedXLSX writes a workbook: jobs with their total, lines, machines.
func WriteQuotedXLSX(w io.Writer, jobs []QuotedJob, total QuotedTotals) error {
	tables := []table{quotedJobsTable(jobs, total), quotedLinesTable(jobs), machinesTable(total)}
	if d := dedicatedTable(jobs); len(d.rows) > 0 {
		tables = append(tables, d)
	}
	sheets, err := asSheets(tables...)
	if err != nil {
		return err
	}
	return writeWorkbook(w, "Quote", sheets)
}

// WriteCustomerXLSX writes what the customer reads as a workbook.
func WriteCustomerXLSX(w io.Writer, c CustomerQuote) error {
	sheets, err := asSheets(customerTable(c))
	if err != nil {
		return err
	}
	return writeWorkbook(w, "Quotation", sheets)
}

// mostCell is what a cell of a workbook takes (ECMA-376, and the same limit in every program).
const mostCell = 32767

// asSheets are tables as the workbook takes them: numbers as numbers, texts no longer than a cell.
func asSheets(tables ...table) ([]sheet, error) {
	var all []sheet
	for _, t := range tables {
		s := sheet{name: t.name, head: t.head}
		for _, r := range t.rows {
			row := make([]any, len(r))
			for k, c := range r {
				row[k] = c.text
				if !c.number {
					if len(c.text) > mostCell {
						row[k] = strings.ToValidUTF8(c.text[:mostCell-4], "") + " ..."
					}
					continue
				}
				v, err := strconv.ParseFloat(c.text, 64)
				if err != nil {
					return nil, fmt.Errorf("the table %s: %w", t.name, err)
				}
				row[k] = v
			}
			s.rows = append(s.rows, row)
		}
		all = append(all, s)
	}
	return all, nil
}
