package rules

import (
	"fmt"

	"pocketgauge/rules/quantity"
)

type group struct{ keys []key }

func section(name, doc string, keys ...key) key {
	return key{name: name, doc: doc, form: group{keys}}
}

func ranged(name string, into *Range, dim quantity.Dimension, doc string) key {
	return key{name: name, doc: doc, form: rangeForm{dim: dim, into: into, group: group{[]key{
		limit("least", &into.Least, dim, "Least that is allowed."),
		limit("most", &into.Most, dim, "Most that is allowed."),
	}}}}
}

// rangeForm is a group of least and most, in which the one must not pass the other.
type rangeForm struct {
	group
	into *Range
	dim  quantity.Dimension
}

func (f rangeForm) complete(d *decoder, path string) {
	f.group.complete(d, path)
	least, most := f.into.Least, f.into.Most
	if !least.Set || !most.Set || least.Value <= most.Value {
		return
	}
	if most.Origin.IsDefault() {
		d.report.at(least.Origin, path, fmt.Sprintf("the least, %s, is more than the most, %s, which is a default", shown(f.dim, least.Value), shown(f.dim, most.Value)), "state the most too")
		return
	}
	hint := "swap them?"
	switch {
	case least.Origin.IsDefault():
		hint = "the least is a default; state it too"
	case least.Origin.File != most.Origin.File || least.Origin.Line != most.Origin.Line:
		hint = "the least stands at " + least.Origin.String()
	}
	d.report.at(most.Origin, path, fmt.Sprintf("the least, %s, is more than the most, %s", shown(f.dim, least.Value), shown(f.dim, most.Value)), hint)
}
func (f rangeForm) about() string {
	if f.dim == quantity.Plain {
		return "least and most"
	}
	return "least and most " + dimensionWord(f.dim)
}

// shown is a value as a message prints it.
func shown(d quantity.Dimension, value float64) string {
	text, unit := quantity.Format(d, value)
	if unit == "" {
		return text
	}
	return text + " " + unit
}

// ends gives the defaults of a range; "" leaves an end open.
func (k key) ends(least, most, why string) key {
	g := k.form.(rangeForm)
	for i := range g.keys {
		switch {
		case g.keys[i].name == "least" && least != "":
			g.keys[i] = g.keys[i].orDefault(least, why)
		case g.keys[i].name == "most" && most != "":
			g.keys[i] = g.keys[i].orDefault(most, why)
		}
	}
	return k
}

func (g group) read(d *decoder, n *node, path string) { readKeys(d, n, path, g.keys) }
func (g group) isSet() bool {
	for _, k := range g.keys {
		if k.form.isSet() {
			return true
		}
	}
	return false
}
func (g group) clear() {
	for _, k := range g.keys {
		k.form.clear()
	}
}
func (g group) complete(d *decoder, path string)    { completeKeys(d, path, g.keys) }
func (g group) schema() object                      { return keysSchema(g.keys) }
func (g group) rows(path, _ string, emit func(Row)) { rowsOf(path, g.keys, emit) }
func (g group) about() string                       { return "group" }
func (g group) below() []key                        { return g.keys }
