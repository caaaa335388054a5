// Package index answers, for one triangle mesh, what lies along a ray, what lies nearest to a
// point, and whether a point is in the metal.
//
// It is a bounding volume hierarchy: eight children a node, the split chosen by the binned
// surface area heuristic (Wald, "On fast Construction of SAH-based Bounding Volume
// Hierarchies", RT 2007; collapsed to wide nodes as in Wald, Benthin, Boulos, "Getting Rid of
// Packets", RT 2008). Triangles are held in the order of the leaves. It knows the mesh and
// nothing of walls, roles or limits.
//
// Lengths are millimetres. A ray's T counts in lengths of its direction, so T is millimetres
// for a unit direction. A Tree is immutable and safe to share between goroutines; no query
// allocates, batches excepted.
//
// What is exact and what is rounded:
//
//	X1  Which triangles a ray crosses is decided by exact signs on the corners projected along
//	    the ray, ties broken by moving the ray by an infinitesimal (see crossing). On a closed
//	    mesh every ray therefore crosses an even number of triangles, a ray through an edge or
//	    a corner is counted once, and no ray slips between two triangles.
//	X2  The projection itself rounds, by a few binary64 units of the distance from the ray's
//	    origin: under a millionth of a micrometre at 500 mm. T and the nearest distance carry the same rounding.
//	X3  Node boxes are binary32 and widened by more than the traversal can round (boxSlack):
//	    the hierarchy never loses an answer, so every query equals that over all triangles.
//	X4  The tree and every answer are the same at any number of cores. Of triangles hit at
//	    the very same T the one with the lowest index is named.
//
// What is not promised: a point within rounding of the surface may be called in or out.
//
// Tried, without gain, is recorded at the place in question.
package index
