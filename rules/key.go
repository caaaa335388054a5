package rules

import (
	"fmt"
	"strings"

	"pocketgauge/rules/nearest"
)

// key is one key of a rules or workspace file: the one declaration from which decoding, schema,
// listing and reference table come. It is bound to the field it fills.
type key struct {
	name string
	// doc says what the key means in the shop. Its first sentence stands alone in listings. Where a
	// usual value is named, so is its source.
	doc  string
	form form
	// must: the frame is not complete without it.
	must bool
	// def is the default as a person would write it, why its reason and where the number comes from.
	def, why string
	// rivals are keys of the same section that say the same thing in another way: a file that
	// states one takes away the other that it inherited, and stating two at once is a mistake.
	rivals []string
}

func (k key) required() key { k.must = true; return k }

func (k key) insteadOf(names ...string) key { k.rivals = names; return k }

// orDefault gives the value that holds when no file states one.
func (k key) orDefault(value, why string) key { k.def, k.why = value, why; return k }

// form is what a key's value looks like.
type form interface {
	// read takes the value, replacing what an inherited file said, and reports what is wrong.
	read(d *decoder, n *node, path string)
	isSet() bool
	clear()
	// complete fills defaults in and reports what is missing, below this key.
	complete(d *decoder, path string)
	schema() object
	rows(path, doc string, emit func(Row))
	// about is the kind of value in words, for the reference table.
	about() string
	// below are the keys inside, for the reference table and for hints.
	below() []key
}

type object = map[string]any

// decoder reads one layer of a chain, or the defaults after the last.
type decoder struct {
	report *reporter
	source *source // nil while defaults are read
	why    string
	inches bool // what bare numbers are
	// groups remembers where each section was last written.
	groups map[string]Origin
	// stated holds every path a file has stated, also when its value was refused or its key was a
	// misspelling: one mistake is not reported a second time as something missing.
	stated map[string]bool
	// partial: the file is a set of defaults for others, which may lack what a frame must have.
	partial bool
	// top is where a missing key is reported when its section is nowhere.
	top Origin
	// all lists every path of the table, to tell where a misplaced key belongs.
	all []string
}

func (d *decoder) origin(n *node) Origin {
	if d.source == nil {
		return Origin{Why: d.why}
	}
	return Origin{File: d.source.name, Line: n.line, Column: n.column}
}

func (d *decoder) wrong(n *node, path, says, hint string) {
	if d.source == nil {
		// A default that its own key refuses is a fault of this package, found by the first test
		// that loads any file.
		panic(fmt.Sprintf("default of %s: %s", path, says))
	}
	d.report.add(Problem{File: d.source.name, Line: n.line, Column: n.column, Width: n.width, Key: path, Says: says, Hint: hint})
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// readKeys reads a group of keys.
func readKeys(d *decoder, n *node, path string, keys []key) {
	if n.kind != mapNode {
		hint := "write the keys below it, indented"
		if len(keys) > 0 {
			hint = fmt.Sprintf("write the keys below it, indented: %s, ...", keys[0].name)
		}
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is a group of keys", describe(n)), hint)
		return
	}
	d.groups[path] = d.origin(n)
	stated := map[string]*node{}
	for _, e := range n.entries {
		k := find(keys, e.key.text)
		if k == nil {
			unknown(d, e.key, path, keys)
			continue
		}
		at := join(path, k.name)
		d.stated[at] = true
		if e.value.null {
			d.wrong(e.key, at, "nothing stands after this key", "give it a value or take the line out")
			continue
		}
		clash := false
		for _, rival := range k.rivals {
			if stated[rival] != nil {
				d.wrong(e.key, at, fmt.Sprintf("%s and %s say the same thing in two ways", rival, k.name), "keep one of the two")
				clash = true
			} else if other := find(keys, rival); other != nil && n.get(rival) == nil {
				other.form.clear()
			}
		}
		stated[k.name] = e.value
		if !clash {
			k.form.read(d, e.value, at)
		}
	}
}

func find(keys []key, name string) *key {
	for i := range keys {
		if keys[i].name == name {
			return &keys[i]
		}
	}
	return nil
}

// unknown reports a key that the table does not have, with the likeliest reason.
func unknown(d *decoder, k *node, path string, keys []key) {
	names := make([]string, len(keys))
	for i := range keys {
		names[i] = keys[i].name
	}
	where := "at the top of the file"
	if path != "" {
		where = "under " + path
	}
	hint, meant := "", ""
	folded := strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(k.text), "-", "_"), " ", "_")
	if find(keys, folded) != nil {
		meant = folded
	} else {
		meant, _ = nearest.Word(folded, names)
	}
	if k.text != "" && k.text[0] >= '0' && k.text[0] <= '9' {
		hint = "did a decimal comma split a number? Write a decimal point"
	} else if meant != "" {
		hint = fmt.Sprintf("did you mean %q?", meant)
		d.stated[join(path, meant)] = true
	} else if home := elsewhere(d.all, k.text, path); home != "" {
		hint = fmt.Sprintf("%q belongs under %q", k.text, home)
	} else if len(names) <= 8 {
		hint = "known here: " + strings.Join(names, ", ")
	}
	d.wrong(k, "", fmt.Sprintf("%q is no key %s", clean(k.text), where), hint)
}

// elsewhere is the section that holds a key of this name, "" when none or several do.
func elsewhere(all []string, name, path string) string {
	found := ""
	for _, p := range all {
		home, last := "", p
		if i := strings.LastIndexByte(p, '.'); i >= 0 {
			home, last = p[:i], p[i+1:]
		}
		if last != name || home == path || strings.Contains(home, "[") {
			continue
		}
		if home == "" {
			home = "the top of the file"
		}
		if found != "" && found != home {
			return ""
		}
		found = home
	}
	return found
}

// completeKeys fills in the defaults of a group and reports what it lacks.
func completeKeys(d *decoder, path string, keys []key) {
	for _, k := range keys {
		at := join(path, k.name)
		if !k.form.isSet() && k.def != "" {
			plain := *d
			plain.source, plain.why, plain.inches = nil, k.why, false
			k.form.read(&plain, defaultNode(k.def), at)
		}
		if k.must && !k.form.isSet() {
			if d.stated[at] || d.partial {
				continue
			}
			place, found := d.groups[path]
			if !found {
				place = d.top
			}
			d.report.at(place, "", fmt.Sprintf("%s is missing", at), lowerFirst(sentence(k.doc)))
			continue
		}
		k.form.complete(d, at)
	}
}

// defaultNode is a default's text as the file would hold it: "[a, b]" is a list.
func defaultNode(text string) *node {
	if inner, found := strings.CutPrefix(text, "["); found {
		list := &node{kind: listNode, line: 1, column: 1, width: 1}
		for _, item := range strings.Split(strings.TrimSuffix(inner, "]"), ",") {
			list.items = append(list.items, &node{text: strings.TrimSpace(item), line: 1, column: 1, width: 1})
		}
		return list
	}
	return &node{text: text, line: 1, column: 1, width: 1}
}

// keySchema is the schema of one key: its form's, with its doc line.
func keySchema(k key) object {
	s := k.form.schema()
	out := object{}
	for name, value := range s {
		out[name] = value
	}
	out["description"] = documented(k)
	if k.def != "" {
		out["default"] = k.def
		if strings.HasPrefix(k.def, "[") {
			delete(out, "default")
		}
	}
	return out
}

func documented(k key) string {
	text := oneLine(k.doc)
	if k.def != "" {
		text += fmt.Sprintf(" Default: %s (%s).", k.def, k.why)
	}
	return text
}

// keysSchema is the schema of a group of keys.
func keysSchema(keys []key) object {
	properties := object{}
	var exclusions []any
	for _, k := range keys {
		properties[k.name] = keySchema(k)
		for _, rival := range k.rivals {
			if k.name < rival {
				exclusions = append(exclusions, object{"not": object{"required": []any{k.name, rival}}})
			}
		}
	}
	out := object{"type": "object", "properties": properties, "additionalProperties": false}
	if exclusions != nil {
		out["allOf"] = exclusions
	}
	return out
}

// requiredOf lists the keys a list entry cannot do without.
func requiredOf(keys []key) []any {
	var names []any
	for _, k := range keys {
		if k.must {
			names = append(names, k.name)
		}
	}
	return names
}

func rowsOf(path string, keys []key, emit func(Row)) {
	for _, k := range keys {
		if k.form.isSet() {
			k.form.rows(join(path, k.name), sentence(k.doc), emit)
		}
	}
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// sentence is the first sentence of a doc.
func sentence(doc string) string {
	text := oneLine(doc)
	if i := strings.Index(text, ". "); i >= 0 {
		return text[:i+1]
	}
	return text
}

func lowerFirst(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + strings.TrimSuffix(text[1:], ".")
}

// describe is what stands at a node, for messages.
func describe(n *node) string {
	if n.kind == scalarNode {
		return fmt.Sprintf("%q", clean(n.text))
	}
	return n.kind.String()
}
