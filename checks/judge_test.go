package checks_test

import (
	"math"
	"testing"

	"pocketgauge/checks"
)

func TestJudge(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	least := func(v, u float64) checks.Reading {
		return checks.Reading{Measured: true, Value: v, Uncertainty: u, Limit: checks.AtLeast(10)}
	}
	most := func(v, u float64) checks.Reading {
		return checks.Reading{Measured: true, Value: v, Uncertainty: u, Limit: checks.AtMost(10)}
	}
	between := func(v, u float64) checks.Reading {
		return checks.Reading{Measured: true, Value: v, Uncertainty: u, Limit: checks.Between(2, 10)}
	}
	for _, c := range []struct {
		name   string
		r      checks.Reading
		want   checks.Verdict
		margin float64
	}{
		{"the zero reading", checks.Reading{}, checks.NotJudged, 0},
		{"not measured, though a value stands there", checks.Reading{Value: 11, Limit: checks.AtLeast(10)}, checks.NotJudged, 0},
		{"value is no number", least(nan, 0), checks.NotJudged, 0},
		{"uncertainty is no number", least(11, nan), checks.NotJudged, 0},
		{"value is endless", least(inf, 0), checks.NotJudged, 0},
		{"value is endless the other way", most(-inf, 0), checks.NotJudged, 0},
		{"uncertainty is negative", least(11, -1), checks.NotJudged, 0},
		{"uncertainty is endless", least(11, inf), checks.Borderline, 1},
		{"at least, well above", least(12, 1), checks.Pass, 2},
		{"at least, above by just the uncertainty", least(11, 1), checks.Pass, 1},
		{"at least, above by less than it", least(10.5, 1), checks.Borderline, 0.5},
		{"at least, on the limit", least(10, 1), checks.Borderline, 0},
		{"at least, on the limit and exact", least(10, 0), checks.Pass, 0},
		{"at least, below by less than the uncertainty", least(9.5, 1), checks.Borderline, -0.5},
		{"at least, below by just the uncertainty", least(9, 1), checks.Borderline, -1},
		{"at least, well below", least(8, 1), checks.Fail, -2},
		{"at least, exact and below", least(math.Nextafter(10, 0), 0), checks.Fail, math.Nextafter(10, 0) - 10},
		{"at most, well below", most(8, 1), checks.Pass, 2},
		{"at most, above by less than the uncertainty", most(10.5, 1), checks.Borderline, -0.5},
		{"at most, well above", most(12, 1), checks.Fail, -2},
		{"between, in the middle", between(6, 1), checks.Pass, 4},
		{"between, near the lower end", between(2.5, 1), checks.Borderline, 0.5},
		{"between, over the upper end", between(12, 1), checks.Fail, -2},
		{"between, uncertain of both ends", between(6, 5), checks.Borderline, 4},
		{"no limit", checks.Reading{Measured: true, Value: 3}, checks.Pass, 0},
		{"a limit at infinity is none", checks.Reading{Measured: true, Value: 3, Limit: checks.AtLeast(math.Inf(-1))}, checks.Pass, 0},
	} {
		got := checks.Judge(c.r)
		if got.Verdict != c.want || got.Margin != c.margin {
			t.Errorf("%s: %v with margin %g, want %v with %g", c.name, got.Verdict, got.Margin, c.want, c.margin)
		}
	}
	if j := checks.Judge(between(9, 0.5)); j.Nearest != 10 || !j.HasLimit {
		t.Errorf("9 lies nearest to %g of 2 to 10", j.Nearest)
	}
	if j := checks.Judge(between(3, 0.5)); j.Nearest != 2 {
		t.Errorf("3 lies nearest to %g of 2 to 10", j.Nearest)
	}
}

func TestZeroVerdictIsNoPass(t *testing.T) {
	var v checks.Verdict
	if v == checks.Pass || v.String() != "not judged" {
		t.Errorf("the zero verdict is %v", v)
	}
	words := map[string]bool{}
	for _, v := range []checks.Verdict{checks.NotJudged, checks.Fail, checks.Borderline, checks.Warned, checks.Pass} {
		words[v.String()] = true
	}
	if len(words) != 5 {
		t.Errorf("five verdicts have %d words", len(words))
	}
}

func TestOverallVerdictIsTheGravest(t *testing.T) {
	list := func(of ...checks.Verdict) []checks.Finding {
		var l []checks.Finding
		for _, v := range of {
			l = append(l, checks.Finding{Judged: checks.Judged{Verdict: v}})
		}
		return l
	}
	for _, c := range []struct {
		of   []checks.Verdict
		want checks.Verdict
	}{
		{[]checks.Verdict{checks.Pass, checks.Pass}, checks.Pass},
		{[]checks.Verdict{checks.Pass, checks.Warned}, checks.Pass},
		{[]checks.Verdict{checks.Pass, checks.Borderline, checks.Pass}, checks.Borderline},
		{[]checks.Verdict{checks.NotJudged, checks.Borderline}, checks.NotJudged},
		{[]checks.Verdict{checks.Borderline, checks.NotJudged}, checks.NotJudged},
		{[]checks.Verdict{checks.NotJudged, checks.Fail, checks.Pass}, checks.Fail},
		{[]checks.Verdict{checks.Fail, checks.NotJudged}, checks.Fail},
	} {
		if got := checks.Overall(list(c.of...)); got != c.want {
			t.Errorf("%v come to %v, want %v", c.of, got, c.want)
		}
	}
}
