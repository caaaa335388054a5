package checks

// Catalogue is every check, in the order in which findings are reported: can the model be
// used, does it fit, is the frame's room respected, does the steel hold, can it be cut.
//
// An explicit list and no registration: what runs stands here.
var Catalogue = []*Check{
	&FileReadable,
	&fileSolid,
	&fileUnit,
	&fitPlacement,
	&fitOutline,
	&fitClearance,
	&fitHeight,
	&fitSeat,
	&fitEdgeBreak,
	&zoneOpen,
	&zoneSolid,
	&zoneUncut,
	&borePresent,
	&borePosition,
	&boreDiameter,
	&boreDepth,
	&boreWhole,
	&boreBlank,
	&steelWall,
	&steelBlade,
	&steelFeather,
	&steelFloor,
	&steelSpread,
	&coolDiameter,
	&coolPorts,
	&coolCircuits,
	&coolCover,
	&coolPitch,
	&coolReach,
	&coolTime,
	&drawDraft,
	&drawZeroDraft,
	&drawUndercut,
	&makeCutter,
	&makeReach,
	&makeBottomRadius,
	&makeDrill,
	&makeFlatBottom,
	&ejectOutline,
	&ejectClear,
	&ejectEdge,
	&ejectSpacing,
	&ejectBearing,
	&ejectDiameter,
	&ejectPart,
	&ejectArea,
	&ejectPressure,
	&ejectStroke,
	&stockMetal,
	&pairClash,
	&pairCavity,
	&pairFlash,
	&pairWall,
	&pairBalance,
	&pairContact,
	&pressClamp,
	&pressShot,
	&pressHeight,
	&pressDaylight,
	&handleMass,
	&handleThread,
	&handleTilt,
	&WaiverState,
}

// ByID finds a check; nil where there is none of that name.
func ByID(id string) *Check {
	for _, c := range Catalogue {
		if c.ID == id {
			return c
		}
	}
	return nil
}
