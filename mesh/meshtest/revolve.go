package meshtest

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

// Revolve turns a profile about the z axis in sides equal steps.
//
// The profile runs in (distance from the axis, z), counter-clockwise as seen with the axis on
// the left: from the bottom outwards and up. It is closed unless it begins and ends on the axis.
// Between two profile points lies a frustum of a regular pyramid whose sides are flat trapezoids,
// so the polyhedron's measures are those of the body of revolution with the circle's pi replaced:
// the volume and its moment by (n/2) sin(2 pi/n), the area from trapezoids of the widths
// 2 rho sin(pi/n) and the slant height sqrt((d rho cos(pi/n))^2 + dz^2).
//
// True is that of the smooth body of the same straight profile (sums of cone frusta); makers
// of curved profiles put their own there.
func Revolve(name string, profile []r2.Point, sides int) *Solid {
	m := &mesh.Mesh{}
	n := len(profile)
	ring := make([]int32, n)
	for i, p := range profile {
		ring[i] = int32(len(m.Vertices))
		if p.X == 0 {
			m.Vertices = append(m.Vertices, vec(0, 0, p.Y))
			continue
		}
		for k := range sides {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(sides))
			m.Vertices = append(m.Vertices, vec(p.X*c, p.X*s, p.Y))
		}
	}
	at := func(i, k int) int32 {
		if profile[i].X == 0 {
			return ring[i]
		}
		return ring[i] + int32(k%sides)
	}
	var solid, trapezoids, cones, moment float64
	turn := math.Pi / float64(sides)
	for i := range n {
		j := (i + 1) % n
		p, q := profile[i], profile[j]
		if p.X == 0 && q.X == 0 {
			continue // along the axis
		}
		for k := range sides {
			a, b, c, d := at(i, k), at(i, k+1), at(j, k+1), at(j, k)
			if a != b {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c})
			}
			if c != d {
				m.Triangles = append(m.Triangles, [3]int32{a, c, d})
			}
		}
		h := q.Y - p.Y
		solid += h / 3 * (p.X*p.X + p.X*q.X + q.X*q.X)
		// The integral of z rho^2 dz with rho linear in z, about z = p.Y.
		moment += h*p.Y/3*(p.X*p.X+p.X*q.X+q.X*q.X) + h*h*(p.X*p.X+2*p.X*q.X+3*q.X*q.X)/12
		trapezoids += (p.X + q.X) * math.Sin(turn) * math.Hypot((q.X-p.X)*math.Cos(turn), h) * float64(sides)
		cones += (p.X + q.X) * math.Pi * math.Hypot(q.X-p.X, h)
	}
	centre := vec(0, 0, moment/solid)
	s := &Solid{Name: fmt.Sprintf("%s of %d sides", name, sides), Mesh: m}
	s.Faceted = mesh.Measures{VolumeMM3: float64(sides) / 2 * math.Sin(2*turn) * solid, AreaMM2: trapezoids, CentroidMM: centre, Bounds: m.Bounds()}
	reach := 0.0
	for _, p := range profile {
		reach = max(reach, p.X)
	}
	s.ChordMM = reach * (1 - math.Cos(turn))
	s.True = mesh.Measures{VolumeMM3: math.Pi * solid, AreaMM2: cones, CentroidMM: centre, Bounds: aroundAxis(reach, s.Faceted.Bounds.Min.Z, s.Faceted.Bounds.Max.Z)}
	return s
}

func aroundAxis(radius, bottom, top float64) geom.Box {
	return geom.Box{Min: vec(-radius, -radius, bottom), Max: vec(radius, radius, top)}
}

// Cylinder stands on z = 0.
func Cylinder(radius, height float64, sides int) *Solid {
	return Revolve("cylinder", []r2.Point{{X: 0, Y: 0}, {X: radius, Y: 0}, {X: radius, Y: height}, {X: 0, Y: height}}, sides)
}

// ConeFrustum stands on z = 0: V = pi h (R^2 + R r + r^2)/3, centroid at
// h (R^2 + 2 R r + 3 r^2)/(4 (R^2 + R r + r^2)).
func ConeFrustum(bottom, top, height float64, sides int) *Solid {
	return Revolve("cone frustum", []r2.Point{{X: 0, Y: 0}, {X: bottom, Y: 0}, {X: top, Y: height}, {X: 0, Y: height}}, sides)
}

// Cone stands on z = 0.
func Cone(radius, height float64, sides int) *Solid {
	return Revolve("cone", []r2.Point{{X: 0, Y: 0}, {X: radius, Y: 0}, {X: 0, Y: height}}, sides)
}

// Tube is a cylinder with a bore through it.
func Tube(outer, bore, height float64, sides int) *Solid {
	return Revolve("tube", []r2.Point{{X: bore, Y: 0}, {X: outer, Y: 0}, {X: outer, Y: height}, {X: bore, Y: height}}, sides)
}

// SphericalCap is the part of a sphere above a plane: its flat side lies on z = 0 and its pole at
// z = height, the sphere's centre at z = height - radius. With h the height and R the radius,
// V = pi h^2 (3R - h)/3, the curved area 2 pi R h, the flat one pi h (2R - h), and the centroid
// lies 3 (2R - h)^2/(4 (3R - h)) above the sphere's centre.
func SphericalCap(radius, height float64, sides, rings int) *Solid {
	top := math.Acos((radius - height) / radius) // polar angle of the rim
	profile := []r2.Point{{X: 0, Y: 0}}
	for i := rings; i > 0; i-- {
		s, c := math.Sincos(top * float64(i) / float64(rings))
		p := r2.Point{X: radius * s, Y: radius*c - radius + height}
		if i == rings {
			p.Y = 0
		}
		profile = append(profile, p)
	}
	profile = append(profile, r2.Point{X: 0, Y: height})
	s := Revolve("spherical cap", profile, sides)
	s.ChordMM += radius * (1 - math.Cos(top/float64(rings)/2))
	widest := radius
	if height < radius {
		widest = math.Sqrt(height * (2*radius - height))
	}
	s.True = mesh.Measures{
		VolumeMM3:  math.Pi * height * height * (3*radius - height) / 3,
		AreaMM2:    math.Pi*height*2*radius + math.Pi*height*(2*radius-height),
		CentroidMM: vec(0, 0, height-radius+3*(2*radius-height)*(2*radius-height)/(4*(3*radius-height))),
		Bounds:     aroundAxis(widest, 0, height),
	}
	return s
}

// Sphere has its centre at the origin.
func Sphere(radius float64, sides, rings int) *Solid {
	profile := []r2.Point{{X: 0, Y: -radius}}
	for i := 1; i < rings; i++ {
		s, c := math.Sincos(math.Pi * float64(i) / float64(rings))
		profile = append(profile, r2.Point{X: radius * s, Y: -radius * c})
	}
	profile = append(profile, r2.Point{X: 0, Y: radius})
	s := Revolve("sphere", profile, sides)
	s.ChordMM += radius * (1 - math.Cos(math.Pi/float64(rings)/2))
	s.True = mesh.Measures{VolumeMM3: 4.0 / 3 * math.Pi * radius * radius * radius, AreaMM2: 4 * math.Pi * radius * radius, Bounds: aroundAxis(radius, -radius, radius)}
	s.Faceted.CentroidMM = vec(0, 0, 0)
	return s
}

// Torus lies round the z axis about the origin: V = 2 pi^2 R r^2, A = 4 pi^2 R r.
func Torus(major, minor float64, sides, rings int) *Solid {
	var profile []r2.Point
	for i := range rings {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(rings))
		profile = append(profile, r2.Point{X: major + minor*c, Y: minor * s})
	}
	s := Revolve("torus", profile, sides)
	s.ChordMM += minor * (1 - math.Cos(math.Pi/float64(rings)))
	s.True = mesh.Measures{VolumeMM3: 2 * math.Pi * math.Pi * major * minor * minor, AreaMM2: 4 * math.Pi * math.Pi * major * minor, Bounds: aroundAxis(major+minor, -minor, minor)}
	s.Faceted.CentroidMM = vec(0, 0, 0)
	return s
}
