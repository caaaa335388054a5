package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// printable shows what a terminal, a log or a page would act upon instead of showing it: control
// characters, line and paragraph separators, marks that turn the direction of text, and bytes that
// are no UTF-8. Names of files and products come from elsewhere, and a line break in one must not
// begin a line of the report.
func printable(s string) string {
	if plainText(s) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\r':
			b.WriteString(`\r`)
		case r == '\t':
			b.WriteString(`\t`)
		case acts(r):
			if r < 0x100 {
				fmt.Fprintf(&b, `\x%02x`, r)
			} else {
				fmt.Fprintf(&b, `\u%04x`, r)
			}
		default:
			b.WriteRune(r)
		}
		i += n
	}
	return b.String()
}

func plainText(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] >= 0x7f {
			return utf8.ValidString(s) && strings.IndexFunc(s, acts) < 0
		}
	}
	return true
}

// acts are the characters that do something instead of being seen. Besides control characters these
// are the separators U+2028 and U+2029 and the directional marks of Unicode Standard Annex 9.
func acts(r rune) bool {
	return unicode.IsControl(r) || r == 0x2028 || r == 0x2029 || r == 0x200e || r == 0x200f || r == 0x061c ||
		r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0xfffe || r == 0xffff
}

// oneLine is printable text whose runs of blanks are one blank, with none at the ends: a token of
// XML Schema.
func oneLine(s string) string { return strings.Join(strings.Fields(printable(s)), " ") }
