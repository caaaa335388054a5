package rules

import (
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
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
