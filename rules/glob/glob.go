// Package glob matches slash-separated paths against patterns.
//
// * stands for any characters within one name, ? for one, [a-c] and [^a-c] for one of a set, \ for
// the character after it, as in path.Match; ** as a whole name stands for any number of folders,
// none included. Matching takes time in proportion to pattern times path, whatever either holds.
package glob

import (
	"fmt"
	"path"
	"strings"
)

// Pattern is a compiled pattern.
type Pattern struct {
	names []string
}

// longest bounds a pattern; a path a person writes is far shorter.
const longest = 1000

// Compile checks a pattern.
func Compile(text string) (*Pattern, error) {
	switch {
	case text == "":
		return nil, fmt.Errorf("an empty pattern matches nothing")
	case len(text) > longest:
		return nil, fmt.Errorf("a pattern of more than %d bytes", longest)
	case strings.HasPrefix(text, "/"):
		return nil, fmt.Errorf("%q starts at the root of one machine; write the path from this file's folder", text)
	}
	text = strings.TrimPrefix(text, "./")
	names := strings.Split(text, "/")
	for _, name := range names {
		switch {
		case name == "" || name == ".":
			return nil, fmt.Errorf("%q has an empty name between strokes", text)
		case name == "..":
			return nil, fmt.Errorf("%q leaves the folder of this file", text)
		case name != "**" && strings.Contains(name, "**"):
			return nil, fmt.Errorf("%q: ** stands for whole folders; write it between strokes", text)
		}
		if _, err := path.Match(name, "x"); err != nil {
			return nil, fmt.Errorf("%q: brackets that do not close, or nothing in them", text)
		}
	}
	return &Pattern{names: names}, nil
}

// HasMeta tells whether a pattern may match more than the one path it spells.
func HasMeta(text string) bool { return strings.ContainsAny(text, `*?[\`) }

// Match tells whether the whole path matches.
func (p *Pattern) Match(name string) bool {
	parts := strings.Split(name, "/")
	// reach[j]: the pattern's names so far match the first j parts.
	reach := make([]bool, len(parts)+1)
	reach[0] = true
	for _, want := range p.names {
		next := make([]bool, len(parts)+1)
		if want == "**" {
			for j, open := 0, false; j <= len(parts); j++ {
				open = open || reach[j]
				next[j] = open
			}
		} else {
			for j := range parts {
				if reach[j] {
					ok, err := path.Match(want, parts[j])
					next[j+1] = ok && err == nil
				}
			}
		}
		reach = next
	}
	return reach[len(parts)]
}
