package part21

import (
	"bytes"
	"fmt"
	"math"
	"strings"
)

// entry is one instance of the index.
type entry struct {
	name uint64
	at   uint32 // of the opening parenthesis of the parameters; complex: the first part
	t    uint32 // type; complex: complexBit + number of parts
}

const complexBit = 1 << 31

// part is one record of a complex instance, or of the header.
type part struct {
	at uint32 // of the opening parenthesis
	t  Type
}

// nobody is the instance of values in the header.
const nobody = math.MaxUint32

// shortestInstance is the length of #1=A(); and bounds how many instances a text can hold.
const shortestInstance = 7

// scanner goes over the text once. Its methods take a place and return the place behind what they
// passed; failed means that err is set.
type scanner struct {
	text   []byte
	limits Limits
	*keywords
	entries    []entry
	parts      []part
	header     []part
	references []Reference
	err        *Error

	name   uint64 // of the instance being scanned
	named  bool
	entity []byte // keyword being scanned
}

const failed = -1

func (s *scanner) fail(at int, format string, args ...any) int {
	if s.err == nil {
		line, column := place(s.text, at)
		s.err = &Error{
			Line: line, Column: column, Offset: at,
			Instance: s.name, Named: s.named, Entity: strings.ToUpper(string(s.entity)),
			Problem: fmt.Sprintf(format, args...),
		}
	}
	return failed
}

// unexpected fails with what is there instead of what was due.
func (s *scanner) unexpected(at int, due string) int {
	if at >= len(s.text) {
		return s.fail(len(s.text), "the file ends where %s should follow: it is cut short", due)
	}
	c := s.text[at]
	switch {
	case c == '/' && at+1 < len(s.text) && s.text[at+1] == '*':
		return s.fail(at, "the comment that begins here never ends")
	case c > ' ' && c < 0x7F:
		return s.fail(at, "%s should follow here, found %q", due, rune(c))
	}
	return s.fail(at, "%s should follow here, found the byte %#02x", due, c)
}

// isWord says whether a section word such as ENDSEC stands at p and is not part of a longer one.
func (s *scanner) isWord(p int, w string) bool {
	end := p + len(w)
	return end <= len(s.text) && strings.EqualFold(string(s.text[p:end]), w) &&
		(end == len(s.text) || !word[s.text[end]])
}

// statement passes a word and the semicolon behind it.
func (s *scanner) statement(p int, w string) int {
	if !s.isWord(p, w) {
		return s.unexpected(p, w+";")
	}
	return s.semicolon(p+len(w), w)
}

func (s *scanner) semicolon(p int, behind string) int {
	p = gap(s.text, p)
	if p >= len(s.text) || s.text[p] != ';' {
		return s.unexpected(p, "; after "+behind)
	}
	return p + 1
}

const (
	wordStart = "ISO-10303-21"
	wordEnd   = "END-ISO-10303-21"
)

// file passes the whole exchange structure (ISO 10303-21:2016, 6.2).
func (s *scanner) file() {
	p := 0
	if bytes.HasPrefix(s.text, []byte("\xEF\xBB\xBF")) {
		p = 3
	}
	p = gap(s.text, p)
	if !s.isWord(p, wordStart) {
		s.fail(p, "not a STEP file: it does not begin with %s;", wordStart)
		return
	}
	if p = s.semicolon(p+len(wordStart), wordStart); p == failed {
		return
	}
	if p = s.statement(gap(s.text, p), "HEADER"); p == failed {
		return
	}
	for {
		p = gap(s.text, p)
		if s.isWord(p, "ENDSEC") {
			if p = s.statement(p, "ENDSEC"); p == failed {
				return
			}
			break
		}
		at, t, end := s.record(p)
		if end == failed {
			return
		}
		s.header = append(s.header, part{uint32(at), t})
		if p = s.semicolon(end, "a header entry"); p == failed {
			return
		}
		s.entity = nil
	}
	for p != failed {
		p = gap(s.text, p)
		switch {
		case s.isWord(p, "DATA"):
			p = s.data(p)
		case s.isWord(p, "ANCHOR"):
			p = s.anchors(p)
		case s.isWord(p, "REFERENCE"):
			p = s.referenceSection(p)
		case s.isWord(p, "SIGNATURE"):
			// A signature is base64 (RFC 5652 in PEM form): no semicolon can be within it.
			end := bytes.Index(s.text[p:], []byte("ENDSEC;"))
			if end < 0 {
				s.fail(len(s.text), "the file ends inside its SIGNATURE section: it is cut short")
				return
			}
			p += end + len("ENDSEC;")
		case s.isWord(p, wordEnd):
			s.semicolon(p+len(wordEnd), wordEnd)
			return
		default:
			p = s.unexpected(p, "a section (DATA; ANCHOR; REFERENCE; SIGNATURE) or "+wordEnd+";")
		}
	}
}

// data passes one data section.
func (s *scanner) data(p int) int {
	text := s.text
	p = gap(text, p+len("DATA"))
	if p < len(text) && text[p] == '(' {
		if p = s.parameters(p); p == failed {
			return p
		}
	}
	if p = s.semicolon(p, "DATA"); p == failed {
		return p
	}
	for {
		for p < len(text) && text[p] <= ' ' {
			p++
		}
		if p < len(text) && text[p] == '#' {
			if p = s.instance(p); p == failed {
				return p
			}
			continue
		}
		p = gap(text, p)
		switch {
		case p < len(text) && text[p] == '#':
		case s.isWord(p, "ENDSEC"):
			return s.statement(p, "ENDSEC")
		default:
			return s.unexpected(p, "an instance #n=... or ENDSEC;")
		}
	}
}

// instance passes #n = KEYWORD(...); or #n = ( A(...) B(...) );
func (s *scanner) instance(p int) int {
	text := s.text
	start := p
	name, p := s.instanceName(p)
	if p == failed {
		return p
	}
	s.name, s.named = name, true
	p = gap(text, p)
	if p >= len(text) || text[p] != '=' {
		return s.unexpected(p, "= after an instance name")
	}
	p = gap(text, p+1)
	if p < len(text) && text[p] == '(' {
		first := len(s.parts)
		p = gap(text, p+1)
		for p < len(text) && text[p] != ')' {
			at, t, end := s.record(p)
			if end == failed {
				return failed
			}
			s.parts = append(s.parts, part{uint32(at), t})
			p = gap(text, end)
		}
		if p >= len(text) {
			return s.unexpected(p, ") at the end of a complex instance")
		}
		s.entity = nil
		if len(s.parts) == first {
			return s.fail(p, "a complex instance needs at least one record")
		}
		p++
		s.entries = append(s.entries, entry{name, uint32(first), complexBit | uint32(len(s.parts)-first)})
	} else {
		if p < len(text) && text[p] == '&' {
			return s.fail(p, "a SCOPE structure of the first edition of ISO 10303-21, which is not read; export it in a later one")
		}
		at, t, end := s.record(p)
		if end == failed {
			return failed
		}
		p = end
		s.entries = append(s.entries, entry{name, uint32(at), uint32(t)})
	}
	if p < len(text) && text[p] == ';' {
		p++
	} else if p = s.semicolon(p, "the instance"); p == failed {
		return p
	}
	if uint64(p-start) < shortestInstance {
		return s.fail(start, "an instance is too short to be one") // cannot be; guards the index
	}
	s.named, s.entity = false, nil
	return p
}

// instanceName passes #n.
func (s *scanner) instanceName(p int) (name uint64, end int) {
	name, end, ok := readName(s.text, p)
	switch {
	case end == p+1:
		return 0, s.unexpected(end, "digits of an instance name after #")
	case !ok:
		return 0, s.fail(p, "the instance name is greater than %d, the greatest of 64 bits", uint64(math.MaxUint64))
	}
	return name, end
}

// record passes KEYWORD(...) and gives the place of its parenthesis.
func (s *scanner) record(p int) (at int, t Type, end int) {
	p, t = s.keyword(p)
	if p == failed {
		return 0, 0, failed
	}
	p = gap(s.text, p)
	if p >= len(s.text) || s.text[p] != '(' {
		return 0, 0, s.unexpected(p, "( after a keyword")
	}
	return p, t, s.parameters(p)
}

// keyword passes a keyword and numbers it.
func (s *scanner) keyword(p int) (end int, t Type) {
	if p >= len(s.text) || class[s.text[p]] != classLetter {
		return s.unexpected(p, "a keyword"), 0
	}
	end = afterWord(s.text, p)
	w := s.text[p:end]
	if len(w) > s.limits.NameLength {
		return s.fail(p, "a keyword of %d letters; at most %d are read", len(w), s.limits.NameLength), 0
	}
	if w[0] == '!' && (len(w) == 1 || isDigit(w[1])) {
		return s.unexpected(p+1, "letters of a keyword after !"), 0
	}
	s.entity = w
	t = s.number(w)
	if len(s.names) > s.limits.Types+1 && int(t) > len(s.limits.Keywords) {
		return s.fail(p, "more than %d different keywords", s.limits.Types), 0
	}
	return end, t
}

// parameters passes a list of parameters whose parenthesis opens at p, nested ones included,
// without recursion.
func (s *scanner) parameters(p int) int {
	text := s.text
	depth := 1
	empty := true // the innermost list, so far
	p++
value:
	for {
		if p >= len(text) {
			return s.unexpected(p, "a parameter")
		}
		switch class[text[p]] {
		case classBlank:
			p++
			continue value
		case classSlow:
			q := slowGap(text, p)
			if q == p {
				return s.unexpected(p, "a parameter")
			}
			p = q
			continue value
		case classHash:
			q := p + 1
			for q < len(text) && isDigit(text[q]) {
				q++
			}
			if q-p-1 > 19 || q == p+1 {
				if q = s.hash(p); q == failed {
					return failed
				}
			}
			p = q
		case classDigit, classSign, classPoint:
			if p = s.numberOrEnumeration(p); p == failed {
				return failed
			}
		case classQuote:
			q := afterString(text, p)
			if q < 0 {
				return s.fail(p, "the string that begins here never ends")
			}
			p = q
		case classBits:
			if p = s.binary(p); p == failed {
				return failed
			}
		case classMark:
			p++
		case classAt:
			q := afterWord(text, p)
			if q == p+1 {
				return s.unexpected(q, "a name after @")
			}
			p = q
		case classLetter:
			keyword := s.entity
			q, _ := s.keyword(p)
			if q == failed {
				return failed
			}
			s.entity = keyword
			p = gap(text, q)
			if p >= len(text) || text[p] != '(' {
				return s.unexpected(p, "( after the keyword of a typed parameter")
			}
			fallthrough
		case classOpen:
			depth++
			if depth > s.limits.Depth {
				return s.fail(p, "parentheses nested more than %d deep", s.limits.Depth)
			}
			empty = true
			p++
			continue value
		case classClose:
			if !empty {
				return s.unexpected(p, "a parameter after ,")
			}
			depth--
			p++
			if depth == 0 {
				return p
			}
		default:
			return s.unexpected(p, "a parameter")
		}
		for { // a parameter has ended
			if p >= len(text) {
				return s.unexpected(p, ", or )")
			}
			switch text[p] {
			case ',':
				p++
				empty = false
				continue value
			case ')':
				p++
				depth--
				if depth == 0 {
					return p
				}
			default:
				switch class[text[p]] {
				case classBlank:
					p++
				case classSlow:
					q := slowGap(text, p)
					if q == p {
						return s.unexpected(p, ", or )")
					}
					p = q
				default:
					return s.unexpected(p, ", or )")
				}
			}
		}
	}
}

// hash passes #n of many digits or the name of a constant, #NAME.
func (s *scanner) hash(p int) int {
	if p+1 < len(s.text) && class[s.text[p+1]] == classLetter && s.text[p+1] != '!' {
		return afterWord(s.text, p+1)
	}
	_, end := s.instanceName(p)
	return end
}

// numberOrEnumeration passes what begins with a digit, a sign or a point.
func (s *scanner) numberOrEnumeration(p int) int {
	text := s.text
	start := p
	if text[p] == '.' && (p+1 >= len(text) || !isDigit(text[p+1])) {
		q := p + 1
		if q < len(text) && class[text[q]] == classLetter && text[q] != '!' {
			q = afterWord(text, q)
		}
		if q == p+1 {
			return s.unexpected(q, "letters of an enumeration after .")
		}
		if q >= len(text) || text[q] != '.' {
			return s.unexpected(q, ". at the end of an enumeration")
		}
		if q-p > s.limits.NameLength {
			return s.fail(p, "an enumeration of %d letters; at most %d are read", q-p-1, s.limits.NameLength)
		}
		return q + 1
	}
	if class[text[p]] == classSign {
		p++
	}
	q := afterDigits(text, p)
	digits := q - p
	p = q
	if p < len(text) && text[p] == '.' {
		q = afterDigits(text, p+1)
		digits += q - p - 1
		p = q
	}
	if digits == 0 {
		return s.unexpected(p, "digits of a number")
	}
	if p < len(text) && (text[p] == 'E' || text[p] == 'e') {
		p++
		if p < len(text) && class[text[p]] == classSign {
			p++
		}
		q = afterDigits(text, p)
		if q == p {
			return s.unexpected(p, "digits of an exponent")
		}
		p = q
	}
	if p-start > s.limits.NameLength {
		return s.fail(start, "a number of %d characters; at most %d are read", p-start, s.limits.NameLength)
	}
	return p
}

// binary passes "nHH...": a digit 0 to 3, the number of bits to leave out, and hexadecimal digits.
func (s *scanner) binary(p int) int {
	q := p + 1
	for q < len(s.text) && hexDigit(s.text[q]) >= 0 {
		q++
	}
	switch {
	case q >= len(s.text) || s.text[q] != '"':
		return s.unexpected(q, `a hexadecimal digit or " at the end of a binary`)
	case q == p+1 || s.text[p+1] > '3':
		return s.fail(p, "a binary should begin with a digit from 0 to 3")
	case q == p+2 && s.text[p+1] != '0':
		return s.fail(p, "a binary without digits has no bits to leave out")
	}
	return q + 1
}

func hexDigit(b byte) int {
	switch {
	case b >= '0' && b <= '9':
		return int(b - '0')
	case b >= 'A' && b <= 'F':
		return int(b-'A') + 10
	case b >= 'a' && b <= 'f':
		return int(b-'a') + 10
	}
	return -1
}
