// Package plate says by how much plates and walls of steel give under a pressure.
//
// Lengths are millimetres, pressures and moduli MPa. It is formulas and no geometry: what is a plate, how it
// is held and what it carries, the caller says.
//
// Source: Roark's Formulas for Stress and Strain. Table 11.4 case 1a (rectangle, all edges simply
// supported) is copied from the book; case 8a (all edges fixed) is from memory and held by a test
// to an independent solution; Table 11.2 cases 10a and 10b (disc) and Table 8.1 case 2a
// (cantilever) are closed forms. The tables are for Poisson's ratio 0.3; a rectangle's deflection goes
// with 1 - nu^2, and is so carried to others.
//
// Where they hold:
//
//	V1  thin: thickness up to a quarter of the short span. Thicker plates give more, by shear;
//	    ShearMM bounds that, and callers add it always.
//	V2  small: deflection up to half the thickness. Beyond it the plate stiffens by being
//	    stretched and the formulas say too much.
//	V3  a floor that goes on into the steel around it is neither fixed nor simply supported; it
//	    gives something between the two.
//	V4  a pressure over the whole plate.
package plate
