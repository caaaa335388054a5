// Package triangulate cuts a region of the plane into triangles that are as round as its
// boundary allows: the constrained Delaunay triangulation.
//
// It knows points of a plane and segments between them; it knows no surface, no unit and no
// tolerance. Every decision is an exact sign of mesh/geom, so an input gets either the
// triangulation promised below or an error that names the points or segments at fault; nothing is
// decided by what is small.
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
//
// Cost: expected n log n, about a microsecond a point on one core, and a quarter of one for a whole
// rectangle; a warm workspace allocates nothing. Rows of points, thin clouds, fans, hubs, spirals
// and parabolas of 40,000 points stay near linear. The worst case is quadratic, as where every
// segment crosses most of the edges between the points; whoever takes points from strangers
// limits their number.
//
// Limits: a point inserted near a segment makes thin triangles there, because segments are never
// divided; keeping points off is the caller's part. An inserted point is looked for in the whole
// region, also behind a hole. Sets under 64 points go in as given: spreading them first by a
// stride near the golden section made strips a tenth faster and circles a seventh slower.
package triangulate
