package report

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// WriteTakeoffXLSX writes a workbook with the two tables of WriteTakeoffCSV and WriteTakeoffLinesCSV on a
// sheet each. The same takeoffs give the same bytes: no clock, no user goes into it.
func WriteTakeoffXLSX(w io.Writer, all []TakenOff) error {
	head, rows := takeoffInserts(all)
	lineHead, lines := takeoffLines(all)
	return writeWorkbook(w, "Takeoff", []sheet{{"inserts", head, rows}, {"work", lineHead, lines}})
}

// sheet is one table of a workbook.
type sheet struct {
	name string
	head []string
	rows [][]any
}

// workbookDate stands where a workbook asks for a time: results hold no clock.
const workbookDate = "2000-01-01T00:00:00Z"

func writeWorkbook(w io.Writer, title string, sheets []sheet) (err error) {
	f := excelize.NewFile()
	defer func() {
		if closed := f.Close(); err == nil {
			err = closed
		}
		if err != nil {
			err = fmt.Errorf("writing a workbook: %w", err)
		}
	}()
	if err = f.SetDocProps(&excelize.DocProperties{Creator: "pocketgauge", LastModifiedBy: "pocketgauge", Title: title, Created: workbookDate, Modified: workbookDate}); err != nil {
		return err
	}
	bold, err := f.NewStyle(&excelize.Style{
		Font:      &excelize.Font{Bold: true},
		Border:    []excelize.Border{{Type: "bottom", Color: "808080", Style: 1}},
		Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"},
	})
	if err != nil {
		return err
	}
	for i, s := range sheets {
		if i == 0 {
			err = f.SetSheetName("Sheet1", s.name)
		} else {
			_, err = f.NewSheet(s.name)
		}
		if err != nil {
			return err
		}
		if err = fillSheet(f, s, bold); err != nil {
			return err
		}
	}
	f.SetActiveSheet(0)
	return f.Write(w)
}

// Widths of columns, in characters.
const (
	leastWidth = 8
	mostWidth  = 64
)

// dressColumn makes a column as wide as what stands in it, as far as a screen bears; longer text is broken
// into lines, but for lists of keys, which nobody reads through. Hours and money have two places, volumes
// three, whatever their digits.
func dressColumn(f *excelize.File, s sheet, k int) error {
	name, err := excelize.ColumnNumberToName(k + 1)
	if err != nil {
		return err
	}
	style := excelize.Style{Alignment: &excelize.Alignment{Vertical: "top"}}
	places := -1
	if format := placesOf(s.head[k]); format != "" {
		style.CustomNumFmt = &format
		places = len(format) - len("0.")
	}
	long := leastWidth
	for _, word := range strings.Split(s.head[k], "_") {
		long = max(long, utf8.RuneCountInString(word)+1) // beside the filter's button
	}
	for _, row := range s.rows {
		switch v := row[k].(type) {
		case nil:
		case float64:
			long = max(long, len(strconv.FormatFloat(v, 'f', places, 64)))
		default:
			long = max(long, utf8.RuneCountInString(fmt.Sprint(v)))
		}
	}
	if long > mostWidth {
		long = mostWidth
		style.Alignment.WrapText = s.head[k] != "keys"
	}
	if err := f.SetColWidth(s.name, name, name, float64(long+2)); err != nil {
		return err
	}
	id, err := f.NewStyle(&style)
	if err != nil || len(s.rows) == 0 {
		return err
	}
	return f.SetCellStyle(s.name, name+"2", name+strconv.Itoa(len(s.rows)+1), id)
}

// placesOf is the number format of a column, "" for as it comes.
func placesOf(head string) string {
	switch first, _, _ := strings.Cut(head, "_"); first {
	case "hours", "money", "cost", "price", "weeks", "rate", "insert", "mould", "saving":
		if !strings.Contains(head, "_mm3") {
			return "0.00"
		}
	}
	if strings.Contains(head, "_mm3") || strings.Contains(head, "_mm2") {
		return "0.000"
	}
	return ""
}

func fillSheet(f *excelize.File, s sheet, bold int) error {
	if len(s.head) == 0 {
		return nil
	}
	row := make([]any, len(s.head))
	for i, h := range s.head {
		row[i] = strings.ReplaceAll(h, "_", " ") // so that it breaks into lines
	}
	if err := f.SetSheetRow(s.name, "A1", &row); err != nil {
		return err
	}
	for r, cells := range s.rows {
		at, err := excelize.CoordinatesToCellName(1, r+2)
		if err != nil {
			return err
		}
		// A string that looks like a formula is stored as a string: none runs.
		if err := f.SetSheetRow(s.name, at, &cells); err != nil {
			return err
		}
	}
	last, err := excelize.ColumnNumberToName(len(s.head))
	if err != nil {
		return err
	}
	end, err := excelize.CoordinatesToCellName(len(s.head), len(s.rows)+1)
	if err != nil {
		return err
	}
	if err := f.SetCellStyle(s.name, "A1", last+"1", bold); err != nil {
		return err
	}
	for k := range s.head {
		if err := dressColumn(f, s, k); err != nil {
			return err
		}
	}
	if err := f.AutoFilter(s.name, "A1:"+end, nil); err != nil {
		return err
	}
	return f.SetPanes(s.name, &excelize.Panes{Freeze: true, XSplit: 2, YSplit: 1, TopLeftCell: "C2", ActivePane: "bottomRight"})
}
