package report

import (
	"fmt"
	"io"

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

func fillSheet(f *excelize.File, s sheet, bold int) error {
	if len(s.head) == 0 {
		return nil
	}
	row := make([]any, len(s.head))
	for i, h := range s.head {
		row[i] = h
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
	if err := f.SetColWidth(s.name, "A", "B", 34); err != nil {
		return err
	}
	if err := f.SetColWidth(s.name, "C", last, 14); err != nil {
		return err
	}
	if err := f.AutoFilter(s.name, "A1:"+end, nil); err != nil {
		return err
	}
	return f.SetPanes(s.name, &excelize.Panes{Freeze: true, XSplit: 2, YSplit: 1, TopLeftCell: "C2", ActivePane: "bottomRight"})
}
