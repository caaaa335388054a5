package part21

import (
	"bytes"
	"cmp"
	"fmt"
	"iter"
	"slices"
)

// Type is a keyword of one file: its place in [Limits.Keywords] from 1 on, then numbers in order
// of first appearance.
type Type uint32

// NoType is the type of nothing: an absent record, or an instance that is complex.
const NoType Type = 0

// File is the index of one text.
type File struct {
	text       []byte
	keywords   *keywords
	entries    []entry
	parts      []part
	header     []part
	references []Reference

	// An instance is found by its name in dense, which holds 1 + its place, or where names are
	// far apart by halving in sorted, places in the order of names.
	dense  []uint32
	sorted []uint32

	// of lists places by type: those of type t are of[first[t]:last[t]].
	of          []uint32
	first, last []uint32
}

// Parse reads one whole text, without what may have been packed around it (see [Unpack]).
func Parse(text []byte, limits Limits) (*File, error) {
	limits = limits.withDefaults()
	if len(text) > limits.Bytes {
		return nil, &Error{Line: 1, Column: 1, Problem: fmt.Sprintf("the text has %d bytes; at most %d are read", len(text), limits.Bytes)}
	}
	s := scanner{text: text, limits: limits, keywords: newKeywords(limits.Keywords)}
	// Each instance has one = outside strings: counting them sizes the index once.
	s.entries = make([]entry, 0, min(bytes.Count(text, []byte("=")), len(text)/shortestInstance))
	s.file()
	if s.err != nil {
		return nil, s.err
	}
	f := &File{
		text: text, keywords: s.keywords,
		entries: s.entries, parts: s.parts, header: s.header, references: s.references,
	}
	if err := f.indexNames(); err != nil {
		return nil, err
	}
	f.indexTypes()
	return f, nil
}

// namesPerInstance is how sparse names may be for a table by name: at 4 bytes each it then takes
// no more than 32 bytes an instance.
const namesPerInstance = 8

// indexNames makes names findable and refuses one that is there twice.
func (f *File) indexNames() error {
	greatest := uint64(0)
	for i := range f.entries {
		greatest = max(greatest, f.entries[i].name)
	}
	if greatest < namesPerInstance*uint64(len(f.entries)) {
		f.dense = make([]uint32, greatest+1)
		for i := range f.entries {
			place := &f.dense[f.entries[i].name]
			if *place != 0 {
				return f.twice(int(*place-1), i)
			}
			*place = uint32(i) + 1
		}
		return nil
	}
	f.sorted = make([]uint32, len(f.entries))
	for i := range f.sorted {
		f.sorted[i] = uint32(i)
	}
	slices.SortFunc(f.sorted, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(f.entries[a].name, f.entries[b].name), cmp.Compare(a, b))
	})
	first, second := 0, len(f.entries)
	for k := 1; k < len(f.sorted); k++ {
		a, b := f.sorted[k-1], f.sorted[k]
		if f.entries[a].name == f.entries[b].name && int(b) < second {
			first, second = int(a), int(b)
		}
	}
	if second < len(f.entries) {
		return f.twice(first, second)
	}
	return nil
}

// twice is the error of an instance that has the name of an earlier one.
func (f *File) twice(first, second int) error {
	line, _ := place(f.text, f.start(uint32(first)))
	return f.errorf(f.start(uint32(second)), uint32(second), "an instance of this name is already defined in line %d", line)
}

// indexTypes lists the instances of each type, in the order of the text.
func (f *File) indexTypes() {
	types := len(f.keywords.names)
	f.first, f.last = make([]uint32, types+1), make([]uint32, types)
	for i := range f.entries {
		if t := f.entries[i].t; t&complexBit == 0 {
			f.first[t+1]++
		}
	}
	for _, p := range f.parts {
		f.first[p.t+1]++
	}
	for t := range types {
		f.first[t+1] += f.first[t]
		f.last[t] = f.first[t]
	}
	f.of = make([]uint32, f.first[types])
	add := func(t uint32, i int) {
		n := f.last[t]
		if n > f.first[t] && f.of[n-1] == uint32(i) {
			return // a complex instance with two records of one type
		}
		f.of[n] = uint32(i)
		f.last[t]++
	}
	for i := range f.entries {
		e := &f.entries[i]
		if e.t&complexBit == 0 {
			add(e.t, i)
			continue
		}
		for _, p := range f.partsOf(e) {
			add(uint32(p.t), i)
		}
	}
}

func (f *File) partsOf(e *entry) []part { return f.parts[e.at : e.at+e.t&^complexBit] }

// start is where instance i begins, found by going back from its first parenthesis.
func (f *File) start(i uint32) int {
	e := &f.entries[i]
	at := int(e.at)
	if e.t&complexBit != 0 {
		at = int(f.parts[e.at].at)
	}
	// Between # and the parenthesis are the name, =, a keyword, and what may stand between
	// tokens. A # in a comment there can mislead only the column of a message.
	if p := bytes.LastIndexByte(f.text[:at], '#'); p >= 0 {
		return p
	}
	return at
}

// Bytes is the length of the text.
func (f *File) Bytes() int { return len(f.text) }

// Len is the number of instances in all data sections.
func (f *File) Len() int {
	return len(f.entries)
}

// At is the instance at a place in the text's order, 0 <= i < Len. See [Instance.Index].
func (f *File) At(i int) Instance {
	return Instance{f, uint32(i)}
}

// Lookup finds the instance #name; false if the file does not define it.
func (f *File) Lookup(name uint64) (Instance, bool) {
	if f.dense != nil {
		if name < uint64(len(f.dense)) && f.dense[name] != 0 {
			return Instance{f, f.dense[name] - 1}, true
		}
		return Instance{}, false
	}
	k, found := slices.BinarySearchFunc(f.sorted, name, func(i uint32, name uint64) int {
		return cmp.Compare(f.entries[i].name, name)
	})
	if !found {
		return Instance{}, false
	}
	return Instance{f, f.sorted[k]}, true
}

// Of goes through the instances that are of a type or, if complex, have a record of it, in the
// order of the text.
func (f *File) Of(t Type) iter.Seq[Instance] {
	return func(yield func(Instance) bool) {
		if int(t) >= len(f.last) {
			return
		}
		for _, i := range f.of[f.first[t]:f.last[t]] {
			if !yield(Instance{f, i}) {
				return
			}
		}
	}
}

// Count is how many instances [File.Of] goes through.
func (f *File) Count(t Type) int {
	if int(t) >= len(f.last) {
		return 0
	}
	return int(f.last[t] - f.first[t])
}

// Types is one more than the greatest type of this file.
func (f *File) Types() Type {
	return Type(len(f.keywords.names))
}

// Type is the type of a keyword, NoType if the file and the vocabulary lack it.
func (f *File) Type(keyword string) Type {
	return f.keywords.find(keyword)
}

// Keyword is the keyword of a type.
func (f *File) Keyword(t Type) string {
	if int(t) >= len(f.keywords.names) {
		return ""
	}
	return f.keywords.names[t]
}

// References are the entries of the reference section (edition 3): names that stand for things
// in other files.
func (f *File) References() []Reference {
	return slices.Clone(f.references)
}

// Reference is one entry of a reference section: #12 = <gear.stp#axis>.
type Reference struct {
	Name     string // as written: "#12" or "@3"
	Address  string // as written: "gear.stp#axis"
	FileName string // the address without its fragment; empty if the entry points into this file
}
