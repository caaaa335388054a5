package rules

import (
	"errors"
	"fmt"
	"math"

	"pocketgauge/rules/quantity"
)

// bounds are what a key accepts of a number. The zero value accepts any.
type bounds struct {
	low, high float64 // in the dimension's own unit
	hasLow    bool
	lowOpen   bool // low itself is refused
	hasHigh   bool
	whole     bool
}

func (b bounds) signed() bool { return !b.hasLow || b.low < 0 }

// number reads a quantity of the dimension, reporting what is wrong with it.
func (d *decoder) number(n *node, path string, dim quantity.Dimension, b bounds) (float64, bool) {
	wrong := func(says, hint string) (float64, bool) {
		d.wrong(n, path, says, hint)
		return 0, false
	}
	like := fmt.Sprintf("write it like %q", dim.Example())
	if dim == quantity.Plain {
		like = "write it like 2"
	}
	if n.kind != scalarNode || n.boolean || n.null {
		return wrong(fmt.Sprintf("%s stands here, this is %v", describe(n), dim), like)
	}
	text := clean(n.text)
	q, err := quantity.Parse(n.text)
	var unknownUnit *quantity.UnitError
	switch {
	case errors.As(err, &unknownUnit):
		hint := like
		if unknownUnit.Nearest != "" {
			hint = fmt.Sprintf("did you mean %q?", unknownUnit.Nearest)
		}
		return wrong(fmt.Sprintf("%q: %v", text, err), hint)
	case errors.Is(err, quantity.ErrNoNumber):
		return wrong(fmt.Sprintf("%q is not %v", text, dim), like)
	case err != nil:
		return wrong(fmt.Sprintf("%q is %v", text, err), like)
	}
	value := q.Value
	switch {
	case q.Dimension == dim && dim != quantity.Plain:
	case q.Dimension == quantity.Plain && n.quoted:
		return wrong(fmt.Sprintf("%q in quotes is text, this is %v", text, dim), like)
	case q.Dimension == quantity.Plain && dim == quantity.Length:
		if d.inches {
			value = value * 127 / 5 // 25.4 is no binary number; see package quantity
		}
	case q.Dimension == quantity.Plain && value == 0 && dim != quantity.Temperature: // nothing is nothing in any unit
	case q.Dimension == quantity.Plain && (dim == quantity.Plain || dim == quantity.Share):
	case q.Dimension == quantity.Plain:
		return wrong(fmt.Sprintf("%q has no unit, this limit is %v", text, dim), like)
	default:
		return wrong(fmt.Sprintf("%q is %v, this limit is %v", text, q.Dimension, dim), like)
	}
	// A length of more than ten metres is no part of a frame, and bounding what enters keeps every
	// square and cube of it far from overflow.
	if dim == quantity.Length && math.Abs(value) > mostMM {
		return wrong(fmt.Sprintf("%q is more than 10 m", text), "is the unit right?")
	}
	if math.Abs(value) > mostValue {
		return wrong(fmt.Sprintf("%q is too large for any frame", text), "is the unit right?")
	}
	switch {
	case b.hasLow && b.lowOpen && value <= b.low:
		return wrong(fmt.Sprintf("%q must be more than %s", text, shown(dim, b.low)), "")
	case b.hasLow && value < b.low:
		return wrong(fmt.Sprintf("%q must be at least %s", text, shown(dim, b.low)), "")
	case b.hasHigh && value > b.high:
		hint := ""
		if dim == quantity.Share && q.Unit == "" && value <= 100 {
			hint = fmt.Sprintf("write it like \"%s %%\"", text)
		}
		return wrong(fmt.Sprintf("%q must be at most %s", text, shown(dim, b.high)), hint)
	case b.whole && value != math.Trunc(value):
		return wrong(fmt.Sprintf("%q must be a whole number", text), "")
	}
	return value, true
}

const (
	mostMM    = 10000
	mostValue = 1e15
)

// numberSchema is the schema of a quantity.
func numberSchema(dim quantity.Dimension, b bounds) object {
	text := object{"type": "string", "pattern": quantity.Pattern(dim)}
	if !b.signed() {
		text["pattern"] = quantity.UnsignedPattern(dim)
	}
	if dim != quantity.Plain && dim != quantity.Length && dim != quantity.Share {
		if dim == quantity.Temperature || b.hasLow && b.lowOpen {
			return text
		}
		return object{"anyOf": []any{text, object{"const": 0}}}
	}
	bare := object{"type": "number"}
	if b.whole {
		bare["type"] = "integer"
	}
	if b.hasLow {
		if b.lowOpen {
			bare["exclusiveMinimum"] = b.low
		} else {
			bare["minimum"] = b.low
		}
	}
	if b.hasHigh {
		bare["maximum"] = b.high
	}
	if dim == quantity.Plain {
		return bare
	}
	return object{"anyOf": []any{bare, text}}
}
