package quote

import (
	"math"

	"github.com/shopspring/decimal"
)

// places to which hours and money are rounded, once.
const places = 2

// Span is a low, a likely and a high figure.
type Span struct{ Low, Likely, High decimal.Decimal }

// Plus adds figure by figure.
func (s Span) Plus(o Span) Span {
	return Span{s.Low.Add(o.Low), s.Likely.Add(o.Likely), s.High.Add(o.High)}
}

// Minus is the difference figure by figure: of lines that go well or badly together.
func (s Span) Minus(o Span) Span {
	return Span{s.Low.Sub(o.Low), s.Likely.Sub(o.Likely), s.High.Sub(o.High)}
}

// at is the span times a number, rounded once.
func (s Span) at(rate decimal.Decimal) Span {
	return Span{s.Low.Mul(rate).Round(places), s.Likely.Mul(rate).Round(places), s.High.Mul(rate).Round(places)}
}

// spanOf rounds three numbers once, and keeps their order.
func spanOf(low, likely, high float64) Span {
	r := func(v float64) decimal.Decimal { return decimal.NewFromFloat(v).Round(places) }
	return Span{r(min(low, likely)), r(likely), r(max(high, likely))}
}

// number is a rate as a person wrote it: the shortest decimal that reads as the float.
func number(v float64) decimal.Decimal { return decimal.NewFromFloat(v) }

// Combination is a sum of lines, with what it would be if they missed independently of each other.
type Combination struct {
	Span
	// Expected is the sum of the lines' means (low + 4 likely + high)/6; ApartLow and ApartHigh are
	// three deviations below and above it, the deviations (high - low)/6 added in squares, and no
	// further than Low and High.
	Expected, ApartLow, ApartHigh float64
}

func combine(spans []Span) Combination {
	var c Combination
	variance := 0.0
	for _, s := range spans {
		c.Span = c.Span.Plus(s)
		low, likely, high := s.Low.InexactFloat64(), s.Likely.InexactFloat64(), s.High.InexactFloat64()
		c.Expected += (low + 4*likely + high) / 6
		variance += (high - low) * (high - low) / 36
	}
	reach := 3 * math.Sqrt(variance)
	// One skewed line's three deviations may reach past its own ends, which nothing does.
	c.ApartLow = max(c.Expected-reach, c.Low.InexactFloat64())
	c.ApartHigh = min(c.Expected+reach, c.High.InexactFloat64())
	return c
}
