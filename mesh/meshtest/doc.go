// Package meshtest makes closed test solids whose measures are known in closed form, and the
// small things that tests of geometry need: near-equality with failure text, replayable random
// numbers, binary STL.
//
// Lengths are millimetres, angles radians. It is imported by tests and generators only. Nothing
// here calls the code that the tests are about: every volume, area and centroid is a formula
// evaluated from the parameters, so that a test against it is a test against something outside.
//
// Invariants (the package's own tests cite these numbers):
//
//	T1  every mesh is closed, oriented outwards and indexed without repeated vertices
//	T2  Faceted holds the measures of the polyhedron itself, exact but for rounding
//	T3  True holds the measures of the smooth body whose points the vertices are; it equals
//	    Faceted where the body has flat faces only
//	T4  the same arguments give the same mesh, vertex for vertex
//
// A true volume lies above the faceted one for a convex body: its vertices lie on the surface.
package meshtest
