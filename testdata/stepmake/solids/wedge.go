package solids

import (
	"fmt"
	"math"
)

// elbow is a quarter turn of a ring, its tube one face between two circles: V = pi r^2 R pi/2,
// A = 2 pi r R pi/2 + 2 pi r^2 (Pappus).
func elbow(major, minor float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		tube := f.torus(origin, major, minor)
		// v grows from outward to z: about -y at u = 0 and about x at u = 90 degrees.
		first := f.circle(at(major, 0, 0), yAxis.Mul(-1), xAxis, minor)
		second := f.circle(at(0, major, 0), xAxis, yAxis, minor)
		v0, v1 := f.vertex(at(major+minor, 0, 0)), f.vertex(at(0, major+minor, 0))
		e0, e1 := f.edge(v0, v0, first, true), f.edge(v1, v1, second, true)
		// The tube lies towards +u of the first circle: with v growing it lies to the right, since
		// u x v is outward. So the first runs against v and the second with it.
		s := Solid{
			VolumeMM3: math.Pi * minor * minor * major * math.Pi / 2,
			AreaMM2:   2*math.Pi*minor*major*math.Pi/2 + 2*math.Pi*minor*minor,
			Min:       at(0, 0, -minor), Max: at(major+minor, major+minor, minor),
		}
		return ids{f.solid(
			f.face(tube, true, f.bound(bound, use{e0, false}), f.bound(bound, use{e1, true})),
			// The first end looks to -y, about which its circle runs; the second to -x.
			f.flat(at(major, 0, 0), yAxis.Mul(-1), xAxis, f.bound(outer, use{e0, true})),
			f.flat(at(0, major, 0), xAxis.Mul(-1), yAxis, f.bound(outer, use{e1, false})),
		)}, s
	}
}

// zone of a sphere between heights a < b without a seam: V = pi ((r^2 b - b^3/3) - (r^2 a - a^3/3)),
// round area 2 pi r (b - a).
func zone(r, a, b float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		ra, rb := math.Sqrt(r*r-a*a), math.Sqrt(r*r-b*b)
		surface := f.sphere(origin, r)
		low, high := f.plane(at(0, 0, a), zAxis.Mul(-1), xAxis), f.plane(at(0, 0, b), zAxis, xAxis)
		c0, c1 := f.ring(at(0, 0, a), ra, low, surface), f.ring(at(0, 0, b), rb, high, surface)
		s := Solid{
			VolumeMM3: math.Pi * ((r*r*b - b*b*b/3) - (r*r*a - a*a*a/3)),
			AreaMM2:   2*math.Pi*r*(b-a) + math.Pi*(ra*ra+rb*rb),
		}
		wide := r
		if a > 0 || b < 0 {
			wide = max(ra, rb)
		}
		s.Min, s.Max = roundBounds(wide, a, b)
		return ids{f.solid(
			f.face(low, true, f.bound(outer, use{c0, false})),
			f.face(high, true, f.bound(outer, use{c1, true})),
			f.face(surface, true, f.bound(bound, use{c0, true}), f.bound(bound, use{c1, false})))}, s
	}
}

// lune is what two meridians at 0 and w cut from a ball: V = 2/3 w r^3, A = 2 w r^2 + pi r^2. Both
// poles are vertices of its round face.
func lune(r, w float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		south, north := f.vertex(at(0, 0, -r)), f.vertex(at(0, 0, r))
		meridian := func(u float64) id {
			sin, cos := math.Sincos(u)
			// About the direction of -u, from the south pole through longitude u.
			return f.edge(south, north, f.circle(origin, at(sin, -cos, 0), zAxis.Mul(-1), r), true)
		}
		first, second := meridian(0), meridian(w)
		axis := f.straight(south, north, at(0, 0, -r), at(0, 0, r))
		sin, cos := math.Sincos(w)
		s := Solid{
			VolumeMM3: 2.0 / 3 * w * r * r * r, AreaMM2: 2*w*r*r + math.Pi*r*r,
			Min: at(min(0, r*cos), 0, -r), Max: at(r, r, r),
		}
		if w < math.Pi/2 {
			s.Max.Y = r * sin
		}
		return ids{f.solid(
			// Outside, u to the right and z up: up the far meridian and down the near one.
			f.face(f.sphere(origin, r), true, f.bound(outer, use{second, true}, use{first, false})),
			f.flat(origin, yAxis.Mul(-1), xAxis, f.bound(outer, use{first, true}, use{axis, false})),
			f.flat(origin, at(-sin, cos, 0), at(cos, sin, 0), f.bound(outer, use{axis, true}, use{second, false})),
		)}, s
	}
}

// halfCone has its apex where two straight edges of its round face meet: V = pi r^2 h/6,
// A = pi r^2/2 + pi r s/2 + r h with the slant s.
func halfCone(r, h float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		a, b, tip := at(r, 0, 0), at(-r, 0, 0), at(0, 0, h)
		va, vb, vt := f.vertex(a), f.vertex(b), f.vertex(tip)
		arc := f.edge(va, vb, f.circle(origin, zAxis, xAxis, r), true)
		diameter := f.straight(vb, va, b, a)
		up, down := f.straight(vb, vt, b, tip), f.straight(vt, va, tip, a)
		surface := f.add("CONICAL_SURFACE('',%v,%v,%v)", f.axes(origin, zAxis.Mul(-1), xAxis), f.length(r), f.angle(math.Atan(r/h)))
		return ids{f.solid(
				f.face(surface, true, f.bound(outer, use{arc, true}, use{up, true}, use{down, true})),
				f.flat(origin, zAxis.Mul(-1), xAxis, f.bound(outer, use{arc, false}, use{diameter, false})),
				f.flat(origin, yAxis.Mul(-1), xAxis, f.bound(outer, use{diameter, true}, use{down, false}, use{up, false})),
			)}, Solid{
				VolumeMM3: math.Pi * r * r * h / 6, AreaMM2: math.Pi*r*r/2 + math.Pi*r*math.Hypot(r, h)/2 + r*h,
				Min: at(-r, 0, 0), Max: at(r, r, h),
			}
	}
}

// splineCylinder is a whole cylinder as one rational b-spline surface that closes in u.
func splineCylinder(r, h float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		corners := []vec{at(r, 0, 0), at(r, r, 0), at(0, r, 0), at(-r, r, 0), at(-r, 0, 0), at(-r, -r, 0), at(0, -r, 0), at(r, -r, 0), at(r, 0, 0)}
		var net [][]vec
		weights := ""
		for k, p := range corners {
			net = append(net, []vec{p, p.Add(at(0, 0, h))})
			w := 1.0
			if k%2 == 1 {
				w = root
			}
			if k > 0 {
				weights += ","
			}
			weights += fmt.Sprintf("(%v,%v)", real(w), real(w))
		}
		side := f.add("(BOUNDED_SURFACE()B_SPLINE_SURFACE(2,1,%s,.UNSPECIFIED.,.T.,.F.,.F.)"+
			"B_SPLINE_SURFACE_WITH_KNOTS((3,2,2,2,3),(2,2),(0.,1.,2.,3.,4.),(0.,1.),.UNSPECIFIED.)"+
			"GEOMETRIC_REPRESENTATION_ITEM()RATIONAL_B_SPLINE_SURFACE((%s))REPRESENTATION_ITEM('')SURFACE())", f.grid(net), weights)
		return turned(f, r, r, h, side, true, straightSeam(r, r, h), [2]string{outer}), frustum(r, r, h)
	}
}

// slanted is a circle extruded by (d, 0, h): V = pi r^2 h (Cavalieri). At angle t the tangent and the
// extrusion span |(cos t h, sin t h, -cos t d)| r, so that the side's area is
// r int sqrt(h^2 + d^2 cos^2 t) dt, which is integrated.
func slanted(r, d, h float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		shift := at(d, 0, h)
		low, high := f.plane(origin, zAxis.Mul(-1), xAxis), f.plane(shift, zAxis, xAxis)
		vector := f.add("VECTOR('',%v,%v)", f.direction(shift), f.length(3))
		side := f.add("SURFACE_OF_LINEAR_EXTRUSION('',%v,%v)", f.circle(origin, zAxis, xAxis, r), vector)
		p, q := at(r, 0, 0), at(r, 0, 0).Add(shift)
		v0, v1 := f.vertex(p), f.vertex(q)
		c0, c1 := f.ringAt(v0, origin, r, low, side), f.ringAt(v1, shift, r, high, side)
		seam := f.straight(v0, v1, p, q)
		area := r * simpson(func(t float64) float64 { return math.Hypot(h, d*math.Cos(t)) }, 0, 2*math.Pi)
		return ids{f.solid(
				f.face(low, true, f.bound(outer, use{c0, false})),
				f.face(high, true, f.bound(outer, use{c1, true})),
				f.face(side, true, f.bound(outer, use{c0, true}, use{seam, true}, use{c1, false}, use{seam, false})),
			)}, Solid{
				VolumeMM3: math.Pi * r * r * h, AreaMM2: 2*math.Pi*r*r + area,
				Min: at(min(-r, d-r), -r, 0), Max: at(max(r, d+r), r, h),
			}
	}
}
