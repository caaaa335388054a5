// Package render draws pictures of meshes for people: a shaded insert with its edges, the
// findings marked, the pocket as a ghost, an axis tripod and a scale bar; and sheets of such
// pictures with captions.
//
// Lengths are millimetres, picture sizes pixels. A picture shows; it measures nothing, and no
// verdict rests on one. The projection is parallel, so the scale bar is true for every length
// that lies across the line of sight, near or far.
//
// Invariants (the tests cite these numbers):
//
//	P1  the same scene and options give the same bytes at any number of cores
//	P2  a mark's ring is drawn at the pixel that Camera.Project gives for its point
//	P3  what a colour says, a shape or a letter says too
//	P4  every input makes a picture or an error; memory follows the picture's size and the mesh's
//
// Cameras and light are those of fogleman/fauxgl (Matrix, PhongShader). Its rasteriser is not
// used: with several goroutines the order in which they reach a pixel decides ties of depth, which
// breaks P1, and a lock and a shader call for each pixel cost more than the limit on a thumbnail
// allows (BenchmarkLibraryRaster). Here a picture is cut into bands of rows that each core draws
// alone: depth and triangle of each sample first, light and edges from those, then the mean over
// each pixel in linear light. A test holds the silhouette against the library's.
//
// Known limits: facets are shaded flat, so a coarse round face shows its facets. Edges are found
// in the picture, where the surface's direction or depth jumps; two faces that meet at less than
// the edge angle get no line between them. Shadows come from a map and are as fine as its cells.
package render
