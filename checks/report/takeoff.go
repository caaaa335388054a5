package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"pocketgauge/checks/takeoff"
)

// TakenOff is one insert's stock, as programs read it.
type TakenOff struct {
	File          string     `json:"file"`
	Name          string     `json:"name"`
	SHA256        string     `json:"sha256"`
	Half          string     `json:"half"`
	Frame         string     `json:"frame"`
	Steel         string     `json:"steel"`
	DensityKGM3   float64    `json:"density_kg_m3"`
	BlankMM3      Figure     `json:"blank_mm3"`
	InsertMM3     Figure     `json:"insert_mm3"`
	RemoveMM3     Figure     `json:"remove_mm3"`
	OutsideMM3    Figure     `json:"outside_mm3"`
	BlankKG       Figure     `json:"blank_kg"`
	InsertKG      Figure     `json:"insert_kg"`
	RemoveKG      Figure     `json:"remove_kg"`
	InsertAreaMM2 Figure     `json:"insert_area_mm2"`
	BlankSizeMM   [3]float64 `json:"blank_size_mm"`
	Method        string     `json:"method"`
	Exact         bool       `json:"exact"`
}

// Figure is a measured number with the bound on its error.
type Figure struct {
	Value       float64 `json:"value"`
	Uncertainty float64 `json:"uncertainty"`
}

// NewTakenOff puts a takeoff in the form of the report.
func NewTakenOff(t *takeoff.Takeoff) TakenOff {
	fig := func(f takeoff.Figure) Figure {
		return Figure{*rounded(f.Value, f.Error), *rounded(f.Error, f.Error)}
	}
	return TakenOff{
		File: t.File, Name: t.Name, SHA256: t.SHA256, Half: halfName(t.Half), Frame: t.Frame, Steel: t.Steel, DensityKGM3: t.DensityKGM3,
		BlankMM3: fig(t.BlankMM3), InsertMM3: fig(t.InsertMM3), RemoveMM3: fig(t.RemoveMM3), OutsideMM3: fig(t.OutsideMM3),
		BlankKG: fig(t.Mass(t.BlankMM3)), InsertKG: fig(t.Mass(t.InsertMM3)), RemoveKG: fig(t.Mass(t.RemoveMM3)),
		InsertAreaMM2: fig(t.AreaMM2),
		BlankSizeMM:   [3]float64{*rounded(t.BlankSizeMM.X, placeError), *rounded(t.BlankSizeMM.Y, placeError), *rounded(t.BlankSizeMM.Z, placeError)},
		Method:        t.Method, Exact: t.Exact,
	}
}

// WriteTakenOffText prints one insert's stock for the estimator.
func WriteTakenOffText(w io.Writer, t TakenOff) error {
	var b strings.Builder
	title := t.File
	if t.Name != t.File && t.Name != "" {
		title = t.Name + "  " + t.File
	}
	fmt.Fprintf(&b, "%s\n", title)
	fmt.Fprintf(&b, "  %s half, frame %s, steel %s\n", t.Half, t.Frame, t.Steel)
	row := func(what string, v, m Figure) {
		fmt.Fprintf(&b, "  %-18s %16s cm3 %14s kg\n", what, cm3(v), WithError(m.Value, m.Uncertainty))
	}
	fmt.Fprintf(&b, "  %-18s %s x %s x %s mm\n", "blank", Decimal(t.BlankSizeMM[0], 2), Decimal(t.BlankSizeMM[1], 2), Decimal(t.BlankSizeMM[2], 2))
	row("blank", t.BlankMM3, t.BlankKG)
	row("insert", t.InsertMM3, t.InsertKG)
	row("stock to remove", t.RemoveMM3, t.RemoveKG)
	if t.OutsideMM3.Value > t.OutsideMM3.Uncertainty {
		fmt.Fprintf(&b, "  %-18s %16s cm3: the insert cannot be cut from this blank\n", "outside the blank", cm3(t.OutsideMM3))
	}
	fmt.Fprintf(&b, "  %-18s %16s cm2\n", "insert's surface", WithError(t.InsertAreaMM2.Value/100, t.InsertAreaMM2.Uncertainty/100))
	fmt.Fprintf(&b, "  %-18s %s\n\n", "how", t.Method)
	_, err := io.WriteString(w, b.String())
	return err
}

func cm3(f Figure) string { return WithError(f.Value/1000, f.Uncertainty/1000) }

// WriteTakeoffTotalText ends a batch: what all inserts that could be measured come to.
func WriteTakeoffTotalText(w io.Writer, all []TakenOff) error {
	var volume, mass Figure
	for _, t := range all {
		volume.Value += t.RemoveMM3.Value
		volume.Uncertainty += t.RemoveMM3.Uncertainty
		mass.Value += t.RemoveKG.Value
		mass.Uncertainty += t.RemoveKG.Uncertainty
	}
	_, err := fmt.Fprintf(w, "%s, stock to remove in all: %s cm3, %s kg\n", count(len(all), "insert"), cm3(volume), WithError(mass.Value, mass.Uncertainty))
	return err
}

// WriteTakeoffCSV prints a table with one line an insert, volumes in mm3 and masses in kg, each
// followed by its uncertainty.
func WriteTakeoffCSV(w io.Writer, all []TakenOff) error {
	c := csv.NewWriter(w)
	c.Write([]string{"file", "name", "half", "frame", "steel", "blank_mm3", "blank_mm3_uncertainty", "insert_mm3", "insert_mm3_uncertainty",
		"remove_mm3", "remove_mm3_uncertainty", "remove_kg", "remove_kg_uncertainty", "outside_mm3", "outside_mm3_uncertainty", "exact"})
	for _, t := range all {
		row := []string{safeCell(t.File), safeCell(t.Name), t.Half, safeCell(t.Frame), safeCell(t.Steel)}
		for _, f := range []Figure{t.BlankMM3, t.InsertMM3, t.RemoveMM3, t.RemoveKG, t.OutsideMM3} {
			row = append(row, Decimal(f.Value, 9), Decimal(f.Uncertainty, 9))
		}
		c.Write(append(row, fmt.Sprint(t.Exact)))
	}
	c.Flush()
	return c.Error()
}

// safeCell keeps a spreadsheet from running a name as a formula.
func safeCell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
