// Package shape evaluates the curves and surfaces of ISO 10303-42 with that standard's own
// parametrisations.
//
// Lengths are millimetres and angles radians: whoever builds a shape has already converted the
// file's units. A shape is immutable and safe to share between goroutines; evaluation
// allocates nothing. The package knows no topology and reads no file.
//
// What holds (tests cite these numbers):
//
//	S1  a constructor returns an error in words for what cannot be evaluated; what it accepts
//	    evaluates to numbers everywhere in its domain
//	S2  First and Second, and Point and Derivatives, agree; derivatives are exact but for the
//	    second ones of offsets, which are differences
//	S3  Parameter and Parameters give a local minimum of the distance. For the elementary kinds
//	    and straight sweeps it is a closed form. For b-splines no span or patch is left out that
//	    could hold a nearer point, and within one samples tell the minima apart: a patch that
//	    folds between two samples can hide one, and after 256 spans or patches a search ends
//	S4  with a hint, periodic parameters are in the period nearest to it, and at a pole the hint
//	    chooses the parameter that the pole leaves open
//	S5  without a hint, parameters are in Domain, but those of a TrimmedSurface may lie outside:
//	    its basis answers, and a face is bounded by its edges
//
// Points within tol.PoleMM of a pole or an axis count as on it. A b-spline is periodic where
// its ends meet within tol.ClosureMM, whatever the file's flags say; it may have a corner at its
// seam, which Breaks lists for a curve and which for a surface is a side of the domain.
//
// Evaluation of b-splines runs the recurrence of Cox and de Boor for each call. Precomputed
// Bezier segments were not tried: a bicubic point with first derivatives takes about 0.1 us and
// a hinted inversion 0.5 us, which tessellation does not feel.
package shape

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// Curve is a curve in space.
type Curve interface {
	// Point is C(t).
	Point(t float64) r3.Vector
	// Derivatives are C(t), C'(t), C double prime of t.
	Derivatives(t float64) (p, d1, d2 r3.Vector)
	// Domain is where the curve is defined; a line's sides are infinite, a circle's domain is
	// one period.
	Domain() r1.Interval
	// Period is 0 for a curve that does not repeat.
	Period() float64
	// Parameter finds the t of the point of the curve nearest to p, and the distance left.
	// hint starts the search where hinted is set; a closed form ignores it, except to choose
	// among periods.
	Parameter(p r3.Vector, hint float64, hinted bool) (t, distance float64)
	// Breaks are the parameters inside the interval where the curve is less than twice
	// continuously differentiable, ascending.
	Breaks(within r1.Interval) []float64
}

// Curve2 is a curve in a surface's parameter plane.
type Curve2 interface {
	Point(t float64) r2.Point
	Derivatives(t float64) (p, d1, d2 r2.Point)
	Domain() r1.Interval
	Period() float64
}

// Surface is a surface in space.
type Surface interface {
	// Point is S(u, v).
	Point(u, v float64) r3.Vector
	// First are S, dS/du, dS/dv.
	First(u, v float64) (p, du, dv r3.Vector)
	// Second are S and its first and second derivatives.
	Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector)
	// Domain is the natural parameter rectangle; sides may be infinite. A periodic direction
	// spans one period.
	Domain() r2.Rect
	// Period holds the period in u (X) and v (Y), 0 where the surface does not repeat.
	Period() r2.Point
	// Parameters finds (u, v) of the point of the surface nearest to p, and the distance left.
	// At a pole, where a whole line of parameters meets, the hint chooses among them.
	Parameters(p r3.Vector, hint r2.Point, hinted bool) (uv r2.Point, distance float64)
	// Face describes the surface for recognition: kind, axis, radii. Label and Inner are left
	// to the caller, who may rely on this: of a plane du x dv is along Axis; of a cylinder, a
	// cone short of its apex, a sphere and a torus it points away from the axis, centre or
	// centre circle. A surface of which that does not hold is described as something else.
	Face() mesh.Face
	// Breaks are the u and v values inside the domain where the surface is less than twice
	// continuously differentiable (inner knots of full multiplicity and the like), ascending.
	Breaks() (u, v []float64)
	// Poles are the iso-parameter sides that collapse to one point.
	Poles() []Pole
}

// Pole is a side of the parameter rectangle that maps to a single point: the top of a sphere,
// the apex of a cone.
type Pole struct {
	// AtV is set where v = Value collapses for every u; otherwise u = Value collapses for every v.
	AtV   bool
	Value float64
	Point r3.Vector
}
