// Package dexel holds a solid as intervals of metal along parallel rays.
//
// The rays run along x, y or z through the cells of a grid. A closed mesh is scan-converted:
// each triangle is projected along the rays and marks the rays it covers, so the cost is that
// of the triangles plus that of the crossings, without a tree (the depth-element idea of Van
// Hook, Real-Time Shaded NC Milling Display, SIGGRAPH 1986; the top-left rule is that of
// Pineda, A Parallel Algorithm for Polygon Rasterization, SIGGRAPH 1988).
//
// Lengths are millimetres at the border and whole quanta inside. The package knows meshes and
// nothing of frames, limits or files; it judges nothing and names no error of a volume: that is
// for the packages that sum over the rays.
//
// Invariants (the tests cite these numbers):
//
//	D1  Coordinates are rounded once to a quantum, a power of two of a millimetre with 2^28 to
//	    2^29 quanta across the frame. From there on the side of every ray against every edge is
//	    decided exactly in 64-bit integers.
//	D2  A ray on an edge or a vertex belongs to exactly one of the triangles around it, so on a
//	    mesh whose edges are balanced every ray leaves as often as it enters. No ray is odd.
//	D3  Crossings of one ray are in order of their place, an entry before an exit at the same
//	    place; the order of triangles in the mesh does not show.
//	D4  The result is the same on any number of cores: a band of rows is made by one worker
//	    from triangles in mesh order, and sums are of integers.
//
// Rounding: a vertex moves by at most half a quantum along each axis, and a crossing lies
// within a quantum of the plane through the rounded vertices (half by rounding, the rest
// bounds the arithmetic; a test measures it). For a mesh of area S the volume therefore moves
// by at most S*(1+sqrt(3)/2) quanta (Frame.RoundingMM3): 120 mm across have a quantum of
// 2.4e-7 mm, so this is 0.045 mm3 on 100,000 mm2.
//
// Limits: grids have at most
// 2^15 rays a side. Where two bodies in one mesh overlap, metal is where the winding number is
// not zero; such rays are counted as folded and not mended.
package dexel
