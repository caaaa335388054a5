package part21

// What a byte can begin where a parameter may stand (ISO 10303-21:2016, tables 1 and 2).
const (
	classOther = iota
	classBlank // the alphabet leaves out control characters: they are passed over (5.2)
	classLetter
	classDigit
	classSign
	classHash
	classQuote
	classPoint
	classBits
	classOpen
	classClose
	classMark // $ and *
	classAt
	classSlow // may begin a comment or a print control directive
)

var class = func() (c [256]uint8) {
	for b := range 256 {
		switch {
		case b <= ' ' || b == 0x7F:
			c[b] = classBlank
		case b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z' || b == '_' || b == '!':
			c[b] = classLetter
		case b >= '0' && b <= '9':
			c[b] = classDigit
		}
	}
	c['+'], c['-'] = classSign, classSign
	c['#'], c['\''], c['.'], c['"'] = classHash, classQuote, classPoint, classBits
	c['('], c[')'] = classOpen, classClose
	c['$'], c['*'] = classMark, classMark
	c['@'] = classAt
	c['/'], c['\\'] = classSlow, classSlow
	return c
}()

// word marks what may follow in a keyword or enumeration.
var word = func() (w [256]bool) {
	for b := range 256 {
		w[b] = (class[b] == classLetter && b != '!') || class[b] == classDigit
	}
	return w
}()

func isDigit(b byte) bool { return b-'0' <= 9 }

// gap passes over blanks, comments and print control directives (5.6, 6.3). It stops at the end of
// the text, and at the start of a comment that never ends.
func gap(text []byte, p int) int {
	for p < len(text) {
		switch class[text[p]] {
		case classBlank:
			p++
		case classSlow:
			q := slowGap(text, p)
			if q == p {
				return p
			}
			p = q
		default:
			return p
		}
	}
	return p
}

// slowGap passes over a comment or print control directive that begins at p, if one does.
func slowGap(text []byte, p int) int {
	rest := text[p:]
	switch {
	case len(rest) >= 2 && rest[0] == '/' && rest[1] == '*':
		// Comments do not nest: the first end is the end.
		for q := 2; q+1 < len(rest); q++ {
			if rest[q] == '*' && rest[q+1] == '/' {
				return p + q + 2
			}
		}
	case len(rest) >= 3 && rest[0] == '\\' && (rest[1] == 'N' || rest[1] == 'F') && rest[2] == '\\':
		return p + 3
	}
	return p
}

// afterString is the end of a string that begins at p, or -1 if it has none. Two quotes are one
// within the string (6.4.3.1).
func afterString(text []byte, p int) int {
	for p++; p < len(text); p++ {
		if text[p] == '\'' {
			if p+1 < len(text) && text[p+1] == '\'' {
				p++
				continue
			}
			return p + 1
		}
	}
	return -1
}

// afterWord is the end of a keyword whose first byte is at p.
func afterWord(text []byte, p int) int {
	for p++; p < len(text) && word[text[p]]; p++ {
	}
	return p
}

// afterDigits is where digits from p on end.
func afterDigits(text []byte, p int) int {
	for p < len(text) && isDigit(text[p]) {
		p++
	}
	return p
}

// after is the end of the value at p, in text that the scanner has passed.
func after(text []byte, p int) int {
	switch class[text[p]] {
	case classQuote:
		return afterString(text, p)
	case classBits:
		for p++; text[p] != '"'; p++ {
		}
		return p + 1
	case classPoint:
		if isDigit(text[p+1]) {
			return afterNumber(text, p)
		}
		for p++; text[p] != '.'; p++ {
		}
		return p + 1
	case classHash, classAt:
		return afterWord(text, p)
	case classDigit, classSign:
		return afterNumber(text, p)
	case classMark:
		return p + 1
	case classLetter:
		return afterList(text, gap(text, afterWord(text, p)))
	case classOpen:
		return afterList(text, p)
	}
	return p
}

// afterNumber passes a number that the scanner has passed.
func afterNumber(text []byte, p int) int {
	for p < len(text) {
		switch c := text[p]; {
		case isDigit(c), c == '.', c == 'E', c == 'e', c == '+', c == '-':
			p++
		default:
			return p
		}
	}
	return p
}

// afterList passes a list that the scanner has passed, whose parenthesis opens at p.
func afterList(text []byte, p int) int {
	for depth := 0; ; {
		switch text[p] {
		case '(':
			depth++
		case ')':
			depth--
			if depth == 0 {
				return p + 1
			}
		case '\'':
			p = afterString(text, p)
			continue
		case '/':
			p = slowGap(text, p)
			continue
		}
		p++
	}
}
