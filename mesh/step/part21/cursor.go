package part21

import "iter"

// Cursor reads the members of a record or list in order. The first thing that goes wrong is kept
// in Err; from then on everything read is zero, so that one look at the end is enough. Copying a
// cursor keeps a place to come back to. Nothing here allocates, but for decoding strings.
type Cursor struct {
	f   *File
	i   uint32 // instance
	at  uint32 // of the next member, or of the closing parenthesis
	err *Error
}

// Err is what went wrong first, an *[Error], or nil if nothing did.
func (c *Cursor) Err() error {
	if c.err == nil {
		return nil
	}
	return c.err
}

// fail keeps the first error.
func (c *Cursor) fail(err error) {
	if e, ok := err.(*Error); ok && c.err == nil {
		c.err = e
	}
}

// advance goes from the end of a member to the next one, or to the closing parenthesis.
func (c *Cursor) advance(p int) {
	text := c.f.text
	if text[p] != ',' {
		p = gap(text, p)
	}
	if text[p] == ',' {
		p = gap(text, p+1)
	}
	c.at = uint32(p)
}

// Done is the error of reading, or an error if members are left unread.
func (c *Cursor) Done() error {
	if c.More() {
		n := c.f.ordinal(c.i, int(c.at))
		c.err = c.f.errorf(int(c.at), c.i, "%s is one too many", n)
	}
	return c.Err()
}

// More says whether there is another member to read and nothing has gone wrong.
func (c *Cursor) More() bool {
	return c.err == nil && c.f != nil && c.f.text[c.at] != ')'
}

// Next is the next member; an error in Err if there is none.
func (c *Cursor) Next() Value {
	if !c.More() {
		if c.err == nil && c.f != nil {
			c.err = c.f.errorf(int(c.at), c.i, "%s is missing", c.f.ordinal(c.i, int(c.at)))
		} else if c.err == nil {
			c.err = Instance{}.Errorf("there is no list to read")
		}
		return Value{}
	}
	v := Value{c.f, c.i, c.at}
	c.advance(after(c.f.text, int(c.at)))
	return v
}

// Skip goes past one member.
func (c *Cursor) Skip() {
	c.Next()
}

// Ref reads a reference #n: its n.
func (c *Cursor) Ref() uint64 {
	v := c.Next()
	if c.err != nil {
		return 0
	}
	n, err := v.Ref()
	c.fail(err)
	return n
}

// Instance reads a reference and looks it up; a dangling one is an error.
func (c *Cursor) Instance() Instance {
	v := c.Next()
	if c.err != nil {
		return Instance{}
	}
	i, err := v.Instance()
	c.fail(err)
	return i
}

// InstanceOrNone is [Cursor.Instance], but $ and * give an absent instance and no error.
func (c *Cursor) InstanceOrNone() Instance {
	v := c.Next()
	if c.err != nil || !v.Given() {
		return Instance{}
	}
	i, err := v.Instance()
	c.fail(err)
	return i
}

// Real reads a real number; a whole one and a typed one serve.
func (c *Cursor) Real() float64 {
	if c.More() {
		if k := class[c.f.text[c.at]]; k == classDigit || k == classSign {
			if x, end, ok := readReal(c.f.text, int(c.at)); ok {
				c.advance(end)
				return x
			}
		}
	}
	v := c.Next()
	if c.err != nil {
		return 0
	}
	x, err := v.Real()
	c.fail(err)
	return x
}

// RealOr is [Cursor.Real], but $ and * give a value to fall back on.
func (c *Cursor) RealOr(fallback float64) float64 {
	if c.More() {
		if (Value{c.f, c.i, c.at}).Given() {
			return c.Real()
		}
	}
	c.Next()
	if c.err != nil {
		return 0
	}
	return fallback
}

// Int reads a whole number.
func (c *Cursor) Int() int {
	v := c.Next()
	if c.err != nil {
		return 0
	}
	x, err := v.Int()
	c.fail(err)
	return x
}

// Bool reads .T. or .F.
func (c *Cursor) Bool() bool {
	v := c.Next()
	if c.err != nil {
		return false
	}
	x, err := v.Bool()
	c.fail(err)
	return x
}

// Enum reads an enumeration, without its points: "PARABOLIC_ARC". A slice of the text.
func (c *Cursor) Enum() string {
	v := c.Next()
	if c.err != nil {
		return ""
	}
	x, err := v.Enum()
	c.fail(err)
	return x
}

// String reads and decodes a string; $ and * give "".
func (c *Cursor) String() string {
	v := c.Next()
	if c.err != nil || !v.Given() {
		return ""
	}
	x, err := v.String()
	c.fail(err)
	return x
}

// List reads a list: a cursor over its members. An error of reading the inner cursor stays there;
// join it with [Cursor.Take].
func (c *Cursor) List() Cursor {
	v := c.Next()
	if c.err != nil {
		return Cursor{err: c.err}
	}
	inner := v.Members()
	c.Take(&inner)
	return inner
}

// enter is List for a list that will be read to its end; leave then goes on behind it. List has
// to look for that end, and whoever reads the list looks at every member a second time.
func (c *Cursor) enter() (inner Cursor, plain bool) {
	if c.More() && c.f.text[c.at] == '(' {
		return Cursor{f: c.f, i: c.i, at: uint32(gap(c.f.text, int(c.at)+1))}, true
	}
	return c.List(), false // a typed parameter, or an error
}

func (c *Cursor) leave(inner *Cursor, plain bool) {
	if c.Take(inner); c.err == nil && plain {
		c.advance(int(inner.at) + 1)
	}
}

// Take moves an error of a cursor made by List to this one, if this one has none.
func (c *Cursor) Take(inner *Cursor) {
	if c.err == nil {
		c.err = inner.err
	}
}

// Reals appends the real numbers of a list to a slice.
func (c *Cursor) Reals(to []float64) []float64 {
	inner, plain := c.enter()
	for inner.More() {
		to = append(to, inner.Real())
	}
	c.leave(&inner, plain)
	return to
}

// Ints appends the whole numbers of a list to a slice.
func (c *Cursor) Ints(to []int) []int {
	inner, plain := c.enter()
	for inner.More() {
		to = append(to, inner.Int())
	}
	c.leave(&inner, plain)
	return to
}

// Instances appends what the references of a list stand for to a slice.
func (c *Cursor) Instances(to []Instance) []Instance {
	inner, plain := c.enter()
	for inner.More() {
		to = append(to, inner.Instance())
	}
	c.leave(&inner, plain)
	return to
}

// Values goes through the rest of the members.
func (c *Cursor) Values() iter.Seq[Value] {
	return func(yield func(Value) bool) {
		for c.More() {
			if !yield(c.Next()) {
				return
			}
		}
	}
}
