// Package delaunay triangulates the region between closed loops of a plane: a constrained Delaunay
// triangulation with exact signs, to which points can be added afterwards.
//
// Coordinates are of the caller's choosing; a caller who wants triangles drawn out along one axis
// scales that axis. The package knows no surface and no length.
//
// What holds (tests cite these numbers):
//
//	D1  every constraint is an edge, whole: it is never divided, not even by added points
//	D2  no point that sees a triangle lies inside its circle (Delaunay but for the constraints)
//	D3  triangles run counter-clockwise and none is flat; signs are exact (mesh/geom)
//	D4  a triangle is inside if an odd number of constraints lies between it and infinity; one that
//	    was given twice counts twice
//	D5  the same input gives the same triangles in the same order
//	D6  a Workspace that has grown to a size allocates nothing for inputs of that size
//
// Points go in by rounds of doubling size, each along a Hilbert curve (Amenta, Choi and Rote,
// Incremental Constructions con BRIO, SoCG 2003), found by a walk and mended by flips (Lawson 1977).
// Constraints are forced by flips (Sloan, A Fast Algorithm for Generating Constrained Delaunay
// Triangulations, Computers & Structures 47, 1993).
package delaunay
