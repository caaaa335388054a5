package rules

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"

	"pocketgauge/rules/glob"
	"pocketgauge/rules/nearest"
)

// WorkspaceFile is the name under which a workspace is looked for.
const WorkspaceFile = "pocketgauge.yaml"

// Workspace says which models are which.
type Workspace struct {
	File string
	// Folder is where the workspace file lies; globs and rules paths are relative to it.
	Folder  string
	Entries []Entry

	place   place
	sources []*source
}

// Entry is what is known of the models a glob matches.
type Entry struct {
	Models Text // glob
	Name   Text
	Rules  Text
	// RulesPath is Rules from where the program runs, "" when the entry names none.
	RulesPath string
	Half      Half
	Steel     Text
	Resin     Text
	Finish    Text
	Unit      Text // "mm" or "in", for formats without a unit
	Pair      Text // path of the partner, from the workspace's folder
	Placement Placement
	Skip      Flag
	Origin    Origin

	halfText Text
	pattern  *glob.Pattern
}

// Placement is how a model is brought into pocket coordinates.
type Placement struct {
	// How is as-modelled, seated, system or motion.
	How Text
	// System names a coordinate system of the model's file.
	System Text
	// Turn is applied first, about x, then y, then z (radians, about the fixed axes); then Move.
	Move, Turn Place3
	Origin     Origin
}

// Model is one model file of a workspace.
type Model struct {
	// Path is from where the program runs, Name for people.
	Path, Name string
	Entry      *Entry
	// Partner is the path of the other half, "" when there is none.
	Partner string
}

func (w *Workspace) keys() []key {
	return []key{
		header("unit", []string{"mm", "in"}, `Unit of bare lengths in this file, such as those of a placement. It is not the unit of the
			models.`).orDefault("mm", "drawings of moulds are in millimetres unless they say otherwise"),
		list("inserts", &w.Entries, (*Entry).keys, func(e *Entry) *Origin { return &e.Origin }, `Which models are which. The first entry whose
			glob matches a model is the model's; write what is special above what is general.`).required(),
	}
}

func (e *Entry) keys() []key {
	return []key{
		{name: "models", must: true, form: textForm{into: &e.Models, valid: validGlob, inform: "glob"}, doc: `Path of the models, from this
			file's folder. * stands for any letters within a name, ? for one, [ab] for one of several, ** for any folders.`},
		text("name", &e.Name, `What the insert is called in reports. Its path when left out.`),
		{name: "rules", form: textForm{into: &e.Rules, inform: "path"}, doc: `Rules file of the frame, from this file's folder.`},
		choice("half", &e.halfText, func(s string) { e.Half = Half(s) }, []string{string(Fixed), string(Moving)}, `The half of the mould that the
			insert belongs to: fixed (sprue side) or moving (ejector side).`),
		text("steel", &e.Steel, `Grade of the insert, as listed in the rules; the frame's own when left out.`),
		text("resin", &e.Resin, `Resin that is moulded, as listed in the rules.`),
		text("finish", &e.Finish, `Finish of the detail, as listed under draw.draft.by_finish.`),
		choice("unit", &e.Unit, nil, []string{"mm", "in"}, `Unit of the model's coordinates, for formats that state none (STL).`).
			orDefault("mm", "STL states no unit; mm is what mould designers export"),
		{name: "pair", form: textForm{into: &e.Pair, valid: validPath, inform: "path"}, doc: `Path of the other half's model, from this file's folder. For an entry of one
			model.`},
		{name: "placement", form: placementForm{&e.Placement}, doc: `How the model is brought into pocket coordinates: as-modelled (it is drawn
			in them), seated (find the seat and centre the outline), {system: NAME} (a coordinate system named in the STEP file), or
			{turn: [...], move: [...]} (turned about the fixed x, then y, then z axis, then moved).`,
			def: "as-modelled", why: "a model that is not drawn in pocket coordinates must say so"},
		{name: "skip", form: flagForm{&e.Skip}, doc: `true leaves these models out: they are no inserts.`, def: "false", why: "a model that is listed is judged"},
	}
}

func validGlob(text string) error {
	_, err := glob.Compile(text)
	return err
}

func validPath(text string) error {
	if strings.Contains(text, `\`) {
		return fmt.Errorf("%q has a backslash; write paths with /", clean(text))
	}
	if path.IsAbs(text) {
		return fmt.Errorf("%q holds on one machine only; write the path from this file's folder", clean(text))
	}
	return nil
}

// flagForm is true or false.
type flagForm struct{ into *Flag }

func (f flagForm) read(d *decoder, n *node, path string) {
	if n.kind != scalarNode || n.text != "true" && n.text != "false" {
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is true or false", describe(n)), "")
		return
	}
	*f.into = Flag{Set: true, Value: n.text == "true", Origin: d.origin(n)}
}
func (f flagForm) isSet() bool               { return f.into.Set }
func (f flagForm) clear()                    { *f.into = Flag{} }
func (f flagForm) complete(*decoder, string) {}
func (f flagForm) schema() object            { return object{"type": "boolean"} }
func (f flagForm) about() string             { return "true / false" }
func (f flagForm) below() []key              { return nil }
func (f flagForm) rows(path, doc string, emit func(Row)) {
	emit(Row{Key: path, Value: fmt.Sprint(f.into.Value), Origin: f.into.Origin, Doc: doc})
}

// placementForm is a word, or a group that names a coordinate system or a motion.
type placementForm struct{ into *Placement }

// The ways of placing a model.
const (
	AsModelled = "as-modelled"
	Seated     = "seated"
	BySystem   = "system"
	ByMotion   = "motion"
)

func (f placementForm) word(into *Text) textForm {
	return textForm{into: into, choices: []string{AsModelled, Seated}}
}

func (f placementForm) read(d *decoder, n *node, path string) {
	p := Placement{Origin: d.origin(n)}
	if n.kind != mapNode {
		f.word(&p.How).read(d, n, path)
		if p.How.Set {
			*f.into = p
		}
		return
	}
	readKeys(d, n, path, p.keys())
	switch {
	case p.System.Set && (p.Move.Set || p.Turn.Set):
		d.wrong(n, path, "a coordinate system and a motion stand here together", "keep one of the two")
		return
	case p.System.Set:
		p.How = Text{Set: true, Value: BySystem, Origin: p.System.Origin}
	case p.Move.Set || p.Turn.Set:
		p.How = Text{Set: true, Value: ByMotion, Origin: p.Origin}
	case len(n.entries) == 0:
		d.wrong(n, path, "nothing stands here", "write as-modelled, seated, {system: NAME} or {turn: [...], move: [...]}")
		return
	default:
		return
	}
	*f.into = p
}
func (p *Placement) keys() []key {
	return []key{
		text("system", &p.System, `Name of a coordinate system in the model's file that is to become the pocket's.`),
		angles3("turn", &p.Turn, `Turn about the fixed x, then y, then z axis through the model's origin.`),
		place3("move", &p.Move, `Move, after the turn.`),
	}
}
func (f placementForm) isSet() bool               { return f.into.How.Set }
func (f placementForm) clear()                    { *f.into = Placement{} }
func (f placementForm) complete(*decoder, string) {}
func (f placementForm) schema() object {
	system, motion := keysSchema(f.below()[:1]), keysSchema(f.below()[1:])
	system["required"], motion["minProperties"] = []any{"system"}, 1
	return object{"anyOf": []any{f.word(new(Text)).schema(), system, motion}}
}
func (f placementForm) about() string { return AsModelled + " / " + Seated + " / group" }
func (f placementForm) below() []key  { return new(Placement).keys() }
func (f placementForm) rows(path, doc string, emit func(Row)) {
	emit(Row{Key: path, Value: f.into.How.Value, Origin: f.into.Origin, Doc: doc})
	rowsOf(path, f.into.keys(), emit)
}

// LoadWorkspace reads a workspace file. Whether its rules files exist and are sound is found when
// they are loaded.
func LoadWorkspace(name string) (*Workspace, error) { return loadWorkspace(disk{}, name) }

// LoadWorkspaceFS is LoadWorkspace from a file system.
func LoadWorkspaceFS(fsys fs.FS, name string) (*Workspace, error) {
	return loadWorkspace(tree{fsys}, name)
}

func loadWorkspace(p place, name string) (*Workspace, error) {
	name = path.Clean(filepath.ToSlash(name))
	w := &Workspace{File: name, Folder: path.Dir(name), place: p}
	d, err := loadAlone(p, name, w.keys(), pathsOf(new(Workspace).keys()))
	if err != nil {
		return nil, err
	}
	w.sources = d.report.sources
	w.resolve(d)
	if err := d.report.problems(); err != nil {
		return nil, err
	}
	return w, nil
}

func (w *Workspace) resolve(d *decoder) {
	first := map[string]int{}
	for i := range w.Entries {
		e := &w.Entries[i]
		path := fmt.Sprintf("inserts[%d]", i+1)
		if !e.Models.Set {
			continue
		}
		e.pattern, _ = glob.Compile(e.Models.Value)
		if line, twice := first[e.Models.Value]; twice {
			d.report.at(e.Models.Origin, path+".models", fmt.Sprintf("%q stands on line %d already, and the first entry that matches wins", clean(e.Models.Value), line), "take one of the two out")
		} else {
			first[e.Models.Value] = e.Models.Origin.Line
		}
		if e.Rules.Set {
			if err := validPath(e.Rules.Value); err != nil {
				d.report.at(e.Rules.Origin, path+".rules", err.Error(), "")
			} else {
				e.RulesPath = w.place.beside(w.File, e.Rules.Value)
			}
		} else if !e.Skip.Value && !d.stated[path+".rules"] {
			d.report.at(e.Origin, path, "rules is missing", "name the rules file of the frame, or  skip: true  for models that are no inserts")
		}
		if e.Pair.Set && glob.HasMeta(e.Models.Value) {
			d.report.at(e.Pair.Origin, path+".pair", fmt.Sprintf("%q may match many models, which cannot all have one partner", clean(e.Models.Value)), "give the pair an entry of its own, above this one")
		}
		if e.Pair.Set && e.Pair.Value == e.Models.Value {
			d.report.at(e.Pair.Origin, path+".pair", "a model cannot be its own partner", "")
		}
	}
}

// modelExtensions are the names under which models are looked for. What a file is, its content
// decides when it is read.
var modelExtensions = []string{".stl", ".stp", ".step", ".stpz", ".p21"}

// IsModelName tells whether a file's name is that of a model.
func IsModelName(name string) bool {
	return contains(modelExtensions, strings.ToLower(path.Ext(name)))
}

// mostFiles bounds the walk through a workspace's folder.
const mostFiles = 1_000_000

// Match is the entry of a path, given from the workspace's folder; nil when none matches. The first
// entry that matches wins.
func (w *Workspace) Match(name string) *Entry {
	for i := range w.Entries {
		if e := &w.Entries[i]; e.pattern != nil && e.pattern.Match(name) {
			return e
		}
	}
	return nil
}

// Resolve lists the models in the workspace's folder: those that an entry matches, in path order,
// and the paths of model files that none matches. The first entry that matches a file wins. Folders
// and files whose name starts with a point are passed over, and so are links to folders. A glob
// without a match and a partner that is not there are reported beside the models found: each is a
// slip of the pen that would otherwise leave a model unjudged.
func (w *Workspace) Resolve() (models []Model, unmatched []string, err error) {
	files, err := w.files()
	if err != nil {
		return nil, nil, err
	}
	report := &reporter{sources: w.sources}
	matched := map[*Entry]bool{}
	there := map[string]bool{}
	for _, name := range files {
		there[name] = true
		e := w.Match(name)
		switch {
		case e == nil && IsModelName(name):
			unmatched = append(unmatched, w.beside(name))
		case e == nil:
		default:
			matched[e] = true
			if e.Skip.Value {
				continue
			}
			m := Model{Path: w.beside(name), Name: name, Entry: e}
			if e.Name.Set && !glob.HasMeta(e.Models.Value) {
				m.Name = e.Name.Value
			}
			if e.Pair.Set {
				m.Partner = w.beside(path.Clean(e.Pair.Value))
			}
			models = append(models, m)
		}
	}
	for i := range w.Entries {
		e := &w.Entries[i]
		key := fmt.Sprintf("inserts[%d]", i+1)
		if !matched[e] {
			says, hint := "matches no file", "paths start at the folder of this file"
			for _, name := range files {
				if e.pattern.Match(name) {
					says, hint = "matches only files that an earlier entry has taken", "the first entry that matches wins; move this one up"
					break
				}
			}
			report.at(e.Models.Origin, key+".models", fmt.Sprintf("%q %s", clean(e.Models.Value), says), hint)
		}
		if e.Pair.Set && !there[path.Clean(e.Pair.Value)] {
			report.at(e.Pair.Origin, key+".pair", fmt.Sprintf("there is no file %q", clean(e.Pair.Value)), "paths start at the folder of this file")
		}
	}
	return models, unmatched, report.problems()
}

// files are the paths below the workspace's folder, from it, in order.
func (w *Workspace) files() ([]string, error) {
	var files []string
	var fsys fs.FS
	root := "."
	switch p := w.place.(type) {
	case tree:
		fsys, root = p.fsys, w.Folder
	default:
		fsys = os.DirFS(filepath.FromSlash(w.Folder))
	}
	err := fs.WalkDir(fsys, root, func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if name != root && strings.HasPrefix(entry.Name(), ".") {
			if entry.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if !entry.Type().IsRegular() {
			// A link may lead to a model; a pipe, a device or a folder is none.
			info, err := fs.Stat(fsys, name)
			if err != nil || !info.Mode().IsRegular() {
				return nil
			}
		}
		if len(files) >= mostFiles {
			return errors.New("more than a million files; keep the workspace file nearer to its models")
		}
		if root != "." {
			name = strings.TrimPrefix(name, root+"/")
		}
		files = append(files, name)
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("%s: looking for models: %w", w.File, err)
	}
	// The walk goes folder by folder; order by whole path is what a reader expects of a list.
	sort.Strings(files)
	return files, nil
}

func (w *Workspace) beside(name string) string { return path.Join(w.Folder, name) }

// Digest is the SHA-256 of the workspace file in hex.
func (w *Workspace) Digest() string { return digest(w.sources) }

// Against holds an entry against the frame its rules file gave: the steel, resin and finish it names
// must be listed there. The problems stand at the entry's lines.
func (w *Workspace) Against(e *Entry, f *Frame) error {
	report := &reporter{sources: w.sources}
	ask := func(t Text, key, under string, names []string) {
		if !t.Set || contains(names, t.Value) {
			return
		}
		hint := "list it under " + under
		if near, ok := nearest.Word(t.Value, names); ok {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		report.at(t.Origin, key, fmt.Sprintf("%s lists no %q", f.File, clean(t.Value)), hint)
	}
	var steels, resins, finishes []string
	for i := range f.Steels {
		steels = append(steels, f.Steels[i].Grade.Value)
	}
	for i := range f.Resins {
		resins = append(resins, f.Resins[i].Name.Value)
	}
	for i := range f.Draw.Draft.ByFinish {
		finishes = append(finishes, f.Draw.Draft.ByFinish[i].Finish.Value)
	}
	ask(e.Steel, "steel", "steels", steels)
	ask(e.Resin, "resin", "resins", resins)
	ask(e.Finish, "finish", "draw.draft.by_finish", finishes)
	return report.problems()
}

// WorkspaceSchema is the JSON Schema (draft 2020-12) of a workspace file.
func WorkspaceSchema() []byte {
	keys := new(Workspace).keys()
	s := keysSchema(keys)
	s["required"] = requiredOf(keys)
	return document(s, "Workspace", "Which models are which: the file "+WorkspaceFile+" in the folder above them.")
}

// WorkspaceReference lists every key of a workspace file.
func WorkspaceReference() []KeyDoc { return reference("", new(Workspace).keys(), nil) }
