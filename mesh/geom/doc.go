// Package geom holds the plain geometry everything else stands on: boxes, motions, exact
// signs and sums with a known error.
//
// Vectors are golang/geo's r3.Vector; lengths are millimetres, angles radians. The package
// knows no mesh and holds no tolerance: a sign that decides topology is computed exactly, and
// whatever is rounded says by how much.
package geom
