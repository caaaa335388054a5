package rules

import (
	"strings"
)

// headerForm is a key that is read before all others, by the loader; the table holds it for its
// schema and doc.
type headerForm struct{ choices []string }

func header(name string, choices []string, doc string) key {
	return key{name: name, doc: doc, form: headerForm{choices}}
}

func (headerForm) read(*decoder, *node, string)   {}
func (headerForm) isSet() bool                    { return false }
func (headerForm) clear()                         {}
func (headerForm) complete(*decoder, string)      {}
func (headerForm) below() []key                   { return nil }
func (headerForm) rows(string, string, func(Row)) {}
func (f headerForm) schema() object {
	if f.choices == nil {
		return object{"type": "string", "minLength": 1}
	}
	return textForm{choices: f.choices}.schema()
}
func (f headerForm) about() string {
	if f.choices == nil {
		return "path"
	}
	return strings.Join(f.choices, " / ")
}
