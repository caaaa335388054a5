package shape

import (
	"fmt"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

var (
	wholeLine = r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
	wholeTurn = r1.Interval{Lo: 0, Hi: fullTurn}
)

// Plane is C + u x + v y.
type Plane struct{ Placement }

// NewPlane places a plane.
func NewPlane(m geom.Motion) (*Plane, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	return &Plane{Place(m)}, nil
}

// Point is S(u, v).
func (s *Plane) Point(u, v float64) r3.Vector {
	return addScaled(addScaled(s.Origin, s.X, u), s.Y, v)
}

// First are S and its first derivatives.
func (s *Plane) First(u, v float64) (p, du, dv r3.Vector) { return s.Point(u, v), s.X, s.Y }

// Second are S and its derivatives up to the second.
func (s *Plane) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	return s.Point(u, v), s.X, s.Y, duu, duv, dvv
}

// Domain is the whole parameter plane.
func (s *Plane) Domain() r2.Rect { return r2.Rect{X: wholeLine, Y: wholeLine} }

// Period is 0 both ways.
func (s *Plane) Period() r2.Point { return r2.Point{} }

// Parameters drops the perpendicular.
func (s *Plane) Parameters(p r3.Vector, _ r2.Point, _ bool) (r2.Point, float64) {
	x, y, z := s.local(p)
	return r2.Point{X: x, Y: y}, math.Abs(z)
}

// Face is the plane's origin and normal.
func (s *Plane) Face() mesh.Face {
	return mesh.Face{Kind: mesh.Plane, Origin: s.Origin, Axis: s.Z}
}

// Breaks are none.
func (s *Plane) Breaks() (u, v []float64) { return nil, nil }

// Poles are none.
func (s *Plane) Poles() []Pole { return nil }

// Cylinder is C + R (cos u x + sin u y) + v z.
type Cylinder struct {
	Placement
	Radius float64
}

// NewCylinder places a cylinder.
func NewCylinder(m geom.Motion, radius float64) (*Cylinder, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	if err := checkRadius("cylinder radius", radius); err != nil {
		return nil, err
	}
	return &Cylinder{Place(m), radius}, nil
}

// Point is S(u, v).
func (s *Cylinder) Point(u, v float64) r3.Vector {
	r, _ := s.around(u)
	return addScaled(addScaled(s.Origin, r, s.Radius), s.Z, v)
}

// First are S and its first derivatives.
func (s *Cylinder) First(u, v float64) (p, du, dv r3.Vector) {
	r, t := s.around(u)
	return addScaled(addScaled(s.Origin, r, s.Radius), s.Z, v), t.Mul(s.Radius), s.Z
}

// Second are S and its derivatives up to the second.
func (s *Cylinder) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	r, t := s.around(u)
	return addScaled(addScaled(s.Origin, r, s.Radius), s.Z, v), t.Mul(s.Radius), s.Z, r.Mul(-s.Radius), duv, dvv
}

// Domain is one turn, unbounded along the axis.
func (s *Cylinder) Domain() r2.Rect { return r2.Rect{X: wholeTurn, Y: wholeLine} }

// Period is one turn in u.
func (s *Cylinder) Period() r2.Point { return r2.Point{X: fullTurn} }

// Parameters is a closed form.
func (s *Cylinder) Parameters(p r3.Vector, hint r2.Point, hinted bool) (r2.Point, float64) {
	x, y, z := s.local(p)
	return r2.Point{X: angleAround(x, y, hint.X, hinted), Y: z}, math.Abs(math.Hypot(x, y) - s.Radius)
}

// Face is the axis and radius.
func (s *Cylinder) Face() mesh.Face {
	return mesh.Face{Kind: mesh.Cylinder, Origin: s.Origin, Axis: s.Z, RadiusMM: s.Radius}
}

// Breaks are none.
func (s *Cylinder) Breaks() (u, v []float64) { return nil, nil }

// Poles are none.
func (s *Cylinder) Poles() []Pole { return nil }

// Cone is C + (R + v tan phi)(cos u x + sin u y) + v z. v runs along the axis, as
// ISO 10303-42 has it, not along the slant. Past the apex the radius is negative and the
// second nappe begins.
type Cone struct {
	Placement
	Radius    float64 // at v = 0
	HalfAngle float64
	slope     float64 // tan phi
	sin, cos  float64
}

// NewCone places a cone; the radius may be 0, which puts the apex at the origin. The angle may
// be negative, which some writers use for a cone that narrows along its axis.
func NewCone(m geom.Motion, radius, halfAngle float64) (*Cone, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	if !(radius >= 0) || !finiteNumber(radius) {
		return nil, fmt.Errorf("cone radius %v is not a length", radius)
	}
	if !(math.Abs(halfAngle) < math.Pi/2) || halfAngle == 0 {
		return nil, fmt.Errorf("cone half angle %v rad is not between 0 and a right angle", halfAngle)
	}
	s := &Cone{Placement: Place(m), Radius: radius, HalfAngle: halfAngle}
	s.sin, s.cos = math.Sincos(halfAngle)
	s.slope = s.sin / s.cos
	return s, nil
}

// Point is S(u, v).
func (s *Cone) Point(u, v float64) r3.Vector {
	r, _ := s.around(u)
	return addScaled(addScaled(s.Origin, r, s.Radius+v*s.slope), s.Z, v)
}

// First are S and its first derivatives.
func (s *Cone) First(u, v float64) (p, du, dv r3.Vector) {
	r, t := s.around(u)
	rho := s.Radius + v*s.slope
	return addScaled(addScaled(s.Origin, r, rho), s.Z, v), t.Mul(rho), addScaled(s.Z, r, s.slope)
}

// Second are S and its derivatives up to the second.
func (s *Cone) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	r, t := s.around(u)
	rho := s.Radius + v*s.slope
	return addScaled(addScaled(s.Origin, r, rho), s.Z, v), t.Mul(rho), addScaled(s.Z, r, s.slope), r.Mul(-rho), t.Mul(s.slope), dvv
}

// Domain is one turn, unbounded along the axis: both nappes.
func (s *Cone) Domain() r2.Rect { return r2.Rect{X: wholeTurn, Y: wholeLine} }

// Period is one turn in u.
func (s *Cone) Period() r2.Point { return r2.Point{X: fullTurn} }

// Parameters drops the perpendicular on the generator in the point's own half plane or the
// one opposite, whichever is nearer: the latter is the nappe of negative radius.
func (s *Cone) Parameters(p r3.Vector, hint r2.Point, hinted bool) (r2.Point, float64) {
	x, y, z := s.local(p)
	rho := math.Hypot(x, y)
	near, far := s.offGenerator(rho, z), s.offGenerator(-rho, z)
	if math.Abs(far) < math.Abs(near) {
		return r2.Point{X: angleAround(-x, -y, hint.X, hinted), Y: s.alongGenerator(-rho, z)}, math.Abs(far)
	}
	return r2.Point{X: angleAround(x, y, hint.X, hinted), Y: s.alongGenerator(rho, z)}, math.Abs(near)
}

func (s *Cone) alongGenerator(rho, z float64) float64 {
	return s.cos * ((rho-s.Radius)*s.sin + z*s.cos)
}

func (s *Cone) offGenerator(rho, z float64) float64 {
	return (rho-s.Radius)*s.cos - z*s.sin
}

// Face is the axis, the radius at the origin and the half angle.
func (s *Cone) Face() mesh.Face {
	return mesh.Face{Kind: mesh.Cone, Origin: s.Origin, Axis: s.Z, RadiusMM: s.Radius, HalfAngle: s1.Angle(s.HalfAngle)}
}

// Breaks are none.
func (s *Cone) Breaks() (u, v []float64) { return nil, nil }

// Poles is the apex.
func (s *Cone) Poles() []Pole {
	v := -s.Radius / s.slope
	return []Pole{{AtV: true, Value: v, Point: addScaled(s.Origin, s.Z, v)}}
}

// Sphere is C + R cos v (cos u x + sin u y) + R sin v z: u longitude, v latitude.
type Sphere struct {
	Placement
	Radius float64
}

// NewSphere places a sphere.
func NewSphere(m geom.Motion, radius float64) (*Sphere, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	if err := checkRadius("sphere radius", radius); err != nil {
		return nil, err
	}
	return &Sphere{Place(m), radius}, nil
}

// Point is S(u, v).
func (s *Sphere) Point(u, v float64) r3.Vector {
	r, _ := s.around(u)
	sv, cv := math.Sincos(v)
	return addScaled(addScaled(s.Origin, r, s.Radius*cv), s.Z, s.Radius*sv)
}

// First are S and its first derivatives.
func (s *Sphere) First(u, v float64) (p, du, dv r3.Vector) {
	r, t := s.around(u)
	sv, cv := math.Sincos(v)
	sv, cv = s.Radius*sv, s.Radius*cv
	return addScaled(addScaled(s.Origin, r, cv), s.Z, sv), t.Mul(cv), combine2(r, -sv, s.Z, cv)
}

// Second are S and its derivatives up to the second.
func (s *Sphere) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	r, t := s.around(u)
	sv, cv := math.Sincos(v)
	sv, cv = s.Radius*sv, s.Radius*cv
	return addScaled(addScaled(s.Origin, r, cv), s.Z, sv), t.Mul(cv), combine2(r, -sv, s.Z, cv),
		r.Mul(-cv), t.Mul(-sv), combine2(r, -cv, s.Z, -sv)
}

// Domain is one turn by the latitudes.
func (s *Sphere) Domain() r2.Rect {
	return r2.Rect{X: wholeTurn, Y: r1.Interval{Lo: -math.Pi / 2, Hi: math.Pi / 2}}
}

// Period is one turn in u.
func (s *Sphere) Period() r2.Point { return r2.Point{X: fullTurn} }

// Parameters is a closed form.
func (s *Sphere) Parameters(p r3.Vector, hint r2.Point, hinted bool) (r2.Point, float64) {
	x, y, z := s.local(p)
	rho := math.Hypot(x, y)
	return r2.Point{X: angleAround(x, y, hint.X, hinted), Y: math.Atan2(z, rho)}, math.Abs(math.Hypot(rho, z) - s.Radius)
}

// Face is the centre, the polar axis and the radius.
func (s *Sphere) Face() mesh.Face {
	return mesh.Face{Kind: mesh.Sphere, Origin: s.Origin, Axis: s.Z, RadiusMM: s.Radius}
}

// Breaks are none.
func (s *Sphere) Breaks() (u, v []float64) { return nil, nil }

// Poles are the south and the north pole.
func (s *Sphere) Poles() []Pole {
	return []Pole{
		{AtV: true, Value: -math.Pi / 2, Point: addScaled(s.Origin, s.Z, -s.Radius)},
		{AtV: true, Value: math.Pi / 2, Point: addScaled(s.Origin, s.Z, s.Radius)},
	}
}

// TorusPart says which part of a torus that cuts itself is meant
// (degenerate_toroidal_surface of ISO 10303-42).
type TorusPart uint8

// The parts: the whole of an ordinary torus, or of one that cuts itself the outer sheet (the
// apple) or the inner (the lemon).
const (
	TorusWhole TorusPart = iota
	TorusApple
	TorusLemon
)

// Torus is C + (R + r cos v)(cos u x + sin u y) + r sin v z.
//
// A torus with r >= R cuts itself on its axis, at cos v = -R/r. As an apple v spans the side
// where R + r cos v >= 0; as a lemon the other, where the radial factor is negative and the
// point lies opposite to the angle u.
type Torus struct {
	Placement
	Radius      float64 // R, of the centre circle
	MinorRadius float64 // r, of the tube
	Part        TorusPart
	axisV       float64 // v where the surface meets its axis; NaN where it does not
}

// NewTorus places a torus. part is TorusWhole but for a degenerate torus.
func NewTorus(m geom.Motion, radius, minorRadius float64, part TorusPart) (*Torus, error) {
	if err := checkPlacement(m); err != nil {
		return nil, err
	}
	if err := checkRadius("minor radius of the torus", minorRadius); err != nil {
		return nil, err
	}
	if !(radius >= 0) || !finiteNumber(radius) {
		return nil, fmt.Errorf("major radius of the torus %v is not a length", radius)
	}
	s := &Torus{Placement: Place(m), Radius: radius, MinorRadius: minorRadius, Part: part, axisV: math.NaN()}
	if minorRadius >= radius {
		s.axisV = math.Acos(-radius / minorRadius)
	} else if part == TorusLemon {
		return nil, fmt.Errorf("a torus of major radius %v and minor radius %v has no inner sheet", radius, minorRadius)
	} else {
		s.Part = TorusWhole
	}
	return s, nil
}

// Point is S(u, v).
func (s *Torus) Point(u, v float64) r3.Vector {
	r, _ := s.around(u)
	sv, cv := math.Sincos(v)
	return addScaled(addScaled(s.Origin, r, s.Radius+s.MinorRadius*cv), s.Z, s.MinorRadius*sv)
}

// First are S and its first derivatives.
func (s *Torus) First(u, v float64) (p, du, dv r3.Vector) {
	r, t := s.around(u)
	sv, cv := math.Sincos(v)
	sv, cv = s.MinorRadius*sv, s.MinorRadius*cv
	rho := s.Radius + cv
	return addScaled(addScaled(s.Origin, r, rho), s.Z, sv), t.Mul(rho), combine2(r, -sv, s.Z, cv)
}

// Second are S and its derivatives up to the second.
func (s *Torus) Second(u, v float64) (p, du, dv, duu, duv, dvv r3.Vector) {
	r, t := s.around(u)
	sv, cv := math.Sincos(v)
	sv, cv = s.MinorRadius*sv, s.MinorRadius*cv
	rho := s.Radius + cv
	return addScaled(addScaled(s.Origin, r, rho), s.Z, sv), t.Mul(rho), combine2(r, -sv, s.Z, cv),
		r.Mul(-rho), t.Mul(-sv), combine2(r, -cv, s.Z, -sv)
}

// Domain is one turn both ways; of an apple or a lemon only that sheet's v.
func (s *Torus) Domain() r2.Rect {
	switch s.Part {
	case TorusApple:
		return r2.Rect{X: wholeTurn, Y: r1.Interval{Lo: -s.axisV, Hi: s.axisV}}
	case TorusLemon:
		return r2.Rect{X: wholeTurn, Y: r1.Interval{Lo: s.axisV, Hi: fullTurn - s.axisV}}
	}
	return r2.Rect{X: wholeTurn, Y: wholeTurn}
}

// Period is one turn both ways; an apple and a lemon end at the axis in v.
func (s *Torus) Period() r2.Point {
	if s.Part == TorusWhole {
		return r2.Point{X: fullTurn, Y: fullTurn}
	}
	return r2.Point{X: fullTurn}
}

// Parameters is a closed form. On a torus that cuts itself both sheets are tried.
func (s *Torus) Parameters(p r3.Vector, hint r2.Point, hinted bool) (r2.Point, float64) {
	x, y, z := s.local(p)
	rho := math.Hypot(x, y)
	outer := math.Abs(math.Hypot(rho-s.Radius, z) - s.MinorRadius)
	opposite := s.Part == TorusLemon
	if s.Part == TorusWhole && s.MinorRadius > s.Radius {
		opposite = math.Abs(math.Hypot(rho+s.Radius, z)-s.MinorRadius) < outer
	}
	distance := outer
	if opposite {
		x, y, rho = -x, -y, -rho
		distance = math.Abs(math.Hypot(rho-s.Radius, z) - s.MinorRadius)
	}
	v := math.Atan2(z, rho-s.Radius)
	if s.Part != TorusApple {
		v = turnUp(v)
	}
	if s.Part != TorusWhole {
		// Beyond the axis the sheet ends at a pole, which is then the nearest point.
		d := s.Domain().Y
		if w := min(max(v, d.Lo), d.Hi); w != v {
			sv, cv := math.Sincos(w)
			v, distance = w, math.Hypot(rho-s.Radius-s.MinorRadius*cv, z-s.MinorRadius*sv)
		}
	} else if hinted {
		v = nearPeriod(v, hint.Y, fullTurn)
	}
	return r2.Point{X: angleAround(x, y, hint.X, hinted), Y: v}, distance
}

// Face is the axis and both radii. A lemon faces its axis and is a surface of revolution only.
func (s *Torus) Face() mesh.Face {
	if s.Part == TorusLemon || s.Part == TorusWhole && s.MinorRadius > s.Radius {
		return mesh.Face{Kind: mesh.Revolution, Origin: s.Origin, Axis: s.Z}
	}
	return mesh.Face{Kind: mesh.Torus, Origin: s.Origin, Axis: s.Z, RadiusMM: s.Radius, MinorRadiusMM: s.MinorRadius}
}

// Breaks are none.
func (s *Torus) Breaks() (u, v []float64) { return nil, nil }

// Poles are where the surface meets its axis.
func (s *Torus) Poles() []Pole {
	if math.IsNaN(s.axisV) {
		return nil
	}
	h := s.MinorRadius * math.Sin(s.axisV)
	low := -s.axisV
	if s.Part != TorusApple {
		low = fullTurn - s.axisV
	}
	return []Pole{
		{AtV: true, Value: s.axisV, Point: addScaled(s.Origin, s.Z, h)},
		{AtV: true, Value: low, Point: addScaled(s.Origin, s.Z, -h)},
	}
}
