package geom

import "math"

// Sum adds doubles with a running correction (Neumaier, Rundungsfehleranalyse einiger Verfahren
// zur Summation endlicher Summen, ZAMM 54, 1974): the error is one rounding of the result, and
// n^2 u^2 of the sum of magnitudes. The zero Sum is 0.
type Sum struct{ sum, lost float64 }

// Add adds x.
func (s *Sum) Add(x float64) {
	t := s.sum + x
	if math.Abs(s.sum) >= math.Abs(x) {
		s.lost += (s.sum - t) + x
	} else {
		s.lost += (x - t) + s.sum
	}
	s.sum = t
}

// Value is the sum so far.
func (s *Sum) Value() float64 { return s.sum + s.lost }
