package part21

import (
	"math"
	"strconv"
	"unsafe"
)

// readName reads #n at p. Without digits end is p+1; !ok means more than 64 bits.
func readName(text []byte, p int) (name uint64, end int, ok bool) {
	p++
	for p < len(text) && isDigit(text[p]) {
		d := uint64(text[p] - '0')
		if name > (math.MaxUint64-d)/10 {
			return 0, afterDigits(text, p), false
		}
		name = name*10 + d
		p++
	}
	return name, p, true
}

// powers of ten that a double holds exactly: 10^22 = 2^22 * 5^22 and 5^22 < 2^53.
var powers = [23]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// exact is the first whole number past which doubles skip some.
const exact = 1 << 53

// readReal reads the number at p, rounded correctly; !ok means beyond the range of a double.
//
// Up to 15 digits and small exponents are one multiplication or division of two exact doubles,
// rounded once, hence right (W. D. Clinger, How to Read Floating Point Numbers Accurately, 1990).
// The library does the rest.
func readReal(text []byte, p int) (x float64, end int, ok bool) {
	start := p
	negative := text[p] == '-'
	if negative || text[p] == '+' {
		p++
	}
	var digits uint64
	exponent, count := 0, 0
	for p < len(text) && isDigit(text[p]) {
		digits = digits*10 + uint64(text[p]-'0')
		p++
	}
	count = p - start
	if p < len(text) && text[p] == '.' {
		p++
		point := p
		for p < len(text) && isDigit(text[p]) {
			digits = digits*10 + uint64(text[p]-'0')
			p++
		}
		exponent = point - p
		count += p - point
	}
	if p < len(text) && (text[p] == 'E' || text[p] == 'e') {
		p++
		sign := 1
		if text[p] == '-' {
			sign = -1
			p++
		} else if text[p] == '+' {
			p++
		}
		e := 0
		for p < len(text) && isDigit(text[p]) {
			e = min(e*10+int(text[p]-'0'), 1<<20)
			p++
		}
		exponent += sign * e
	}
	// 19 digits cannot overflow 64 bits; leading zeros only send a number the long way.
	if count <= 19 && digits < exact && exponent >= -22 && exponent <= 22 {
		x = float64(digits)
		if exponent < 0 {
			x /= powers[-exponent]
		} else {
			x *= powers[exponent]
		}
		if negative {
			x = -x
		}
		return x, p, true
	}
	x, err := strconv.ParseFloat(view(text[start:p]), 64)
	// Too small is 0, which is as near as a double gets; too large is an error.
	return x, p, err == nil
}

// readInt reads a whole number at p; !ok means that it is none, or beyond 64 bits.
func readInt(text []byte, p int) (n int64, end int, ok bool) {
	end = afterNumber(text, p)
	n, err := strconv.ParseInt(view(text[p:end]), 10, 64)
	return n, end, err == nil
}

// view is a slice of the text as a string without a copy; the text does not change.
func view(b []byte) string { return unsafe.String(unsafe.SliceData(b), len(b)) }
