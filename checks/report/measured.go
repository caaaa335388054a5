package report

import (
	"errors"

	"pocketgauge/mesh"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/measure"
)

// Bounds is a box as the reports print it.
type Bounds struct {
	Min [3]float64 `json:"min"`
	Max [3]float64 `json:"max"`
}

// Measured is one file's plain measures, or the error that kept it from being read.
type Measured struct {
	File             string         `json:"file"`
	Format           string         `json:"format"`
	Unit             *string        `json:"unit"`
	Solids           int            `json:"solids"`
	Shells           int            `json:"shells"`
	Faces            *int           `json:"faces"`
	Triangles        int            `json:"triangles"`
	Vertices         int            `json:"vertices"`
	Closed           bool           `json:"closed"`
	OpenEdges        int            `json:"open_edges"`
	NonManifoldEdges int            `json:"nonmanifold_edges"`
	MisorientedEdges int            `json:"misoriented_edges"`
	InsideOutShells  int            `json:"inside_out_shells"`
	Duplicates       int            `json:"duplicate_facets"`
	VolumeMM3        float64        `json:"volume_mm3"`
	AreaMM2          float64        `json:"area_mm2"`
	CentroidMM       [3]float64     `json:"centroid_mm"`
	BoundsMM         Bounds         `json:"bounds_mm"`
	ChordMM          *float64       `json:"chord_mm"`
	VolumeErrorMM3   float64        `json:"volume_error_mm3"`
	AreaErrorMM2     float64        `json:"area_error_mm2"`
	Parts            []MeasuredPart `json:"parts"`
	Notes            []Note         `json:"notes"`
	ElapsedMS        *float64       `json:"elapsed_ms,omitempty"`
}

// MeasuredPart is one body of a file.
type MeasuredPart struct {
	Name           string  `json:"name"`
	Solid          bool    `json:"solid"`
	Triangles      int     `json:"triangles"`
	VolumeMM3      float64 `json:"volume_mm3"`
	VolumeErrorMM3 float64 `json:"volume_error_mm3"`
	AreaMM2        float64 `json:"area_mm2"`
	BoundsMM       Bounds  `json:"bounds_mm"`
}

// Note is something the reader did that a person should know.
type Note struct {
	Place string `json:"place,omitempty"`
	Says  string `json:"says"`
}

// Unreadable is a file that gave no measures.
type Unreadable struct {
	File  string     `json:"file"`
	Error ErrorModel `json:"error"`
}

// ErrorModel is an error as programs read it.
type ErrorModel struct {
	Code    string `json:"code"`
	Message string `json:"message"`
	At      string `json:"at"`
}

// NewMeasured puts the summary of a model in the form of the report.
func NewMeasured(file string, m *mesh.Model) Measured {
	s := measure.Summarise(m)
	r := Measured{
		File: file, Format: m.Format,
		Solids: s.Solids, Shells: s.Shells, Triangles: s.Triangles, Vertices: s.Vertices,
		Closed: s.Closed, OpenEdges: s.OpenEdges, NonManifoldEdges: s.NonManifoldEdges,
		MisorientedEdges: s.MisorientedEdges, InsideOutShells: s.InsideOut, Duplicates: s.DuplicateTriangles,
		VolumeMM3: s.VolumeMM3, AreaMM2: s.AreaMM2,
		CentroidMM:     [3]float64{s.CentroidMM.X, s.CentroidMM.Y, s.CentroidMM.Z},
		BoundsMM:       boundsOf(s.Measures),
		VolumeErrorMM3: s.VolumeErrorMM3, AreaErrorMM2: s.AreaErrorMM2,
		Parts: []MeasuredPart{}, Notes: notesOf(m.Notes),
	}
	if m.Unit != "" {
		r.Unit = &m.Unit
	}
	if s.ChordKnown {
		r.ChordMM, r.Faces = &s.ChordMM, &s.Faces
	}
	for i := range m.Parts {
		p := &m.Parts[i]
		q := measure.Of(p)
		r.Parts = append(r.Parts, MeasuredPart{
			Name: p.Name, Solid: p.Audit.Closed() && p.Audit.Solids() > 0, Triangles: len(p.Mesh.Triangles),
			VolumeMM3: q.VolumeMM3, VolumeErrorMM3: q.VolumeErrorMM3, AreaMM2: q.AreaMM2, BoundsMM: boundsOf(q),
		})
	}
	return r
}

func boundsOf(m mesh.Measures) Bounds {
	return Bounds{
		Min: [3]float64{m.Bounds.Min.X, m.Bounds.Min.Y, m.Bounds.Min.Z},
		Max: [3]float64{m.Bounds.Max.X, m.Bounds.Max.Y, m.Bounds.Max.Z},
	}
}

func notesOf(notes []mesh.Note) []Note {
	list := []Note{}
	for _, n := range notes {
		list = append(list, Note{Place: n.Place, Says: n.Says})
	}
	return list
}

// NewUnreadable puts a reading error in the form of the report.
func NewUnreadable(file string, err error) Unreadable {
	u := Unreadable{File: file, Error: ErrorModel{Code: "internal", Message: err.Error()}}
	if e, ok := asLoadError(err); ok {
		u.Error = ErrorModel{Code: e.Code, Message: e.Says, At: e.Place}
	}
	return u
}

func asLoadError(err error) (*load.Error, bool) {
	var e *load.Error
	ok := errors.As(err, &e)
	return e, ok
}
