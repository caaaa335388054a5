package roles

import (
	"math"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
)

// Role is what a facet is.
type Role uint8

// The roles of facets.
const (
	Detail Role = iota
	Blank
	InBore
)

func (r Role) String() string { return [...]string{"detail", "blank", "bore"}[r] }

// Roles holds the role of every triangle.
type Roles struct {
	Of    []Role
	Bores []Bore
	// BoreOf is the index in Bores of each triangle, -1 for none.
	BoreOf []int32
}

// Step is one diameter of a bore.
type Step struct {
	DiameterMM, DiameterErrorMM float64
	// FromMM and ToMM are its depth from the mouth.
	FromMM, ToMM float64
}

// Bore is a drilled hole.
type Bore struct {
	// Mouth is the point of the axis where the bore opens, Into the direction from it into the
	// metal, of length 1. A bore that goes through is given from the end that lies lower in z,
	// then y, then x.
	Mouth, Into r3.Vector
	// DiameterMM is that of the longest step.
	DiameterMM, DiameterErrorMM float64
	// DepthMM reaches from the mouth to the end of the last step's full diameter, without a
	// cone tip.
	DepthMM float64
	Through bool
	// Named is set where the file named the cylinder: its measures are exact.
	Named bool
	// Steps run from the mouth inwards.
	Steps []Step
	// Triangles ascend.
	Triangles []int32
}

// Run says how a bore lies to the draw.
type Run uint8

// A bore runs along the draw (ejectors, core pins), across it (cooling lines), or neither.
const (
	Slanted Run = iota
	Along
	Across
)

func (r Run) String() string { return [...]string{"slanted", "along the draw", "across the draw"}[r] }

// runAngle is how far from straight along or square across a bore may be and still be called so:
// five degrees, more than any drill wanders and less than any bore is slanted on purpose (common
// practice, no source).
const runAngle = 5 * s1.Degree

// Runs says how the bore lies to the draw, a direction of length 1.
func (b *Bore) Runs(draw r3.Vector) Run {
	c := math.Abs(b.Into.Dot(draw))
	switch {
	case c >= math.Cos(runAngle.Radians()):
		return Along
	case c <= math.Sin(runAngle.Radians()):
		return Across
	}
	return Slanted
}
