package rules

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// Load reads a frame's rules file and every file it inherits from. The error is a *Problems when
// the files could be read but say something wrong; a file without the key frame is refused, for it
// is a set of defaults and no frame.
func Load(name string) (*Frame, error) { return load(disk{}, name, false) }

// LoadFS is Load from a file system; names are slash-separated and relative to its root.
func LoadFS(fsys fs.FS, name string) (*Frame, error) { return load(tree{fsys}, name, false) }

// Lint is Load, but takes a set of defaults too: what a frame must have may then be missing.
func Lint(name string) (*Frame, error) { return load(disk{}, name, true) }

// LintFS is Lint from a file system.
func LintFS(fsys fs.FS, name string) (*Frame, error) { return load(tree{fsys}, name, true) }

// place is where files come from.
type place interface {
	// beside is the path of a file that another names.
	beside(name, other string) string
	open(name string) (fs.File, error)
}

type disk struct{}

func (disk) beside(name, other string) string {
	return filepath.ToSlash(filepath.Join(filepath.Dir(filepath.FromSlash(name)), filepath.FromSlash(other)))
}
func (disk) open(name string) (fs.File, error) {
	// Asked before opening: opening a pipe that nobody writes to would wait for ever.
	info, err := os.Stat(filepath.FromSlash(name))
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("not a regular file")}
	}
	return os.Open(filepath.FromSlash(name))
}

type tree struct{ fsys fs.FS }

func (tree) beside(name, other string) string    { return path.Join(path.Dir(name), other) }
func (t tree) open(name string) (fs.File, error) { return t.fsys.Open(name) }

func readSource(p place, name string) (*source, error) {
	f, err := p.open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.IsDir() {
		return nil, &fs.PathError{Op: "read", Path: name, Err: errors.New("a folder, not a file")}
	}
	text, err := io.ReadAll(io.LimitReader(f, mostBytes+1))
	if err != nil {
		return nil, err
	}
	return newSource(name, text)
}

// cause is the reason of a failed read without the path, which the message has already.
func cause(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "no such file"
	case errors.Is(err, fs.ErrPermission):
		return "no permission to read it"
	}
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err.Error()
	}
	return err.Error()
}

// layer is one file of a chain.
type layer struct {
	source *source
	root   *node
	inches bool
}

// atFile puts a file's name before an error that does not start with it.
func atFile(name string, err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return fmt.Errorf("%s: %w", name, at.Err)
	}
	if strings.HasPrefix(err.Error(), name) {
		return err
	}
	return fmt.Errorf("%s: %w", name, err)
}

// readLayer parses a file and reads what concerns the file itself.
func readLayer(s *source, report *reporter) layer {
	l := layer{source: s, root: readNodes(s, report)}
	if l.root != nil && l.root.kind != mapNode {
		report.add(Problem{File: s.name, Line: l.root.line, Column: l.root.column, Width: l.root.width, Says: describe(l.root) + " stands here, a file is a group of keys", Hint: "write keys such as  frame: NAME"})
		l.root = nil
	}
	if unit := l.root.get("unit"); unit != nil && !unit.null {
		d := &decoder{report: report, source: s}
		var word Text
		textForm{into: &word, choices: []string{"mm", "in"}}.read(d, unit, "unit")
		l.inches = word.Value == "in"
	}
	return l
}

// chain reads a file and those it inherits from, the asked-for file first. Problems are reported,
// and the chain is then not whole; an error is one of the asked-for file itself.
func chain(p place, name string, report *reporter) (layers []layer, whole bool, err error) {
	name = path.Clean(filepath.ToSlash(name))
	var names []string
	var from *node // the inherits that named this file
	for {
		s, err := readSource(p, name)
		if err != nil {
			if from == nil {
				return nil, false, atFile(name, err)
			}
			says := cause(err)
			if strings.HasPrefix(says, name) {
				says = strings.TrimLeft(says[len(name):], ":0123456789 ")
			}
			inheritProblem(report, layers[len(layers)-1], from, fmt.Sprintf("cannot read %s: %s", clean(name), says), "paths start at the folder of the file that names them")
			return layers, false, nil
		}
		report.sources = append(report.sources, s)
		names = append(names, name)
		l := readLayer(s, report)
		layers = append(layers, l)
		from = l.root.get("inherits")
		if from == nil || from.null {
			return layers, true, nil
		}
		var to Text
		textForm{into: &to}.read(&decoder{report: report, source: s}, from, "inherits")
		switch {
		case !to.Set:
			return layers, false, nil
		case strings.Contains(to.Value, `\`):
			inheritProblem(report, l, from, fmt.Sprintf("%q has a backslash", clean(to.Value)), "write paths with /")
			return layers, false, nil
		case path.IsAbs(to.Value) || filepath.IsAbs(to.Value) || filepath.VolumeName(to.Value) != "":
			inheritProblem(report, l, from, fmt.Sprintf("%q holds on one machine only", clean(to.Value)), "write the path from this file's folder, such as ../shop.yaml")
			return layers, false, nil
		}
		name = p.beside(name, to.Value)
		for i, earlier := range names {
			if earlier == name {
				inheritProblem(report, l, from, "files inherit from one another in a circle: "+strings.Join(append(names[i:], name), " -> "), "take one of the links out")
				return layers, false, nil
			}
		}
		if len(names) >= mostChain {
			inheritProblem(report, l, from, fmt.Sprintf("a chain of more than %d files: %s", mostChain, strings.Join(append(names, name), " -> ")), "")
			return layers, false, nil
		}
	}
}

func inheritProblem(report *reporter, l layer, n *node, says, hint string) {
	report.add(Problem{File: l.source.name, Line: n.line, Column: n.column, Width: n.width, Key: "inherits", Says: says, Hint: hint})
}

func load(p place, name string, partial bool) (*Frame, error) {
	report := &reporter{}
	layers, whole, err := chain(p, name, report)
	if err != nil {
		return nil, err
	}
	f := &Frame{}
	d := &decoder{report: report, groups: map[string]Origin{}, stated: map[string]bool{}, all: framePaths()}
	for i := len(layers) - 1; i >= 0; i-- {
		l := layers[i]
		f.Chain = append([]string{l.source.name}, f.Chain...)
		if l.root == nil {
			continue
		}
		before := f.Blank.Model
		d.source, d.inches = l.source, l.inches
		readKeys(d, l.root, "", f.keys())
		if m := f.Blank.Model; m.Set && m != before {
			f.Blank.ModelPath = p.beside(l.source.name, m.Value)
		}
	}
	if !f.Blank.Model.Set {
		f.Blank.ModelPath = ""
	}
	f.File = layers[0].source.name
	d.source = layers[0].source
	d.top = Origin{File: f.File, Line: 1, Column: 1}
	if f.Name.Set && f.Name.Origin.File == f.File {
		d.top = f.Name.Origin
	}
	d.groups[""] = d.top
	// What a file that could not be reached may have held is not missing.
	d.partial = partial && !f.Name.Set || !whole
	// A file that is not YAML says nothing about what it lacks.
	for _, l := range layers {
		if l.root == nil && len(report.list) > 0 {
			return nil, report.problems()
		}
	}
	if !f.Name.Set && !partial && whole && !d.stated["frame"] && len(report.list) == 0 {
		d.stated["frame"], d.partial = true, true
		report.at(d.top, "", "frame is missing: this file is a set of defaults, no frame", "give the frame's file, or add  frame: NAME")
	}
	completeKeys(d, "", f.keys())
	f.addKnownSteels()
	f.addKnownResins()
	f.resolve(d)
	if err := report.problems(); err != nil {
		return nil, err
	}
	f.sources = report.sources
	return f, nil
}

// loadAlone reads a file that inherits from none. The problems it reports may be added to; an error
// is one after which there is nothing to add to.
func loadAlone(p place, name string, keys []key, all []string) (*decoder, error) {
	s, err := readSource(p, name)
	if err != nil {
		return nil, atFile(name, err)
	}
	report := &reporter{sources: []*source{s}}
	l := readLayer(s, report)
	if l.root == nil && len(report.list) > 0 {
		return nil, report.problems()
	}
	d := &decoder{report: report, source: s, inches: l.inches, groups: map[string]Origin{}, stated: map[string]bool{},
		all: all, top: Origin{File: name, Line: 1, Column: 1}}
	d.groups[""] = d.top
	if l.root != nil {
		readKeys(d, l.root, "", keys)
	}
	completeKeys(d, "", keys)
	return d, nil
}
