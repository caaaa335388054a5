package part21

import "strings"

// Kind is what a parameter is.
type Kind uint8

// Kinds of parameters.
const (
	KindMissing     Kind = iota // no parameter at all: the zero Value
	KindUnset                   // $
	KindDerived                 // *
	KindInteger                 // 42
	KindReal                    // 4.2E1
	KindString                  // 'text'
	KindEnumeration             // .TEXT.
	KindBinary                  // "0FF"
	KindReference               // #42
	KindList                    // (a,b,c)
	KindTyped                   // NAME(a)
	KindExternal                // @42, #NAME and @NAME of edition 3
)

// Value is one parameter or member of a list: where it is in the text. Small, to be passed by
// value.
type Value struct {
	f  *File
	i  uint32 // instance
	at uint32
}

// Kind tells what the parameter is, by its first bytes.
func (v Value) Kind() Kind {
	if v.f == nil {
		return KindMissing
	}
	text := v.f.text
	switch class[text[v.at]] {
	case classHash:
		if isDigit(text[v.at+1]) {
			return KindReference
		}
		return KindExternal
	case classDigit, classSign:
		return v.numberKind()
	case classPoint:
		if isDigit(text[v.at+1]) {
			return KindReal
		}
		return KindEnumeration
	case classQuote:
		return KindString
	case classBits:
		return KindBinary
	case classOpen:
		return KindList
	case classLetter:
		return KindTyped
	case classAt:
		return KindExternal
	case classMark:
		if text[v.at] == '*' {
			return KindDerived
		}
		return KindUnset
	}
	return KindMissing
}

// numberKind tells a real number, which has a point, from a whole one (6.4.1, 6.4.2).
func (v Value) numberKind() Kind {
	text := v.f.text
	for _, c := range text[v.at:afterNumber(text, int(v.at))] {
		if c == '.' || c == 'E' || c == 'e' {
			return KindReal
		}
	}
	return KindInteger
}

// Given says whether there is a parameter and it is neither $ nor *.
func (v Value) Given() bool {
	return v.f != nil && class[v.f.text[v.at]] != classMark
}

// Ref is the n of #n.
func (v Value) Ref() (uint64, error) {
	if v.Kind() != KindReference {
		return 0, v.wrong("a reference #n")
	}
	n, _, _ := readName(v.f.text, int(v.at))
	return n, nil
}

// Instance is what #n stands for; an error if the file does not define it, which names the other
// file if the reference section says where it is.
func (v Value) Instance() (Instance, error) {
	n, err := v.Ref()
	if err != nil {
		return Instance{}, err
	}
	if i, ok := v.f.Lookup(n); ok {
		return i, nil
	}
	name := v.Text()
	for _, r := range v.f.references {
		if r.Name == name {
			return Instance{}, v.Errorf("%s refers to %s in another file, which is not read: export the parts into one file", v.ordinal(), r.Address)
		}
	}
	return Instance{}, v.Errorf("%s refers to #%d, which the file does not define", v.ordinal(), n)
}

// Real is a real number, or a whole number, or either inside a typed parameter.
func (v Value) Real() (float64, error) {
	w := v.content()
	if k := w.Kind(); k != KindReal && k != KindInteger {
		return 0, v.wrong("a real number")
	}
	x, _, ok := readReal(w.f.text, int(w.at))
	if !ok {
		return 0, v.Errorf("%s is %s, more than a number of 64 bits can hold", v.ordinal(), shorten(w.Text()))
	}
	return x, nil
}

// Int is a whole number, or one inside a typed parameter.
func (v Value) Int() (int, error) {
	w := v.content()
	if w.Kind() != KindInteger {
		return 0, v.wrong("a whole number")
	}
	n, _, ok := readInt(w.f.text, int(w.at))
	if !ok {
		return 0, v.Errorf("%s is %s, more than a whole number of 64 bits can hold", v.ordinal(), shorten(w.Text()))
	}
	return int(n), nil
}

// Bool is .T. or .F., or either inside a typed parameter.
func (v Value) Bool() (bool, error) {
	w := v.content()
	if w.Kind() == KindEnumeration {
		switch w.Text() {
		case ".T.", ".t.":
			return true, nil
		case ".F.", ".f.":
			return false, nil
		}
	}
	return false, v.wrong(".T. or .F.")
}

// Enum is the text between the points. A slice of the text.
func (v Value) Enum() (string, error) {
	if v.Kind() != KindEnumeration {
		return "", v.wrong("an enumeration like .NAME.")
	}
	t := v.Text()
	return t[1 : len(t)-1], nil
}

// String is a string with its directives decoded (ISO 10303-21:2016, 6.4.3), or one inside a
// typed parameter. Without anything to decode it is a slice of the text.
func (v Value) String() (string, error) {
	w := v.content()
	if w.Kind() != KindString {
		return "", v.wrong("a string")
	}
	end := afterString(w.f.text, int(w.at))
	return decode(w.f.text[w.at+1 : end-1]), nil
}

// Binary is a binary: how many bits, and the bits in bytes, the most significant first.
func (v Value) Binary() (bits int, value []byte, err error) {
	if v.Kind() != KindBinary {
		return 0, nil, v.wrong("a binary")
	}
	// The bits to leave out are the first ones of the first digit (6.4.6).
	t := v.Text()
	unused := int(t[1] - '0')
	digits := t[2 : len(t)-1]
	bits = max(4*len(digits)-unused, 0)
	value = make([]byte, (bits+7)/8)
	for i := range bits {
		k := i + unused
		if hexDigit(digits[k/4])>>(3-k%4)&1 != 0 {
			value[i/8] |= 0x80 >> (i % 8)
		}
	}
	return bits, value, nil
}

// Len is the number of members of a list, found by going through them.
func (v Value) Len() (int, error) {
	c := v.Members()
	n := 0
	for c.More() {
		c.Next()
		n++
	}
	return n, c.Err()
}

// At is member i of a list, counted from 0, found by going through those before it. To read a
// whole list use Members.
func (v Value) At(i int) (Value, error) {
	c := v.Members()
	for range i {
		c.Next()
	}
	w := c.Next()
	return w, c.Err()
}

// Members reads the members of a list one by one.
func (v Value) Members() Cursor {
	w := v.content()
	if w.Kind() != KindList {
		return Cursor{err: v.wrong("a list")}
	}
	return Cursor{f: v.f, i: v.i, at: uint32(gap(v.f.text, int(w.at)+1))}
}

// Typed is the type and the content of a typed parameter: LENGTH_MEASURE(2.5).
func (v Value) Typed() (Type, Value, error) {
	if v.Kind() != KindTyped {
		return NoType, Value{}, v.wrong("a typed parameter like NAME(...)")
	}
	text := v.f.text
	end := afterWord(text, int(v.at))
	open := gap(text, end)
	inner := gap(text, open+1)
	if text[inner] == ')' || text[gap(text, after(text, inner))] != ')' {
		return NoType, Value{}, v.Errorf("%s should hold one value in its parentheses", v.ordinal())
	}
	return v.f.keywords.find(view(text[v.at:end])), Value{v.f, v.i, uint32(inner)}, nil
}

// Text is the parameter as it is written. A slice of the text.
func (v Value) Text() string {
	if v.f == nil {
		return ""
	}
	return view(v.f.text[v.at:after(v.f.text, int(v.at))])
}

// Errorf makes an *Error at the parameter.
func (v Value) Errorf(format string, args ...any) *Error {
	if v.f == nil {
		return Instance{}.Errorf(format, args...)
	}
	return v.f.errorf(int(v.at), v.i, format, args...)
}

// content is the value itself, or what a typed parameter holds, however deep.
func (v Value) content() Value {
	w := v
	for w.f != nil && class[w.f.text[w.at]] == classLetter {
		_, inner, err := w.Typed()
		if err != nil {
			break
		}
		w = inner
	}
	return w
}

// found are the kinds in words.
var found = [...]string{
	KindMissing: "nothing", KindUnset: "$ (not given)", KindDerived: "* (derived)",
	KindInteger: "a whole number", KindReal: "a real number", KindString: "a string",
	KindEnumeration: "the enumeration ", KindBinary: "a binary", KindReference: "the reference ",
	KindList: "a list", KindTyped: "a typed parameter ", KindExternal: "the name of something outside the file, ",
}

// wrong is the error of a value of the wrong kind.
func (v Value) wrong(due string) *Error {
	k := v.Kind()
	what := found[k]
	switch k {
	case KindMissing:
		return v.Errorf("should be %s, found nothing", due)
	case KindEnumeration, KindReference, KindTyped, KindExternal:
		what += shorten(v.Text())
	}
	return v.Errorf("%s should be %s, found %s", v.ordinal(), due, what)
}

func (v Value) ordinal() string { return v.f.ordinal(v.i, int(v.at)) }

// quoted is how much of a value a message shows.
const quoted = 40

func shorten(s string) string {
	if len(s) <= quoted {
		return s
	}
	return strings.ToValidUTF8(s[:quoted], "") + "..."
}
