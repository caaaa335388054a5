package part21

import (
	"bytes"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// decode is the text of a string between its quotes (ISO 10303-21:2016, 6.4.3): doubled quotes and
// backslashes, \S\ with its pages \P.\, \X\, \X2\, \X4\, and \N\ and \F\ which say nothing.
// Control characters are not of the alphabet and fall out; writers break long strings with them.
func decode(raw []byte) string {
	plain := true
	for _, c := range raw {
		if c < ' ' || c >= 0x7F || c == '\'' || c == '\\' {
			plain = false
			break
		}
	}
	if plain {
		return view(raw)
	}
	var b strings.Builder
	b.Grow(len(raw))
	unicode := utf8.Valid(raw)
	page := 0
	for p := 0; p < len(raw); {
		c := raw[p]
		switch {
		case c == '\'':
			b.WriteByte(c)
			p += 2
		case c == '\\':
			p += directive(&b, raw[p:], &page)
		case c < ' ' || c == 0x7F:
			p++
		case c >= 0x80 && !unicode:
			b.WriteRune(rune(c)) // the first 256 characters of Unicode are those of ISO 8859-1
			p++
		default:
			b.WriteByte(c)
			p++
		}
	}
	return b.String()
}

// directive decodes what begins with the backslash at s[0] and is its length. A backslash that
// begins no directive stands for itself: writers forget to double those of paths.
func directive(b *strings.Builder, s []byte, page *int) int {
	switch {
	case hasShape(s, `\\`):
		b.WriteByte('\\')
		return 2
	case hasShape(s, `\S\?`):
		c := s[3]
		n := 4
		if c == '\'' && len(s) > 4 && s[4] == '\'' || c == '\\' && len(s) > 4 && s[4] == '\\' {
			n = 5 // the character itself is doubled as anywhere
		}
		if c >= ' ' && c < 0x80 {
			b.WriteRune(latin[*page].DecodeByte(c + 0x80))
		}
		return n
	case hasShape(s, `\P?\`):
		if k := int(s[2]) - 'A'; k >= 0 && k < len(latin) {
			*page = k
			return 4
		}
	case hasShape(s, `\X\??`):
		if h, l := hexDigit(s[3]), hexDigit(s[4]); h >= 0 && l >= 0 {
			b.WriteRune(rune(h<<4 | l))
			return 5
		}
	case hasShape(s, `\X2\`):
		return hexText(b, s, 4)
	case hasShape(s, `\X4\`):
		return hexText(b, s, 8)
	case hasShape(s, `\N\`), hasShape(s, `\F\`):
		return 3
	}
	b.WriteByte('\\')
	return 1
}

// hasShape says whether s begins with a pattern in which ? is any byte.
func hasShape(s []byte, pattern string) bool {
	if len(s) < len(pattern) {
		return false
	}
	for i := range len(pattern) {
		if pattern[i] != '?' && s[i] != pattern[i] {
			return false
		}
	}
	return true
}

// hexText decodes \X2\..\X0\ or \X4\..\X0\ with so many digits a character, and is its length.
func hexText(b *strings.Builder, s []byte, digits int) int {
	end := bytes.Index(s[4:], []byte(`\X0\`))
	if end < 0 {
		b.WriteByte('\\')
		return 1
	}
	var high rune
	n, value := 0, rune(0)
	for _, c := range s[4 : 4+end] {
		d := hexDigit(c)
		if d < 0 {
			continue // a line break within the digits
		}
		value = value<<4 | rune(d)
		if n++; n < digits {
			continue
		}
		// \X2\ holds characters of the basic plane; files use it for UTF-16 pairs too.
		switch {
		case digits == 4 && value >= 0xD800 && value < 0xDC00:
			if high != 0 {
				b.WriteRune(utf8.RuneError)
			}
			high = value
		case high != 0:
			r := utf16.DecodeRune(high, value)
			b.WriteRune(r)
			if r == utf8.RuneError && (value < 0xDC00 || value > 0xDFFF) {
				b.WriteRune(value)
			}
			high = 0
		default:
			b.WriteRune(value)
		}
		n, value = 0, 0
	}
	if high != 0 || n > 0 {
		b.WriteRune(utf8.RuneError)
	}
	return 4 + end + 4
}
