package part21

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
func (v Value) Kind() Kind { panic("not yet") }

// Given says whether there is a parameter and it is neither $ nor *.
func (v Value) Given() bool { panic("not yet") }

// Ref is the n of #n.
func (v Value) Ref() (uint64, error) { panic("not yet") }

// Instance is what #n stands for; an error if the file does not define it, which names the other
// file if the reference section says where it is.
func (v Value) Instance() (Instance, error) { panic("not yet") }

// Real is a real number, or a whole number, or either inside a typed parameter.
func (v Value) Real() (float64, error) { panic("not yet") }

// Int is a whole number, or one inside a typed parameter.
func (v Value) Int() (int, error) { panic("not yet") }

// Bool is .T. or .F., or either inside a typed parameter.
func (v Value) Bool() (bool, error) { panic("not yet") }

// Enum is the text between the points. A slice of the text.
func (v Value) Enum() (string, error) { panic("not yet") }

// String is a string with its directives decoded (ISO 10303-21:2016, 6.4.3), or one inside a
// typed parameter. Without anything to decode it is a slice of the text.
func (v Value) String() (string, error) { panic("not yet") }

// Binary is a binary: how many bits, and the bits in bytes, the most significant first.
func (v Value) Binary() (bits int, value []byte, err error) { panic("not yet") }

// Len is the number of members of a list, found by going through them.
func (v Value) Len() (int, error) { panic("not yet") }

// At is member i of a list, counted from 0, found by going through those before it. To read a
// whole list use Members.
func (v Value) At(i int) (Value, error) { panic("not yet") }

// Members reads the members of a list one by one.
func (v Value) Members() Cursor { panic("not yet") }

// Typed is the type and the content of a typed parameter: LENGTH_MEASURE(2.5).
func (v Value) Typed() (Type, Value, error) { panic("not yet") }

// Text is the parameter as it is written. A slice of the text.
func (v Value) Text() string { panic("not yet") }

// Errorf makes an *Error at the parameter.
func (v Value) Errorf(format string, args ...any) *Error { panic("not yet") }
