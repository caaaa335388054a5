package rules

import (
	"bytes"
	"encoding/json"
	"strings"
	"sync"
)

// Row is one value in force, as a person reads it.
type Row struct {
	// Key is the dotted path, such as "steel.wall.any" or "zones[clamp slot left].must".
	Key string
	// Value is the number or word alone, Unit its unit ("" for none).
	Value, Unit string
	Origin      Origin
	// Doc is the key's first sentence.
	Doc string
}

// Show lists every value in force, in the order of the reference table. Steels and resins that no
// file states and the frame does not use are left out; SteelGrade and Resin find them.
func Show(f *Frame) []Row {
	var rows []Row
	rowsOf("", f.keys(), func(r Row) {
		if r.Origin.IsDefault() && f.idle(r.Key) {
			return
		}
		rows = append(rows, r)
		if r.Key == "pocket.fit" && f.Pocket.ClearanceMM.Set() {
			rows = append(rows,
				worked(r, "pocket.fit (gap per side, insert to outline as drawn)", f.Pocket.ClearanceMM),
				worked(r, "pocket.fit (gap per side, both as made)", f.Pocket.PlayMM))
		}
	})
	return rows
}

// idle tells the steels and resins that this package knows of itself, unless the frame's own grade is
// one of them: they are in force only where a workspace names them.
func (f *Frame) idle(key string) bool {
	return strings.HasPrefix(key, "steels[") && !strings.HasPrefix(key, "steels["+f.Steel.Grade.Value+"]") || strings.HasPrefix(key, "resins[")
}

// worked is a row of what follows from another.
func worked(from Row, key string, r Range) Row {
	from.Key, from.Value, from.Unit = key, decimal(r.Least.Value)+" to "+decimal(r.Most.Value), "mm"
	from.Doc = "Worked out from the fit at the outline's sizes."
	return from
}

// Schema is the JSON Schema (draft 2020-12) of a frame's rules file. It sees what stands in one
// file: that the file alone is not a whole frame, or that two limits contradict each other, only
// the loader can tell.
func Schema() []byte {
	return document(keysSchema(new(Frame).keys()), "Rules of a frame",
		"One frame's limits for the inserts that are dropped into it. Bare lengths are in the file's unit; every other quantity carries its own.")
}

func document(s object, title, description string) []byte {
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = title
	s["description"] = description
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	// Maps encode in the order of their keys, so the bytes are the same every time; every value is
	// a string, number, bool, list or map, none of which can fail to encode.
	if err := e.Encode(s); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// KeyDoc is one row of the reference table.
type KeyDoc struct {
	Key     string // with [] after the name of a list
	Kind    string
	Default string // as it would be written, "" for none
	Why     string // the default's reason
	Doc     string
}

// Reference lists every key of a rules file.
func Reference() []KeyDoc { return reference("", new(Frame).keys(), nil) }

// Table is the reference as a Markdown table.
func Table(keys []KeyDoc) string {
	var b strings.Builder
	b.WriteString("| key | value | default | meaning |\n| --- | --- | --- | --- |\n")
	for _, k := range keys {
		fallback := ""
		if k.Default != "" {
			fallback = k.Default + " (" + k.Why + ")"
		}
		b.WriteString("| `" + k.Key + "` | " + cell(k.Kind) + " | " + cell(fallback) + " | " + cell(k.Doc) + " |\n")
	}
	return b.String()
}

func cell(text string) string { return strings.ReplaceAll(text, "|", "\\|") }

func reference(path string, keys []key, into []KeyDoc) []KeyDoc {
	for _, k := range keys {
		at := join(path, k.name)
		if k.form.about() == "list" {
			at += "[]"
		}
		into = append(into, KeyDoc{Key: at, Kind: k.form.about(), Default: k.def, Why: k.why, Doc: oneLine(k.doc)})
		into = reference(at, k.form.below(), into)
	}
	return into
}

// framePaths are the paths of all keys, for hints.
var framePaths = sync.OnceValue(func() []string { return pathsOf(new(Frame).keys()) })

func pathsOf(keys []key) []string {
	var all []string
	for _, k := range reference("", keys, nil) {
		all = append(all, strings.ReplaceAll(k.Key, "[]", "[x]"))
	}
	return all
}
