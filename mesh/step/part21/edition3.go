package part21

import (
	"bytes"
	"strings"
)

// anchors passes an anchor section (ISO 10303-21:2016, 9): names for use from outside, which say
// nothing about the shapes here.
func (s *scanner) anchors(p int) int {
	if p = s.statement(p, "ANCHOR"); p == failed {
		return p
	}
	for {
		p = gap(s.text, p)
		if s.isWord(p, "ENDSEC") {
			return s.statement(p, "ENDSEC")
		}
		if p >= len(s.text) {
			return s.unexpected(p, "ENDSEC; of the ANCHOR section")
		}
		if p = s.loose(p); p == failed {
			return p
		}
	}
}

// loose passes one string, address or other byte of a section that is not read.
func (s *scanner) loose(p int) int {
	switch s.text[p] {
	case '\'':
		if q := afterString(s.text, p); q >= 0 {
			return q
		}
		return s.fail(p, "the string that begins here never ends")
	case '<':
		_, end := s.address(p)
		return end
	case '/':
		if p+1 < len(s.text) && s.text[p+1] == '*' {
			return s.unexpected(p, "ENDSEC;")
		}
	}
	return p + 1
}

// address passes <...>.
func (s *scanner) address(p int) (string, int) {
	n := bytes.IndexByte(s.text[p:], '>')
	if n < 0 {
		return "", s.fail(p, "the address that begins here never ends with >")
	}
	return string(bytes.TrimSpace(s.text[p+1 : p+n])), p + n + 1
}

// referenceSection passes a reference section (10) and keeps its entries: #n = <address>; or
// @n = <address>;
func (s *scanner) referenceSection(p int) int {
	if p = s.statement(p, "REFERENCE"); p == failed {
		return p
	}
	for {
		p = gap(s.text, p)
		if s.isWord(p, "ENDSEC") {
			return s.statement(p, "ENDSEC")
		}
		if p >= len(s.text) || s.text[p] != '#' && s.text[p] != '@' {
			return s.unexpected(p, "#n=<...>, @n=<...> or ENDSEC;")
		}
		end := afterWord(s.text, p)
		name := string(s.text[p:end])
		if p = gap(s.text, end); p >= len(s.text) || s.text[p] != '=' {
			return s.unexpected(p, "= after a name of the REFERENCE section")
		}
		if p = gap(s.text, p+1); p >= len(s.text) || s.text[p] != '<' {
			return s.unexpected(p, "< before an address")
		}
		address, end := s.address(p)
		if end == failed {
			return failed
		}
		file, _, _ := strings.Cut(address, "#")
		s.references = append(s.references, Reference{name, address, file})
		if p = s.semicolon(end, "an entry of the REFERENCE section"); p == failed {
			return p
		}
	}
}
