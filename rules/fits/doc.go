// Package fits gives the limits of ISO 286 tolerance classes and fits for sizes from 1 to 500 mm.
//
// Values are micrometres; sizes are millimetres. The standard's tables are data here, not its
// formulas: rounding in the standard departs from the formulas (IT7 over 6 to 10 mm is 15, the
// formula says 14.4), and a gauge maker works to the table.
//
// Covered: tolerance grades IT1 to IT18; shafts a, b, c, cd, d, e, ef, f, fg, g, h, js, k, m, n, p;
// holes A, B, C, CD, D, E, EF, F, FG, G, H, JS, K (to IT8), M, N, P. Everything else is refused by
// name (j, r and beyond, J, R and beyond, sizes outside 1 to 500 mm, and combinations the standard
// leaves empty), never guessed.
//
// Invariants (the tests cite these numbers):
//
//	F1  upper - lower of a class is its IT grade, but for the standard's own halving in js and JS
//	F2  hole X is the mirror of shaft x for a to h
//	F3  a result is given only for what the tables hold; the rest is an error that names the reason
package fits
