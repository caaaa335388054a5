package brep

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"sync/atomic"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/part21"
)

// reader goes through one file.
type reader struct {
	f      *part21.File
	scales map[int]*scale
	// slot holds for each instance one more than its place on the list of its kind.
	slot     []int32
	vertices []vertexEntry
	curves   []curveEntry
	surfaces []surfaceEntry
	edges    []edgeEntry
	faces    []faceEntry
	revisits int
	nested   atomic.Int64 // geometry made as a part of other geometry

	vertexArena arena[Vertex]
	edgeArena   arena[Edge]
	faceArena   arena[Face]
	loopArena   arena[Loop]
	useArena    arena[Use]

	model   *Model
	notes   []placedNote
	dropped int // notes beyond the limit
	most    limits
	refused map[part21.Type]part21.Instance // what is no boundary of a body: the first of each kind
	// firstScale is that of the first body.
	firstScale *scale
}

type placedNote struct {
	index int // of the instance, for the order
	note  mesh.Note
}

// noteLimit bounds the notes of one file; the rest are counted. Each is a line for a person.
// notesKept is how many are gathered before those beyond the limit are dropped.
const (
	noteLimit = 200
	notesKept = 16 * noteLimit
)

// keepFirstNotes puts notes in file order and drops those beyond the limit.
func (r *reader) keepFirstNotes() {
	sort.SliceStable(r.notes, func(a, b int) bool { return r.notes[a].index < r.notes[b].index })
	if more := len(r.notes) - noteLimit; more > 0 {
		r.notes, r.dropped = r.notes[:noteLimit], r.dropped+more
	}
}

func (r *reader) noteAt(i part21.Instance, format string, args ...any) {
	index, place := math.MaxInt, ""
	if i.File() != nil {
		index, place = i.Index(), fmt.Sprintf("#%d", i.Name())
	}
	if len(r.notes) >= notesKept {
		r.keepFirstNotes()
	}
	r.notes = append(r.notes, placedNote{index, mesh.Note{Place: place, Says: fmt.Sprintf(format, args...)}})
}

// Read resolves the bodies, products and placements of a file that was parsed with Keywords.
//
// A file without a body is an error that says what there is instead: the files it refers to,
// wireframe, solids by construction. What is lost or assumed of a file with bodies is in the
// model's Notes. The error is a *part21.Error where it has a place in the text.
func Read(f *part21.File) (*Model, error) {
	if f.Keyword(1) != keywords[1] || f.Keyword(typeCount-1) != keywords[typeCount-1] {
		return nil, fmt.Errorf("the file was parsed without the vocabulary of package brep")
	}
	if f.Len() > math.MaxInt32-1 {
		return nil, fmt.Errorf("%d instances are more than are read (%d)", f.Len(), math.MaxInt32-1)
	}
	r := &reader{f: f, scales: map[int]*scale{}, slot: make([]int32, f.Len()), most: limitsOf(f.Bytes()), model: &Model{}, refused: map[part21.Type]part21.Instance{}}
	r.model.Bytes = f.Bytes()
	r.model.Schema = strings.Join(f.Header().Schemas, ", ")
	s := r.newStructure()
	if err := s.place(); err != nil {
		return nil, err
	}
	if err := s.placeStrays(); err != nil {
		return nil, err
	}
	if len(r.model.Bodies) == 0 {
		return nil, r.nothing()
	}
	r.resolve()
	if r.nested.Load() > r.most.nested {
		return nil, fmt.Errorf("the curves and surfaces of the file are made of each other more than %d times", r.most.nested)
	}
	r.noteMissing()
	r.finishNotes()
	return r.model, nil
}

// finishNotes puts notes in file order and holds them to a number a person can read.
func (r *reader) finishNotes() {
	r.keepFirstNotes()
	for _, n := range r.notes {
		r.model.Notes = append(r.model.Notes, n.note)
	}
	if r.dropped > 0 {
		r.model.Notes = append(r.model.Notes, mesh.Note{Says: fmt.Sprintf("and %d notes more", r.dropped)})
	}
}

// externalFiles names the files that the file refers to, in file order, each once.
func (r *reader) externalFiles() (names []string, first part21.Instance) {
	seen := map[string]bool{}
	add := func(name string) {
		if name = strings.TrimSpace(name); name != "" && !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	for i := range r.f.Of(typeDocumentFile) {
		p := i.Record(typeDocumentFile).Params()
		id, name := p.String(), p.String()
		if p.Err() != nil {
			continue
		}
		if first.File() == nil {
			first = i
		}
		if strings.TrimSpace(id) == "" {
			id = name
		}
		add(id)
	}
	for _, ref := range r.f.References() {
		add(ref.FileName)
	}
	return names, first
}

// nothing says why a file holds no body.
func (r *reader) nothing() error {
	names, first := r.externalFiles()
	what := r.refusedNames()
	switch {
	case len(names) > 0:
		text := "the geometry is in other files, which have to be read instead: " + strings.Join(names, ", ")
		if first.File() != nil {
			return first.Errorf("%s", text)
		}
		return fmt.Errorf("%s", text)
	case len(what) > 0:
		return fmt.Errorf("no solid and no surface that bounds one, only %s", strings.Join(what, ", "))
	}
	for k := range r.notes {
		return fmt.Errorf("no body could be read: %s: %s", r.notes[k].note.Place, r.notes[k].note.Says)
	}
	return fmt.Errorf("no solid, no surface model and no tessellated shape in %d instances", r.f.Len())
}

// refusedNames are the kinds of item that bound no body, with the first of each.
func (r *reader) refusedNames() []string {
	var list []part21.Instance
	for _, i := range r.refused {
		list = append(list, i)
	}
	sort.Slice(list, func(a, b int) bool { return list[a].Index() < list[b].Index() })
	var names []string
	for _, i := range list {
		names = append(names, i.Describe()+" ("+whatItIs(i.Type())+")")
	}
	return names
}

func whatItIs(t part21.Type) string {
	switch t {
	case typeGeometricSet, typeGeometricCurveSet, typeEdgeBasedWireframeModel, typeShellBasedWireframeModel:
		return "wireframe or loose geometry"
	case typeTessellatedGeometricSet, typeRepositionedTessellatedItem:
		return "loose tessellated geometry"
	case typeSurfaceReplica, typeSolidReplica:
		return "a copy of another solid or surface"
	}
	return "a solid by construction"
}

// noteMissing tells what else a file with bodies refers to or holds.
func (r *reader) noteMissing() {
	if names, first := r.externalFiles(); len(names) > 0 {
		r.noteAt(first, "refers to files that were not read: %s", strings.Join(names, ", "))
	}
	for _, i := range r.refused {
		r.noteAt(i, "%s is not a boundary of a body (%s) and was left out", i.Describe(), whatItIs(i.Type()))
	}
}
