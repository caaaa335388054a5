package rules

import "fmt"

// flagForm is true or false.
type flagForm struct{ into *Flag }

func (f flagForm) read(d *decoder, n *node, path string) {
	if n.kind != scalarNode || n.text != "true" && n.text != "false" {
		d.wrong(n, path, fmt.Sprintf("%s stands here, this is true or false", describe(n)), "")
		return
	}
	*f.into = Flag{Set: true, Value: n.text == "true", Origin: d.origin(n)}
}
func (f flagForm) isSet() bool               { return f.into.Set }
func (f flagForm) clear()                    { *f.into = Flag{} }
func (f flagForm) complete(*decoder, string) {}
func (f flagForm) schema() object            { return object{"type": "boolean"} }
func (f flagForm) about() string             { return "true / false" }
func (f flagForm) below() []key              { return nil }
func (f flagForm) rows(path, doc string, emit func(Row)) {
	emit(Row{Key: path, Value: fmt.Sprint(f.into.Value), Origin: f.into.Origin, Doc: doc})
}
