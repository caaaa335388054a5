// Package solids writes STEP files of solids whose volume, area and bounds are known in closed
// form, one for each way that ISO 10303-42 has of saying a surface, a curve or a topology.
//
// The text is written directly, from the schemas and no other program's output, so that a reader
// is held to the standard and to mathematics and not to another reader. What holds:
//
//  1. The same bytes on each run.
//  2. Lengths, areas and volumes of a [Case] are mm, mm2 and mm3 whatever the unit of its file.
//  3. Each value is derived in a comment where it is made. A length of arc without a closed form
//     (ellipse, hyperbola) and the area of a bump are integrated to 1e-10 of themselves, and only those.
//  4. Every file is sound: a reader that refuses one, other than those with Err, is wrong.
//
// An open-source kernel (Open CASCADE 7.6) gives the same volume to 3e-7 and area to 3e-6 of the
// value for all files it reads as the standard has them. It does not for those below, each checked
// by hand:
//
//   - it makes nothing of composite curves and bare parameter curves as edges, faces without a
//     surface, curve bounded surfaces, a rational Bezier surface, tessellated items, and the scale
//     of a mapped item;
//   - it takes apple and lemon for the whole torus;
//   - its integrals over extruded and revolved curves, polynomial lids and the half circle of two
//     spans err by 1e-6 to 1e-2: pi 5^2 7 = 549.7787 comes out as 549.7900;
//   - it bounds the box of loose vertices by its vertices.
package solids

import "github.com/golang/geo/r3"

// Case is one STEP file and what is known of it.
type Case struct {
	Name   string // file name without its ending
	Text   []byte
	Solids []Solid // one for each occurrence, in no order that matters
	// Err is a word the error must hold where the file cannot be a solid; then Solids is empty.
	Err  string
	Note string // what the file is there for
	// LooseMM is how far points of the file contradict each other: bounds are known to so much, and
	// volumes to so much times the area. 0 where the file is exact.
	LooseMM float64
}

// Solid is one occurrence of a body in a file.
type Solid struct {
	Path      string // product path, "rack/shelf/box", or the product's name alone
	VolumeMM3 float64
	AreaMM2   float64
	Min, Max  r3.Vector // mm, tight
	Open      bool      // a surface that does not close: no volume
}
