// Package part21 reads the clear text encoding of ISO 10303-21:2016, the syntax of STEP files.
//
// It is a scanner and an index and nothing else: it knows no geometry, no units, no schema. One
// pass over the text checks the syntax and notes where each instance starts; parameters stay
// slices of the text and are read when they are asked for, so that what a reader never asks for
// (most files carry a parameter curve for each edge and face) costs one look at its bytes.
//
// What holds:
//
//  1. The text given to [Parse] is kept, never copied and never written. Whoever passes it must
//     not change it while the [File] or a string read from it is in use.
//  2. A File does not change after Parse. Everything on it may be used by many goroutines.
//  3. The same text gives the same File: instances in the order of the text, types numbered by
//     [Limits.Keywords] and then by first appearance.
//  4. Nothing a file can hold makes this package panic, loop, or take more memory than a fixed
//     multiple of the text's length. Errors are values of type *[Error] with line and column.
//  5. Once Parse has returned no error, reading a parameter cannot meet bad syntax, only the
//     wrong kind or count of parameters.
//
// A reader names the types it knows, so that it can switch over constants:
//
//	const (
//		typePoint part21.Type = iota + 1
//		typeCircle
//	)
//	file, err := part21.Parse(text, part21.Limits{Keywords: []string{"CARTESIAN_POINT", "CIRCLE"}})
//	for circle := range file.Of(typeCircle) {
//		p := circle.Record(typeCircle).Params()
//		p.Skip()               // name
//		axis := p.Instance()   // position, resolved
//		radius := p.Real()
//		if err := p.Done(); err != nil {
//			return err // "line 7, column 20: #12 CIRCLE: parameter 3 should be a real number, found a string"
//		}
//	}
//
// Read more widely than the standard, since files do so and the meaning is not in doubt: a whole
// number where a real one is due, a real number with an exponent and no point or with no digit
// before its point, keywords and enumerations in small letters, a backslash in a string that
// begins no directive, text that is not UTF-8 (taken for ISO 8859-1), anything after
// END-ISO-10303-21. Not read: the SCOPE structure of the first edition, which is an error.
//
// # Cost
//
// On one core of a shared two-core machine, an exported assembly of 44 MB and 715,740 instances:
// Parse 136 ms (324 MB/s), of which the scan itself is two thirds, and 22.8 MB of index (16 bytes an
// instance, 4 by name, 4 by type); Check 85 ms; reading all 274,000 points 45 ms without an
// allocation (go test -bench .). 6,227 files of 4.4 GB read with Check, from disk and unpacked where
// they were packed, in 62 s of a loaded machine.
//
// Not done: parsing in parts on several cores. A part would have to begin outside a string, which
// only the text before it can tell; and at this speed reading the text from disk costs as much.
//
// Known weakness: the place of a message is found by counting lines from the start of the text, and
// its parameter by going through the record. A reader that collects thousands of errors pays for
// each; one that stops at the first, or bounds its notes, does not.
package part21
