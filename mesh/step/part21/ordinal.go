package part21

import (
	"fmt"
	"strings"
)

// ordinal says in words which parameter of its record begins at a place: "parameter 2, item 3".
// At a closing parenthesis it is the one that would have come next.
func (f *File) ordinal(i uint32, at int) string {
	_, open := f.entityAt(i, at)
	if open == 0 {
		return "the parameter"
	}
	type level struct {
		n     int
		typed bool // the parentheses of a typed parameter are not a list
	}
	levels := make([]level, 0, 8)
	text := f.text
	before := byte(0) // the last byte that was not blank
	for p := open; p < at; {
		c := text[p]
		switch c {
		case '(':
			levels = append(levels, level{1, word[before]})
		case ')':
			levels = levels[:len(levels)-1]
		case ',':
			levels[len(levels)-1].n++
		case '\'':
			p = afterString(text, p)
			before = c
			continue
		case '/', '\\':
			if q := slowGap(text, p); q > p {
				p = q
				continue
			}
		}
		if class[c] != classBlank {
			before = c
		}
		p++
	}
	if len(levels) == 0 {
		return "the parameter"
	}
	if text[at] == ')' && before != '(' {
		levels[len(levels)-1].n++
	}
	levels[0].typed = false // the keyword before it is the record's
	var b strings.Builder
	for k, l := range levels {
		switch {
		case k == 0:
			fmt.Fprintf(&b, "parameter %d", l.n)
		case !l.typed:
			fmt.Fprintf(&b, ", item %d", l.n)
		}
	}
	return b.String()
}
