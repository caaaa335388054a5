package expression_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pocketgauge/rules/expression"
)

type values = map[string]expression.Value

func compile(t *testing.T, text string, names ...string) *expression.Expression {
	t.Helper()
	e, err := expression.Compile(text, names)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return e
}

// Answers are those of interval arithmetic done by hand.
func TestHolds(t *testing.T) {
	names := []string{"depth_mm", "floor_mm", "span_mm"}
	at := values{"depth_mm": {30, 0}, "floor_mm": {12, 0.5}, "span_mm": {50, 1}}
	for text, want := range map[string]expression.Truth{
		"depth_mm > 20":                              expression.Yes,
		"depth_mm > 30":                              expression.No,
		"depth_mm >= 30":                             expression.Yes,
		"depth_mm / 4 == 7.5":                        expression.Yes, // whole numbers are real ones
		"floor_mm >= 0.2 * span_mm":                  expression.Yes, // 11.5 against 10.2 at worst
		"floor_mm >= 0.24 * span_mm":                 expression.Unclear,
		"floor_mm >= 0.26 * span_mm":                 expression.No, // 12.5 against 12.74 at best
		"floor_mm < 13 && depth_mm > 20":             expression.Yes,
		"floor_mm < 12 || depth_mm < 20":             expression.Unclear,
		"!(floor_mm < 11)":                           expression.Yes,
		"math.least(floor_mm, span_mm / 4) > 11":     expression.Yes,
		"math.sqrt(span_mm * 2) < 10.2 && 1 + 1 < 3": expression.Yes, // sqrt(102) = 10.0995
		"depth_mm > 20 ? floor_mm > 11 : false":      expression.Yes,
	} {
		got, err := compile(t, text, names...).Holds(at)
		if err != nil || got != want {
			t.Errorf("%s is %v (%v), want %v", text, got, err, want)
		}
	}
}

func TestSidesTellValueAndLimit(t *testing.T) {
	e := compile(t, "floor_mm + 1 >= 0.2 * span_mm", "floor_mm", "span_mm")
	v, limit, above, ok := e.Sides(values{"floor_mm": {12, 0.5}, "span_mm": {50, 1}})
	// 13 against 10; the difference runs from 12.5 - 10.2 to 13.5 - 9.8, 0.7 to either side of 3.
	if !ok || !above || v.Value != 13 || limit != 10 || math.Abs(v.Uncertainty-0.7) > 1e-12 {
		t.Errorf("got %v, limit %v, above %v, ok %v", v, limit, above, ok)
	}
	if _, _, _, ok := compile(t, "a > 1 && b > 1", "a", "b").Sides(values{"a": {2, 0}, "b": {2, 0}}); ok {
		t.Error("a condition of two parts has no sides")
	}
}

func TestMistakesNameThePlace(t *testing.T) {
	names := []string{"depth_mm", "floor_mm"}
	for text, want := range map[string]struct {
		column     int
		says, hint string
	}{
		"depth_mm > flor_mm":                 {12, `nothing that is measured is called "flor_mm"`, `did you mean "floor_mm"?`},
		"depth_mm >":                         {11, "mismatched input", ""},
		"depth_mm":                           {1, "gives a number", "compare"},
		"depth_mm > 'deep'":                  {10, "no matching overload", ""},
		"depth_mm > 1 && floor_mm":           {17, "expected type 'bool'", ""},
		strings.Repeat("1+", 1500) + "1 > 0": {1, "characters", "two rules"},
		strings.Repeat("(", 300) + "1" + strings.Repeat(")", 300) + " > depth_mm": {1, "recursion", ""},
	} {
		_, err := expression.Compile(text, names)
		var m *expression.Mistake
		if !errors.As(err, &m) {
			t.Errorf("%.40s: %v, want a mistake", text, err)
			continue
		}
		if !strings.Contains(m.Says, want.says) || !strings.Contains(m.Hint, want.hint) || m.Column < 1 || (want.column > 1 && m.Column != want.column) {
			t.Errorf("%.40s: column %d, %q, hint %q; want %+v", text, m.Column, m.Says, m.Hint, want)
		}
	}
}

func TestMissingValueIsAnError(t *testing.T) {
	e := compile(t, "a > b", "a", "b")
	if got, err := e.Holds(values{"a": {1, 0}}); err == nil || got != expression.Unclear || !strings.Contains(err.Error(), "b") {
		t.Errorf("got %v, %v", got, err)
	}
	if u := strings.Join(e.Uses(), " "); u != "a b" {
		t.Errorf("uses %s", u)
	}
}

func TestTooManyNamesAreRefused(t *testing.T) {
	var names []string
	for c := 'a'; c <= 'l'; c++ {
		names = append(names, string(c)+"_mm")
	}
	if _, err := expression.Compile(strings.Join(names, "+")+" > 0", names); err == nil {
		t.Error("2^12 corners were taken")
	}
}

func FuzzCompile(f *testing.F) {
	for _, s := range []string{"a > 1", "a/b>=2&&!(a<3)", "[a].all(x, x > 1)", "{'k': a}['k'] > 1", "a ? b : a", "math.abs(a) < b"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		e, err := expression.Compile(text, []string{"a", "b"})
		if err != nil {
			return
		}
		at := values{"a": {2, 0.5}, "b": {3, 0}}
		truth, err := e.Holds(at)
		v, limit, above, ok := e.Sides(at)
		if err != nil || !ok || truth == expression.Unclear {
			return
		}
		// A comparison that is clear lies on the side that its value and limit say.
		if d := v.Value - limit; (d > v.Uncertainty && (truth == expression.Yes) != above) || (d < -v.Uncertainty && (truth == expression.Yes) == above) {
			t.Errorf("%q is %v with %v against %v", text, truth, v, limit)
		}
	})
}
