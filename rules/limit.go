package rules

import (
	"fmt"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Origin is where a value was written, or why it has the value it has although nobody wrote it.
type Origin struct {
	// File is the path as a person would type it from where the program runs; "" for a default.
	File string
	// Line and Column count from 1; a column counts characters, not bytes.
	Line, Column int
	// Why is the reason of a default and where its number comes from; "" for a written value.
	Why string
}

// IsDefault tells a value that nobody wrote. Such a value is never to be shown as the frame's own.
func (o Origin) IsDefault() bool { return o.File == "" && o.Why != "" }

// String is "file:line:column", or "default (reason)".
func (o Origin) String() string {
	switch {
	case o.IsDefault():
		return "default (" + o.Why + ")"
	case o.File == "":
		return ""
	}
	return fmt.Sprintf("%s:%d:%d", o.File, o.Line, o.Column)
}

// Limit is a number somebody set, or a default. The zero Limit is "no limit was stated", which is
// not the same as a limit of zero: ask Set first.
type Limit struct {
	Set    bool
	Value  float64
	Origin Origin
}

// Range is a pair of limits, either of which may be missing.
type Range struct {
	Least, Most Limit
}

// Set tells whether either end was stated.
func (r Range) Set() bool { return r.Least.Set || r.Most.Set }

// Text is a word or sentence somebody wrote.
type Text struct {
	Set    bool
	Value  string
	Origin Origin
}

// Flag is a yes or no.
type Flag struct {
	Set    bool
	Value  bool
	Origin Origin
}

// Numbers is a list of numbers that is replaced as a whole by the file that states it.
type Numbers struct {
	Set    bool
	Values []float64
	Origin Origin
}

// Words is a list of words that is replaced as a whole by the file that states it.
type Words struct {
	Set    bool
	Values []string
	Origin Origin
}

// Place2 is a place in the plane of the parting face, in mm.
type Place2 struct {
	Set    bool
	At     r2.Point
	Origin Origin
}

// Place3 is a place in mm or, where the key says so, a direction (then of length 1).
type Place3 struct {
	Set    bool
	At     r3.Vector
	Origin Origin
}
