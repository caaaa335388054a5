package rules

import (
	"fmt"
	"regexp"
	"slices"
	"sort"

	"pocketgauge/rules/quantity"
)

type CustomRule struct {
	ID       Text
	When     Text
	Holds    Text
	Severity Severity
	Says     Text
	Mend     Text
	Cases    []RuleCase
	Origin   Origin

	severityText Text
}

type RuleCase struct {
	Name   Text
	Values []NamedNumber
	// Want is pass, fail or skip (the rule's when does not hold).
	Want   Text
	Origin Origin
}

type NamedNumber struct {
	Name   string
	Value  float64
	Origin Origin
}

func (r *CustomRule) keys() []key {
	return []key{
		{name: "id", must: true, form: textForm{into: &r.ID, wanted: `^[a-z][a-z0-9.-]*$`, valid: validID, inform: "id"},
			doc: `Id of the rule, in small letters, such as floor-over-span.`},
		text("when", &r.When, `Expression that tells whether the rule applies. It always does when left out.`),
		text("holds", &r.Holds, `Expression over measured values that must be true.`).required(),
		choice("severity", &r.severityText, func(s string) { r.Severity = Severity(s) }, []string{string(SeverityFail), string(SeverityWarn), string(SeverityOff)},
			`What it amounts to when it does not hold.`).orDefault(string(SeverityFail), "a rule that is written down is meant"),
		text("says", &r.Says, `What a designer should read when it does not hold.`).required(),
		text("mend", &r.Mend, `What would make it hold.`),
		list("cases", &r.Cases, (*RuleCase).keys, func(c *RuleCase) *Origin { return &c.Origin }, `Values to try the rule on, and what must come out; they are
			run when the file is linted.`),
	}
}

func (c *RuleCase) keys() []key {
	return []key{
		text("name", &c.Name, `What the case shows.`).required(),
		{name: "values", must: true, form: valuesForm{&c.Values}, doc: `The measured values, by name.`},
		choice("want", &c.Want, nil, []string{"pass", "fail", "skip"}, `What must come out: pass, fail, or skip (the rule does not
			apply).`).required(),
	}
}

var idPattern = regexp.MustCompile(`^[a-z][a-z0-9.-]*$`)

func validID(text string) error {
	if !idPattern.MatchString(text) || len(text) > 100 {
		return fmt.Errorf("%q is no id; write small letters, digits, points and hyphens", clean(text))
	}
	return nil
}

// judgeForm is a map from check ids to severities. Which ids exist is not known here; see
// Frame.UnknownChecks.
type judgeForm struct{ into *[]Judgement }

func (f judgeForm) read(d *decoder, n *node, path string) {
	if n.kind != mapNode || len(n.entries) == 0 {
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is a group of check ids", describe(n)), "write it like {steel.wall: warn}")
		return
	}
	for _, e := range n.entries {
		if err := validID(e.key.text); err != nil {
			d.wrong(e.key, path, err.Error(), "")
			continue
		}
		var word Text
		form := textForm{into: &word, choices: []string{string(SeverityFail), string(SeverityWarn), string(SeverityOff)}}
		value := *e.value
		value.boolean = false // off is a word here
		form.read(d, &value, join(path, e.key.text))
		if !word.Set {
			continue
		}
		one := Judgement{Check: e.key.text, Severity: Severity(word.Value), Origin: word.Origin}
		i := sort.Search(len(*f.into), func(i int) bool { return (*f.into)[i].Check >= one.Check })
		if i < len(*f.into) && (*f.into)[i].Check == one.Check {
			(*f.into)[i] = one
			continue
		}
		*f.into = slices.Insert(*f.into, i, one)
	}
}
func (f judgeForm) isSet() bool               { return len(*f.into) > 0 }
func (f judgeForm) clear()                    { *f.into = nil }
func (f judgeForm) complete(*decoder, string) {}
func (f judgeForm) schema() object {
	return object{"type": "object", "minProperties": 1, "propertyNames": object{"pattern": idPattern.String()},
		"additionalProperties": object{"enum": []any{"fail", "warn", "off"}}}
}
func (f judgeForm) about() string { return "check id: fail / warn / off" }
func (f judgeForm) below() []key  { return nil }
func (f judgeForm) rows(path, doc string, emit func(Row)) {
	for _, j := range *f.into {
		emit(Row{Key: join(path, j.Check), Value: string(j.Severity), Origin: j.Origin, Doc: doc})
	}
}

// valuesForm is a map from names to plain numbers.
type valuesForm struct{ into *[]NamedNumber }

var namePattern = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)

func (f valuesForm) read(d *decoder, n *node, path string) {
	if n.kind != mapNode {
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is a group of values", describe(n)), "write it like {depth_mm: 20}")
		return
	}
	*f.into = []NamedNumber{}
	for _, e := range n.entries {
		if !namePattern.MatchString(e.key.text) {
			d.wrong(e.key, path, fmt.Sprintf("%q is no name of a value", clean(e.key.text)), "write small letters, digits and low lines, such as depth_mm")
			continue
		}
		if v, ok := d.number(e.value, join(path, e.key.text), quantity.Plain, bounds{}); ok {
			*f.into = append(*f.into, NamedNumber{Name: e.key.text, Value: v, Origin: d.origin(e.value)})
		}
	}
}
func (f valuesForm) isSet() bool               { return *f.into != nil }
func (f valuesForm) clear()                    { *f.into = nil }
func (f valuesForm) complete(*decoder, string) {}
func (f valuesForm) schema() object {
	return object{"type": "object", "propertyNames": object{"pattern": namePattern.String()}, "additionalProperties": object{"type": "number"}}
}
func (f valuesForm) about() string { return "name: number" }
func (f valuesForm) below() []key  { return nil }
func (f valuesForm) rows(path, doc string, emit func(Row)) {
	for _, v := range *f.into {
		text, _ := quantity.Format(quantity.Plain, v.Value)
		emit(Row{Key: join(path, v.Name), Value: text, Origin: v.Origin, Doc: doc})
	}
}
