package rules

import (
	"fmt"
	"sort"
	"strings"
	"unicode/utf8"
)

// Problem is one mistake in a rules or workspace file.
type Problem struct {
	File         string
	Line, Column int
	// Width is how many characters the caret underlines, at least 1.
	Width int
	// Key is the dotted path of the key that is wrong, "" when it is the whole file.
	Key string
	// Says is the mistake in words; Hint is how to mend it, "" when none is known.
	Says, Hint string
	// SourceLine is the offending line without its line break.
	SourceLine string
}

// String is the problem as a terminal shows it, with its source line and a caret, without a final
// line break.
func (p Problem) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s:%d:%d: ", p.File, p.Line, p.Column)
	if p.Key != "" {
		b.WriteString(p.Key + ": ")
	}
	b.WriteString(p.Says)
	line, column, width := window(p.SourceLine, p.Column, p.Width)
	if strings.TrimSpace(line) == "" {
		if p.Hint != "" {
			b.WriteString("\n    " + p.Hint)
		}
		return b.String()
	}
	fmt.Fprintf(&b, "\n%6d | %s\n       | %s%s", p.Line, line, strings.Repeat(" ", column-1), strings.Repeat("^", width))
	if p.Hint != "" {
		b.WriteString("  " + p.Hint)
	}
	return b.String()
}

// shownCharacters bounds a source line on the screen.
const shownCharacters = 100

// window cuts a long line down to what surrounds the caret, and replaces what a terminal could act
// upon: a rules file may come from elsewhere, and an escape sequence in it must not reach the screen.
func window(line string, column, width int) (string, int, int) {
	characters := make([]rune, 0, len(line))
	for _, r := range line {
		switch {
		case r == '\t':
			r = ' '
		case r < ' ' || r == 0x7f || (r >= 0x80 && r < 0xa0) || r == utf8.RuneError || (r >= 0x202a && r <= 0x202e) || (r >= 0x2066 && r <= 0x2069):
			r = '?'
		}
		characters = append(characters, r)
	}
	column = max(1, min(column, len(characters)+1))
	start := 0
	if column > shownCharacters*3/4 {
		start = column - shownCharacters/2
	}
	end := min(len(characters), start+shownCharacters)
	text := string(characters[start:end])
	column -= start
	room := end - start - column + 1
	if start > 0 {
		const before = "... "
		text, column = before+text, column+len(before)
	}
	if end < len(characters) {
		text += " ..."
	}
	return text, column, max(1, min(width, room))
}

// clean is a word of a file as a message may repeat it.
func clean(word string) string {
	text, _, _ := window(strings.ReplaceAll(word, "\n", " "), 1, 1)
	if r := []rune(text); len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return text
}

// Problems is an error that lists every mistake found, in file order and then line order.
type Problems struct {
	List []Problem
	// More counts the problems past the first hundred, which are not listed.
	More int
}

// Error is all problems as a terminal shows them, with source lines and carets.
func (p *Problems) Error() string {
	parts := make([]string, 0, len(p.List)+1)
	for _, one := range p.List {
		parts = append(parts, one.String())
	}
	if p.More > 0 {
		parts = append(parts, fmt.Sprintf("and %d more", p.More))
	}
	return strings.Join(parts, "\n")
}

// mostProblems bounds the list: past a hundred the file is not a rules file.
const mostProblems = 100

// reporter gathers problems over all files of a chain.
type reporter struct {
	sources []*source
	list    []Problem
	seen    map[Problem]bool
	more    int
}

func (r *reporter) add(p Problem) {
	if p.Width < 1 {
		p.Width = 1
	}
	for _, s := range r.sources {
		if s.name == p.File {
			p.SourceLine = s.line(p.Line)
		}
	}
	if r.seen[p] {
		return
	}
	if r.seen == nil {
		r.seen = map[Problem]bool{}
	}
	if len(r.list) >= 50*mostProblems {
		r.more++
		return
	}
	r.seen[p] = true
	r.list = append(r.list, p)
}

// at reports a problem at an origin.
func (r *reporter) at(o Origin, key, says, hint string) {
	if o.File == "" && len(r.sources) > 0 {
		// A default contradicts what was written: the file that was asked for is the place to mend it.
		o = Origin{File: r.sources[0].name, Line: 1, Column: 1}
	}
	r.add(Problem{File: o.File, Line: o.Line, Column: o.Column, Width: r.widthAt(o), Key: key, Says: says, Hint: hint})
}

// widthAt is the width of the word that starts at o.
func (r *reporter) widthAt(o Origin) int {
	for _, s := range r.sources {
		if s.name == o.File {
			return s.widths[[2]int{o.Line, o.Column}]
		}
	}
	return 1
}

// problems is the error to return: nil when nothing was reported.
func (r *reporter) problems() error {
	if len(r.list) == 0 {
		return nil
	}
	rank := map[string]int{}
	for i, s := range r.sources {
		if _, found := rank[s.name]; !found {
			rank[s.name] = i
		}
	}
	sort.SliceStable(r.list, func(i, j int) bool {
		a, b := &r.list[i], &r.list[j]
		if ra, rb := rank[a.File], rank[b.File]; ra != rb {
			return ra < rb
		}
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Column < b.Column
	})
	p := &Problems{List: r.list, More: r.more}
	if len(p.List) > mostProblems {
		p.More += len(p.List) - mostProblems
		p.List = p.List[:mostProblems]
	}
	return p
}
