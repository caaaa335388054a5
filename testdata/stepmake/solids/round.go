package solids

import (
	"math"
)

// turned is a solid of revolution about z between two plane ends of radii a (at 0) and b (at h).
// Its side is one face, bounded by both circles and, where seam is given, by that curve run up and
// down again; else by two loops.
func turned(f *file, a, b, h float64, side id, same bool, seam func(f *file, v0, v1 id) id, kinds [2]string) ids {
	top := at(0, 0, h)
	low, high := f.plane(origin, zAxis.Mul(-1), xAxis), f.plane(top, zAxis, xAxis)
	v0, v1 := f.vertex(at(a, 0, 0)), f.vertex(at(b, 0, h))
	c0, c1 := f.ringAt(v0, origin, a, low, side), f.ringAt(v1, top, b, high, side)
	var bounds ids
	if seam != nil {
		e := seam(f, v0, v1)
		bounds = ids{f.bound(kinds[0], use{c0, true}, use{e, true}, use{c1, false}, use{e, false})}
	} else {
		bounds = ids{f.bound(kinds[0], use{c0, true}), f.bound(kinds[1], use{c1, false})}
	}
	return ids{f.solid(
		f.face(low, true, f.bound(outer, use{c0, false})),
		f.face(high, true, f.bound(outer, use{c1, true})),
		f.face(side, same, bounds...))}
}

func straightSeam(a, b, h float64) func(f *file, v0, v1 id) id {
	return func(f *file, v0, v1 id) id { return f.straight(v0, v1, at(a, 0, 0), at(b, 0, h)) }
}

func roundBounds(r, lo, hi float64) (vec, vec) { return at(-r, -r, lo), at(r, r, hi) }

// frustum: V = pi h/3 (a^2 + ab + b^2), A = pi (a^2 + b^2 + (a + b) s), s^2 = h^2 + (a - b)^2.
func frustum(a, b, h float64) Solid {
	s := Solid{
		VolumeMM3: math.Pi * h / 3 * (a*a + a*b + b*b),
		AreaMM2:   math.Pi * (a*a + b*b + (a+b)*math.Hypot(h, a-b)),
	}
	s.Min, s.Max = roundBounds(max(a, b), 0, h)
	return s
}

// cone is the conical surface through both circles of a frustum. ISO 10303-42 has the semi angle
// between 0 and 90 degrees, so that the radius grows along the axis: it points down if a > b.
func (f *file) cone(a, b, h float64) id {
	if a > b {
		return f.add("CONICAL_SURFACE('',%v,%v,%v)", f.axes(at(0, 0, h), zAxis.Mul(-1), xAxis), f.length(b), f.angle(math.Atan((a-b)/h)))
	}
	return f.add("CONICAL_SURFACE('',%v,%v,%v)", f.axes(origin, zAxis, xAxis), f.length(a), f.angle(math.Atan((b-a)/h)))
}

func frustumCase(a, b, h float64, seam bool, kinds [2]string) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		side := f.cylinder
		var surface id
		if a == b {
			surface = side(origin, zAxis, xAxis, a)
		} else {
			surface = f.cone(a, b, h)
		}
		var s func(f *file, v0, v1 id) id
		if seam {
			s = straightSeam(a, b, h)
		}
		return turned(f, a, b, h, surface, true, s, kinds), frustum(a, b, h)
	}
}

// fullCone has its base at 0 and its apex at h; how the apex is said differs.
func fullCone(r, h float64, apex string) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		surface := f.add("CONICAL_SURFACE('',%v,%v,%v)", f.axes(origin, zAxis.Mul(-1), xAxis), f.length(r), f.angle(math.Atan(r/h)))
		if apex == "radius zero" {
			surface = f.add("CONICAL_SURFACE('',%v,%v,%v)", f.axes(at(0, 0, h), zAxis.Mul(-1), xAxis), real(0), f.angle(math.Atan(r/h)))
		}
		base := f.plane(origin, zAxis.Mul(-1), xAxis)
		v := f.vertex(at(r, 0, 0))
		c := f.ringAt(v, origin, r, base, surface)
		tip := f.vertex(at(0, 0, h))
		var bounds ids
		if apex == "vertex loop" {
			bounds = ids{f.bound(outer, use{c, true}), f.vertexBound(bound, tip)}
		} else {
			e := f.straight(v, tip, at(r, 0, 0), at(0, 0, h))
			bounds = ids{f.bound(outer, use{c, true}, use{e, true}, use{e, false})}
		}
		return ids{f.solid(f.face(base, true, f.bound(outer, use{c, false})), f.face(surface, true, bounds...))}, frustum(r, 0, h)
	}
}

// ball: V = 4/3 pi r^3, A = 4 pi r^2.
func ball(r float64) Solid {
	s := Solid{VolumeMM3: 4 * math.Pi / 3 * r * r * r, AreaMM2: 4 * math.Pi * r * r}
	s.Min, s.Max = roundBounds(r, -r, r)
	return s
}

func wholeSphere(r float64, how string) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		surface := f.sphere(origin, r)
		var bounds ids
		switch how {
		case "vertex loop":
			bounds = ids{f.vertexBound(outer, f.vertex(at(0, 0, r)))}
		case "seam":
			south, north := f.vertex(at(0, 0, -r)), f.vertex(at(0, 0, r))
			// About -y, the circle from x=0, z=-r through x=r to z=r.
			c := f.circle(origin, yAxis.Mul(-1), zAxis.Mul(-1), r)
			e := f.edge(south, north, c, true)
			bounds = ids{f.bound(outer, use{e, true}, use{e, false})}
		case "offset":
			surface = f.add("OFFSET_SURFACE('',%v,%v,.F.)", f.sphere(origin, r-2), f.length(2))
		}
		return ids{f.solid(f.face(surface, true, bounds...))}, ball(r)
	}
}

// hemispheres: two faces share the equator, each beyond a pole that nothing marks.
func hemispheres(r float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		surface := f.sphere(origin, r)
		c := f.ring(origin, r, surface, surface)
		return ids{f.solid(f.face(surface, true, f.bound(outer, use{c, true})), f.face(surface, true, f.bound(outer, use{c, false})))}, ball(r)
	}
}

// cap over the plane z = z0 of a sphere of radius r: with h = r - z0, V = pi h^2 (3r - h)/3 and the
// round part has the area 2 pi r h (Archimedes).
func sphericalCap(r, z0 float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		surface := f.sphere(origin, r)
		a := math.Sqrt(r*r - z0*z0)
		foot := at(0, 0, z0)
		base := f.plane(foot, zAxis.Mul(-1), xAxis)
		c := f.ring(foot, a, base, surface)
		h := r - z0
		s := Solid{VolumeMM3: math.Pi * h * h * (3*r - h) / 3, AreaMM2: math.Pi * (2*r*h + a*a)}
		s.Min, s.Max = roundBounds(a, z0, r)
		if z0 < 0 {
			s.Min, s.Max = roundBounds(r, z0, r)
		}
		return ids{f.solid(f.face(base, true, f.bound(outer, use{c, false})), f.face(surface, true, f.bound(outer, use{c, true})))}, s
	}
}

// ringTorus: V = 2 pi^2 R r^2, A = 4 pi^2 R r (Pappus).
func ringTorus(major, minor float64, how string) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		surface := f.torus(origin, major, minor)
		var bounds ids
		out := at(major+minor, 0, 0)
		switch how {
		case "vertex loop":
			bounds = ids{f.vertexBound(outer, f.vertex(out))}
		case "seams":
			v := f.vertex(out)
			round := f.ringAt(v, origin, major+minor, surface, surface)
			// The tube's circle, v growing from x to z: about -y.
			tube := f.edge(v, v, f.circle(at(major, 0, 0), yAxis.Mul(-1), xAxis, minor), true)
			bounds = ids{f.bound(outer, use{round, true}, use{tube, true}, use{round, false}, use{tube, false})}
		}
		s := Solid{VolumeMM3: 2 * math.Pi * math.Pi * major * minor * minor, AreaMM2: 4 * math.Pi * math.Pi * major * minor}
		s.Min, s.Max = roundBounds(major+minor, -minor, minor)
		return ids{f.solid(f.face(surface, true, bounds...))}, s
	}
}

// pole integrates a torus whose tube crosses its axis, over tube angles from -p to p about the
// side where the distance from the axis is q + r cos v >= 0, cos p = -q/r:
// V = pi int (q + r cos v)^2 r cos v dv, A = 2 pi int (q + r cos v) r dv.
func pole(q, r float64) (volume, area, reach float64) {
	p := math.Acos(-q / r)
	sin, cos := math.Sincos(p)
	volume = math.Pi * r * (2*q*q*sin + 2*q*r*(p+sin*cos) + 2*r*r*(sin-sin*sin*sin/3))
	return volume, 2 * math.Pi * r * (2*q*p + 2*r*sin), sin * r
}

// degenerateTorus is the apple (the outer sheet) or the lemon (the inner one) of a torus with
// R < r. On the lemon the radial factor R + r cos v is negative and with it du x dv turns inward.
func degenerateTorus(major, minor float64, apple bool) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		surface := f.add("DEGENERATE_TOROIDAL_SURFACE('',%v,%v,%v,%v)", f.axes(origin, zAxis, xAxis), f.length(major), f.length(minor), logical(apple))
		q := major
		if !apple {
			q = -major
		}
		var s Solid
		var reach float64
		s.VolumeMM3, s.AreaMM2, reach = pole(q, minor)
		if apple {
			reach = minor // the widest place of the tube is on this side
		}
		s.Min, s.Max = roundBounds(q+minor, -reach, reach)
		return ids{f.solid(f.face(surface, apple))}, s
	}
}

// revolved turns a curve in the xz plane about z. At the curve's place du is y and dv its tangent:
// upward gives an outward normal.
func (f *file) revolved(curve id) id {
	axis := f.add("AXIS1_PLACEMENT('',%v,%v)", f.point(origin), f.direction(zAxis))
	return f.add("SURFACE_OF_REVOLUTION('',%v,%v)", curve, axis)
}

func revolvedLine(a, b, h float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		side := f.revolved(f.line(at(a, 0, 0), at(b, 0, h)))
		return turned(f, a, b, h, side, true, straightSeam(a, b, h), [2]string{outer}), frustum(a, b, h)
	}
}

// revolvedArc is a zone of a sphere of radius r between heights -z and z about its middle:
// V = 2 pi (r^2 z - z^3/3), round area 4 pi r z, ends of radius sqrt(r^2 - z^2).
func revolvedArc(r, z float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		a := math.Sqrt(r*r - z*z)
		profile := func() id { return f.circle(at(0, 0, z), yAxis.Mul(-1), xAxis, r) }
		seam := func(f *file, v0, v1 id) id { return f.edge(v0, v1, profile(), true) }
		s := Solid{VolumeMM3: 2 * math.Pi * (r*r*z - z*z*z/3), AreaMM2: 4*math.Pi*r*z + 2*math.Pi*a*a}
		s.Min, s.Max = roundBounds(r, 0, 2*z)
		return turned(f, a, a, 2*z, f.revolved(profile()), true, seam, [2]string{outer}), s
	}
}

// paraboloid z = k (r^2 - a^2) from radius a to b: z is a square of r, so that a quadratic Bezier
// is exact, its middle point where the end tangents meet: r = (a+b)/2, z = 2ka(b-a)/2.
// V = pi int r^2 dz = pi k (b^4 - a^4)/2; side area pi/(6k^2) ((1+4k^2b^2)^1.5 - (1+4k^2a^2)^1.5).
func paraboloid(a, b, h float64, rational bool) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		k := h / (b*b - a*a)
		net := func() ids { return f.points(at(a, 0, 0), at((a+b)/2, 0, k*a*(b-a)), at(b, 0, h)) }
		profile := func() id {
			if rational {
				// Weights in geometric progression change the parameter and not the curve.
				return f.add("(BOUNDED_CURVE()B_SPLINE_CURVE(2,%v,.UNSPECIFIED.,.F.,.F.)B_SPLINE_CURVE_WITH_KNOTS((3,3),(0.,1.),.UNSPECIFIED.)"+
					"CURVE()GEOMETRIC_REPRESENTATION_ITEM()RATIONAL_B_SPLINE_CURVE((1.,2.,4.))REPRESENTATION_ITEM(''))", net())
			}
			return f.add("B_SPLINE_CURVE_WITH_KNOTS('',2,%v,.UNSPECIFIED.,.F.,.F.,(3,3),(0.,1.),.UNSPECIFIED.)", net())
		}
		seam := func(f *file, v0, v1 id) id { return f.edge(v0, v1, profile(), true) }
		side := func(r float64) float64 { return math.Pow(1+4*k*k*r*r, 1.5) }
		s := Solid{
			VolumeMM3: math.Pi * k * (b*b*b*b - a*a*a*a) / 2,
			AreaMM2:   math.Pi/(6*k*k)*(side(b)-side(a)) + math.Pi*(a*a+b*b),
		}
		s.Min, s.Max = roundBounds(b, 0, h)
		return turned(f, a, b, h, f.revolved(profile()), true, seam, [2]string{outer}), s
	}
}

// window is a tube of radii b > a and height h with a window of angle w between heights z0 and z1:
// V = pi (b^2-a^2) h - w/2 (b^2-a^2)(z1-z0). Area: both sides less the window, both ends, and of
// the window two radial walls and two level ones.
func window(a, b, h, z0, z1, w float64, seamless bool) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		top := at(0, 0, h)
		planes := [2]id{f.plane(origin, zAxis.Mul(-1), xAxis), f.plane(top, zAxis, xAxis)}
		radii := [2]float64{a, b}
		sides := [2]id{f.cylinder(origin, zAxis, xAxis, a), f.cylinder(origin, zAxis, xAxis, b)}
		angles := [2]float64{math.Pi - w/2, math.Pi + w/2} // opposite of the seam
		heights := [2]float64{z0, z1}
		place := func(r, t, z float64) vec { return at(r*math.Cos(t), r*math.Sin(t), z) }
		var rings, rim [2][2]id  // by side and level
		var seams [2]id          // by side
		var corner [2][2][2]id   // by side, angle, height
		var arcs, posts [2][2]id // arcs by side and height, posts by side and angle
		var spokes [2][2]id      // by angle and height
		for s, r := range radii {
			for l := range 2 {
				z := float64(l) * h
				rim[s][l] = f.vertex(at(r, 0, z))
				rings[s][l] = f.ringAt(rim[s][l], at(0, 0, z), r, planes[l], sides[s])
			}
			seams[s] = f.straight(rim[s][0], rim[s][1], at(r, 0, 0), at(r, 0, h))
			for t := range 2 {
				for z := range 2 {
					corner[s][t][z] = f.vertex(place(r, angles[t], heights[z]))
				}
				posts[s][t] = f.straight(corner[s][t][0], corner[s][t][1], place(r, angles[t], z0), place(r, angles[t], z1))
			}
			for z := range 2 {
				arcs[s][z] = f.edge(corner[s][0][z], corner[s][1][z], f.circle(at(0, 0, heights[z]), zAxis, xAxis, r), true)
			}
		}
		for t := range 2 {
			for z := range 2 {
				spokes[t][z] = f.straight(corner[0][t][z], corner[1][t][z], place(a, angles[t], heights[z]), place(b, angles[t], heights[z]))
			}
		}
		var faces ids
		for s := range 2 {
			out := s == 1
			var bounds ids
			// Outside, the bottom ring runs with u and the window against it; inside the reverse.
			if seamless {
				bounds = ids{f.bound(bound, use{rings[s][0], out}), f.bound(bound, use{rings[s][1], !out})}
			} else if out {
				bounds = ids{f.bound(outer, use{rings[s][0], true}, use{seams[s], true}, use{rings[s][1], false}, use{seams[s], false})}
			} else {
				bounds = ids{f.bound(outer, use{seams[s], true}, use{rings[s][1], true}, use{seams[s], false}, use{rings[s][0], false})}
			}
			if out {
				bounds = append(bounds, f.bound(bound, use{posts[s][0], true}, use{arcs[s][1], true}, use{posts[s][1], false}, use{arcs[s][0], false}))
			} else {
				bounds = append(bounds, f.bound(bound, use{arcs[s][0], true}, use{posts[s][1], true}, use{arcs[s][1], false}, use{posts[s][0], false}))
			}
			faces = append(faces, f.face(sides[s], out, bounds...))
		}
		for l := range 2 {
			up := l == 1
			faces = append(faces, f.face(planes[l], true, f.bound(outer, use{rings[1][l], up}), f.bound(bound, use{rings[0][l], !up})))
		}
		// Walls look into the window. At the lower angle along +u, at the higher along -u.
		for t := range 2 {
			sin, cos := math.Sincos(angles[t])
			normal, radial := at(-sin, cos, 0), at(cos, sin, 0)
			uses := []use{{posts[0][t], true}, {spokes[t][1], true}, {posts[1][t], false}, {spokes[t][0], false}}
			if t == 1 {
				normal = normal.Mul(-1)
				uses = []use{{spokes[t][0], true}, {posts[1][t], true}, {spokes[t][1], false}, {posts[0][t], false}}
			}
			faces = append(faces, f.flat(place(a, angles[t], z0), normal, radial, f.bound(outer, uses...)))
		}
		for z := range 2 {
			// Seen from above, anticlockwise: out along the first spoke, along the outer arc, in, back.
			normal := zAxis
			uses := []use{{spokes[0][z], true}, {arcs[1][z], true}, {spokes[1][z], false}, {arcs[0][z], false}}
			if z == 1 {
				normal = zAxis.Mul(-1)
				uses = []use{{arcs[0][z], true}, {spokes[1][z], true}, {arcs[1][z], false}, {spokes[0][z], false}}
			}
			faces = append(faces, f.flat(at(0, 0, heights[z]), normal, xAxis, f.bound(outer, uses...)))
		}
		ring, d := b*b-a*a, z1-z0
		s := Solid{
			VolumeMM3: math.Pi*ring*h - w/2*ring*d,
			AreaMM2:   2*math.Pi*(a+b)*h - w*(a+b)*d + 2*math.Pi*ring + 2*(b-a)*d + w*ring,
		}
		s.Min, s.Max = roundBounds(b, 0, h)
		return ids{f.solid(faces...)}, s
	}
}

// pcurve is a curve in the parameter plane of a surface. The entity's text may hold %v for an
// AXIS2_PLACEMENT_2D or points made before.
func (f *file) pcurve(surface, curve id) id {
	context := f.add("(GEOMETRIC_REPRESENTATION_CONTEXT(2)PARAMETRIC_REPRESENTATION_CONTEXT()REPRESENTATION_CONTEXT('2D',''))")
	return f.add("PCURVE('',%v,%v)", surface, f.add("DEFINITIONAL_REPRESENTATION('',(%v),%v)", curve, context))
}

func (f *file) point2(u, v real) id { return f.add("CARTESIAN_POINT('',(%v,%v))", u, v) }

func (f *file) line2(u, v, du, dv real) id {
	vector := f.add("VECTOR('',%v,1.)", f.add("DIRECTION('',(%v,%v))", du, dv))
	return f.add("LINE('',%v,%v)", f.point2(u, v), vector)
}

// surfaceCurves is a cylinder with a seam whose edges are surface curves of a kind, or parameter
// curves and nothing else.
func surfaceCurves(kind string) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		const r, h = 6.0, 9.0
		side := f.cylinder(origin, zAxis, xAxis, r)
		planes := [2]id{f.plane(origin, zAxis, xAxis), f.plane(at(0, 0, h), zAxis, xAxis)}
		v := [2]id{f.vertex(at(r, 0, 0)), f.vertex(at(r, 0, h))}
		var c [2]id
		for l := range 2 {
			z := float64(l) * h
			flat := f.add("CIRCLE('',%v,%v)", f.add("AXIS2_PLACEMENT_2D('',%v,%v)", f.point2(0, 0), f.add("DIRECTION('',(1.,0.))")), f.length(r))
			onPlane := f.pcurve(planes[l], flat)
			onSide := f.pcurve(side, f.line2(0, f.length(z), 1, 0))
			curve := f.circle(at(0, 0, z), zAxis, xAxis, r)
			switch kind {
			case "PCURVE":
				curve = onSide
				if l == 1 {
					curve = onPlane
				}
			default:
				name := kind
				if kind == "SEAM_CURVE" {
					name = "SURFACE_CURVE"
				}
				curve = f.add("%s('',%v,(%v,%v),.CURVE_3D.)", name, curve, onPlane, onSide)
			}
			c[l] = f.edge(v[l], v[l], curve, true)
		}
		// The seam by its curve in space, and on the cylinder at u = 0 and at a whole turn.
		line := f.line(at(r, 0, 0), at(r, 0, h))
		first := f.pcurve(side, f.line2(0, 0, 0, 1))
		second := f.pcurve(side, f.line2(f.angle(2*math.Pi), 0, 0, 1))
		if kind == "PCURVE" {
			line = first
		} else {
			line = f.add("SEAM_CURVE('',%v,(%v,%v),.CURVE_3D.)", line, first, second)
		}
		e := f.edge(v[0], v[1], line, true)
		return ids{f.solid(
			f.face(planes[0], false, f.bound(outer, use{c[0], false})),
			f.face(planes[1], true, f.bound(outer, use{c[1], true})),
			f.face(side, true, f.bound(outer, use{c[0], true}, use{e, true}, use{c[1], false}, use{e, false})),
		)}, frustum(r, r, h)
	}
}
