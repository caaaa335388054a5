// Package difference measures what two solids do not share: A without B, B without A, and the
// metal common to both, in total and by connected region.
//
// Lengths are millimetres, volumes cubic millimetres. Solids are closed meshes, taken as the
// exact polyhedra that their vertices span; what storing a vertex cost is the caller's to add.
// The package judges nothing.
//
// Three routes, best first, named in Result.Method:
//
//   - clip: one of the two is convex. The other's triangles are cut at its planes and the cuts
//     are closed; the volume follows from the divergence theorem. Exact up to rounding, with a
//     bound, however thin the overlap. Coincident faces need no special care.
//   - shared facets cancelled: triangles that both meshes hold are left out of both. What
//     remains bounds the difference alone, so rays are spent only where something changed.
//   - dexels: both solids along parallel rays (mesh/dexel). Along a ray the lengths are exact;
//     across, they are sampled.
//
// Invariants (the tests cite these numbers):
//
//	F1  AOnly + Both is the volume of A and BOnly + Both that of B, to rounding, on every route
//	F2  the true value lies within ErrorMM3 of the stated one; of a clip always, of dexels in at
//	    least 99 of 100 solids
//	F3  the result is the same on any number of cores
//	F4  volume that is in no stated region is in the rest: nothing is dropped without a word
//
// The error of dexels. Each row of rays lies at a random height in its strip and is shifted by
// a random part of a pitch, so the row sums are independent. A second difference of three
// independent values of equal spread has six times their variance and no trend, so the sum of
// squared second differences over six estimates the variance of the total (von Neumann et al.,
// The Mean Square Successive Difference, Ann. Math. Stat. 12, 1941). The stated error is
// SigmaFactor times its root, plus the rounding of the frame. A regular grid was tried first:
// it is in step with walls that run along it, and no spread between its rays shows that.
package difference
