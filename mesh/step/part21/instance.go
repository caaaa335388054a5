package part21

import (
	"fmt"
	"iter"
	"strings"
)

// Instance is one #n = ... ; of a data section. The zero Instance is absent: it is of NoType and
// every record of it is absent.
type Instance struct {
	f *File
	i uint32
}

// File is where the instance is from, nil for an absent one.
func (i Instance) File() *File { return i.f }

// Index is the instance's place in the order of the text, a dense number to keep results under.
func (i Instance) Index() int { return int(i.i) }

// Name is the n of #n.
func (i Instance) Name() uint64 {
	if i.f == nil {
		return 0
	}
	return i.f.entries[i.i].name
}

// Type is the instance's type, NoType for a complex one.
func (i Instance) Type() Type {
	if i.f == nil || i.Complex() {
		return NoType
	}
	return Type(i.f.entries[i.i].t)
}

// Complex says whether the instance is in external mapping: #n = ( A(..) B(..) );
func (i Instance) Complex() bool {
	return i.f != nil && i.f.entries[i.i].t&complexBit != 0
}

// Is says whether the instance is of a type or, if complex, has a record of it.
func (i Instance) Is(t Type) bool {
	return !i.Record(t).Absent()
}

// Records are the records of the instance: one, or all of a complex one in the text's order.
func (i Instance) Records() iter.Seq[Record] {
	return func(yield func(Record) bool) {
		if i.f == nil {
			return
		}
		if !i.Complex() {
			yield(i.Only())
			return
		}
		for _, p := range i.f.partsOf(&i.f.entries[i.i]) {
			if !yield(Record{f: i.f, i: i.i, at: p.at, t: p.t}) {
				return
			}
		}
	}
}

// Record is the instance's record of a type. If there is none the record is absent: reading its
// first parameter fails with words to that effect.
func (i Instance) Record(t Type) Record {
	if i.f == nil {
		return Record{}
	}
	e := &i.f.entries[i.i]
	if e.t&complexBit == 0 {
		if Type(e.t) == t {
			return Record{f: i.f, i: i.i, at: e.at, t: t}
		}
	} else {
		for _, p := range i.f.partsOf(e) {
			if p.t == t {
				return Record{f: i.f, i: i.i, at: p.at, t: t}
			}
		}
	}
	return Record{f: i.f, i: i.i, want: t}
}

// Only is the one record of an instance that is not complex; absent for a complex one.
func (i Instance) Only() Record {
	if i.f == nil || i.Complex() {
		return Record{f: i.f, i: i.i}
	}
	e := &i.f.entries[i.i]
	return Record{f: i.f, i: i.i, at: e.at, t: Type(e.t)}
}

// Describe is the instance's name and keyword for a message: "#12 CIRCLE", or
// "#13 (LENGTH_UNIT NAMED_UNIT SI_UNIT)".
func (i Instance) Describe() string {
	if i.f == nil {
		return "no instance"
	}
	return fmt.Sprintf("#%d %s", i.Name(), i.f.entity(i.i))
}

// Errorf makes an *Error at the instance.
func (i Instance) Errorf(format string, args ...any) *Error {
	if i.f == nil {
		return &Error{Line: 1, Column: 1, Problem: fmt.Sprintf(format, args...)}
	}
	return i.f.errorf(i.f.start(i.i), i.i, format, args...)
}

// entity is the keyword of instance i, or all of those of a complex one in parentheses.
func (f *File) entity(i uint32) string {
	if i >= uint32(len(f.entries)) {
		return ""
	}
	e := &f.entries[i]
	if e.t&complexBit == 0 {
		return f.Keyword(Type(e.t))
	}
	parts := f.partsOf(e)
	var names []string
	for _, p := range parts[:min(len(parts), mostNamed)] {
		names = append(names, f.Keyword(p.t))
	}
	if len(parts) > mostNamed {
		names = append(names, "...")
	}
	return "(" + strings.Join(names, " ") + ")"
}

// mostNamed records of a complex instance are enough for a person to know it by; the longest in
// use, rational b-spline surfaces, have eight.
const mostNamed = 8

// entityAt is the keyword of the record of instance i, or of the header, within which a place
// lies; and the place of its parenthesis, 0 if there is none.
func (f *File) entityAt(i uint32, at int) (keyword string, open int) {
	parts := f.header
	if i < uint32(len(f.entries)) {
		e := &f.entries[i]
		if e.t&complexBit == 0 {
			if at <= int(e.at) {
				return f.entity(i), 0
			}
			return f.entity(i), int(e.at)
		}
		parts = f.partsOf(e)
	}
	for k := len(parts) - 1; k >= 0; k-- {
		if int(parts[k].at) < at {
			return f.Keyword(parts[k].t), int(parts[k].at)
		}
	}
	return f.entity(i), 0
}

// errorf makes an error at a place within instance i, which may be nobody.
func (f *File) errorf(at int, i uint32, format string, args ...any) *Error {
	line, column := place(f.text, at)
	e := &Error{Line: line, Column: column, Offset: at, Problem: fmt.Sprintf(format, args...)}
	if i < uint32(len(f.entries)) {
		e.Named, e.Instance = true, f.entries[i].name
	}
	e.Entity, _ = f.entityAt(i, at)
	return e
}
