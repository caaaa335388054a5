package batch

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/place"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// Insert is one insert to judge.
type Insert struct {
	// File is the model's path, Name what people call it.
	File, Name string
	Frame      *rules.Frame
	Half       rules.Half
	// Steel is the grade's name; "" takes the frame's.
	Steel string
	// Resin is the name of what is moulded, Finish that of the detail's finish; "" for none.
	Resin, Finish string
	// Unit is "mm" or "in" for models whose format states none; "" is mm that nobody stated.
	Unit string
	// Body picks one body of a file that holds several, by its name.
	Body      string
	Placement rules.Placement
	// Skip are the ids of checks that are left out.
	Skip []string
	Load load.Options
	// Partner is the other half of the mould, nil where none is known. Its own partner is not
	// looked at.
	Partner *Insert
}

// Outcome is what became of one insert.
type Outcome struct {
	Insert Insert
	SHA256 string
	// Subject is the insert as it was judged; nil where it could not be read.
	Subject  *checks.Subject
	Findings []checks.Finding
	Overall  checks.Verdict
	// Err is why the model could not be read or placed.
	Err error
}

// Read loads the insert's model, picks the body and places it.
func Read(in Insert) (*checks.Subject, string, error) {
	model, data, err := load.File(in.File, in.Load)
	sum := sha256.Sum256(data)
	digest := ""
	if len(data) > 0 {
		digest = hex.EncodeToString(sum[:])
	}
	if err != nil {
		return nil, digest, err
	}
	part, err := pick(in, model)
	if err != nil {
		return nil, digest, err
	}
	s, err := checks.NewSubject(in.Frame, part)
	if err != nil {
		return nil, digest, err
	}
	motion, err := placement(in, model, s)
	if err != nil {
		return nil, digest, err
	}
	s = s.Moved(motion)
	s.File, s.Name, s.Half, s.Whole = in.File, in.Name, in.Half, model
	s.StatedUnit = in.Unit
	if model.Unit != "" {
		s.StatedUnit = model.Unit
	}
	grade := in.Steel
	if grade == "" {
		grade = in.Frame.Steel.Grade.Value
	}
	s.Steel = in.Frame.SteelGrade(grade)
	s.Resin, s.Finish = in.Frame.Resin(in.Resin), in.Finish
	if in.Frame.Blank.Model.Set {
		if s.BlankModel, err = blankModel(in); err != nil {
			return nil, digest, err
		}
	}
	return s, digest, nil
}

// pick finds the body to judge.
func pick(in Insert, model *mesh.Model) (*mesh.Part, error) {
	var names []string
	for i := range model.Parts {
		p := &model.Parts[i]
		names = append(names, p.Name)
		if in.Body != "" && (p.Name == in.Body || strings.HasSuffix(p.Name, "/"+in.Body)) {
			return p, nil
		}
	}
	slices.Sort(names)
	switch {
	case len(model.Parts) == 0:
		return nil, &load.Error{File: in.File, Code: "empty", Says: "the file holds no body"}
	case in.Body != "":
		return nil, &load.Error{File: in.File, Code: "body", Says: fmt.Sprintf("no body is named %q; the file holds %s", in.Body, strings.Join(names, ", "))}
	case len(model.Parts) > 1:
		return nil, &load.Error{File: in.File, Code: "body", Says: fmt.Sprintf("the file holds %d bodies (%s); say which is the insert", len(names), strings.Join(names, ", "))}
	}
	return &model.Parts[0], nil
}

// placement is the motion from the model's coordinates, in its unit, to the pocket's.
func placement(in Insert, model *mesh.Model, s *checks.Subject) (geom.Motion, error) {
	unit := geom.Identity()
	if model.Unit == "" && in.Unit == "in" {
		const inch = 25.4
		unit = geom.ScaleBy(inch)
	}
	p := in.Placement
	switch p.How.Value {
	case "", rules.AsModelled:
		return unit, nil
	case rules.Seated:
		m := s.Part.Mesh.Moved(unit)
		centre := s.Pocket.Bounds().Center()
		stand := place.StandOf(m, s.DepthMM(), 2*tol.Noise(m.Bounds(), s.Part.Roundoff)+tol.LevelMM)
		return geom.Translate(stand.Move(centre.X, centre.Y)).After(unit), nil
	case rules.BySystem:
		for _, f := range model.Frames {
			if f.Name == p.System.Value {
				return f.Motion.Inverse().After(unit), nil
			}
		}
		return unit, &load.Error{File: in.File, Code: "placement", Says: fmt.Sprintf("the model names no coordinate system %q", p.System.Value)}
	case rules.ByMotion:
		t := p.Turn.At
		turn := geom.Rotate(r3.Vector{Z: 1}, t.Z).After(geom.Rotate(r3.Vector{Y: 1}, t.Y)).After(geom.Rotate(r3.Vector{X: 1}, t.X))
		return geom.Translate(p.Move.At).After(snapped(turn)).After(unit), nil
	}
	return unit, &load.Error{File: in.File, Code: "placement", Says: fmt.Sprintf("placement %q is not known", p.How.Value)}
}

// snapped rounds a rotation by whole quarters to exact integers, so that turning a block by 90
// degrees leaves its faces square.
func snapped(m geom.Motion) geom.Motion {
	whole := m
	for i, row := range m.Rotation {
		whole.Rotation[i] = r3.Vector{X: math.Round(row.X), Y: math.Round(row.Y), Z: math.Round(row.Z)}
		if whole.Rotation[i].Sub(row).Norm() > 4*0x1p-52 {
			return m
		}
	}
	return whole
}

func blankModel(in Insert) (*mesh.Part, error) {
	model, _, err := load.File(in.Frame.Blank.ModelPath, in.Load)
	if err != nil {
		return nil, fmt.Errorf("%s: the blank: %w", in.Frame.Blank.Model.Origin, err)
	}
	if len(model.Parts) != 1 {
		return nil, fmt.Errorf("%s: the blank's model holds %d bodies, not one", in.Frame.Blank.Model.Origin, len(model.Parts))
	}
	return &model.Parts[0], nil
}

// Judge reads and judges one insert. It never panics: a failure inside a measurement is an
// outcome with an error, so that the rest of a batch goes on.
func Judge(in Insert) Outcome { return Halves([]Insert{in})[0].Judge() }

// Guard runs do and turns a panic in it into an error about the file.
func Guard(file string, do func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = load.Internal(file, "measuring", r, debug.Stack())
		}
	}()
	return do()
}
