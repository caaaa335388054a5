package rules

import (
	"strings"

	"pocketgauge/rules/quantity"
)

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
