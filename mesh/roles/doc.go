// Package roles tells what each facet of an insert is: a drilled bore, still the surface of the
// blank, or detail that was cut.
//
// Lengths are millimetres, angles radians. The package knows geometry; whether a facet lies on
// the blank is the caller's to say, for only the caller knows the blank. It judges nothing.
//
//	R1  A bore is a run of facets that turn a full round about an axis with the metal outside
//	    them, all corners within FitMM of one cylinder; steps, cone tips, flat ends and the
//	    rings between steps belong to their bore.
//	R2  Where the file names its cylinders (mesh.Part.Faces), axis and diameter are the file's
//	    and exact. Else they are fitted: the axis is the direction across all normals (the
//	    eigenvector of least eigenvalue of their area-weighted covariance), the circle is a
//	    least-squares one through the corners, and DiameterErrorMM is twice the largest
//	    distance of a corner from it. A fit says nothing of what lay between the corners.
//	R3  Every triangle has exactly one role. A bore takes precedence over the blank.
//	R4  Order is that of the lowest triangle; nothing depends on the number of cores.
//
// Not seen: a bore that runs smoothly into a fillet without a face of its own, one of fewer than
// twelve sides, and a groove that goes less than all around. Threads are detail.
package roles
