package rules

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/rules/nearest"
	"pocketgauge/rules/quantity"
)

// ---- one number

type limitForm struct {
	into *Limit
	dim  quantity.Dimension
	bounds
}

func limit(name string, into *Limit, dim quantity.Dimension, doc string) key {
	return key{name: name, doc: doc, form: limitForm{into: into, dim: dim, bounds: bounds{hasLow: true}}}
}

// with changes the bounds of a number, list of numbers or range.
func (k key) with(change func(*bounds)) key {
	switch f := k.form.(type) {
	case limitForm:
		change(&f.bounds)
		k.form = f
	case numbersForm:
		change(&f.bounds)
		k.form = f
	case rangeForm:
		for i := range f.keys {
			f.keys[i] = f.keys[i].with(change)
		}
	default:
		panic("bounds on " + k.name)
	}
	return k
}

func (k key) positive() key {
	return k.with(func(b *bounds) { b.hasLow, b.low, b.lowOpen = true, 0, true })
}
func (k key) anySign() key { return k.with(func(b *bounds) { b.hasLow = false }) }
func (k key) atMost(v float64) key {
	return k.with(func(b *bounds) { b.hasHigh, b.high = true, v })
}
func (k key) atLeast(v float64) key {
	return k.with(func(b *bounds) { b.hasLow, b.low, b.lowOpen = true, v, false })
}
func (k key) whole() key { return k.with(func(b *bounds) { b.whole = true }) }

func (f limitForm) read(d *decoder, n *node, path string) {
	if v, ok := d.number(n, path, f.dim, f.bounds); ok {
		*f.into = Limit{Set: true, Value: v, Origin: d.origin(n)}
	}
}
func (f limitForm) isSet() bool               { return f.into.Set }
func (f limitForm) clear()                    { *f.into = Limit{} }
func (f limitForm) complete(*decoder, string) {}
func (f limitForm) schema() object            { return numberSchema(f.dim, f.bounds) }
func (f limitForm) about() string             { return dimensionWord(f.dim) }
func (f limitForm) below() []key              { return nil }
func (f limitForm) rows(path, doc string, emit func(Row)) {
	text, unit := quantity.Format(f.dim, f.into.Value)
	emit(Row{Key: path, Value: text, Unit: unit, Origin: f.into.Origin, Doc: doc})
}

func dimensionWord(d quantity.Dimension) string {
	if d == quantity.Plain {
		return "number"
	}
	_, word, _ := strings.Cut(d.String(), " ")
	return word
}

// ---- a group of keys, and a range as the commonest of groups

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

// ---- words

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

// ---- lists of words and numbers

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

// ---- places and directions

type placeForm struct {
	two   *Place2
	three *Place3
	dim   quantity.Dimension
	// direction: the three plain numbers are scaled to length 1.
	direction bool
	bounds
}

func place2(name string, into *Place2, doc string) key {
	return key{name: name, doc: doc, form: placeForm{two: into, dim: quantity.Length}}
}

func place3(name string, into *Place3, doc string) key {
	return key{name: name, doc: doc, form: placeForm{three: into, dim: quantity.Length}}
}

// size3 is three lengths above zero.
func size3(name string, into *Place3, doc string) key {
	return key{name: name, doc: doc, form: placeForm{three: into, dim: quantity.Length, bounds: bounds{hasLow: true, lowOpen: true}}}
}

func angles3(name string, into *Place3, doc string) key {
	return key{name: name, doc: doc, form: placeForm{three: into, dim: quantity.Angle}}
}

func direction(name string, into *Place3, doc string) key {
	return key{name: name, doc: doc, form: placeForm{three: into, dim: quantity.Plain, direction: true}}
}

func (f placeForm) count() int {
	if f.two != nil {
		return 2
	}
	return 3
}

func (f placeForm) example() string {
	switch {
	case f.two != nil:
		return "[x, y]"
	case f.direction:
		return "[0, 0, 1]"
	case f.dim == quantity.Angle:
		return "[0 deg, 0 deg, 90 deg]"
	}
	return "[x, y, z]"
}

func (f placeForm) read(d *decoder, n *node, path string) {
	if n.kind != listNode || len(n.items) != f.count() {
		what := describe(n)
		if n.kind == listNode {
			what = fmt.Sprintf("a list of %d", len(n.items))
		}
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is %d numbers", what, f.count()), "write it like "+f.example())
		return
	}
	var v [3]float64
	good := true
	for i, item := range n.items {
		x, ok := d.number(item, path, f.dim, f.bounds)
		v[i], good = x, good && ok
	}
	if !good {
		return
	}
	if f.two != nil {
		*f.two = Place2{Set: true, At: r2.Point{X: v[0], Y: v[1]}, Origin: d.origin(n)}
		return
	}
	at := r3.Vector{X: v[0], Y: v[1], Z: v[2]}
	if f.direction {
		// Scaled by the largest component first, so that the squares neither overflow nor vanish.
		largest := math.Max(math.Abs(at.X), math.Max(math.Abs(at.Y), math.Abs(at.Z)))
		if largest == 0 {
			d.wrong(n, path, "a direction of no length", "write it like [0, 0, 1]")
			return
		}
		at = r3.Vector{X: at.X / largest, Y: at.Y / largest, Z: at.Z / largest}
		at = at.Normalize()
	}
	*f.three = Place3{Set: true, At: at, Origin: d.origin(n)}
}
func (f placeForm) isSet() bool {
	if f.two != nil {
		return f.two.Set
	}
	return f.three.Set
}
func (f placeForm) clear() {
	if f.two != nil {
		*f.two = Place2{}
		return
	}
	*f.three = Place3{}
}
func (f placeForm) complete(*decoder, string) {}
func (f placeForm) schema() object {
	return object{"type": "array", "items": numberSchema(f.dim, f.bounds), "minItems": f.count(), "maxItems": f.count()}
}
func (f placeForm) about() string { return f.example() }
func (f placeForm) below() []key  { return nil }
func (f placeForm) rows(path, doc string, emit func(Row)) {
	v, o := [3]float64{}, Origin{}
	if f.two != nil {
		v, o = [3]float64{f.two.At.X, f.two.At.Y}, f.two.Origin
	} else {
		v, o = [3]float64{f.three.At.X, f.three.At.Y, f.three.At.Z}, f.three.Origin
	}
	var parts []string
	unit := ""
	for i := range f.count() {
		var t string
		t, unit = quantity.Format(f.dim, v[i])
		parts = append(parts, t)
	}
	emit(Row{Key: path, Value: strings.Join(parts, ", "), Unit: unit, Origin: o, Doc: doc})
}

// ---- one of several forms

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

// ---- lists of groups

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

// ---- what concerns the file itself

// headerForm is a key that is read before all others, by the loader; the table holds it for its
// schema and doc.
type headerForm struct{ choices []string }

func header(name string, choices []string, doc string) key {
	return key{name: name, doc: doc, form: headerForm{choices}}
}

func (headerForm) read(*decoder, *node, string)   {}
func (headerForm) isSet() bool                    { return false }
func (headerForm) clear()                         {}
func (headerForm) complete(*decoder, string)      {}
func (headerForm) below() []key                   { return nil }
func (headerForm) rows(string, string, func(Row)) {}
func (f headerForm) schema() object {
	if f.choices == nil {
		return object{"type": "string", "minLength": 1}
	}
	return textForm{choices: f.choices}.schema()
}
func (f headerForm) about() string {
	if f.choices == nil {
		return "path"
	}
	return strings.Join(f.choices, " / ")
}
