package rules

import (
	"fmt"
	"strings"

	"pocketgauge/rules/nearest"
)

type variant struct {
	name, doc string
	// begin makes room for it and drops what stood before; inside is its form, once begun.
	begin  func()
	is     func() bool
	inside func() form
}

type oneOf struct {
	origin   *Origin
	variants []variant
	reset    func()
}

func (f oneOf) read(d *decoder, n *node, path string) {
	names := make([]string, len(f.variants))
	for i, v := range f.variants {
		names[i] = v.name
	}
	if n.kind != mapNode {
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is one of %s", describe(n), strings.Join(names, ", ")), "write its name below, indented")
		return
	}
	d.groups[path] = d.origin(n)
	known := 0
	for _, e := range n.entries {
		var chosen *variant
		for i := range f.variants {
			if f.variants[i].name == e.key.text {
				chosen = &f.variants[i]
			}
		}
		if chosen == nil {
			hint := "one of " + strings.Join(names, ", ")
			if near, ok := nearest.Word(e.key.text, names); ok {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			d.wrong(e.key, "", fmt.Sprintf("%q is no key under %s", clean(e.key.text), path), hint)
			known++ // it stands for one of them, misspelled
			continue
		}
		if e.value.null {
			d.wrong(e.key, join(path, chosen.name), "nothing stands after this key", "give it a value or take the line out")
			known++
			continue
		}
		if known++; known > 1 {
			d.wrong(e.key, path, "more than one form stands here", "keep one of "+strings.Join(names, ", "))
			continue
		}
		f.reset()
		*f.origin = d.origin(n)
		chosen.begin()
		chosen.inside().read(d, e.value, join(path, chosen.name))
	}
	if known == 0 {
		d.wrong(n, path, "nothing stands here", "one of "+strings.Join(names, ", "))
	}
}
func (f oneOf) isSet() bool {
	for _, v := range f.variants {
		if v.is() {
			return true
		}
	}
	return false
}
func (f oneOf) clear() { f.reset() }
func (f oneOf) complete(d *decoder, path string) {
	for _, v := range f.variants {
		if v.is() {
			v.inside().complete(d, join(path, v.name))
		}
	}
}
func (f oneOf) schema() object {
	properties := object{}
	for _, v := range f.fresh() {
		properties[v.name] = keySchema(v)
		if g, ok := v.form.(group); ok {
			s := properties[v.name].(object)
			if required := requiredOf(g.keys); required != nil {
				s["required"] = required
			}
		}
	}
	return object{"type": "object", "properties": properties, "additionalProperties": false, "minProperties": 1, "maxProperties": 1}
}
func (f oneOf) about() string { return "one form" }
func (f oneOf) below() []key  { return f.fresh() }

// fresh are the variants as keys. Only ever asked of an empty instance, whose fields it fills.
func (f oneOf) fresh() []key {
	var keys []key
	for _, v := range f.variants {
		v.begin()
		keys = append(keys, key{name: v.name, doc: v.doc, form: v.inside()})
	}
	return keys
}
func (f oneOf) rows(path, doc string, emit func(Row)) {
	for _, v := range f.variants {
		if v.is() {
			v.inside().rows(join(path, v.name), doc, emit)
		}
	}
}
