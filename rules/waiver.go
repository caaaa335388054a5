package rules

import (
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"strings"
	"time"

	"pocketgauge/rules/glob"
	"pocketgauge/rules/nearest"
	"pocketgauge/rules/quantity"
)

// WaiverFile is the name under which waivers are looked for, beside the workspace file.
const WaiverFile = "pocketgauge-waivers.yaml"

// Waivers are findings that somebody has accepted.
type Waivers struct {
	File string
	List []Waiver

	sources []*source
}

// Waiver accepts one check's finding on some models, up to a measured value and until a day.
type Waiver struct {
	Check  Text
	Models Text // glob, from the folder of the waiver file
	// Accepts is the worst measured value that is let pass, in the dimension's own unit (see package
	// quantity); which side is worse, the check knows. Unset accepts any.
	Accepts   Limit
	Dimension quantity.Dimension
	// At and WithinMM bind the waiver to a place; unset, it holds for the whole model.
	At       Place3
	WithinMM Limit
	Who, Why Text
	// Until is the last day on which the waiver holds, at midnight UTC.
	Until  time.Time
	Origin Origin

	until   Text
	pattern *glob.Pattern
}

func (w *Waivers) keys() []key {
	return []key{
		header("unit", []string{"mm", "in"}, `Unit of bare lengths in this file.`).orDefault("mm", "drawings of moulds are in millimetres unless they say otherwise"),
		list("waivers", &w.List, (*Waiver).keys, func(v *Waiver) *Origin { return &v.Origin }, `Findings that are accepted, one by one.`).required(),
	}
}

func (w *Waiver) keys() []key {
	return []key{
		{name: "check", must: true, form: textForm{into: &w.Check, valid: validID, wanted: idPattern.String(), inform: "check id"}, doc: `Id of the check
			whose finding is accepted.`},
		{name: "models", must: true, form: textForm{into: &w.Models, valid: validGlob, inform: "glob"}, doc: `Path of the models, from this
			file's folder, with * and ** as in the workspace file.`},
		{name: "accepts", form: amountForm{w}, doc: `The worst measured value that is accepted, with its unit, such as 6.4 mm: a later change that makes
			it worse is found again. Without it any value is accepted.`},
		place3("at", &w.At, `The place in the insert that the waiver is for, in pocket coordinates. The whole insert when left out.`),
		limit("within", &w.WithinMM, quantity.Length, `How far from that place a finding may lie and still be the accepted one.`).positive().
			orDefault("5 mm", "this program's own choice: nearer than two features usually are"),
		text("who", &w.Who, `Who accepted it.`).required(),
		text("why", &w.Why, `Why it is acceptable.`).required(),
		{name: "until", must: true, form: textForm{into: &w.until, took: w.tookUntil, valid: validDay, wanted: `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`, inform: "day"},
			doc: `Last day on which it holds, such as 2027-03-31. After it the finding counts again.`},
	}
}

func (w *Waiver) tookUntil(text string) { w.Until, _ = time.Parse(time.DateOnly, text) }

func validDay(text string) error {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return fmt.Errorf("%q is no day of the calendar; write it like 2027-03-31", clean(text))
	}
	return nil
}

// amountForm is a number with whatever unit the check measures in.
type amountForm struct{ into *Waiver }

func (f amountForm) read(d *decoder, n *node, path string) {
	dim := quantity.Plain
	if q, err := quantity.Parse(n.text); err == nil && n.kind == scalarNode {
		dim = q.Dimension
	}
	if v, ok := d.number(n, path, dim, bounds{}); ok {
		f.into.Accepts = Limit{Set: true, Value: v, Origin: d.origin(n)}
		f.into.Dimension = dim
	}
}
func (f amountForm) isSet() bool               { return f.into.Accepts.Set }
func (f amountForm) clear()                    { f.into.Accepts = Limit{} }
func (f amountForm) complete(*decoder, string) {}
func (f amountForm) schema() object {
	var forms []any
	for _, dim := range quantity.Dimensions() {
		forms = append(forms, numberSchema(dim, bounds{}))
	}
	return object{"anyOf": forms}
}
func (f amountForm) about() string { return "number with its unit" }
func (f amountForm) below() []key  { return nil }
func (f amountForm) rows(path, doc string, emit func(Row)) {
	limitForm{into: &f.into.Accepts, dim: f.into.Dimension}.rows(path, doc, emit)
}

// LoadWaivers reads a waiver file.
func LoadWaivers(name string) (*Waivers, error) { return loadWaivers(disk{}, name) }

// LoadWaiversFS is LoadWaivers from a file system.
func LoadWaiversFS(fsys fs.FS, name string) (*Waivers, error) { return loadWaivers(tree{fsys}, name) }

func loadWaivers(p place, name string) (*Waivers, error) {
	name = path.Clean(filepath.ToSlash(name))
	w := &Waivers{File: name}
	d, err := loadAlone(p, name, w.keys(), pathsOf(new(Waivers).keys()))
	if err != nil {
		return nil, err
	}
	w.sources = d.report.sources
	first := map[string]int{}
	for i := range w.List {
		v := &w.List[i]
		at := fmt.Sprintf("waivers[%d]", i+1)
		v.pattern, _ = glob.Compile(v.Models.Value)
		if v.WithinMM.Set && !v.WithinMM.Origin.IsDefault() && !v.At.Set && !d.stated[at+".at"] {
			d.report.at(v.WithinMM.Origin, at+".within", "within what place?", "add  at: [x, y, z]  or take this out")
		}
		same := fmt.Sprint(v.Check.Value, "|", v.Models.Value, "|", v.At.Set, v.At.At)
		if line, twice := first[same]; twice && v.Check.Set && v.Models.Set {
			d.report.at(v.Origin, at, fmt.Sprintf("the same check, models and place stand on line %d already", line), "keep one of the two")
		} else {
			first[same] = v.Origin.Line
		}
	}
	if err := d.report.problems(); err != nil {
		return nil, err
	}
	return w, nil
}

// Matches tells whether the waiver is for a check on a model, given by its path from the folder of
// the waiver file.
func (w *Waiver) Matches(check, model string) bool {
	return w.Check.Value == check && w.pattern != nil && w.pattern.Match(strings.TrimPrefix(path.Clean(model), "./"))
}

// Expired tells whether the waiver no longer holds on a day. The last day itself still counts,
// wherever on earth it is that day: the day of the given time's own zone is compared.
func (w *Waiver) Expired(on time.Time) bool {
	y, m, d := on.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).After(w.Until)
}

// Against holds the waivers against the checks there are: ids that none has, and accepted values that
// are no such quantity as the check measures. dimension is what a check measures, where that is known.
func (w *Waivers) Against(known []string, dimension func(check string) (quantity.Dimension, bool)) error {
	report := &reporter{sources: w.sources}
	for i := range w.List {
		v := &w.List[i]
		at := fmt.Sprintf("waivers[%d]", i+1)
		if !contains(known, v.Check.Value) {
			hint := ""
			if near, ok := nearest.Word(v.Check.Value, known); ok {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			report.at(v.Check.Origin, at+".check", fmt.Sprintf("there is no check %q", clean(v.Check.Value)), hint)
			continue
		}
		if dim, ok := dimension(v.Check.Value); ok && v.Accepts.Set && dim != v.Dimension {
			report.at(v.Accepts.Origin, at+".accepts", fmt.Sprintf("this is %s, %s measures %s", v.Dimension, v.Check.Value, dim), fmt.Sprintf("write it like %q", dim.Example()))
		}
	}
	return report.problems()
}

// Digest is the SHA-256 of the waiver file in hex.
func (w *Waivers) Digest() string { return digest(w.sources) }

// WaiverSchema is the JSON Schema (draft 2020-12) of a waiver file.
func WaiverSchema() []byte {
	keys := new(Waivers).keys()
	s := keysSchema(keys)
	s["required"] = requiredOf(keys)
	return document(s, "Waivers", "Findings that somebody has accepted: the file "+WaiverFile+" beside the workspace file.")
}

// WaiverReference lists every key of a waiver file.
func WaiverReference() []KeyDoc { return reference("", new(Waivers).keys(), nil) }
