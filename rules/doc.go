// Package rules reads one frame's limits from YAML and holds them, each with the place it came from.
//
// A rules file says what a frame asks of every insert that is dropped into it: the pocket, the
// places where clamps and ejectors reach in, how much steel must be left, what the press can hold.
// The package knows limits and where they are written. It knows nothing of triangles, measures no
// model, and does not know which checks exist; package checks joins the two.
//
// Lengths are millimetres, angles radians, in every field that is public; a unit stands in the
// field's name where it is anything else a reader could mistake (VolumeMM3, ForceN, PressureMPa).
// Coordinates are pocket coordinates: the seat is z = 0, the pocket's centre is x = y = 0, z points
// up out of the pocket.
//
// Invariants, established by Load and LoadFS (the tests cite these numbers):
//
//	R1  a Frame is returned only when no problem was found; a Frame is never half read
//	R2  every value that is Set carries an Origin: a file, line and column, or the reason of a default
//	R3  no number is NaN or infinite, and every limit lies in the bounds its key states
//	R4  all mistakes of all files of the chain are reported in one run, each file's in line order
//	R5  the same files give the same Frame, the same problems and the same schema, byte for byte
//	R6  reading costs time and memory bounded by a constant, whatever the file holds
//
// Bare numbers are lengths in the file's unit, shares or plain numbers, as the key asks; every other
// quantity names its unit, but for a bare 0, which is nothing in any unit.
//
// One declaration per key (the keys methods) is the source of the decoder, of the JSON Schema, of
// the listing of limits in force and of the reference table, so that these cannot disagree.
package rules
