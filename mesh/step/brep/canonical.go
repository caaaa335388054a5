package brep

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// canonical gives a sweep that is a plane, a cylinder, a cone or a torus as what it is: a bore
// is to be seen as one whichever way its writer put it, and closed forms are faster and surer
// than sweeps. turned says that du x dv of the new surface is opposite to that of the old.
//
// The test is for equality, within the rounding of directions, not for likeness. Left alone are
// sweeps of trimmed curves, whose domain may be all that bounds a face; a line revolved square
// to its axis, whose normal depends on the side of the axis; and a circle revolved about its
// own diameter, which covers its sphere twice with opposite normals.
func canonical(s shape.Surface) (simple shape.Surface, turned bool) {
	var found shape.Surface
	switch s := s.(type) {
	case *shape.Extrusion:
		found, turned = extruded(s)
	case *shape.Revolution:
		switch c := s.Curve.(type) {
		case *shape.Line:
			found, turned = revolvedLine(s, c)
		case *shape.Circle:
			found, turned = revolvedCircle(s, c)
		}
	}
	if found == nil {
		return s, false
	}
	return found, turned
}

func sameLine(a, b r3.Vector) bool {
	return a.Cross(b).Norm() <= tol.AxesSine*a.Norm()*b.Norm()
}

func square(a, b r3.Vector) bool {
	return math.Abs(a.Dot(b)) <= tol.AxesSine*a.Norm()*b.Norm()
}

func extruded(s *shape.Extrusion) (shape.Surface, bool) {
	switch c := s.Curve.(type) {
	case *shape.Line:
		// du x dv is the direction of the line crossed with that of the sweep.
		if p, err := shape.NewPlane(geom.Frame(c.Origin, c.Direction.Cross(s.Direction), c.Direction)); err == nil {
			return p, false
		}
	case *shape.Circle:
		if !sameLine(c.Z, s.Direction) {
			return nil, false
		}
		// The tangent crossed with the circle's own axis points outwards.
		if k, err := shape.NewCylinder(geom.Frame(c.Origin, c.Z, c.X), c.Radius); err == nil {
			return k, c.Z.Dot(s.Direction) < 0
		}
	}
	return nil, false
}

// revolvedLine: with the radius vector r and the axis a, du is a x r and dv the line's direction
// d. Put along the axis in the sense of d, a cylinder or cone has the same dv and du or, where
// d runs against a, its opposite.
func revolvedLine(s *shape.Revolution, c *shape.Line) (shape.Surface, bool) {
	from := c.Origin.Sub(s.Origin)
	height := from.Dot(s.Axis)
	radial := from.Sub(s.Axis.Mul(height))
	along := c.Direction.Dot(s.Axis)
	across := c.Direction.Sub(s.Axis.Mul(along))
	if square(c.Direction, s.Axis) {
		return nil, false
	}
	z := s.Axis
	if along < 0 {
		z = z.Mul(-1)
	}
	foot := s.Origin.Add(s.Axis.Mul(height))
	radius := radial.Norm()
	if sameLine(c.Direction, s.Axis) {
		if k, err := shape.NewCylinder(geom.Frame(foot, z, radial), radius); err == nil {
			return k, along < 0
		}
		return nil, false
	}
	if radius <= tol.AxesSine*(from.Norm()+1) {
		radius, radial = 0, across
	} else if !sameLine(radial, across) {
		return nil, false // skew to the axis: a hyperboloid
	}
	k, err := shape.NewCone(geom.Frame(foot, z, radial), radius, math.Atan2(across.Dot(radial.Normalize()), math.Abs(along)))
	if err != nil {
		return nil, false
	}
	return k, along < 0
}

func revolvedCircle(s *shape.Revolution, c *shape.Circle) (shape.Surface, bool) {
	from := c.Origin.Sub(s.Origin)
	height := from.Dot(s.Axis)
	radial := from.Sub(s.Axis.Mul(height))
	radius := radial.Norm()
	if !square(c.Z, s.Axis) || !square(c.Z, radial) || !(radius > c.Radius) {
		return nil, false
	}
	k, err := shape.NewTorus(geom.Frame(s.Origin.Add(s.Axis.Mul(height)), s.Axis, radial), radius, c.Radius, shape.TorusWhole)
	if err != nil {
		return nil, false
	}
	// A torus goes round its tube from the radius to the axis, about radius x axis.
	return k, c.Z.Dot(radial.Cross(s.Axis)) < 0
}
