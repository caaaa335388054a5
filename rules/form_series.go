package rules

import (
	"fmt"
	"strings"

	"pocketgauge/rules/quantity"
)

// mostItems bounds plain lists and lists of groups.
const mostItems = 1000

type wordsForm struct{ into *Words }

func words(name string, into *Words, doc string) key {
	return key{name: name, doc: doc, form: wordsForm{into}}
}

func (f wordsForm) read(d *decoder, n *node, path string) {
	if !d.list(n, path, "words") {
		return
	}
	var values []string
	for _, item := range n.items {
		value := strings.TrimSpace(item.text)
		switch {
		case item.kind != scalarNode || item.null || value == "":
			d.wrong(item, path, fmt.Sprintf("%s stands in a list of words", describe(item)), "")
			continue
		case contains(values, value):
			d.wrong(item, path, fmt.Sprintf("%q stands here twice", clean(value)), "keep one of the two")
			continue
		}
		values = append(values, value)
	}
	*f.into = Words{Set: true, Values: values, Origin: d.origin(n)}
}
func (f wordsForm) isSet() bool               { return f.into.Set }
func (f wordsForm) clear()                    { *f.into = Words{} }
func (f wordsForm) complete(*decoder, string) {}
func (f wordsForm) schema() object {
	return object{"type": "array", "items": object{"type": "string", "minLength": 1}, "minItems": 1, "uniqueItems": true}
}
func (f wordsForm) about() string { return "list of words" }
func (f wordsForm) below() []key  { return nil }
func (f wordsForm) rows(path, doc string, emit func(Row)) {
	emit(Row{Key: path, Value: strings.Join(f.into.Values, ", "), Origin: f.into.Origin, Doc: doc})
}

func (d *decoder) list(n *node, path, of string) bool {
	switch {
	case n.kind != listNode:
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is a list of %s", describe(n), of), "write it in brackets: [..., ...]")
		return false
	case len(n.items) == 0:
		d.wrong(n, path, "an empty list", "give it a value or take the line out")
		return false
	case len(n.items) > mostItems:
		d.wrong(n, path, fmt.Sprintf("a list of more than %d", mostItems), "")
		return false
	}
	return true
}

type numbersForm struct {
	into *Numbers
	dim  quantity.Dimension
	bounds
}

func numbers(name string, into *Numbers, dim quantity.Dimension, doc string) key {
	return key{name: name, doc: doc, form: numbersForm{into: into, dim: dim, bounds: bounds{hasLow: true}}}
}

func (f numbersForm) read(d *decoder, n *node, path string) {
	if !d.list(n, path, dimensionWord(f.dim)+"s") {
		return
	}
	var values []float64
	for _, item := range n.items {
		v, ok := d.number(item, path, f.dim, f.bounds)
		if !ok {
			continue
		}
		for _, other := range values {
			if other == v {
				d.wrong(item, path, fmt.Sprintf("%q stands here twice", clean(item.text)), "keep one of the two")
			}
		}
		values = append(values, v)
	}
	*f.into = Numbers{Set: true, Values: values, Origin: d.origin(n)}
}
func (f numbersForm) isSet() bool               { return f.into.Set }
func (f numbersForm) clear()                    { *f.into = Numbers{} }
func (f numbersForm) complete(*decoder, string) {}
func (f numbersForm) schema() object {
	return object{"type": "array", "items": numberSchema(f.dim, f.bounds), "minItems": 1, "uniqueItems": true}
}
func (f numbersForm) about() string { return "list of " + dimensionWord(f.dim) + "s" }
func (f numbersForm) below() []key  { return nil }
func (f numbersForm) rows(path, doc string, emit func(Row)) {
	parts := make([]string, len(f.into.Values))
	unit := ""
	for i, v := range f.into.Values {
		parts[i], unit = quantity.Format(f.dim, v)
	}
	emit(Row{Key: path, Value: strings.Join(parts, ", "), Unit: unit, Origin: f.into.Origin, Doc: doc})
}
