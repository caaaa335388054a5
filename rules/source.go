package rules

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/token"
)

// Bounds of what is read. They are far above any file a person would keep, and low enough that the
// worst file costs a moment.
const (
	mostBytes   = 256 << 10
	mostDepth   = 32    // nested maps and lists
	mostNodes   = 20000 // after aliases have been followed
	mostKeys    = 8000
	mostAnchors = 100
	mostChain   = 8 // files that inherit from one another
)

// source is one file's text.
type source struct {
	name  string
	text  []byte
	lines []string
	sum   [sha256.Size]byte // of the bytes as they stand in the file
	// widths remembers how wide the value at a place is, for carets.
	widths map[[2]int]int
}

// newSource strips what editors put in front (a byte order mark) and carriage returns, neither of
// which moves a line or column.
func newSource(name string, text []byte) (*source, error) {
	if len(text) > mostBytes {
		return nil, fmt.Errorf("%s: %d bytes is too large for a rules file; the limit is %d", name, len(text), mostBytes)
	}
	sum := sha256.Sum256(text)
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	s := &source{name: name, text: text, sum: sum, lines: strings.Split(string(text), "\n"), widths: map[[2]int]int{}}
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

// placeOf is where a token stands, kept inside the file: the parser puts the end of input past it.
func (s *source) placeOf(tk *token.Token) (line, column int) {
	if tk == nil || tk.Position == nil {
		return 1, 1
	}
	line, column = max(1, tk.Position.Line), max(1, tk.Position.Column)
	if line > len(s.lines) {
		line = len(s.lines)
		column = utf8.RuneCountInString(s.lines[line-1]) + 1
	}
	return line, column
}

// digest names the content of files: that of one file is its SHA-256, that of several the SHA-256 of
// theirs in order.
func digest(sources []*source) string {
	if len(sources) == 1 {
		return hex.EncodeToString(sources[0].sum[:])
	}
	h := sha256.New()
	for _, s := range sources {
		h.Write(s.sum[:])
	}
	return hex.EncodeToString(h.Sum(nil))
}
