package stl

import (
	"fmt"
	"strconv"
	"unsafe"

	hstl "github.com/hschendel/stl"
)

// leastTextFacet is a lower bound on the bytes of one facet in text, from the grammar: its
// keywords (facet normal outer loop, three times vertex, endloop endfacet), twelve one-digit
// numbers and one blank between words. It bounds what is set aside before reading.
const leastTextFacet = len("facet normal 0 0 0 outer loop vertex 0 0 0 vertex 0 0 0 vertex 0 0 0 endloop endfacet ")

// text walks the words of a file without copying them.
type text struct {
	data []byte
	at   int
	line int
	word []byte // the current word; empty at the end
}

func isBlank(c byte) bool { return c == ' ' || (c >= '\t' && c <= '\r') }

func (t *text) next() {
	d := t.data
	i := t.at
	for i < len(d) && isBlank(d[i]) {
		if d[i] == '\n' || (d[i] == '\r' && (i+1 == len(d) || d[i+1] != '\n')) {
			t.line++
		}
		i++
	}
	s := i
	for i < len(d) && !isBlank(d[i]) {
		i++
	}
	t.word, t.at = d[s:i], i
}

// restOfLine is what follows the current word on its line, without blanks at either end.
func (t *text) restOfLine() string {
	d := t.data
	i := t.at
	for i < len(d) && d[i] != '\n' && d[i] != '\r' {
		i++
	}
	rest := d[t.at:i]
	t.at = i
	for len(rest) > 0 && isBlank(rest[0]) {
		rest = rest[1:]
	}
	for len(rest) > 0 && isBlank(rest[len(rest)-1]) {
		rest = rest[:len(rest)-1]
	}
	return string(rest)
}

// is compares the current word with a lower-case ASCII keyword in any case.
func (t *text) is(keyword string) bool {
	if len(t.word) != len(keyword) {
		return false
	}
	for i := range keyword {
		if t.word[i]|0x20 != keyword[i] {
			return false
		}
	}
	return true
}

func (t *text) fail(code, format string, args ...any) error {
	return &Error{Code: code, Place: fmt.Sprintf("line %d", t.line), Says: fmt.Sprintf(format, args...)}
}

func (t *text) want(keyword string) error {
	if t.is(keyword) {
		t.next()
		return nil
	}
	if len(t.word) == 0 {
		return t.fail("truncated", "the file ends where %q should stand", keyword)
	}
	return t.fail("syntax", "%q stands where %q should", clip(t.word), keyword)
}

// clip keeps a hostile word from filling the message.
func clip(w []byte) string {
	const shown = 40
	if len(w) > shown {
		return string(w[:shown]) + "..."
	}
	return string(w)
}

func (t *text) point(v *hstl.Vec3) error {
	for i := range v {
		if len(t.word) == 0 {
			return t.fail("truncated", "the file ends where a number should stand")
		}
		// The string lives only for the call: ParseFloat keeps nothing of it but in its
		// error, which is not passed on.
		f, err := strconv.ParseFloat(unsafe.String(&t.word[0], len(t.word)), 32)
		if err != nil {
			return t.fail("coordinate", "%q is not a number that fits", clip(t.word))
		}
		v[i] = float32(f)
		t.next()
	}
	return nil
}

// readText feeds the facets of every solid in data to the stream.
func readText(data []byte, b *builder) error {
	t := &text{data: data, line: 1}
	if len(data) >= 3 && string(data[:3]) == "\xef\xbb\xbf" {
		t.at = 3
	}
	t.next()
	for len(t.word) > 0 {
		if t.is("solid") {
			b.SetName(t.restOfLine())
			t.next()
		}
		for t.is("facet") {
			line := t.line
			if err := t.facet(b); err != nil {
				return err
			}
			if b.badFacet >= 0 {
				return &Error{Code: "coordinate", Place: fmt.Sprintf("line %d", line),
					Says: "this facet has a corner that is not a finite number"}
			}
		}
		if err := t.endSolid(); err != nil {
			return err
		}
	}
	return nil
}

// endSolid takes "endsolid" or "end solid" and the name that may follow.
func (t *text) endSolid() error {
	if t.is("end") {
		t.next()
		if !t.is("solid") {
			return t.want("solid")
		}
	} else if !t.is("endsolid") {
		return t.want("endsolid")
	}
	t.restOfLine()
	t.next()
	return nil
}

func (t *text) facet(b *builder) error {
	var f hstl.Triangle
	t.next()
	if err := t.want("normal"); err != nil {
		return err
	}
	t.skipNormal()
	if err := t.wantBoth("outer", "loop"); err != nil {
		return err
	}
	for i := range f.Vertices {
		if err := t.want("vertex"); err != nil {
			return err
		}
		if err := t.point(&f.Vertices[i]); err != nil {
			return err
		}
	}
	if err := t.wantBoth("endloop", "endfacet"); err != nil {
		return err
	}
	b.AppendTriangle(f)
	return nil
}

func (t *text) wantBoth(first, second string) error {
	if err := t.want(first); err != nil {
		return err
	}
	return t.want(second)
}

// skipNormal passes over the stated normal. It is never used (the corner order says the same
// and more exactly), so one that is "nan" or missing need not spoil the file.
func (t *text) skipNormal() {
	for n := 0; n < 3 && len(t.word) > 0 && !t.is("outer"); n++ {
		t.next()
	}
}
