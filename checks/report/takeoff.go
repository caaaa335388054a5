package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/checks/takeoff"
)

// TakenOff is one insert's stock, as programs read it. FacedMM3, the cuts, the holes, BurnMM3 and LeftMM3 add
// up to RemoveMM3 as they are printed: all are whole thousandths.
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

	// CuttersFrom names whose list of cutters was planned with.
	CuttersFrom  string       `json:"cutters_from"`
	Holders      string       `json:"holders"`
	PitchMM      float64      `json:"pitch_mm"`
	RemainderMM3 float64      `json:"remainder_mm3"`
	FacedMM3     Figure       `json:"faced_mm3"`
	SetUps       []SetUp      `json:"set_ups"`
	Drilled      []Hole       `json:"drilled"`
	BurnMM3      Figure       `json:"burn_mm3"`
	LeftMM3      Figure       `json:"left_mm3"`
	Burns        []Burn       `json:"burns"`
	Electrodes   []Electrode  `json:"electrodes"`
	Finish       []FinishArea `json:"finish"`
	EdgeMM       Figure       `json:"edge_mm"`
	ProjectedMM2 Figure       `json:"projected_mm2"`
}

// SetUp is what is milled from one direction.
type SetUp struct {
	Name   string     `json:"name"`
	Toward [3]float64 `json:"toward"`
	Cuts   []Cut      `json:"cuts"`
}

// Cut is what one cutter removes in a set-up.
type Cut struct {
	Cutter         string  `json:"cutter"`
	DiameterMM     float64 `json:"diameter_mm"`
	CornerRadiusMM float64 `json:"corner_radius_mm"`
	Rest           bool    `json:"rest"`
	RemovedMM3     Figure  `json:"removed_mm3"`
}

// Hole is a number of bores that are made alike.
type Hole struct {
	Count      int     `json:"count"`
	DiameterMM float64 `json:"diameter_mm"`
	DepthMM    float64 `json:"depth_mm"`
	Through    bool    `json:"through"`
	Pin        bool    `json:"pin"`
	Method     string  `json:"method"`
	RemovedMM3 Figure  `json:"removed_mm3"`
}

// Burn is a connected region that no cutter reaches: burnt by the electrode of that number, counted from 1,
// or left for the reason said.
type Burn struct {
	Kind      string     `json:"kind"`
	VolumeMM3 Figure     `json:"volume_mm3"`
	DepthMM   float64    `json:"depth_mm"`
	AtMM      [3]float64 `json:"at_mm"`
	SizeMM    [3]float64 `json:"size_mm"`
	RadiusMM  float64    `json:"radius_mm,omitempty"`
	Electrode int        `json:"electrode"`
	Left      string     `json:"left,omitempty"`
}

// Electrode serves places that lie near each other, and is moved to such as are like them.
type Electrode struct {
	Places    int        `json:"places"`
	Positions int        `json:"positions"`
	SizeMM    [3]float64 `json:"size_mm"`
}

// FinishArea is surface of one kind and finish.
type FinishArea struct {
	Kind    string `json:"kind"`
	Class   string `json:"class"`
	AreaMM2 Figure `json:"area_mm2"`
	// Reached is which diameters of cutter clear the metal over it; 0 stands for none.
	Reached []Reached `json:"reached"`
}

// Reached is a whole percentage of a surface.
type Reached struct {
	DiameterMM float64 `json:"diameter_mm"`
	Percent    int     `json:"percent"`
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
	// Parts of the sum keep their thousandths, or it would not add up.
	part := func(f takeoff.Figure) Figure { return Figure{f.Value, *rounded(f.Error, f.Error)} }
	point := func(p r3.Vector) [3]float64 {
		return [3]float64{*rounded(p.X, placeError), *rounded(p.Y, placeError), *rounded(p.Z, placeError)}
	}
	length := func(v float64) float64 { return *rounded(v, placeError) }
	r := TakenOff{
		File: t.File, Name: t.Name, SHA256: t.SHA256, Half: halfName(t.Half), Frame: t.Frame, Steel: t.Steel, DensityKGM3: t.DensityKGM3,
		BlankMM3: fig(t.BlankMM3), InsertMM3: fig(t.InsertMM3), RemoveMM3: part(t.RemoveMM3), OutsideMM3: fig(t.OutsideMM3),
		BlankKG: fig(t.Mass(t.BlankMM3)), InsertKG: fig(t.Mass(t.InsertMM3)), RemoveKG: fig(t.Mass(t.RemoveMM3)),
		InsertAreaMM2: fig(t.AreaMM2), BlankSizeMM: point(t.BlankSizeMM),
		Method: t.Method, Exact: t.Exact,
		CuttersFrom: t.CuttersFrom, Holders: t.Holders, PitchMM: length(t.PitchMM), RemainderMM3: length(t.RemainderMM3), FacedMM3: part(t.FacedMM3),
		BurnMM3: part(t.BurnMM3), LeftMM3: part(t.LeftMM3), EdgeMM: fig(t.EdgeMM), ProjectedMM2: fig(t.Projected),
		SetUps: []SetUp{}, Drilled: []Hole{}, Burns: []Burn{}, Electrodes: []Electrode{}, Finish: []FinishArea{},
	}
	for _, u := range t.SetUps {
		up := SetUp{Name: u.Name, Toward: point(u.Toward), Cuts: []Cut{}}
		for _, c := range u.Cuts {
			up.Cuts = append(up.Cuts, Cut{c.Cutter, length(c.DiameterMM), length(c.CornerRadiusMM), c.Rest, part(c.RemovedMM3)})
		}
		r.SetUps = append(r.SetUps, up)
	}
	for _, h := range t.Drilled {
		r.Drilled = append(r.Drilled, Hole{h.Count, length(h.DiameterMM), length(h.DepthMM), h.Through, h.Pin, h.Method, part(h.RemovedMM3)})
	}
	for _, b := range t.Burns {
		r.Burns = append(r.Burns, Burn{b.Kind, part(b.VolumeMM3), length(b.DepthMM), point(b.At), point(b.SizeMM), length(b.RadiusMM), b.Electrode, b.Left})
	}
	for _, e := range t.Electrodes {
		r.Electrodes = append(r.Electrodes, Electrode{e.Places, e.Positions, point(e.SizeMM)})
	}
	for _, a := range t.Finish {
		f := FinishArea{a.Kind, a.Class, fig(a.AreaMM2), []Reached{}}
		for _, x := range a.Reached {
			f.Reached = append(f.Reached, Reached{length(x.DiameterMM), x.Percent})
		}
		r.Finish = append(r.Finish, f)
	}
	return r
}

func (t *TakenOff) milled() (f Figure) {
	for _, u := range t.SetUps {
		for _, c := range u.Cuts {
			f.Value += c.RemovedMM3.Value
			f.Uncertainty += c.RemovedMM3.Uncertainty
		}
	}
	return f
}

func (t *TakenOff) drilled() (f Figure, count int) {
	for _, h := range t.Drilled {
		f.Value += h.RemovedMM3.Value
		f.Uncertainty += h.RemovedMM3.Uncertainty
		count += h.Count
	}
	return f, count
}

func (t *TakenOff) finish() (f Figure) {
	for _, a := range t.Finish {
		f.Value += a.AreaMM2.Value
		f.Uncertainty += a.AreaMM2.Uncertainty
	}
	return f
}

// left counts the regions that are not burnt.
func (t *TakenOff) left() int {
	n := 0
	for _, b := range t.Burns {
		if b.Left != "" {
			n++
		}
	}
	return n
}

// inserts is a table with one line an insert, lines one with a line for each part of the work: volumes in
// mm3, areas in mm2, lengths in mm, masses in kg, each followed by its uncertainty.
func takeoffInserts(all []TakenOff) (head []string, rows [][]any) {
	head = []string{"file", "name", "half", "frame", "steel"}
	for _, c := range []string{"blank_mm3", "insert_mm3", "remove_mm3", "remove_kg", "outside_mm3", "faced_mm3", "milled_mm3", "drilled_mm3", "burn_mm3", "left_mm3", "finish_mm2", "edge_mm", "projected_mm2"} {
		head = append(head, c, c+"_uncertainty")
	}
	head = append(head, "set_ups", "holes", "electrodes", "burns", "left", "cutters_from", "exact")
	for i := range all {
		t := &all[i]
		row := []any{t.File, t.Name, t.Half, t.Frame, t.Steel}
		holes, count := t.drilled()
		for _, f := range []Figure{t.BlankMM3, t.InsertMM3, t.RemoveMM3, t.RemoveKG, t.OutsideMM3, t.FacedMM3, t.milled(), holes, t.BurnMM3, t.LeftMM3, t.finish(), t.EdgeMM, t.ProjectedMM2} {
			row = append(row, f.Value, f.Uncertainty)
		}
		rows = append(rows, append(row, len(t.SetUps), count, len(t.Electrodes), len(t.Burns)-t.left(), t.left(), t.CuttersFrom, t.Exact))
	}
	return head, rows
}

func takeoffLines(all []TakenOff) (head []string, rows [][]any) {
	head = []string{"file", "name", "work", "set_up", "with", "count", "diameter_mm", "depth_mm", "removed_mm3", "removed_mm3_uncertainty", "area_mm2", "area_mm2_uncertainty"}
	for i := range all {
		t := &all[i]
		line := func(work, setUp, with string, count int, diameter, depth any, removed, area *Figure) {
			row := []any{t.File, t.Name, work, setUp, with, count, diameter, depth}
			for _, f := range []*Figure{removed, area} {
				if f == nil {
					row = append(row, nil, nil)
				} else {
					row = append(row, f.Value, f.Uncertainty)
				}
			}
			rows = append(rows, row)
		}
		line("faced", "", "", 1, nil, nil, &t.FacedMM3, nil)
		for _, u := range t.SetUps {
			for _, c := range u.Cuts {
				line(milling(c.Rest), u.Name, c.Cutter, 1, c.DiameterMM, nil, &c.RemovedMM3, nil)
			}
		}
		for _, h := range t.Drilled {
			line("drilled", "", h.Method, h.Count, h.DiameterMM, h.DepthMM, &h.RemovedMM3, nil)
		}
		in := t.LeftMM3
		for _, b := range t.Burns {
			if b.Left == "" {
				line("spark erosion", "", fmt.Sprintf("electrode %d, %s", b.Electrode, b.Kind), 1, nil, b.DepthMM, &b.VolumeMM3, nil)
				continue
			}
			line("stays", "", b.Left, 1, nil, b.DepthMM, &b.VolumeMM3, nil)
			in.Value -= b.VolumeMM3.Value
		}
		// What is in no region, to the thousandth that the sum is kept to.
		in.Value = *rounded(in.Value, placeError)
		line("stays", "", "strips and chamfers", 0, nil, nil, &in, nil)
		for _, a := range t.Finish {
			line("finish", "", strings.TrimSpace(a.Kind+" "+a.Class), 1, nil, nil, nil, &a.AreaMM2)
		}
	}
	return head, rows
}

func milling(rest bool) string {
	if rest {
		return "rest-milled"
	}
	return "roughed"
}

// WriteTakeoffCSV prints a table with one line an insert.
func WriteTakeoffCSV(w io.Writer, all []TakenOff) error { return writeTable(w, all, takeoffInserts) }

// WriteTakeoffLinesCSV prints a table with one line for each part of the work.
func WriteTakeoffLinesCSV(w io.Writer, all []TakenOff) error { return writeTable(w, all, takeoffLines) }

func writeTable(w io.Writer, all []TakenOff, table func([]TakenOff) ([]string, [][]any)) error {
	head, rows := table(all)
	c := csv.NewWriter(w)
	c.Write(head)
	for _, r := range rows {
		cells := make([]string, len(r))
		for i, v := range r {
			switch v := v.(type) {
			case nil:
			case string:
				cells[i] = safeCell(v)
			case float64:
				cells[i] = Decimal(v, 9)
			default:
				cells[i] = fmt.Sprint(v)
			}
		}
		c.Write(cells)
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
