package difference

import "pocketgauge/mesh/dexel"

// kind says which of two solids a piece of a ray lies in.
type kind uint8

const (
	onlyA kind = iota
	onlyB
	inBoth
	kinds
)

// piece is a stretch of a ray of one kind, in quanta.
type piece struct {
	low, high int32
	kind      kind
}

// divide appends the pieces of one ray, in order and none empty, and reports whether the ray
// was sound. With chain set, a and b are what remained of two solids after what they share was
// left out, and only the difference of their winding numbers has a meaning.
func divide(dst []piece, a, b []dexel.Crossing, chain bool) ([]piece, bool) {
	var wa, wb int32
	var at int32
	var now kind = kinds
	sound := true
	i, j := 0, 0
	for i < len(a) || j < len(b) {
		var c dexel.Crossing
		if j == len(b) || (i < len(a) && a[i] < b[j]) {
			c = a[i]
			wa += c.Turn()
			i++
		} else {
			c = b[j]
			wb += c.Turn()
			j++
		}
		next := kinds
		if chain {
			switch d := wa - wb; {
			case d > 0:
				next = onlyA
			case d < 0:
				next = onlyB
			}
		} else {
			switch {
			case wa != 0 && wb != 0:
				next = inBoth
			case wa != 0:
				next = onlyA
			case wb != 0:
				next = onlyB
			}
			if wa < 0 || wa > 1 || wb < 0 || wb > 1 {
				sound = false
			}
		}
		if next == now {
			continue
		}
		if p := c.At(); now != kinds && p > at {
			if n := len(dst); n > 0 && dst[n-1].high == at && dst[n-1].kind == now {
				dst[n-1].high = p
			} else {
				dst = append(dst, piece{at, p, now})
			}
		}
		at, now = c.At(), next
	}
	return dst, sound
}
