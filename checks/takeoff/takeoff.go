// Package takeoff measures the stock that must be removed from a blank to make an insert, for the
// quote.
//
// Volumes are cubic millimetres, masses kilograms. It judges nothing. An insert is measured where
// the checks would judge it: after a wrong unit or placement has been put right.
package takeoff

import (
	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/rules"
)

// Figure is a measured number with the bound on its error.
type Figure struct{ Value, Error float64 }

// Takeoff is the stock of one insert.
//
// BlankMM3 - RemoveMM3 = InsertMM3 - OutsideMM3 to rounding: metal is removed, left, or missing
// from the blank, and nothing else.
type Takeoff struct {
	File, Name, SHA256 string
	Half               rules.Half
	Frame, Steel       string
	DensityKGM3        float64

	BlankMM3, InsertMM3 Figure
	// RemoveMM3 is blank minus insert, OutsideMM3 insert minus blank.
	RemoveMM3, OutsideMM3 Figure
	AreaMM2               Figure
	BlankSizeMM           r3.Vector
	// Method says how the volumes were found, Exact whether their errors are bounds on rounding.
	Method string
	Exact  bool
}

// Of measures the stock of a subject that is already where it is judged.
func Of(s *checks.Subject) (*Takeoff, error) {
	st, err := s.Stock()
	if err != nil {
		return nil, err
	}
	blank, err := s.Blank()
	if err != nil {
		return nil, err
	}
	m := s.Measures()
	t := &Takeoff{
		File: s.File, Name: s.Name, Half: s.Half, Frame: s.Frame.Name.Value,
		BlankMM3:    Figure{st.BlankMM3.MM3, st.BlankMM3.ErrorMM3},
		InsertMM3:   Figure{m.VolumeMM3, m.VolumeErrorMM3},
		RemoveMM3:   Figure{st.Remove.MM3, st.Remove.ErrorMM3},
		OutsideMM3:  Figure{st.OutsideVolume.MM3, st.OutsideVolume.ErrorMM3 + m.VolumeErrorMM3},
		AreaMM2:     Figure{m.AreaMM2, m.AreaErrorMM2},
		BlankSizeMM: blank.Mesh.Bounds().Size(),
		Method:      st.Method, Exact: st.Exact,
	}
	if s.Steel != nil {
		t.Steel = s.Steel.Grade.Value
		t.DensityKGM3 = s.Steel.DensityKGM3.Value
	}
	return t, nil
}

// Mass of a volume of the insert's steel, in kg.
func (t *Takeoff) Mass(v Figure) Figure {
	const m3PerMM3 = 1.0 / (1000 * 1000 * 1000)
	k := m3PerMM3 * t.DensityKGM3
	return Figure{v.Value * k, v.Error * k}
}
