package rules

import (
	"fmt"
	"strings"

	"pocketgauge/rules/nearest"
)

type listForm[T any] struct {
	into *[]T
	keys func(*T) []key
	// name is the entry's own name, by which a later file replaces it; nil for lists that a later
	// file replaces as a whole.
	name   func(*T) *Text
	origin func(*T) *Origin
	naming string
}

// list is a list that a later file replaces as a whole.
func list[T any](name string, into *[]T, keys func(*T) []key, origin func(*T) *Origin, doc string) key {
	return key{name: name, doc: doc, form: listForm[T]{into: into, keys: keys, origin: origin}}
}

// named is a list whose entries have names: a later file replaces those it names again, takes out
// those it drops, and adds to the rest.
func named[T any](name string, into *[]T, keys func(*T) []key, origin func(*T) *Origin, naming string, id func(*T) *Text, doc string) key {
	doc += fmt.Sprintf(" A file that states one of the same %s again replaces it; {%s: ..., drop: true} takes it out.", naming, naming)
	return key{name: name, doc: doc, form: listForm[T]{into: into, keys: keys, name: id, origin: origin, naming: naming}}
}

func (f listForm[T]) read(d *decoder, n *node, path string) {
	if !d.list(n, path, "entries") {
		return
	}
	var fresh []T
	lines := map[string]int{} // where a name was stated; negative where it was dropped
	for i, item := range n.items {
		at := fmt.Sprintf("%s[%d]", path, i+1)
		if f.naming != "" {
			if id := item.get(f.naming); id != nil && id.kind == scalarNode && id.text != "" {
				at = fmt.Sprintf("%s[%s]", path, clean(id.text))
			}
		}
		if item.kind != mapNode {
			d.wrong(item, at, fmt.Sprintf("%s stands here, this is a group of keys", describe(item)), "")
			continue
		}
		if f.name != nil && item.get("drop") != nil {
			f.drop(d, item, at, lines)
			continue
		}
		var one T
		keys := f.keys(&one)
		*f.origin(&one) = d.origin(item)
		readKeys(d, item, at, keys)
		reportMissing(d, item, at, keys)
		if f.name != nil {
			id := f.name(&one)
			if line, twice := lines[id.Value]; twice && id.Set {
				d.wrong(item.get(f.naming), at, fmt.Sprintf("%q is the %s of another entry, on line %d", clean(id.Value), f.naming, max(line, -line)), "give each its own")
				continue
			}
			lines[id.Value] = item.line
		}
		fresh = append(fresh, one)
	}
	if f.name == nil {
		*f.into = fresh
		return
	}
	// Dropped entries have left a line but no entry.
	kept := (*f.into)[:0:0]
	for i := range *f.into {
		if id := f.name(&(*f.into)[i]).Value; lines[id] >= 0 {
			kept = append(kept, (*f.into)[i])
		}
	}
	*f.into = kept
	for i := range fresh {
		replaced := false
		for j := range *f.into {
			if f.name(&(*f.into)[j]).Value == f.name(&fresh[i]).Value {
				(*f.into)[j], replaced = fresh[i], true
				break
			}
		}
		if !replaced {
			*f.into = append(*f.into, fresh[i])
		}
	}
}

// drop takes an entry of an inherited file out.
func (f listForm[T]) drop(d *decoder, item *node, at string, lines map[string]int) {
	var flag Flag
	flagForm{&flag}.read(d, item.get("drop"), at+".drop")
	for _, e := range item.entries {
		if e.key.text != "drop" && e.key.text != f.naming {
			d.wrong(e.key, at, fmt.Sprintf("%q stands beside drop, which takes the whole entry out", clean(e.key.text)), "leave it out, or take the drop out to replace the entry")
		}
	}
	var id Text
	if n := item.get(f.naming); n == nil {
		d.wrong(item, at, f.naming+" is missing", "which entry is to be dropped")
	} else {
		textForm{into: &id}.read(d, n, at+"."+f.naming)
	}
	switch {
	case !id.Set || !flag.Set:
		return
	case !flag.Value:
		d.wrong(item.get("drop"), at, "drop is true or not there", "take the line out")
		return
	}
	if line, twice := lines[id.Value]; twice {
		d.wrong(item, at, fmt.Sprintf("%q is the %s of another entry, on line %d", clean(id.Value), f.naming, max(line, -line)), "replace the entry or drop it, not both")
		return
	}
	lines[id.Value] = -item.line
	var names []string
	for i := range *f.into {
		names = append(names, f.name(&(*f.into)[i]).Value)
	}
	if !contains(names, id.Value) {
		hint := ""
		if near, ok := nearest.Word(id.Value, names); ok {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		d.wrong(item, at, fmt.Sprintf("no inherited file has an entry %q to drop", clean(id.Value)), hint)
	}
}

// reportMissing names all that an entry lacks in one problem.
func reportMissing(d *decoder, item *node, at string, keys []key) {
	var names []string
	hint := ""
	for _, k := range keys {
		if k.must && !k.form.isSet() && !d.stated[join(at, k.name)] {
			names = append(names, k.name)
			hint = lowerFirst(sentence(k.doc))
		}
	}
	switch n := len(names); n {
	case 0:
	case 1:
		d.wrong(item, at, names[0]+" is missing", hint)
	default:
		d.wrong(item, at, strings.Join(names[:n-1], ", ")+" and "+names[n-1]+" are missing", "")
	}
}
func (f listForm[T]) isSet() bool { return len(*f.into) > 0 }
func (f listForm[T]) clear()      { *f.into = nil }
func (f listForm[T]) complete(d *decoder, path string) {
	for i := range *f.into {
		keys := f.keys(&(*f.into)[i])
		inner := *d
		inner.top = *f.origin(&(*f.into)[i])
		for _, k := range keys {
			k.must = false // asked for where the entry was read, with its line
			completeKeys(&inner, f.path(path, i), []key{k})
		}
	}
}
func (f listForm[T]) path(path string, i int) string {
	if f.name != nil && f.name(&(*f.into)[i]).Set {
		return fmt.Sprintf("%s[%s]", path, clean(f.name(&(*f.into)[i]).Value))
	}
	return fmt.Sprintf("%s[%d]", path, i+1)
}
func (f listForm[T]) schema() object {
	keys := f.below()
	entry := keysSchema(keys)
	if required := requiredOf(keys); required != nil {
		entry["required"] = required
	}
	if f.name != nil {
		drop := object{"type": "object", "additionalProperties": false, "required": []any{f.naming, "drop"}, "properties": object{
			f.naming: object{"type": []any{"string", "number"}},
			"drop":   object{"const": true, "description": "Takes the entry of this " + f.naming + " that an inherited file has out."},
		}}
		entry = object{"anyOf": []any{entry, drop}}
	}
	return object{"type": "array", "items": entry, "minItems": 1, "maxItems": mostItems}
}
func (f listForm[T]) about() string { return "list" }
func (f listForm[T]) below() []key  { return f.keys(new(T)) }
func (f listForm[T]) rows(path, _ string, emit func(Row)) {
	for i := range *f.into {
		rowsOf(f.path(path, i), f.keys(&(*f.into)[i]), emit)
	}
}
