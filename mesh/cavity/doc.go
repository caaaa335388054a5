// Package cavity finds the room that two closed halves of a mould leave between them: the cavities
// that fill with plastic, the runners that feed them, the gaps that flash, where metal lies in
// metal, and where the faces bear on each other.
//
// The fixed half lies below, the moving half above, both in the closed position; the mould opens
// along z. Lengths are millimetres. The package knows meshes and a greatest gap that still holds
// the melt back; it knows no frames, resins or presses, and judges nothing.
//
// Both halves are converted to depth elements (mesh/dexel) along z, on a grid turned by the
// rational angle of the triangle 7, 24, 25 about z, so that walls along the axes cross its rows at
// ever different places and the errors of neighbouring rows do not add up. On each ray the room is
// the interval between the top of the fixed metal and the metal of the moving half above it: a
// picture of two heights, on which all else is plane geometry.
//
// Invariants (the tests cite these numbers):
//
//	V1  Room no wider than Options.GapMM, measured square to its faces, counts as closed: the
//	    grey-scale closing of the metal along z at that limit (Serra, Image Analysis and
//	    Mathematical Morphology, 1982, chapter XII), with the slope taken from the neighbours.
//	V2  Neighbouring rays are joined where their intervals overlap. A solid is a connected piece
//	    of room that reaches no open end.
//	V3  A gap that is open to the outside does not drain a cavity. Rays are joined in order of
//	    falling width; where room that is open outside would meet a basin at least
//	    LeakProminence times as wide as the gap between them, the gap is dammed and named as a
//	    leak: watersheds by flooding, after Vincent and Soille (IEEE PAMI 13, 1991), with a
//	    threshold on the depth of the basins.
//	V4  Bores that run out through a half (sprue, ejector pins) are stopped level with their
//	    rim, so that they end a solid and do not drain it. A hole of the fixed half is a gate
//	    of the solids at its rim.
//	V5  The result is the same on any number of cores.
//
// Errors of volumes and areas are estimates of sampling, SigmaFactor times the standard deviation
// of a border that lies anywhere between two rays, not bounds; places are known to a pitch.
//
// Not seen: room behind an undercut (only what lies between the halves along z is), gaps at
// shut-offs so steep that no ray meets them, anything smaller than a pitch, and the sprue itself
// below its mouth. What is a runner and what a cavity is told by width: room connected to the
// gate that is not much wider than the room at the gate itself is runner.
package cavity
