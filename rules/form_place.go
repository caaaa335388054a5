package rules

import (
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/rules/quantity"
)

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
