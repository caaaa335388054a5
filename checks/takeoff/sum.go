package takeoff

import (
	"cmp"
	"math"
	"slices"
)

// Parts of the stock are whole numbers of quanta, so that they add up to the whole without rounding: a
// thousandth of a cubic millimetre, a millionth of what a quote looks at.
const quantaPerMM3 = 1000

// quanta is the nearest whole number of them.
func quanta(mm3 float64) int64 { return int64(math.Round(mm3 * quantaPerMM3)) }

func mm3(q int64) float64 { return float64(q) / quantaPerMM3 }

// settle makes the parts add up to the total, which is known better than any of them.
//
// Parts that were counted on rays miss the total by the error of counting. That remainder is shared out
// as in the adjustment of observations under one condition (Gauss; see Mikhail, Observations and Least
// Squares, 1976, ch. 9): in proportion to the squares of the stated errors, so that what is known well
// stays as it is. No part is taken below nothing. The error of a part grows by what it was moved, and
// is never more than what the total and all the other parts leave open.
func settle(parts []*Figure, total Figure) (remainder float64) {
	sum := 0.0
	for _, p := range parts {
		sum += p.Value
	}
	remainder = total.Value - sum
	moved := make([]float64, len(parts))
	left := remainder
	// A part that would go below nothing stops there, and the others share what it could not give.
	for range parts {
		weight := 0.0
		for i, p := range parts {
			if left > 0 || p.Value+moved[i] > 0 {
				weight += p.Error * p.Error
			}
		}
		if weight == 0 || left == 0 {
			break
		}
		gone, again := 0.0, false
		for i, p := range parts {
			if left < 0 && p.Value+moved[i] <= 0 {
				continue
			}
			d := left * p.Error * p.Error / weight
			if p.Value+moved[i]+d < 0 {
				d, again = -p.Value-moved[i], true
			}
			moved[i] += d
			gone += d
		}
		left -= gone
		if !again {
			break
		}
	}
	all := total.Error
	for i, p := range parts {
		p.Value += moved[i]
		p.Error += math.Abs(moved[i])
		all += p.Error
	}
	for _, p := range parts {
		p.Error = min(p.Error, all-p.Error)
	}
	return remainder
}

// Allot turns values into whole numbers of a unit that add up to the total, rounded to it: each down, and
// then one more to those that lost most, ties in order (the method of largest remainders). Where values
// and total differ by more than rounding, the largest value takes it.
func Allot(values []float64, total float64, perUnit float64) (counts []int64, sum int64) {
	type lost struct {
		part int
		by   float64
	}
	sum = int64(math.Round(total * perUnit))
	counts = make([]int64, len(values))
	order := make([]lost, len(values))
	more := sum
	for i, v := range values {
		down := math.Floor(v * perUnit)
		counts[i] = int64(down)
		order[i] = lost{i, v*perUnit - down}
		more -= counts[i]
	}
	slices.SortStableFunc(order, func(a, b lost) int { return cmp.Compare(b.by, a.by) })
	if more >= 0 && more <= int64(len(values)) {
		for _, l := range order[:more] {
			counts[l.part]++
		}
	} else if len(values) > 0 {
		largest := 0
		for i := range counts {
			if counts[i] > counts[largest] {
				largest = i
			}
		}
		counts[largest] += more
	}
	return counts, sum
}

// whole rounds the parts to quanta that add up to those of the total, and adds to each error what that
// moved it by.
func whole(parts []*Figure, total float64) {
	values := make([]float64, len(parts))
	for i, p := range parts {
		values[i] = p.Value
	}
	counts, _ := Allot(values, total, quantaPerMM3)
	for i, p := range parts {
		off := math.Abs(mm3(counts[i]) - p.Value)
		p.Value = mm3(counts[i])
		p.Error += max(off, 1.0/quantaPerMM3)
	}
}
