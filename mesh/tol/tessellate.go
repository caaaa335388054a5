package tol

// What turning a STEP file's faces into triangles is held to.
const (
	// AtPoleMM: a boundary point this near to a pole is the pole. Writers print six digits or
	// more behind the point; it is ten times PoleMM, so that a point that the surface's own
	// inversion holds for the pole is one here too.
	AtPoleMM = 10 * PoleMM

	// ChordShare is the share of the allowed chord that division aims at. Deviations are sampled at
	// middles, where that of a circular arc is greatest; the fifth left over covers curvature
	// that grows between samples.
	ChordShare = 0.8

	// QuadratureShare is the least error that an integral over curved faces states, as a share: ten
	// times the most by which one was off on solids of known measures, whatever its estimate.
	QuadratureShare = 0x1p-24

	// RefineShare is the share of the allowed chord beyond which a triangle is refined. Points are set
	// for ChordShare, and what comes out a little coarser is left: refining it at once would
	// double the triangles.
	RefineShare = 0.95

	// FinestChordPerDiagonal bounds what a file can ask for: on a sphere the chord of this share of
	// its diagonal takes 1.4 million triangles. A part of 5 m still gets the default chord.
	FinestChordPerDiagonal = 1.0 / 500_000

	// SameParameterShare: two parameter points of one vertex this near, as a share of the
	// face's extent, are one point, and not two images of it a seam apart.
	SameParameterShare = 1e-6

	// PoleTurnShare: at a pole a turn of less than this share of the period is a whole turn. A
	// face with a tip of a hundred-thousandth of a turn is not a face.
	PoleTurnShare = 1e-5

	// JoinMM: two vertices nearer than this at the ends of an edge of no length are one vertex.
	JoinMM = 1e-6

	// SewMM bounds how far two edges of a file may lie apart to be one, whatever uncertainty the file
	// states: that of a default chord, under which nothing of a face is resolved.
	SewMM = ChordMM

	// StraightShare is how far, as a share of its length, the image of an edge may leave its chord
	// in the parameter plane before the sliver between them is integrated. The sliver is at
	// most two thirds of that share of the square of the length.
	StraightShare = 1e-9
)
