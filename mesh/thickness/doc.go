// Package thickness measures walls: how much metal, or how much room, lies between two surfaces
// that face each other.
//
// Lengths are millimetres, angles radians. The mesh must be closed and turned outwards (see
// mesh.Audit); on an open one a reading may run through the hole. The package knows triangles
// and no roles or limits: a caller asks for the walls between two kinds of faces by a predicate
// on pairs of triangles.
//
// Two readings are taken at each sample of the surface:
//
//   - along: the least distance along the inward normal and a cone of rays around it to a
//     surface that faces the sample (normals opposed within the facing angle), so that a
//     slanted opposite wall is not over-read;
//   - ball: the diameter of the largest ball that touches the surface at the sample and stays
//     in the metal (Ma, Bae, Choi, "3D medial axis point approximation using nearest neighbors
//     and the normal field", The Visual Computer 28, 2012: shrink the ball through the nearest
//     surface point until none is nearer). It counts as a wall where its two touching points
//     lie opposite each other within the facing angle, seen from its centre; in the corner of a
//     block they do not.
//
// A sample keeps its two ends as places on their facets (see place), which are points of the mesh
// to rounding, and the distance of the two: 32 bytes. With normals and neighbours a field holds
// 209, 55 and 41 bytes a triangle of 100,000, 1 M and 5 M facets sampled at 0.5 mm.
//
// What is exact, and what is sampled:
//
//	W1  Every Region's value is the distance of two points of the mesh, to rounding, with metal
//	    all the way between them. The true least wall is never larger.
//	W2  It is a local minimum over the mesh (Region.Refined): from the best sample the pair of points
//	    is moved by exact distances of triangle pairs in the patches around both, until no pair of
//	    facets within a pitch of its ends is nearer; where more than 4096 facets lie within a
//	    pitch, within the half, the quarter and so on that holds fewer. Where something lies across
//	    the refined pair the sample's own reading stands, not refined; where something lies across
//	    that too, it is among Thin.Blocked.
//	W3  Which basins are found is sampled. Every point of a sampled facet lies within CoverMM of a
//	    sample on the same smooth patch (facets joined over edges that turn by at most 30
//	    degrees), on a facet turned by at most 15 degrees, and within a quarter of CoverMM of that
//	    facet's plane. A thin place whose whole basin is smaller than that on both sides may be
//	    missed. So may a wall within a pitch and a half of a taper, where a wall runs out to nothing.
//	W4  FeatherEdges are found on the edges of the mesh, every one of them, and sampled nowhere.
//	W5  Blades describe regions; their height is the extent of samples and good to CoverMM at
//	    each end.
//	W6  The mesh is taken as it is. What it stands off the true part (mesh.Part.ChordMM, at both
//	    ends of a wall) is for the caller to add; ErrorMM holds the rounding of the coordinates.
//	W7  Results do not depend on the number of cores.
//
// Limits. Where two walls are equally thick to within a tenth, whether they come out as one region
// or as two hangs on where samples fall between them, and so on how the model is turned; values do
// not. Samples are 2.2 to a square of the pitch, where one would do on a square grid: each
// is set where the one before it stops speaking for the surface.
package thickness
