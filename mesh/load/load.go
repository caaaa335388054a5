// Package load is the one door by which models come in: it tells the format by content,
// applies limits and calls the reader.
//
// A file name and a header word are never trusted. What cannot be read is an *Error with a
// stable code, the file and the place; a panic inside a reader is turned into one as well, so
// that one hostile model cannot stop a batch.
package load

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step"
	"pocketgauge/mesh/step/tessellate"
	"pocketgauge/mesh/stl"
)

// MaxFileBytes is the largest file that is read: 4 GiB is a binary STL of 85 million facets,
// far over what this program's 32-bit indices and a desk machine's memory take.
const MaxFileBytes = 4 << 30

// Options steer the reading.
type Options struct {
	// ChordMM is the largest distance a mesh made of curved faces may stand off them; 0 asks
	// for the default of mesh/tol.
	ChordMM float64
}

// Error is a model that could not be read.
type Error struct {
	File string
	// Code is a stable word for programs: "missing", "size", "format", or the reader's own.
	Code string
	// Place is where in the file: "byte 84", "line 12", "line 12 column 3 #4711"; may be "".
	Place string
	Says  string
	err   error
}

func (e *Error) Error() string {
	s := e.File + ": "
	if e.Place != "" {
		s += e.Place + ": "
	}
	return s + e.Says
}

func (e *Error) Unwrap() error { return e.err }

// File reads the model in the named file.
func File(name string, opt Options) (*mesh.Model, []byte, error) {
	data, err := slurp(name)
	if err != nil {
		return nil, nil, err
	}
	m, err := Bytes(name, data, opt)
	return m, data, err
}

func slurp(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		code := "open"
		if errors.Is(err, os.ErrNotExist) {
			code = "missing"
		}
		var pe *os.PathError
		says := err.Error()
		if errors.As(err, &pe) {
			says = "cannot open: " + pe.Err.Error()
		}
		return nil, &Error{File: name, Code: code, Says: says, err: err}
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, &Error{File: name, Code: "open", Says: err.Error(), err: err}
	}
	if info.IsDir() {
		return nil, &Error{File: name, Code: "open", Says: "is a folder, not a model"}
	}
	if info.Size() > MaxFileBytes {
		return nil, &Error{File: name, Code: "size", Says: fmt.Sprintf("%d bytes are more than the %d that are read", info.Size(), int64(MaxFileBytes))}
	}
	if !info.Mode().IsRegular() {
		data, err := io.ReadAll(io.LimitReader(f, MaxFileBytes))
		if err != nil {
			return nil, &Error{File: name, Code: "open", Says: err.Error(), err: err}
		}
		return data, nil
	}
	data := make([]byte, info.Size())
	n, err := io.ReadFull(f, data)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, &Error{File: name, Code: "open", Says: err.Error(), err: err}
	}
	return data[:n], nil
}

// Bytes reads the model in data; name is only for messages and for the names of nameless parts.
func Bytes(name string, data []byte, opt Options) (model *mesh.Model, err error) {
	defer func() {
		if r := recover(); r != nil {
			model = nil
			err = Internal(name, "reading", r, debug.Stack())
		}
	}()
	model, err = read(name, data, opt)
	if err != nil {
		return nil, inFile(name, err)
	}
	for i := range model.Parts {
		p := &model.Parts[i]
		if p.Audit == nil {
			p.Audit = mesh.NewAudit(p.Mesh)
		}
		if p.Name == "" && len(model.Parts) == 1 {
			p.Name = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
		}
	}
	return model, nil
}

// Internal is the error for a panic while doing something with a file. Its words are the same on
// every run; the stack, which is not, can be had by unwrapping.
func Internal(name, doing string, panicked any, stack []byte) *Error {
	cause, _, _ := strings.Cut(fmt.Sprint(panicked), "\n")
	return &Error{File: name, Code: "internal", Says: fmt.Sprintf("%s failed (%s); please report this model", doing, cause),
		err: fmt.Errorf("%v\n%s", panicked, stack)}
}

func read(name string, data []byte, opt Options) (*mesh.Model, error) {
	if step.Looks(data) {
		return step.Read(data, name, tessellate.Options{ChordMM: opt.ChordMM})
	}
	if stl.Looks(data) {
		return stl.Read(data)
	}
	return nil, &Error{Code: "format", Says: "neither STEP (ISO 10303-21) nor STL, by its content"}
}

func inFile(name string, err error) error {
	var known *Error
	if errors.As(err, &known) {
		known.File = name
		return known
	}
	var s *stl.Error
	if errors.As(err, &s) {
		return &Error{File: name, Code: s.Code, Place: s.Place, Says: s.Says, err: err}
	}
	var p *step.Error
	if errors.As(err, &p) {
		return &Error{File: name, Code: p.Code, Place: p.Place, Says: p.Says, err: err}
	}
	return &Error{File: name, Code: "format", Says: err.Error(), err: err}
}
