// Package stl turns the bytes of an STL file into a welded triangle mesh.
//
// Binary files go through hschendel/stl's stream. Its text reader takes one lower-case solid a
// file and matches words by regular expression, so the text form is read here, several solids,
// any case, any line ends, and fed to the same stream interface. What a file is, is told by
// arithmetic (84 + 50 n bytes), never by its name or by the word "solid".
//
// STL states no unit: coordinates are taken as they stand, and the caller says what they mean.
// Coordinates were stored in binary32 and are widened exactly.
//
// Welding is exact first: corners with equal coordinates (and -0 = +0) are one vertex. Where
// that leaves open edges, vertices on them within tol.WeldMM are joined, but only if the
// whole surface closes by it: a tolerance that merely moves the damage would hide it.
//
// Facets that name a vertex twice after welding have no area and are dropped and counted; a
// flat facet over three different vertices stays, because its edges hold its neighbours
// together.
//
// Memory is in proportion to the bytes present, whatever the header claims.
package stl
