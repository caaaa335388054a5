// Package step reads STEP files (ISO 10303-21 with the schemas of AP203, AP214 and AP242): the
// syntax, the bodies, and triangles of their surfaces with the measures of the surfaces themselves.
//
// It is a door and does nothing itself: mesh/step/part21 knows the syntax, mesh/step/brep the
// bodies, mesh/step/shape curves and surfaces, mesh/step/tessellate makes the triangles.
package step

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/tessellate"
)

// Error is a STEP file that could not be read.
type Error struct {
	// Code is "step-packed" for a packed file that could not be unpacked, "step-syntax" for one
	// that is no Part 21, "step-content" for one that holds no body that could be read.
	Code string
	// Place is such as "line 12, column 3, #4711"; "" where the problem has none.
	Place string
	Says  string
	err   error
}

func (e *Error) Error() string {
	if e.Place == "" {
		return e.Says
	}
	return e.Place + ": " + e.Says
}

func (e *Error) Unwrap() error { return e.err }

func wrap(code string, err error) error {
	var at *part21.Error
	if !errors.As(err, &at) {
		return &Error{Code: code, Says: err.Error(), err: err}
	}
	e := &Error{Code: code, Place: fmt.Sprintf("line %d, column %d", at.Line, at.Column), Says: at.Problem, err: err}
	if at.Named {
		e.Place += fmt.Sprintf(", #%d", at.Instance)
	}
	if at.Entity != "" {
		e.Says = at.Entity + ": " + e.Says
	}
	return e
}

// headBytes is how far into a file its first words are looked for: comments may come first.
const headBytes = 4096

// Looks tells by content whether data is a STEP file, or one packed by gzip or zip.
func Looks(data []byte) bool {
	if bytes.HasPrefix(data, []byte("\x1F\x8B")) || bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		return true
	}
	head := data[:min(len(data), headBytes)]
	head = bytes.TrimPrefix(head, []byte("\xEF\xBB\xBF"))
	for {
		head = bytes.TrimLeft(head, " \t\r\n\f\v")
		if !bytes.HasPrefix(head, []byte("/*")) {
			break
		}
		end := bytes.Index(head, []byte("*/"))
		if end < 0 {
			return bytes.Contains(data, []byte("ISO-10303-21"))
		}
		head = head[end+2:]
	}
	return bytes.HasPrefix(head, []byte("ISO-10303-21"))
}

// Read reads the bodies of a STEP file, packed or not. name is the file's, for messages that
// need one. The error is a *Error.
func Read(data []byte, name string, opt tessellate.Options) (*mesh.Model, error) {
	text, err := part21.Unpack(data)
	if err != nil {
		return nil, wrap("step-packed", err)
	}
	f, err := part21.Parse(text, part21.Limits{Keywords: brep.Keywords()})
	if err != nil {
		return nil, wrap("step-syntax", err)
	}
	b, err := brep.Read(f)
	if err != nil {
		return nil, wrap("step-content", err)
	}
	m := &mesh.Model{Format: format(b.Schema), Unit: b.Unit, Frames: b.Frames, Notes: b.Notes}
	parts, notes, err := tessellate.Model(b, opt)
	if err != nil {
		return nil, wrap("step-content", err)
	}
	m.Parts = parts
	m.Notes = append(m.Notes, notes...)
	if len(m.Parts) == 0 {
		return nil, &Error{Code: "step-content", Says: fmt.Sprintf("%s shows no body", name)}
	}
	return m, nil
}

// format names the application protocol of a schema.
func format(schema string) string {
	upper := strings.ToUpper(schema)
	for _, s := range [...]struct{ schema, protocol string }{
		{"CONFIG_CONTROL_DESIGN", "AP203"},
		{"AP203", "AP203"},
		{"AUTOMOTIVE_DESIGN", "AP214"},
		{"AP214", "AP214"},
		{"AP242", "AP242"},
		{"MANAGED_MODEL_BASED_3D_ENGINEERING", "AP242"},
	} {
		if strings.Contains(upper, s.schema) {
			return "STEP " + s.protocol
		}
	}
	return "STEP"
}
