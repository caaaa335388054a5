package rules

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"pocketgauge/rules/nearest"
)

// mostText bounds a text; a sentence in a report needs far less.
const mostText = 2000

type textForm struct {
	into    *Text
	choices []string
	took    func(string)
	// valid is an error in words for a text that is no good, nil otherwise; wanted is its pattern.
	valid  func(string) error
	wanted string
	inform string
}

func text(name string, into *Text, doc string) key {
	return key{name: name, doc: doc, form: textForm{into: into}}
}

// choice is a word among few.
func choice(name string, into *Text, took func(string), choices []string, doc string) key {
	return key{name: name, doc: doc, form: textForm{into: into, choices: choices, took: took}}
}

func (f textForm) read(d *decoder, n *node, path string) {
	value := strings.TrimSpace(n.text)
	switch {
	case n.kind != scalarNode:
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is text", n.kind), "")
		return
	case n.boolean && f.choices == nil:
		d.wrong(n, path, fmt.Sprintf("%s is yes or no in YAML, this is text", value), fmt.Sprintf("write it in quotes: %q", value))
		return
	case value == "":
		d.wrong(n, path, "an empty text", "give it a value or take the line out")
		return
	case utf8.RuneCountInString(value) > mostText:
		d.wrong(n, path, fmt.Sprintf("a text of more than %d characters", mostText), "")
		return
	case strings.ContainsFunc(value, func(r rune) bool { return r < ' ' && r != '\n' }):
		d.wrong(n, path, "a text with control characters", "")
		return
	}
	if f.choices != nil && !contains(f.choices, value) {
		hint := "one of " + strings.Join(f.choices, ", ")
		if near, ok := nearest.Word(strings.ToLower(value), f.choices); ok {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		d.wrong(n, path, fmt.Sprintf("%q is none of %s", clean(value), strings.Join(f.choices, ", ")), hint)
		return
	}
	if f.valid != nil {
		if err := f.valid(value); err != nil {
			d.wrong(n, path, err.Error(), "")
			return
		}
	}
	*f.into = Text{Set: true, Value: value, Origin: d.origin(n)}
	if f.took != nil {
		f.took(value)
	}
}
func (f textForm) isSet() bool { return f.into.Set }
func (f textForm) clear() {
	*f.into = Text{}
	if f.took != nil {
		f.took("")
	}
}
func (f textForm) complete(*decoder, string) {}
func (f textForm) schema() object {
	switch {
	case f.choices != nil:
		values := make([]any, len(f.choices))
		for i, c := range f.choices {
			values[i] = c
		}
		return object{"enum": values}
	case f.wanted != "":
		return object{"type": "string", "pattern": f.wanted}
	}
	return object{"type": []any{"string", "number"}, "minLength": 1, "maxLength": mostText}
}
func (f textForm) about() string {
	switch {
	case f.choices != nil:
		return strings.Join(f.choices, " / ")
	case f.inform != "":
		return f.inform
	}
	return "text"
}
func (f textForm) below() []key { return nil }
func (f textForm) rows(path, doc string, emit func(Row)) {
	emit(Row{Key: path, Value: f.into.Value, Origin: f.into.Origin, Doc: doc})
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}
