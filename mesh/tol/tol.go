// Package tol is the only place where a length, an angle or a share is called small.
//
// Two families, never mixed. Noise is derived: what storing and subtracting coordinates may
// have done. Policy is chosen: what a person allows, with the reason beside each value. Signs
// that decide topology use neither; they are exact (mesh/geom).
//
// Lengths are millimetres, angles radians. Nothing here is a global that can be changed.
package tol

import "pocketgauge/mesh/geom"

// Unit roundoffs u: a stored number is within u times its magnitude of the one meant.
const (
	// RoundoffSTL is that of IEEE 754 binary32, in which STL stores coordinates.
	RoundoffSTL = 0x1p-24
	// RoundoffDouble is that of IEEE 754 binary64: STEP's decimal text after parsing.
	RoundoffDouble = 0x1p-53
)

// Noise bounds the error of a coordinate difference in a model whose coordinates reach m and
// were stored with unit roundoff u.
//
// Storing costs u*m for each of two ends and the subtraction u*2m, so
// |fl(a-b) - (a-b)| <= 4*u*m to first order. At m = 500 mm that is 2.2e-13 mm for STEP text
// and 1.2e-4 mm for STL: one fixed 1e-6 suits neither.
func Noise(box geom.Box, u float64) float64 { return 4 * u * box.MaxAbs() }

// Policy values: each is a choice, with its reason.
const (
	// WeldMM: vertices of one STL nearer than this are one vertex if exact welding left the
	// surface open. Exporters round a shared vertex once per facet; two roundings of
	// binary32 at 500 mm differ by at most 6e-5 mm. Wider would close real gaps.
	WeldMM = 1e-4

	// ChordMM is the default distance a mesh may stand off the surface it stands for: a tenth
	// of the tightest clearance a frame asks of an insert (common practice, no source).
	ChordMM = 0.01

	// ChordPerDiagonal keeps the chord of small models in proportion: 1/2000 of the diagonal.
	ChordPerDiagonal = 1.0 / 2000

	// DeflectionAngle is the largest turn of the normal across one triangle edge, radians
	// (20 degrees: a full circle of a small bore still gets 18 sides).
	DeflectionAngle = 20 * 3.14159265358979323846 / 180

	// OutlineGapMM is how far apart two pieces of an outline may end and start and still be
	// joined: a hundredth of a micrometre, the rounding of a person's four-decimal arithmetic
	// on corner points, far under any clearance.
	OutlineGapMM = 1e-5

	// TangentSine is the sine of the turn under which two pieces count as meeting smoothly: it
	// is what a gap of OutlineGapMM turns a piece of 10 mm by.
	TangentSine = 1e-6

	// UnitShare is how closely two sides of a model must agree with the pocket's for its unit to
	// be taken as known: 2 %, between any fit and the factor of 25.4.
	UnitShare = 0.02

	// MisplacedMM: an insert that misses its pocket's side or height by more was drawn elsewhere, or
	// for another frame; ten times the worst that a wrong fit comes to (common practice, no source).
	MisplacedMM = 1

	// LevelMM joins horizontal facets into one level, beyond what rounding asks for: a tenth of
	// the finest step that is ground on purpose (common practice, no source).
	LevelMM = 0.0001

	// RelievedMM: a level that lies lower than where the parting face should be by less than this is the
	// parting face, if a low one; what shops relieve they relieve by more (common practice, no source).
	RelievedMM = 0.1

	// SeatMM is how far from z = 0 a face may lie and still rest on the seat: half the least
	// stand-proud that a frame asks for (common practice, no source).
	SeatMM = 0.005

	// SideMM: an upright face no further within the pocket's outline than this is the insert's
	// side, whether it fits or not; ten times a loose fit, a tenth of the thinnest wall to a
	// side (common practice, no source).
	SideMM = 0.5

	// UprightSine: a face whose normal rises by less than this is upright, half a degree: under
	// any draft, over any rounding.
	UprightSine = 0.0087

	// ZeroDraft: a face that leans by no more, either way, is drawn without draft: 0.05 degrees
	// are a micrometre on 1 mm of height, what rounding to 32 bits does to a facet of 0.01 mm.
	ZeroDraft = 0.05 * 3.14159265358979323846 / 180

	// DraftSlack: faces are drawn with exactly the draft that is asked for, and no measurement that
	// has an uncertainty can prove that met. 0.02 degrees are 0.35 micrometres on 1 mm of height.
	DraftSlack = 0.02 * 3.14159265358979323846 / 180

	// DraftKnown: a facet so narrow that storing its corners may have tilted it by more says
	// nothing of the draft. Under half of the least draft of design guides.
	DraftKnown = 0.2 * 3.14159265358979323846 / 180

	// DraftNoiseMM2: a place of less area without its draft is counted and not judged; as for
	// thin walls, smaller than the smallest cutter's end (this program's own choice).
	DraftNoiseMM2 = 0.2

	// SmoothTurn: two facets that meet at less are pieces of one round face: that of a round of
	// twelve sides, the coarsest that is taken for round (mesh/roles).
	SmoothTurn = 30 * 3.14159265358979323846 / 180

	// VentGrooveMM: what runs out at the side of an insert and goes no deeper under the parting face
	// is a vent and its groove, not detail. Grooves behind vents are 0.5 to 1 mm deep (common
	// practice, no source).
	VentGrooveMM = 1

	// OpenMarginMM is how much wider than the place that a frame wants open a shop may cut and
	// still have cut it for the frame and not for the part: the radius of a usual roughing
	// cutter for slots (common practice, no source).
	OpenMarginMM = 3

	// SeatGridShare is the grid on which the widest bare place of a seat is sought, as a share of
	// the pocket's wider side. It points at a place; no limit hangs on it.
	SeatGridShare = 1.0 / 160

	// RelativeStep ends an iteration of Newton's: what is left is under the square of it, below rounding.
	RelativeStep = 1e-9

	// FlushMM: metal that stands off a surface by no more is flush with it. A ground face is held
	// to a few micrometres (common practice, no source), and a limit of exactly nothing could
	// never be proven met by a measurement with any uncertainty.
	FlushMM = 0.005

	// ZoneDeflectionMM is how far the polygon that stands for a round zone or blank may stand off
	// it: a fifth of FlushMM, so that it never decides a verdict by itself.
	ZoneDeflectionMM = 0.001

	// FilmSlope: a gap between two halves whose width changes by more than this from place to place
	// is the edge of a part thinning out and no gap of even width; three degrees, over any
	// chord and under the angle at which two faces of a part meet (common practice, no source).
	FilmSlope = 0.05

	// PinPlayMM is what the bore of an ejector pin may be wider than the pin: H7/g6 leaves up to 0.03
	// mm on 10 to 18 mm (ISO 286-2), and designers draw it round.
	PinPlayMM = 0.05

	// PinFaceMM is how far from the height of an ejector pin's end its face may rise or fall and
	// still be the face it comes out on: over any chord, under any groove.
	PinFaceMM = 0.1

	// PinOnPartShare: a pin with less than this share of its end on the part presses on nothing
	// that counts, and the rays that see it are no finer.
	PinOnPartShare = 0.05

	// CoreDrillMM is how far the core hole of a thread may be drawn from its drill's diameter:
	// less than half the step to the next drill (common practice, no source).
	CoreDrillMM = 0.2

	// PictureDeflectionMM is how far a line drawn for people may stand off a round one: less than
	// a pixel of a picture of any insert.
	PictureDeflectionMM = 0.05
)
