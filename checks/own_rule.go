package checks

import (
	"errors"
	"fmt"
	"strings"

	"pocketgauge/rules"
	"pocketgauge/rules/expression"
)

// ownRule begins the ids of checks that are the shop's own.
const ownRule = "rule."

// ownRules judges the insert by the rules that the shop wrote itself (rules: in the rules file):
// conditions over what was measured, see values.go. One whose when does not hold asks nothing.
func ownRules(s *Subject, list []Finding) []Finding {
	if len(s.Frame.Rules) == 0 {
		return nil
	}
	var out []Finding
	measured := newValues(s, list)
	for i := range s.Frame.Rules {
		r := &s.Frame.Rules[i]
		severity := s.Frame.SeverityOf(ownRule + r.ID.Value)
		if severity == rules.SeverityFail && r.Severity != "" {
			severity = r.Severity // judge: may weaken the rule's own word
		}
		if severity == rules.SeverityOff {
			continue
		}
		reading, applies := evaluateRule(r, measured)
		if !applies {
			continue
		}
		c := &Check{
			ID: ownRule + r.ID.Value, Title: r.Says.Value, Unit: Plain, Mend: r.Mend.Value, Keys: []string{"rules"},
			Doc: "A rule of the shop's own: " + r.Holds.Value,
		}
		f := Finding{Check: c, Reading: reading, Judged: Judge(reading)}
		if f.Verdict == Fail && severity == rules.SeverityWarn {
			f.Verdict = Warned
		}
		out = append(out, f)
	}
	return out
}

// evaluateRule takes the reading of one rule; applies is false where its when does not hold.
func evaluateRule(r *rules.CustomRule, measured *values) (_ Reading, applies bool) {
	names := ValueNames()
	if r.When.Set {
		when, err := expression.Compile(r.When.Value, names)
		if err != nil {
			return NotMeasured("", fmt.Sprintf("%s: when: %v", r.When.Origin, err)), true
		}
		truth, why := holds(when, measured)
		switch {
		case why != "":
			return NotMeasured("", "whether this rule applies is not known: "+why), true
		case truth == expression.No:
			return Reading{}, false
		case truth == expression.Unclear:
			return NotMeasured("", "whether this rule applies lies within the uncertainty of what it asks: "+r.When.Value), true
		}
	}
	cond, err := expression.Compile(r.Holds.Value, names)
	if err != nil {
		return NotMeasured("", fmt.Sprintf("%s: holds: %v", r.Holds.Origin, err)), true
	}
	truth, why := holds(cond, measured)
	if why != "" {
		return NotMeasured("", why), true
	}
	return ruleReading(r, cond, truth, measured), true
}

// holds evaluates a condition; why says why that was not possible.
func holds(e *expression.Expression, measured *values) (truth expression.Truth, why string) {
	for _, n := range e.Uses() {
		if _, err := measured.value(n); err != nil {
			return expression.Unclear, fmt.Sprintf("%s: %v", n, err)
		}
	}
	truth, err := e.Holds(measured.known)
	if err != nil {
		return expression.Unclear, err.Error()
	}
	return truth, ""
}

// ruleReading is a condition as a value against a limit. One that compares two numbers gives them;
// any other gives 1 where it holds and 0 where it does not, with a bound of 1 where both are open.
// Truth is what was evaluated: the sides are shown with it and never decide against it.
func ruleReading(r *rules.CustomRule, cond *expression.Expression, truth expression.Truth, measured *values) Reading {
	reading := Reading{Measured: true, Limit: AtLeast(1)}
	switch truth {
	case expression.Yes:
		reading.Value = 1
	case expression.Unclear:
		reading.Uncertainty = 1
	}
	if v, limit, above, ok := cond.Sides(measured.known); ok {
		sides := Reading{Measured: true, Value: v.Value, Uncertainty: v.Uncertainty, Limit: AtMost(limit)}
		if above {
			sides.Limit = AtLeast(limit)
		}
		if agrees(Judge(sides).Verdict, truth) {
			reading = sides
		}
	}
	var used []string
	for _, n := range cond.Uses() {
		v := measured.known[n]
		used = append(used, fmt.Sprintf("%s = %.4g", n, v.Value))
	}
	with := ""
	if len(used) > 0 {
		with = " with " + strings.Join(used, ", ")
	}
	switch truth {
	case expression.Yes:
		reading.Says = fmt.Sprintf("%s holds%s.", r.Holds.Value, with)
	case expression.No:
		reading.Says = fmt.Sprintf("%s (%s does not hold%s.)", r.Says.Value, r.Holds.Value, with)
	default:
		reading.Says = fmt.Sprintf("%s (%s is open%s: it lies within the uncertainty.)", r.Says.Value, r.Holds.Value, with)
	}
	return reading
}

func agrees(v Verdict, t expression.Truth) bool {
	return v == Pass && t == expression.Yes || v == Fail && t == expression.No || v == Borderline && t == expression.Unclear
}

// RuleMistakes tries one of the shop's own rules: whether its expressions can be read, and, with
// cases, whether each comes out as it should.
func RuleMistakes(r *rules.CustomRule, cases bool) []rules.RuleMistake {
	names := ValueNames()
	if cases {
		// A case may give values of its own names no more than the rule may: they are all ValueNames.
		for _, c := range r.Cases {
			for _, v := range c.Values {
				if !knownValue(v.Name) {
					return []rules.RuleMistake{{Origin: v.Origin, Key: "cases", Says: fmt.Sprintf("nothing that is measured is called %q", v.Name), Hint: "pocketgauge explain --values lists what there is"}}
				}
			}
		}
	}
	var list []rules.RuleMistake
	compile := func(t rules.Text, key string) *expression.Expression {
		if !t.Set {
			return nil
		}
		e, err := expression.Compile(t.Value, names)
		var m *expression.Mistake
		switch {
		case errors.As(err, &m):
			list = append(list, rules.RuleMistake{Origin: t.Origin, Key: key, Column: m.Column, Says: m.Says, Hint: m.Hint})
		case err != nil:
			list = append(list, rules.RuleMistake{Origin: t.Origin, Key: key, Says: err.Error()})
		}
		return e
	}
	when, cond := compile(r.When, "when"), compile(r.Holds, "holds")
	if len(list) > 0 || !cases {
		return list
	}
	for _, c := range r.Cases {
		got, err := runCase(when, cond, c)
		if err != nil {
			list = append(list, rules.RuleMistake{Origin: c.Origin, Key: "cases", Says: fmt.Sprintf("case %q cannot be tried: %v", c.Name.Value, err)})
		} else if got != c.Want.Value {
			list = append(list, rules.RuleMistake{Origin: c.Origin, Key: "cases", Says: fmt.Sprintf("case %q comes out as %s, not %s", c.Name.Value, got, c.Want.Value), Hint: "mend the rule, or what the case expects"})
		}
	}
	return list
}

// runCase tries a rule on the values of a case, which are exact.
func runCase(when, cond *expression.Expression, c rules.RuleCase) (string, error) {
	given := map[string]expression.Value{}
	for _, v := range c.Values {
		given[v.Name] = expression.Value{Value: v.Value}
	}
	if when != nil {
		truth, err := when.Holds(given)
		if err != nil {
			return "", err
		}
		if truth != expression.Yes {
			return "skip", nil
		}
	}
	truth, err := cond.Holds(given)
	if err != nil {
		return "", err
	}
	if truth == expression.Yes {
		return "pass", nil
	}
	return "fail", nil
}
