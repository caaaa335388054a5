package part21

import "iter"

// Type is a keyword of one file: its place in [Limits.Keywords] from 1 on, then numbers in order
// of first appearance.
type Type uint32

// NoType is the type of nothing: an absent record, or an instance that is complex.
const NoType Type = 0

// File is the index of one text.
type File struct {
	text []byte
}

// Parse reads one whole text, without what may have been packed around it (see [Unpack]).
func Parse(text []byte, limits Limits) (*File, error) { panic("not yet") }

// Len is the number of instances in all data sections.
func (f *File) Len() int { panic("not yet") }

// At is the instance at a place in the text's order, 0 <= i < Len. See [Instance.Index].
func (f *File) At(i int) Instance { panic("not yet") }

// Lookup finds the instance #name; false if the file does not define it.
func (f *File) Lookup(name uint64) (Instance, bool) { panic("not yet") }

// Of goes through the instances that are of a type or, if complex, have a record of it, in the
// order of the text.
func (f *File) Of(t Type) iter.Seq[Instance] { panic("not yet") }

// Count is how many instances [File.Of] goes through.
func (f *File) Count(t Type) int { panic("not yet") }

// Types is one more than the greatest type of this file.
func (f *File) Types() Type { panic("not yet") }

// Type is the type of a keyword, NoType if the file and the vocabulary lack it.
func (f *File) Type(keyword string) Type { panic("not yet") }

// Keyword is the keyword of a type.
func (f *File) Keyword(t Type) string { panic("not yet") }

// Header is the file's header section. What the file leaves out is empty.
func (f *File) Header() Header { panic("not yet") }

// References are the entries of the reference section (edition 3): names that stand for things
// in other files.
func (f *File) References() []Reference { panic("not yet") }

// Check looks up every reference of every instance and reports the first that the file does not
// define. Reading through [Value.Instance] reports the same at its use.
func (f *File) Check() error { panic("not yet") }

// Header is the content of FILE_DESCRIPTION, FILE_NAME and FILE_SCHEMA (ISO 10303-21:2016, 8.2).
type Header struct {
	Description         []string
	ImplementationLevel string
	Name, TimeStamp     string
	Author              []string
	Organization        []string
	Preprocessor        string
	OriginatingSystem   string
	Authorization       string
	Schemas             []string // as written: "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"
}

// Reference is one entry of a reference section: #12 = <gear.stp#axis>.
type Reference struct {
	Name     string // as written: "#12" or "@3"
	Address  string // as written: "gear.stp#axis"
	FileName string // the address without its fragment; empty if the entry points into this file
}

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
func (i Instance) Name() uint64 { panic("not yet") }

// Type is the instance's type, NoType for a complex one.
func (i Instance) Type() Type { panic("not yet") }

// Complex says whether the instance is in external mapping: #n = ( A(..) B(..) );
func (i Instance) Complex() bool { panic("not yet") }

// Is says whether the instance is of a type or, if complex, has a record of it.
func (i Instance) Is(t Type) bool { panic("not yet") }

// Records are the records of the instance: one, or all of a complex one in the text's order.
func (i Instance) Records() iter.Seq[Record] { panic("not yet") }

// Record is the instance's record of a type. If there is none the record is absent: reading its
// first parameter fails with words to that effect.
func (i Instance) Record(t Type) Record { panic("not yet") }

// Only is the one record of an instance that is not complex; absent for a complex one.
func (i Instance) Only() Record { panic("not yet") }

// Describe is the instance's name and keyword for a message: "#12 CIRCLE", or
// "#13 (LENGTH_UNIT NAMED_UNIT SI_UNIT)".
func (i Instance) Describe() string { panic("not yet") }

// Errorf makes an *Error at the instance.
func (i Instance) Errorf(format string, args ...any) *Error { panic("not yet") }
