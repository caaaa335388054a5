package rules

// Half is a side of the mould.
type Half string

const (
	Fixed  Half = "fixed"  // the sprue side
	Moving Half = "moving" // the ejector side
	Both   Half = "both"
)

// Severity is what a broken limit amounts to.
type Severity string

const (
	SeverityFail Severity = "fail"
	SeverityWarn Severity = "warn"
	SeverityOff  Severity = "off"
)

// Frame is one frame's limits, as they stand after inheritance and defaults.
type Frame struct {
	// File is the rules file that was asked for; Chain is it and every file it inherits from, the
	// one asked for first.
	File  string
	Chain []string

	Name Text
	Note Text

	Pocket    Pocket
	Zones     []Zone
	Bores     []Bore
	Blank     Blank
	Steel     Steel
	Steels    []SteelGrade
	Cooling   Cooling
	Ejection  Ejection
	Draw      Draw
	Making    Making
	Press     Press
	Resins    []Resin
	Handling  Handling
	Pair      Pair
	Measuring Measuring

	// Judge says what a broken limit of one check amounts to, by check id, in the order of ids.
	Judge []Judgement
	// Rules are the shop's own, as text; nothing here has been evaluated.
	Rules []CustomRule

	sources map[string][]byte
}

// Pocket is the hole in the frame that an insert drops into.
type Pocket struct {
	Outline Outline
	DepthMM Limit

	// Fit is what was written, such as "H7/g6"; unset when the clearance was written instead.
	Fit       Text
	FitSizeMM Limit
	// StatedClearanceMM is the clearance per side as written; unset when a fit was written.
	StatedClearanceMM Range

	// ClearanceMM is the gap per side that a model must keep from the outline as drawn: least and
	// most over all sides. From a fit, it is the insert's own half of the fit (the class after the
	// stroke), for the outline is drawn at nominal size and the pocket's deviation is the frame
	// maker's to spend. Side by side it is in Segment.ClearanceMM. Least is negative when the fit
	// allows interference.
	ClearanceMM Range
	// PlayMM is the gap per side once both have been made: the whole fit, over all sides.
	PlayMM Range

	// ProudMM is how far the insert may stand above the parting face of the frame.
	ProudMM Range
	// SeatBearing is the share of the seat, 0 to 1, that must carry the insert.
	SeatBearing Limit
	// Locating names the sides of the outline that place the insert; they alone are judged for too
	// much clearance. Outline.Segments carries the same fact side by side.
	Locating Words
	// EdgeBreakMM is the chamfer or radius asked for at the edge that enters the pocket first.
	EdgeBreakMM Range
	// Seating is the part of the insert's height, from the seat up, over which the side must fit.
	FitHeightMM Limit
}

// Must is what a zone asks of the metal in it.
type Must string

const (
	Open  Must = "open"  // no metal of the insert may be here
	Solid Must = "solid" // the insert must be whole here
	Uncut Must = "uncut" // as the blank left it
)

// Zone is a place of the insert where the frame has an interest.
type Zone struct {
	Name  Text
	Must  Must
	Half  Half
	Shape Shape
	// AllowedMM3 and AllowedDepthMM are how much may be wrong before the zone is broken.
	AllowedMM3     Limit
	AllowedDepthMM Limit
	Says           Text
	Origin         Origin

	mustText, halfText Text
}

// Shape is a box, a cylinder or an extruded outline: exactly one is not nil.
type Shape struct {
	Box       *Box
	Cylinder  *Cylinder
	Extrusion *Extrusion
	Origin    Origin
}

// Box is a block along the axes. Min and Max are always filled, also when centre and size were
// written.
type Box struct {
	Min, Max     Place3
	Center, Size Place3
}

// Cylinder is a round bar from the middle of one end to the middle of the other.
type Cylinder struct {
	From, To   Place3
	DiameterMM Limit
}

// Extrusion is an outline, moved by At, from Bottom to Top.
type Extrusion struct {
	Outline         Outline
	At              Place2
	BottomMM, TopMM Limit
	placed          []Segment
}

// Bore is a round hole that the blank or the frame prescribes.
type Bore struct {
	Name Text
	// Kind is dowel, thread, port, clearance, ejector or waterline.
	Kind Text
	Half Half
	// At is the middle of the mouth; Into is the direction from the mouth into the metal, length 1.
	At, Into   Place3
	DiameterMM Range
	DepthMM    Range
	// PositionMM is how far the axis may stand from At.
	PositionMM Limit
	Origin     Origin

	nominal  Limit
	halfText Text
}

// Blank is the block an insert is cut from.
type Blank struct {
	// Model is the model file as written; ModelPath the same from where the program runs. Unset
	// when the blank is the outline with a height.
	Model     Text
	ModelPath string
	HeightMM  Limit
	// SideStockMM is what the blank has outside the outline; SeatStockMM what it has below the seat.
	SideStockMM Limit
	SeatStockMM Limit
}

// Steel is what must be left of the metal.
type Steel struct {
	// Grade names an entry of Frame.Steels.
	Grade Text
	Wall  Walls
	// BladeSlenderness is the most that height over thickness of a standing rib may be.
	BladeSlenderness Limit
	BladeThicknessMM Limit
	// FeatherAngle is the least angle between two faces that meet at an edge of metal.
	FeatherAngle      Limit
	FeatherLandMM     Limit
	FloorDeflectionMM Limit
	SideSpreadMM      Limit
}

// Walls are least thicknesses of metal between two kinds of surface.
type Walls struct {
	AnyMM             Limit
	DetailSideMM      Limit
	DetailBackMM      Limit
	DetailBoreMM      Limit
	DetailWaterlineMM Limit
	BoreBoreMM        Limit
	BoreSideMM        Limit
	// NoiseMM2: a thin place with less area than this is counted, not judged.
	NoiseMM2 Limit
}

// SteelGrade is what is known of one grade.
type SteelGrade struct {
	Grade           Text
	DensityKGM3     Limit
	ModulusMPa      Limit
	PoissonRatio    Limit
	ConductivityWMK Limit
	Hardness        Text
	Origin          Origin
}

// Cooling is what the frame's water asks for.
type Cooling struct {
	WaterlineDiametersMM Numbers
	DiameterToleranceMM  Limit
	Ports                []Port
	// CoverDiameters, PitchDiameters: in diameters of the waterline.
	CoverDiameters Range
	PitchDiameters Range
	ReachMM        Limit
	Circuits       Range
	CoolingTimeS   Limit
}

// Port is where water enters or leaves the insert.
type Port struct {
	Name       Text
	Half       Half
	At         Place3
	DiameterMM Limit
	PositionMM Limit
	Origin     Origin

	halfText Text
}

// Ejection is what the frame's ejector set allows.
type Ejection struct {
	// Outline is where pins may stand; its Set method tells whether one was given.
	Outline        Outline
	KeepClear      []KeepClear
	PinDiametersMM Numbers
	EdgeDistanceMM Limit
	PinSpacingMM   Limit
	BearingMM      Range
	AreaPerPinMM2  Limit
	PinPressureMPa Limit
	StrokeMM       Limit
	StrokeSpareMM  Limit
}

// KeepClear is a round place of the ejector set, such as a return pin, that no pin may come near.
type KeepClear struct {
	Name       Text
	At         Place2
	DiameterMM Limit
	Origin     Origin
}

// Draw is what the opening of the mould asks of the detail.
type Draw struct {
	Direction Place3
	Draft     Draft
	// Undercut limits: what lies behind steel when the mould opens.
	UndercutDepthMM   Limit
	UndercutVolumeMM3 Limit
}

// Draft is the least angle between a detail face and the draw.
type Draft struct {
	Least    Limit // radians
	ByFinish []FinishDraft
	// PerTextureDepth is the further angle per length of texture depth, radians per mm.
	PerTextureDepth Limit
	// ZeroAreaMM2: a face without draft is let pass up to this area.
	ZeroAreaMM2 Limit
}

// FinishDraft is the least draft of a face with a named finish.
type FinishDraft struct {
	Finish Text
	Least  Limit
	Origin Origin
}

// Making is what the shop can cut.
type Making struct {
	Cutters          []Cutter
	SmallestCutterMM Limit
	ReachRatio       Limit
	SharpCorners     Text
	BottomRadiusMM   Limit
	TwistDrill       Drill
	GunDrill         Drill
	FlatBottoms      Text
}

// Cutter is one end mill.
type Cutter struct {
	Name           Text
	Kind           CutterKind
	DiameterMM     Limit
	CornerRadiusMM Limit
	StickOutMM     Limit
	Origin         Origin

	kindText Text
}

// CutterKind is the form of a cutter's end.
type CutterKind string

const (
	Flat CutterKind = "flat"
	Ball CutterKind = "ball"
	Bull CutterKind = "bull"
)

// Drill is what one way of drilling can do.
type Drill struct {
	DiameterMM Range
	// DepthRatio is the most that depth over diameter may be.
	DepthRatio Limit
}

// Press is what the machine that holds the frame can do.
type Press struct {
	Name               Text
	ClampForceN        Limit
	ClampShare         Limit
	CavityPressureMPa  Range
	PartingPressureMPa Limit
	ShotVolumeMM3      Limit
	ShotShare          Range
	ShutHeightMM       Range
	FrameHeightMM      Limit
	DaylightMM         Limit
}

// Resin is what is known of one moulding material.
type Resin struct {
	Name              Text
	CavityPressureMPa Range
	VentDepthMM       Limit
	MeltDensityKGM3   Limit
	DiffusivityMM2S   Limit
	MeltTemperatureC  Limit
	MouldTemperatureC Limit
	EjectTemperatureC Limit
	ShrinkageAlong    Range
	Origin            Origin
}

// Handling is what moves the insert by hand or hoist.
type Handling struct {
	LiftingThreadAboveKG Limit
	LiftingThread        Text
	MassKG               Limit
	TiltMM               Limit
}

// Pair is what the two halves of one insert must keep when closed.
type Pair struct {
	ClashVolumeMM3 Limit
	ClashDepthMM   Limit
	FlashGapMM     Limit
	Balance        Limit
	PartWallMM     Range
}

// Measuring is how finely the program looks; it is policy, not a limit of the insert.
type Measuring struct {
	ChordMM Limit
	PitchMM Limit
	WeldMM  Limit
}

// Judgement is what a broken limit of one check amounts to.
type Judgement struct {
	Check    string
	Severity Severity
	Origin   Origin
}

// CustomRule is a rule of the shop's own, as text.
type CustomRule struct {
	ID       Text
	When     Text
	Holds    Text
	Severity Severity
	Says     Text
	Mend     Text
	Cases    []RuleCase
	Origin   Origin

	severityText Text
}

// RuleCase is a case a custom rule is tried on.
type RuleCase struct {
	Name   Text
	Values []NamedNumber
	// Want is pass, fail or skip (the rule's when does not hold).
	Want   Text
	Origin Origin
}

// NamedNumber is one measured value of a case.
type NamedNumber struct {
	Name   string
	Value  float64
	Origin Origin
}
