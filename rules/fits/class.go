package fits

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Class is a tolerance class such as g6 (a shaft) or H7 (a hole).
type Class struct {
	// Deviation is the letter or letters: small for a shaft, capital for a hole.
	Deviation string
	// Grade is 1 to 18.
	Grade int
}

// Hole tells a hole's class from a shaft's.
func (c Class) Hole() bool { return c.Deviation != "" && c.Deviation[0] < 'a' }

// String is the class as it is written: "g6".
func (c Class) String() string { return c.Deviation + strconv.Itoa(c.Grade) }

// ParseClass reads a class such as "g6" or "H7".
func ParseClass(text string) (Class, error) {
	letters := strings.TrimRight(text, "0123456789")
	digits := text[len(letters):]
	if letters == "" || digits == "" || len(digits) > 2 || digits[0] == '0' {
		return Class{}, fmt.Errorf("%q is no tolerance class; write a letter and a grade, such as H7 or g6", text)
	}
	grade, err := strconv.Atoi(digits)
	if err != nil || grade > len(grades) {
		return Class{}, fmt.Errorf("%q: tolerance grades run from 1 to %d", text, len(grades))
	}
	c := Class{Deviation: letters, Grade: grade}
	small := strings.ToLower(letters)
	if letters != small && letters != strings.ToUpper(letters) {
		return Class{}, fmt.Errorf("%q mixes capital and small letters; capitals are holes, small letters are shafts", text)
	}
	if !known(small) {
		return Class{}, fmt.Errorf("%q: deviation %s is not in these tables (a to h, js, k, m, n, p and their capitals are)", text, letters)
	}
	return c, nil
}

func known(small string) bool {
	return below[small] != nil || belowFine[small] != nil || above[small] != nil || small == "js"
}

// Limits are the deviations from nominal of a class at a size, in micrometres: the made size lies
// between sizeMM + lower/1000 and sizeMM + upper/1000.
func Limits(c Class, sizeMM float64) (lower, upper float64, err error) {
	if !(sizeMM >= 1 && sizeMM <= 500) {
		return 0, 0, fmt.Errorf("%s at %g mm: these tables hold sizes from 1 to 500 mm", c, sizeMM)
	}
	if c.Grade < 1 || c.Grade > len(grades) {
		return 0, 0, fmt.Errorf("%s: tolerance grades run from 1 to %d", c, len(grades))
	}
	if c.Grade >= 14 && sizeMM <= 1 {
		return 0, 0, fmt.Errorf("%s at %g mm: grades from 14 up are not for sizes of 1 mm and less", c, sizeMM)
	}
	row := rangeOf(mainRanges[:], sizeMM)
	it := grades[c.Grade-1][row]
	small := strings.ToLower(c.Deviation)
	if small == "js" {
		half := it / 2
		// The standard rounds an odd tolerance down to the even micrometre below for grades 7 to 11.
		if c.Grade >= 7 && c.Grade <= 11 {
			half = math.Floor(half)
		}
		return -half, half, nil
	}
	if d, found, err := deviationBelow(c, small, row, sizeMM); err != nil {
		return 0, 0, err
	} else if found {
		if c.Hole() {
			return d, d + it, nil
		}
		return -d - it, -d, nil
	}
	if above[small] == nil {
		return 0, 0, fmt.Errorf("%s: deviation %s is not in these tables", c, c.Deviation)
	}
	d := above[small][row]
	if !c.Hole() {
		if small == "k" && (c.Grade < 4 || c.Grade > 7) {
			d = 0
		}
		return d, d + it, nil
	}
	upper, err = holeAbove(c, small, row, d, sizeMM)
	return upper - it, upper, err
}

// deviationBelow is the size of the fundamental deviation of a to h.
func deviationBelow(c Class, small string, row int, sizeMM float64) (d float64, found bool, err error) {
	if table := belowFine[small]; table != nil {
		if sizeMM <= 1 && small != "c" {
			return 0, false, fmt.Errorf("%s at %g mm: the standard has no %s for sizes of 1 mm and less", c, sizeMM, c.Deviation)
		}
		return table[rangeOf(fineRanges[:], sizeMM)], true, nil
	}
	table := below[small]
	if table == nil {
		return 0, false, nil
	}
	if row >= len(table) {
		return 0, false, fmt.Errorf("%s at %g mm: the standard gives %s up to %g mm only", c, sizeMM, c.Deviation, mainRanges[len(table)-1])
	}
	return table[row], true, nil
}

// holeAbove is the upper deviation ES of holes K, M, N, P. ISO 286-1 gives ES = -ei + delta with
// delta = ITn - IT(n-1) in the grades where a hole of grade n is meant to fit as tightly as the
// shaft of grade n-1 does (to IT8, for P to IT7), above 3 mm.
func holeAbove(c Class, small string, row int, ei, sizeMM float64) (float64, error) {
	withDelta := c.Grade <= 8
	if small == "p" {
		withDelta = c.Grade <= 7
	}
	if small == "k" && c.Grade > 8 && row > 0 {
		return 0, fmt.Errorf("%s at %g mm: the standard gives K above IT8 up to 3 mm only", c, sizeMM)
	}
	if small == "n" && c.Grade > 8 {
		if sizeMM <= 1 {
			return 0, fmt.Errorf("%s at %g mm: the standard has no N above IT8 for sizes of 1 mm and less", c, sizeMM)
		}
		if row > 0 {
			return 0, nil
		}
	}
	if !withDelta || row == 0 {
		return -ei, nil
	}
	if c.Grade < 3 {
		return 0, fmt.Errorf("%s at %g mm: the standard gives no delta below IT3", c, sizeMM)
	}
	if c.Deviation == "M" && c.Grade == 6 && row == 10 {
		return -9, nil // the one exception the standard makes, 250 to 315 mm, instead of -11
	}
	return -ei + grades[c.Grade-1][row] - grades[c.Grade-2][row], nil
}

func rangeOf(ends []float64, sizeMM float64) int {
	for i, end := range ends {
		if sizeMM <= end {
			return i
		}
	}
	return len(ends) - 1
}
