package report

import (
	"encoding/csv"
	"io"
	"strconv"
)

// WriteCSV writes a table with one line a finding (RFC 4180, with line feeds). Empty cells were not
// measured or have no limit. Text that a spreadsheet would run as a formula is quoted by a stroke.
func WriteCSV(w io.Writer, r *Judged, _ Gate) error {
	c := csv.NewWriter(w)
	c.Write([]string{"file", "insert", "half", "frame", "insert_verdict", "check", "of", "verdict", "value", "unit", "limit_kind", "limit",
		"margin", "uncertainty", "x_mm", "y_mm", "z_mm", "says", "mend", "waived_by", "waived_until", "sha256"})
	for _, it := range r.Items() {
		f := it.Finding
		row := []string{safeCell(printable(it.File)), "", "", "", ""}
		sum := ""
		if in := it.Insert; in != nil {
			row = []string{safeCell(printable(in.File)), safeCell(printable(in.Name)), in.Half, safeCell(printable(in.Frame)), in.Verdict}
			sum = in.SHA256
		}
		at := []string{"", "", ""}
		if f.AtMM != nil {
			for i := range at {
				at[i] = cell(&f.AtMM[i])
			}
		}
		row = append(row, f.Check, safeCell(printable(f.Of)), f.Verdict, cell(f.Value), f.Unit, f.LimitKind, cell(f.Limit), cell(f.Margin), cell(f.Uncertainty))
		row = append(append(row, at...), safeCell(printable(f.Says)), safeCell(printable(f.Mend)))
		if f.Waiver != nil {
			row = append(row, safeCell(printable(f.Waiver.Who)), f.Waiver.Until)
		} else {
			row = append(row, "", "")
		}
		c.Write(append(row, sum))
	}
	c.Flush()
	return c.Error()
}

func cell(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}
