package part21

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
func (r Record) Count() int {
	c := r.Params()
	n := 0
	for c.More() {
		c.Next()
		n++
	}
	return n
}

// Param is parameter i, counted from 0, found by going through those before it.
func (r Record) Param(i int) (Value, error) {
	c := r.Params()
	for range i {
		c.Next()
	}
	v := c.Next()
	return v, c.Err()
}

// Params reads the parameters one by one.
func (r Record) Params() Cursor {
	if r.Absent() {
		return Cursor{err: r.missing()}
	}
	return Cursor{f: r.f, i: r.i, at: uint32(gap(r.f.text, int(r.at)+1))}
}

// Errorf makes an *Error at the record.
func (r Record) Errorf(format string, args ...any) *Error {
	if r.Absent() {
		return Instance{r.f, r.i}.Errorf(format, args...)
	}
	return r.f.errorf(int(r.at)+1, r.i, format, args...)
}

// missing is the error of reading an absent record.
func (r Record) missing() *Error {
	i := Instance{r.f, r.i}
	switch {
	case r.f == nil:
		return i.Errorf("there is no instance to read")
	case r.want == NoType:
		return i.Errorf("should be one entity, not a complex instance")
	case i.Complex():
		return i.Errorf("should have a record %s", r.f.Keyword(r.want))
	}
	return i.Errorf("should be a %s", r.f.Keyword(r.want))
}
