package part21

import (
	"bytes"
	"unicode/utf8"
)

// place turns an offset into a line and a column. A line ends with LF, CR LF or a lone CR.
func place(text []byte, offset int) (line, column int) {
	if offset > len(text) {
		offset = len(text)
	}
	before := text[:offset]
	line = 1 + bytes.Count(before, []byte("\n"))
	if returns := bytes.Count(before, []byte("\r")); returns > 0 {
		line += returns - bytes.Count(before, []byte("\r\n"))
		if before[offset-1] == '\r' && offset < len(text) && text[offset] == '\n' {
			// Between the two halves of a line end is still the line it ends.
			line--
			start := 1 + bytes.LastIndexAny(before[:offset-1], "\r\n")
			return line, 1 + utf8.RuneCount(before[start:])
		}
	}
	start := 1 + bytes.LastIndexAny(before, "\r\n")
	return line, 1 + utf8.RuneCount(before[start:])
}
