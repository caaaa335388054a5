// Package proximity finds the least distance between two kinds of facets of one body, through
// its metal: between detail and side, between one bore and another.
//
// Lengths are millimetres. The package knows triangles, axes and radii, and neither roles nor
// limits: a caller names the facets of both kinds and says which pairs it accepts.
//
// It stands beside mesh/thickness, which samples the whole surface and so finds the wall between
// any two places. Where both kinds are known beforehand no sampling is needed:
//
//	P1  Least compares all pairs of facets that may form its thinnest wall, each pair exactly (corners
//	    against facets, edges against edges). Nothing within the reach is passed over.
//	P2  A pair counts at its nearest points, and only where they face each other: the line
//	    between them leaves the one and enters the other within sixty degrees of the normal
//	    and runs through metal at both ends, and the normals are opposed within fifty.
//	    Facets that touch or form a corner do not face each other.
//	P3  What lies between the two ends is not looked at: a bore between detail and side makes
//	    the wall between them weaker and no thicker. So the value is never too large.
//	P4  LeastToAxis takes a bore for the cylinder that it is and not for its facets; it sees the
//	    bore's wall and neither its ends nor its steps, for which Least is there.
//	P5  Of equal walls the one of the lowest facets is given; nothing depends on the number of
//	    cores.
//
// Tried, without gain: asking that the line between the points be free of other facets. On a
// mesh of few large facets all pairs of points of two parallel ones are equally near, and the
// one looked at may be the only one that a bore crosses.
package proximity
