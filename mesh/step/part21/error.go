package part21

import (
	"fmt"
	"strings"
)

// Error is what is wrong with a file and where. Whoever knows the file's path adds it.
type Error struct {
	Line, Column int    // from 1; the column counts characters
	Offset       int    // bytes from the start of the text
	Instance     uint64 // the n of #n, if Named
	Named        bool
	Entity       string // keyword of the instance or record; empty if none is known
	Problem      string // what is wrong, in words
}

// Error is for example
// "line 7, column 20: #12 CIRCLE: parameter 3 should be a real number, found a string".
func (e *Error) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "line %d, column %d: ", e.Line, e.Column)
	if e.Named {
		fmt.Fprintf(&b, "#%d", e.Instance)
		if e.Entity != "" {
			b.WriteString(" " + e.Entity)
		}
		b.WriteString(": ")
	} else if e.Entity != "" {
		b.WriteString(e.Entity + ": ")
	}
	b.WriteString(e.Problem)
	return b.String()
}
