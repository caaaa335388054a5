// Package triangulate cuts a region of the plane into triangles that are as round as its
// boundary allows: the constrained Delaunay triangulation.
//
// It knows points of a plane and segments between them; it knows no surface, no unit and no
// tolerance. Every decision is the exact sign of mesh/geom, so there is no input for which it
// returns a bad triangulation: it returns the right one, or an error that names the points or
// segments at fault.
//
// Invariants of Workspace.Triangles after Region returned nil, and after every Insert:
//
//	T1  every triangle is counter-clockwise with an area above zero (in exact arithmetic)
//	T2  together the triangles cover what the segments enclose by the even-odd rule, once
//	T3  every segment is an edge, or a chain of edges where it runs through points (Touches)
//	T4  no edge that is not on a segment has the far corner of one of its triangles inside the
//	    circle through the corners of the other (local, hence constrained, Delaunay:
//	    D. T. Lee, A. K. Lin, Generalized Delaunay Triangulation for Planar Graphs, 1986)
//	T5  the same input gives the same triangles in the same order, on any machine
//
// The algorithm: points go in one at a time, large sets in rounds of doubling size along a
// Hilbert curve (N. Amenta, S. Choi, G. Rote, Incremental Constructions con BRIO, 2003), each
// found by a walk and followed by Lawson's flips; then each segment is opened by flipping the
// edges it crosses (S. W. Sloan, A Fast Algorithm for Generating Constrained Delaunay
// Triangulations, Computers & Structures 47, 1993). A far triangle around everything takes the
// part of the points at infinity; what it does to the hull is outside every closed boundary and
// cannot be seen from within.
package triangulate
