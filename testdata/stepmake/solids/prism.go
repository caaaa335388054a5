package solids

import (
	"fmt"
	"math"
)

// The prisms stand on a rectangle of width by depth whose far side is replaced by an arc that
// bulges out. With S the area of the bulge and L the length of its arc,
// V = (width*depth + S)*height and A = 2(width*depth + S) + (width + 2 depth + L)*height.
const (
	width  = 20.0
	depth  = 10.0
	height = 8.0
	half   = width / 2
	rise   = 4.0 // of every arc but the half circle
)

// arc is the far side of a prism, from (width, depth) to (0, depth).
type arc struct {
	curve        func(f *file, z float64) (curve id, same bool)
	side         func(f *file) (surface id, same bool)
	area, length float64
	rise         float64
}

// simpson integrates a smooth function; with 4000 steps the error of those used here, whose
// fourth derivatives are of the order of the function, is under 1e-12 of the value.
func simpson(g func(float64) float64, a, b float64) float64 {
	const n = 4000
	h := (b - a) / n
	sum := g(a) + g(b)
	for k := 1; k < n; k++ {
		sum += g(a+float64(k)*h) * float64(2+2*(k&1))
	}
	return sum * h / 3
}

// prism makes the solid.
func prism(f *file, a arc) (ids, Solid) {
	base := [4]vec{at(0, 0, 0), at(width, 0, 0), at(width, depth, 0), at(0, depth, 0)}
	up := at(0, 0, height)
	side, sideSame := a.side(f)
	var v [2][4]id
	var e [2][4]id // edge k runs from corner k to the next
	var flats [2]id
	flats[0] = f.plane(origin, zAxis.Mul(-1), xAxis)
	flats[1] = f.plane(up, zAxis, xAxis)
	for level := range 2 {
		lift := up.Mul(float64(level))
		for k, p := range base {
			v[level][k] = f.vertex(p.Add(lift))
		}
		for k := range 4 {
			p, q := base[k].Add(lift), base[(k+1)%4].Add(lift)
			if k != 2 {
				e[level][k] = f.straight(v[level][k], v[level][(k+1)%4], p, q)
				continue
			}
			c, same := a.curve(f, lift.Z)
			c = f.onSurfaces(c, []id{flats[level], side})
			e[level][k] = f.edge(v[level][2], v[level][3], c, same)
		}
	}
	var rising [4]id
	for k, p := range base {
		rising[k] = f.straight(v[0][k], v[1][k], p, p.Add(up))
	}
	top := f.face(flats[1], true, f.bound(outer, use{e[1][0], true}, use{e[1][1], true}, use{e[1][2], true}, use{e[1][3], true}))
	bottom := f.face(flats[0], true, f.bound(outer, use{e[0][3], false}, use{e[0][2], false}, use{e[0][1], false}, use{e[0][0], false}))
	faces := ids{bottom, top}
	for k := range 4 {
		n := (k + 1) % 4
		b := f.bound(outer, use{e[0][k], true}, use{rising[n], true}, use{e[1][k], false}, use{rising[k], false})
		if k == 2 {
			faces = append(faces, f.face(side, sideSame, b))
			continue
		}
		along := base[n].Sub(base[k])
		faces = append(faces, f.flat(base[k], along.Cross(zAxis), along, b))
	}
	plan := width*depth + a.area
	return ids{f.solid(faces...)}, Solid{
		VolumeMM3: plan * height, AreaMM2: 2*plan + (width+2*depth+a.length)*height,
		Max: at(width, depth+a.rise, height),
	}
}

// extruded is the side of a prism by linear extrusion of the curve of its foot. The normal is
// tangent x extrusion: to the right of the way of the curve, outward where it runs from
// (width, depth) to (0, depth).
func extruded(curve func(f *file, z float64) (id, bool)) func(f *file) (id, bool) {
	return func(f *file) (id, bool) {
		c, same := curve(f, 0)
		up := f.add("VECTOR('',%v,%v)", f.direction(zAxis), f.length(1))
		return f.add("SURFACE_OF_LINEAR_EXTRUSION('',%v,%v)", c, up), same
	}
}

func middle(z float64) vec { return at(half, depth, z) }

// halfCircle: S = pi r^2/2, L = pi r.
func halfCircle(curve func(f *file, z float64) (id, bool), side func(f *file) (id, bool)) arc {
	if curve == nil {
		curve = func(f *file, z float64) (id, bool) {
			if f.turnCurves {
				return f.circle(middle(z), zAxis.Mul(-1), xAxis, half), false
			}
			return f.circle(middle(z), zAxis, xAxis, half), true
		}
	}
	if side == nil {
		side = func(f *file) (id, bool) { return f.cylinder(middle(0), zAxis, xAxis, half), true }
	}
	return arc{curve, side, math.Pi * half * half / 2, math.Pi * half, half}
}

// parabolic is an arc of the parabola y = depth + rise - (x - half)^2/(4F), F = half^2/(4 rise):
// S = 2/3 width rise (Archimedes), and with p = 2F the length from vertex to x is
// x/(2p) sqrt(p^2 + x^2) + p/2 asinh(x/p).
func parabolic(curve func(f *file, z float64) (id, bool)) arc {
	p := 2 * focal
	l := half/p*math.Sqrt(p*p+half*half) + p*math.Asinh(half/p)
	return arc{curve, extruded(curve), 2.0 / 3 * width * rise, l, rise}
}

const focal = half * half / (4 * rise)

// The parabola as a quadratic Bezier: the middle control point is where the end tangents meet,
// twice the rise above the chord.
func parabolaNet(z float64) [3]vec {
	return [3]vec{at(width, depth, z), at(half, depth+2*rise, z), at(0, depth, z)}
}

// uniform turns a Bezier net of three into that of a uniform quadratic b-spline of one span, which
// goes from (P0+P1)/2 to (P1+P2)/2 with its tangents towards P1.
func uniform(q [3]vec) [3]vec {
	return [3]vec{q[0].Mul(2).Sub(q[1]), q[1], q[2].Mul(2).Sub(q[1])}
}

// halved is the net over the knots 0, 1, 2 of the same curve cut in the middle.
func halved(q [3]vec) []vec {
	return []vec{q[0], q[0].Add(q[1]).Mul(0.5), q[1].Add(q[2]).Mul(0.5), q[2]}
}

// raised is the same curve as a cubic: degree elevation.
func raised(q [3]vec) []vec {
	return []vec{q[0], q[0].Add(q[1].Mul(2)).Mul(1.0 / 3), q[1].Mul(2).Add(q[2]).Mul(1.0 / 3), q[2]}
}

const root = math.Sqrt2 / 2 // weight of the corner of a quarter circle

// halfCircleNet is a half circle as two rational quadratic quarters.
func halfCircleNet(z float64) []vec {
	return []vec{at(width, depth, z), at(width, depth+half, z), at(half, depth+half, z), at(0, depth+half, z), at(0, depth, z)}
}

var halfCircleWeights = fmt.Sprintf("(1.,%v,1.,%v,1.)", real(root), real(root))

func rationalHalfCircle(f *file, z float64) (id, bool) {
	return f.add("(BOUNDED_CURVE()B_SPLINE_CURVE(2,%v,.CIRCULAR_ARC.,.F.,.F.)"+
		"B_SPLINE_CURVE_WITH_KNOTS((3,2,3),(0.,1.,2.),.UNSPECIFIED.)CURVE()GEOMETRIC_REPRESENTATION_ITEM()"+
		"RATIONAL_B_SPLINE_CURVE(%s)REPRESENTATION_ITEM(''))", f.points(halfCircleNet(z)...), halfCircleWeights), true
}

// rationalHalfCylinder is the side of the half-circle prism as a rational b-spline surface: u along
// the arc, v upward, so that du x dv is outward.
func rationalHalfCylinder(f *file) (id, bool) {
	low, high := f.points(halfCircleNet(0)...), f.points(halfCircleNet(height)...)
	rows, weights := "", ""
	w := []float64{1, root, 1, root, 1}
	for k := range low {
		if k > 0 {
			rows, weights = rows+",", weights+","
		}
		rows += ids{low[k], high[k]}.String()
		weights += fmt.Sprintf("(%v,%v)", real(w[k]), real(w[k]))
	}
	return f.add("(BOUNDED_SURFACE()B_SPLINE_SURFACE(2,1,(%s),.CYLINDRICAL_SURF.,.F.,.F.,.F.)"+
		"B_SPLINE_SURFACE_WITH_KNOTS((3,2,3),(2,2),(0.,1.,2.),(0.,1.),.UNSPECIFIED.)"+
		"GEOMETRIC_REPRESENTATION_ITEM()RATIONAL_B_SPLINE_SURFACE((%s))REPRESENTATION_ITEM('')SURFACE())", rows, weights), true
}

// trimmedHalf is a part of the half circle by angles.
func trimmedHalf(f *file, z, from, to float64, points bool) id {
	c := f.circle(middle(z), zAxis, xAxis, half)
	a, b := fmt.Sprintf("PARAMETER_VALUE(%v)", f.angle(from)), fmt.Sprintf("PARAMETER_VALUE(%v)", f.angle(to))
	master := ".PARAMETER."
	if points {
		on := func(t float64) vec { return middle(z).Add(at(half*math.Cos(t), half*math.Sin(t), 0)) }
		a, b, master = f.point(on(from)).String(), f.point(on(to)).String(), ".CARTESIAN."
	}
	return f.add("TRIMMED_CURVE('',%v,(%s),(%s),.T.,%s)", c, a, b, master)
}

// ellipse: S is half of pi a b. Its length is integrated.
func elliptic() arc {
	curve := func(f *file, z float64) (id, bool) {
		return f.add("ELLIPSE('',%v,%v,%v)", f.axes(middle(z), zAxis, xAxis), f.length(half), f.length(rise)), true
	}
	l := simpson(func(t float64) float64 { return math.Hypot(half*math.Sin(t), rise*math.Cos(t)) }, 0, math.Pi)
	return arc{curve, extruded(curve), math.Pi * half * rise / 2, l, rise}
}

// hyperbolic is the branch C + a cosh u x + b sinh u y (ISO 10303-42, hyperbola) with x downward:
// between u = -t and t it is wide 2 b sinh t and high a (cosh t - 1), and the segment's area is
// ab (sinh t cosh t - t). With a = rise, cosh t = 2. Its length is integrated.
func hyperbolic() arc {
	const a = rise
	t := math.Acosh(2)
	b := half / math.Sinh(t)
	curve := func(f *file, z float64) (id, bool) {
		// About -z, y is -x of the file: u grows from (width, depth) to (0, depth).
		o := at(half, depth+rise+a, z)
		return f.add("HYPERBOLA('',%v,%v,%v)", f.axes(o, zAxis.Mul(-1), yAxis.Mul(-1)), f.length(a), f.length(b)), true
	}
	l := simpson(func(u float64) float64 { return math.Hypot(a*math.Sinh(u), b*math.Cosh(u)) }, -t, t)
	return arc{curve, extruded(curve), a * b * (math.Sinh(t)*math.Cosh(t) - t), l, rise}
}

// polyline bulges by a trapezium: S = (width + half)/2 rise.
func polyline() arc {
	curve := func(f *file, z float64) (id, bool) {
		return f.add("POLYLINE('',%v)", f.points(at(width, depth, z), at(0.75*width, depth+rise, z), at(0.25*width, depth+rise, z), at(0, depth, z))), true
	}
	return arc{curve, extruded(curve), (width + half) / 2 * rise, half + 2*math.Hypot(width/4, rise), rise}
}

// arcs are all ways to bound a prism.
func arcs() (names []string, all []arc) {
	put := func(name string, a arc) { names, all = append(names, name), append(all, a) }
	spline := func(write func(f *file, z float64) id) func(f *file, z float64) (id, bool) {
		return func(f *file, z float64) (id, bool) { return write(f, z), true }
	}
	put("circle", halfCircle(nil, nil))
	put("ellipse", elliptic())
	put("parabola", parabolic(func(f *file, z float64) (id, bool) {
		// ISO 10303-42: C + F(u^2 x + 2u y). With x downward and z downward, y is -x of the file.
		return f.add("PARABOLA('',%v,%v)", f.axes(at(half, depth+rise, z), zAxis.Mul(-1), yAxis.Mul(-1)), f.length(focal)), true
	}))
	put("parabola_backward", parabolic(func(f *file, z float64) (id, bool) {
		return f.add("PARABOLA('',%v,%v)", f.axes(at(half, depth+rise, z), zAxis, yAxis.Mul(-1)), f.length(focal)), false
	}))
	put("hyperbola", hyperbolic())
	put("bezier_curve", parabolic(spline(func(f *file, z float64) id {
		q := parabolaNet(z)
		return f.add("BEZIER_CURVE('',2,%v,.PARABOLIC_ARC.,.F.,.F.)", f.points(q[:]...))
	})))
	put("uniform_curve", parabolic(spline(func(f *file, z float64) id {
		q := uniform(parabolaNet(z))
		return f.add("UNIFORM_CURVE('',2,%v,.PARABOLIC_ARC.,.F.,.F.)", f.points(q[:]...))
	})))
	put("quasi_uniform_curve", parabolic(spline(func(f *file, z float64) id {
		return f.add("QUASI_UNIFORM_CURVE('',2,%v,.PARABOLIC_ARC.,.F.,.F.)", f.points(halved(parabolaNet(z))...))
	})))
	put("b_spline_curve_with_knots", parabolic(spline(func(f *file, z float64) id {
		return f.add("B_SPLINE_CURVE_WITH_KNOTS('',2,%v,.UNSPECIFIED.,.F.,.F.,(3,1,3),(0.,1.,2.),.UNSPECIFIED.)", f.points(halved(parabolaNet(z))...))
	})))
	put("b_spline_cubic", parabolic(spline(func(f *file, z float64) id {
		return f.add("B_SPLINE_CURVE_WITH_KNOTS('',3,%v,.UNSPECIFIED.,.F.,.F.,(4,4),(-1.5,7.),.UNSPECIFIED.)", f.points(raised(parabolaNet(z))...))
	})))
	put("rational_curve", halfCircle(rationalHalfCircle, nil))
	put("rational_curve_extruded", halfCircle(rationalHalfCircle, extruded(rationalHalfCircle)))
	put("rational_surface", halfCircle(nil, rationalHalfCylinder))
	put("trimmed_curve", halfCircle(spline(func(f *file, z float64) id { return trimmedHalf(f, z, 0, math.Pi, false) }), nil))
	put("trimmed_curve_by_points", halfCircle(spline(func(f *file, z float64) id { return trimmedHalf(f, z, 0, math.Pi, true) }), nil))
	composite := spline(func(f *file, z float64) id {
		first := f.add("COMPOSITE_CURVE_SEGMENT(.CONT_SAME_GRADIENT.,.T.,%v)", trimmedHalf(f, z, 0, 1, false))
		second := f.add("COMPOSITE_CURVE_SEGMENT(.DISCONTINUOUS.,.T.,%v)", trimmedHalf(f, z, 1, math.Pi, false))
		return f.add("COMPOSITE_CURVE('',(%v,%v),.F.)", first, second)
	})
	put("composite_curve", halfCircle(composite, nil))
	put("composite_curve_extruded", halfCircle(composite, extruded(composite)))
	put("polyline", polyline())
	put("offset_curve", halfCircle(spline(func(f *file, z float64) id {
		// ISO 10303-42: the offset is along V x T. With T anticlockwise and V along -z it points
		// away from the centre: T = y at the point of direction x, and -z x y = x.
		basis := f.circle(middle(z), zAxis, xAxis, half-3)
		return f.add("OFFSET_CURVE_3D('',%v,%v,.F.,%v)", basis, f.length(3), f.direction(zAxis.Mul(-1)))
	}), nil))
	put("offset_surface", halfCircle(nil, func(f *file) (id, bool) {
		return f.add("OFFSET_SURFACE('',%v,%v,.F.)", f.cylinder(middle(0), zAxis, xAxis, half-3), f.length(3)), true
	}))
	put("offset_surface_inward", halfCircle(nil, func(f *file) (id, bool) {
		return f.add("OFFSET_SURFACE('',%v,%v,.F.)", f.cylinder(middle(0), zAxis, xAxis, half+3), f.length(-3)), true
	}))
	put("rectangular_trimmed_surface", halfCircle(nil, func(f *file) (id, bool) {
		return f.add("RECTANGULAR_TRIMMED_SURFACE('',%v,%v,%v,%v,%v,.T.,.T.)", f.cylinder(middle(0), zAxis, xAxis, half),
			f.angle(0), f.angle(math.Pi), f.length(0), f.length(height)), true
	}))
	put("extruded_circle", func() arc {
		a := halfCircle(nil, nil)
		return halfCircle(nil, extruded(a.curve))
	}())
	return names, all
}
