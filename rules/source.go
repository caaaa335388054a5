package rules

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Bounds of what is read. They are far above any file a person would keep, and low enough that the
// worst file costs a moment.
const (
	mostBytes   = 256 << 10
	mostDepth   = 32    // nested maps and lists
	mostNodes   = 20000 // after aliases have been followed
	mostAnchors = 100
	mostChain   = 8 // files that inherit from one another
)

// source is one file's text.
type source struct {
	name  string
	text  []byte
	lines []string
	// widths remembers how wide the value at a place is, for carets.
	widths map[[2]int]int
}

// newSource strips what editors put in front (a byte order mark) and carriage returns, neither of
// which moves a line or column.
func newSource(name string, text []byte) (*source, error) {
	if len(text) > mostBytes {
		return nil, fmt.Errorf("%s: %d bytes is too large for a rules file; the limit is %d", name, len(text), mostBytes)
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	s := &source{name: name, text: text, lines: strings.Split(string(text), "\n"), widths: map[[2]int]int{}}
	if !utf8.Valid(text) {
		for i, line := range s.lines {
			if !utf8.ValidString(line) {
				return nil, fmt.Errorf("%s:%d: this line is not UTF-8 text", name, i+1)
			}
		}
	}
	return s, nil
}

// line is the n-th line, from 1; "" when there is none.
func (s *source) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	return s.lines[n-1]
}
