package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// tableCell is one cell of a table: text, or a number as it is to be shown.
type tableCell struct {
	text   string
	number bool
}

func words(s string) tableCell  { return tableCell{text: s} }
func figure(s string) tableCell { return tableCell{text: s, number: s != ""} }

// sheet is a table with its name.
type sheet struct {
	name   string
	head   []string
	rows   [][]tableCell
	widths []float64
}

func quotedLinesSheet(jobs []QuotedJob) sheet {
	s := sheet{name: "Lines", head: []string{"job", "half", "operation", "step", "machine", "rate", "hours_low", "hours_likely", "hours_high",
		"money_low", "money_likely", "money_high", "origin", "keys"}, widths: []float64{26, 8, 16, 26, 18, 8, 10, 10, 10, 12, 12, 12, 80, 60}}
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

func quotedJobsSheet(jobs []QuotedJob, total QuotedTotals) sheet {
	s := sheet{name: "Jobs", head: []string{"job", "halves", "files", "steel", "hours_low", "hours_likely", "hours_high", "cost_low", "cost_likely", "cost_high",
		"price_low", "price_likely", "price_high", "weeks_low", "weeks_likely", "weeks_high", "critical"}, widths: []float64{26, 8, 60, 10, 10, 10, 10, 12, 12, 12, 12, 12, 12, 10, 10, 10, 20}}
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

func machinesSheet(total QuotedTotals) sheet {
	s := sheet{name: "Machines", head: []string{"machine", "hours", "hours_a_week", "weeks"}, widths: []float64{24, 10, 14, 10}}
	for _, l := range total.Delivery.Loads {
		s.rows = append(s.rows, []tableCell{words(l.Machine), figure(Decimal(l.Hours, 2)), figure(Decimal(l.WeeklyHours, 2)), figure(Decimal(l.Weeks, 2))})
	}
	return s
}

func customerSheet(c CustomerQuote) sheet {
	s := sheet{name: "Quotation", head: []string{"job", "inserts", "frame", "steel", "included", "price", "currency", "weeks", "most_weeks"}, widths: []float64{30, 8, 20, 10, 80, 12, 10, 8, 12}}
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
	return writeSheetCSV(w, quotedLinesSheet(jobs))
}

// WriteCustomerCSV prints what the customer reads, a line a job and one for all.
func WriteCustomerCSV(w io.Writer, c CustomerQuote) error {
	return writeSheetCSV(w, customerSheet(c))
}

func writeSheetCSV(w io.Writer, s sheet) error {
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
	return writeWorkbook(w, []sheet{quotedJobsSheet(jobs, total), quotedLinesSheet(jobs), machinesSheet(total)})
}

// WriteCustomerXLSX writes what the customer reads as a workbook.
func WriteCustomerXLSX(w io.Writer, c CustomerQuote) error {
	return writeWorkbook(w, []sheet{customerSheet(c)})
}

// writeWorkbook writes sheets as XLSX. The same sheets give the same bytes: the library enters files
// in the order of their names and without a time, and the times of its properties are set here, to the
// one its own template has.
func writeWorkbook(w io.Writer, sheets []sheet) (err error) {
	f := excelize.NewFile()
	defer f.Close()
	const always = "2006-09-16T00:00:00Z"
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "pocketgauge", Created: always, Modified: always}); err != nil {
		return fmt.Errorf("writing the workbook: %w", err)
	}
	for i, s := range sheets {
		if i == 0 {
			err = f.SetSheetName("Sheet1", s.name)
		} else {
			_, err = f.NewSheet(s.name)
		}
		if err == nil {
			err = writeSheet(f, s)
		}
		if err != nil {
			return fmt.Errorf("writing the sheet %s: %w", s.name, err)
		}
	}
	if err := f.Write(w); err != nil {
		return fmt.Errorf("writing the workbook: %w", err)
	}
	return nil
}

// mostCell is what a cell of a workbook takes (ECMA-376, and the same limit in every program).
const mostCell = 32767

func writeSheet(f *excelize.File, s sheet) error {
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	head := make([]any, len(s.head))
	for i, h := range s.head {
		head[i] = h
	}
	if err := f.SetSheetRow(s.name, "A1", &head); err != nil {
		return err
	}
	for i, r := range s.rows {
		row := make([]any, len(r))
		for k, c := range r {
			row[k] = c.text
			if !c.number {
				if len(c.text) > mostCell {
					row[k] = c.text[:mostCell-4] + " ..."
				}
				continue
			}
			v, err := strconv.ParseFloat(c.text, 64)
			if err != nil {
				return err
			}
			row[k] = v
		}
		if err := f.SetSheetRow(s.name, fmt.Sprintf("A%d", i+2), &row); err != nil {
			return err
		}
	}
	for i, width := range s.widths {
		column, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		if err := f.SetColWidth(s.name, column, column, width); err != nil {
			return err
		}
	}
	if err := f.SetRowStyle(s.name, 1, 1, bold); err != nil {
		return err
	}
	return f.SetPanes(s.name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})
}
