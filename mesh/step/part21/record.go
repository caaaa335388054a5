package part21

import "iter"

// Record is a keyword with its parameters: an instance or a part of a complex one.
type Record struct {
	f    *File
	i    uint32 // instance
	at   uint32 // of the opening parenthesis
	t    Type
	want Type // of an absent record: what was asked for
}

// Absent says whether there is no such record.
func (r Record) Absent() bool { return r.at == 0 }

// Type is the record's type, NoType if it is absent.
func (r Record) Type() Type { return r.t }

// Instance is whose record it is.
func (r Record) Instance() Instance { return Instance{r.f, r.i} }

// Count is the number of parameters, found by going through them.
func (r Record) Count() int { panic("not yet") }

// Param is parameter i, counted from 0, found by going through those before it.
func (r Record) Param(i int) (Value, error) { panic("not yet") }

// Params reads the parameters one by one.
func (r Record) Params() Cursor { panic("not yet") }

// Errorf makes an *Error at the record.
func (r Record) Errorf(format string, args ...any) *Error { panic("not yet") }

// Cursor reads the members of a record or list in order. The first thing that goes wrong is kept
// in Err; from then on everything read is zero, so that one look at the end is enough. Copying a
// cursor keeps a place to come back to. Nothing here allocates, but for decoding strings.
type Cursor struct {
	f   *File
	i   uint32 // instance
	at  uint32 // of the next member, or of the closing parenthesis
	err *Error
}

// Err is what went wrong first, nil if nothing did. As an error value only through [Cursor.Done]
// or after a test for nil.
func (c *Cursor) Err() *Error { return c.err }

// Done is the error of reading, or an error if members are left unread.
func (c *Cursor) Done() error { panic("not yet") }

// More says whether there is another member to read and nothing has gone wrong.
func (c *Cursor) More() bool { panic("not yet") }

// Next is the next member; an error in Err if there is none.
func (c *Cursor) Next() Value { panic("not yet") }

// Skip goes past one member.
func (c *Cursor) Skip() { panic("not yet") }

// Ref reads a reference #n: its n.
func (c *Cursor) Ref() uint64 { panic("not yet") }

// Instance reads a reference and looks it up; a dangling one is an error.
func (c *Cursor) Instance() Instance { panic("not yet") }

// InstanceOrNone is [Cursor.Instance], but $ and * give an absent instance and no error.
func (c *Cursor) InstanceOrNone() Instance { panic("not yet") }

// Real reads a real number; a whole one and a typed one serve.
func (c *Cursor) Real() float64 { panic("not yet") }

// RealOr is [Cursor.Real], but $ and * give a value to fall back on.
func (c *Cursor) RealOr(fallback float64) float64 { panic("not yet") }

// Int reads a whole number.
func (c *Cursor) Int() int { panic("not yet") }

// Bool reads .T. or .F.
func (c *Cursor) Bool() bool { panic("not yet") }

// Enum reads an enumeration, without its points: "PARABOLIC_ARC". A slice of the text.
func (c *Cursor) Enum() string { panic("not yet") }

// String reads and decodes a string; $ and * give "".
func (c *Cursor) String() string { panic("not yet") }

// List reads a list: a cursor over its members. An error of reading the inner cursor stays there;
// join it with [Cursor.Take].
func (c *Cursor) List() Cursor { panic("not yet") }

// Take moves an error of a cursor made by List to this one, if this one has none.
func (c *Cursor) Take(inner *Cursor) { panic("not yet") }

// Reals appends the real numbers of a list to a slice.
func (c *Cursor) Reals(to []float64) []float64 { panic("not yet") }

// Ints appends the whole numbers of a list to a slice.
func (c *Cursor) Ints(to []int) []int { panic("not yet") }

// Instances appends what the references of a list stand for to a slice.
func (c *Cursor) Instances(to []Instance) []Instance { panic("not yet") }

// Values goes through the rest of the members.
func (c *Cursor) Values() iter.Seq[Value] { panic("not yet") }
