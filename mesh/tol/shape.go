package tol

// Lengths and shares that the curves and surfaces of a STEP file are held to. Writers print
// coordinates with 6 to 15 digits behind the point and state an uncertainty of 1e-5 to 1e-7 mm
// (seen in exported files); a micrometre is a thousandth of the finest tolerance of the trade.
const (
	// PoleMM: a point nearer than this to an axis has no angle of its own. A writer's rounding
	// of the seventh decimal must not choose the longitude of a pole.
	PoleMM = 1e-6

	// ClosureMM is how far the two ends of a closed curve or surface may lie apart, and
	// ClosureShare the same as a share of its size: a curve of a tenth of a micrometre whose
	// ends lie 1e-5 mm apart is short, not closed.
	ClosureMM    = 1e-5
	ClosureShare = 1e-4

	// NearestShare ends a search for the nearest point: a step along the curve or surface
	// shorter than this share of its size changes the distance by its square, far under
	// RoundoffDouble.
	NearestShare = 1e-10

	// OnShapeShare is the distance, as a share of a shape's size, at which a search that started
	// from a hint is believed without a look at the rest of the shape. Edges lie on their
	// surfaces to far better than that; a wrong sheet seldom lies so near.
	OnShapeShare = 1e-4

	// AxesSine is the least sine of the angle between two directions that span a plane.
	AxesSine = 1e-9
)

// What a STEP file's topology is held to.
const (
	// ConversionShare: a conversion factor this near to that of the inch or the degree, as a share, is
	// that factor printed short (0.01745329252 is seen, off by 5e-12).
	ConversionShare = 1e-8

	// EdgeMissMM: vertices farther from the curve of their edge than this, or than the file's
	// stated uncertainty if that is larger, are worth a note. It is a tenth of the default chord.
	EdgeMissMM = 1e-3

	// FacetFlatShare is how far, as a share of its size, the corners of a polygon may lie off
	// their plane before that is worth a note: the sixth digit, where writers round.
	FacetFlatShare = 1e-5
)
