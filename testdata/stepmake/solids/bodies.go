package solids

import (
	"math"
	"strings"
)

// hollow is a box with a cavity: the volumes subtract and the areas add.
func hollow(cavity string) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		lo, hi := at(0, 0, 0), at(30, 20, 16)
		s := boxed(lo, hi)
		shell := f.closedShell(f.box(lo, hi))
		var inner Solid
		var faces ids
		if cavity == "sphere" {
			inner = ball(5)
			faces = ids{f.face(f.sphere(at(12, 10, 8), 5), true)}
		} else {
			lo, hi := at(4, 5, 6), at(14, 12, 9)
			inner = boxed(lo, hi)
			f.insideOut = cavity == "inward box"
			faces = f.box(lo, hi)
			f.insideOut = false
		}
		// A void's shell faces away from the metal's cavity as a solid's would and is turned; or it
		// faces into the cavity, and is not.
		void := f.add("ORIENTED_CLOSED_SHELL('',*,%v,%v)", f.closedShell(faces), logical(cavity == "inward box"))
		s.VolumeMM3 -= inner.VolumeMM3
		s.AreaMM2 += inner.AreaMM2
		return ids{f.add("BREP_WITH_VOIDS('',%v,(%v))", shell, void)}, s
	}
}

// turnedShell is a box whose shell faces inward and is turned by an oriented shell.
func turnedShell(f *file) (ids, Solid) {
	lo, hi := at(0, 0, 0), at(11, 13, 17)
	f.insideOut = true
	faces := f.box(lo, hi)
	f.insideOut = false
	shell := f.add("ORIENTED_CLOSED_SHELL('',*,%v,.F.)", f.closedShell(faces))
	return ids{f.add("MANIFOLD_SOLID_BREP('',%v)", shell)}, boxed(lo, hi)
}

// tetrahedron of three edges of length a along the axes: V = a^3/6, A = 3a^2/2 + sqrt(3)/2 a^2.
const tetrahedronEdge = 9.0

func tetrahedron() (corners []vec, loops [][]int, s Solid) {
	const a, root3 = tetrahedronEdge, 1.7320508075688772
	corners = []vec{origin, at(a, 0, 0), at(0, a, 0), at(0, 0, a)}
	loops = [][]int{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}}
	return corners, loops, Solid{VolumeMM3: a * a * a / 6, AreaMM2: (3 + root3) / 2 * a * a, Max: at(a, a, a)}
}

// faceted is a box or a tetrahedron of poly loops.
func faceted(corners []vec, loops [][]int, s Solid, planes bool) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		points := f.points(corners...)
		var faces ids
		for _, l := range loops {
			var polygon ids
			for _, k := range l {
				polygon = append(polygon, points[k])
			}
			b := f.add("FACE_OUTER_BOUND('',%v,.T.)", f.add("POLY_LOOP('',%v)", polygon))
			if !planes {
				faces = append(faces, f.add("FACE('',(%v))", b))
				continue
			}
			x := corners[l[1]].Sub(corners[l[0]])
			normal := x.Cross(corners[l[2]].Sub(corners[l[1]]))
			faces = append(faces, f.add("FACE_SURFACE('',(%v),%v,.T.)", b, f.plane(corners[l[0]], normal, x)))
		}
		return ids{f.add("FACETED_BREP('',%v)", f.closedShell(faces))}, s
	}
}

// sheet is a box as a surface model, open where its lid is missing.
func sheet(kind string, open bool) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		lo, hi := at(0, 0, 0), at(14, 6, 5)
		faces := f.box(lo, hi)
		s := boxed(lo, hi)
		if open {
			faces = append(faces[:1:1], faces[2:]...) // without its top
			s.AreaMM2 -= 14 * 6
			s.VolumeMM3, s.Open = 0, true
		}
		if kind == "FACE_BASED_SURFACE_MODEL" {
			return ids{f.add("FACE_BASED_SURFACE_MODEL('',(%v))", f.add("CONNECTED_FACE_SET('',%v)", faces))}, s
		}
		shell := f.closedShell(faces)
		if open {
			shell = f.add("OPEN_SHELL('',%v)", faces)
		}
		return ids{f.add("SHELL_BASED_SURFACE_MODEL('',(%v))", shell)}, s
	}
}

func (f *file) coordinates(points []vec) id {
	var all []string
	for _, p := range points {
		all = append(all, f.triple(p))
	}
	return f.add("COORDINATES_LIST('',%d,(%s))", len(points), strings.Join(all, ","))
}

// tessellated is a box of AP242's triangles: one face with a list of triangles and an index of its
// own, one of strips and fans, and the rest as they come.
func tessellated(kind string) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		lo, hi := at(0, 0, 0), at(8, 5, 3)
		list := f.coordinates(boxCorners(lo, hi))
		s := boxed(lo, hi)
		var items ids
		for n, l := range boxLoops {
			a, b, c, d := l[0]+1, l[1]+1, l[2]+1, l[3]+1
			switch {
			case n == 0: // through the index
				items = append(items, f.add("TRIANGULATED_FACE('',%v,4,(),$,(%d,%d,%d,%d),((1,2,3),(1,3,4)))", list, a, b, c, d))
			case n == 1: // a strip turns every other triangle: b c a, (c a) d turned
				items = append(items, f.add("COMPLEX_TRIANGULATED_FACE('',%v,8,(),$,(),((%d,%d,%d,%d)),())", list, b, c, a, d))
			case n == 2: // a fan about its first
				items = append(items, f.add("COMPLEX_TRIANGULATED_FACE('',%v,8,(),$,(),(),((%d,%d,%d,%d)))", list, a, b, c, d))
			case n == 5 && kind == "open":
				s.AreaMM2 -= 5 * 3 // the side x = 0
				s.VolumeMM3, s.Open = 0, true
			default:
				items = append(items, f.add("TRIANGULATED_FACE('',%v,8,(),$,(),((%d,%d,%d),(%d,%d,%d)))", list, a, b, c, a, c, d))
			}
		}
		if kind == "solid" {
			return ids{f.add("TESSELLATED_SOLID('',%v,$)", items)}, s
		}
		return ids{f.add("TESSELLATED_SHELL('',%v,$)", items)}, s
	}
}

// looseMM off in two directions is sqrt(2) times as much off the line of an edge in the third, and
// under the uncertainty of 0.01 mm.
const looseMM = 0.0025

// loose is a box whose vertices stand off their edges' lines by less than the uncertainty.
func loose(f *file) (ids, Solid) {
	f.uncertainty = 0.01
	lo, hi := at(0, 0, 0), at(20, 15, 10)
	corners := boxCorners(lo, hi)
	off := make([]vec, len(corners))
	for k, p := range corners {
		d := looseMM * float64(1-2*(k&1))
		off[k] = p.Add(at(d, -d, d))
	}
	vertices := make(ids, len(off))
	for k, p := range off {
		vertices[k] = f.vertex(p)
	}
	f.fixed = vertices
	faces := f.polyhedron(corners, boxLoops)
	f.fixed = nil
	return ids{f.solid(faces...)}, boxed(lo, hi)
}

// unsewnMM is how far the corners of an unsewn box lie off its own, to and fro.
const unsewnMM = 2e-6

// unsewnBox is a box each of whose faces has edges and vertices of its own.
func unsewnBox(f *file) (ids, Solid) {
	f.uncertainty = 1e-5
	lo, hi := at(1, -4, 2), at(11, 3, 7)
	var faces ids
	for n, l := range boxLoops {
		corners := boxCorners(lo, hi)
		for k := range corners {
			d := unsewnMM * float64(1-2*((k+n)&1))
			corners[k] = corners[k].Add(at(d, -d, d))
		}
		faces = append(faces, f.polyhedron(corners, [][]int{l})...)
	}
	return ids{f.solid(faces...)}, boxed(lo, hi)
}

// unsewnCylinder is a cylinder whose caps do not share its circles; V = pi r^2 h.
func unsewnCylinder(r, h float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		top := at(0, 0, h)
		a, b := f.vertex(at(r, 0, 0)), f.vertex(at(r, 0, h))
		low, high := f.ringAt(a, origin, r), f.ringAt(b, top, r)
		seam := f.straight(a, b, at(r, 0, 0), at(r, 0, h))
		side := f.face(f.cylinder(origin, zAxis, xAxis, r), true, f.bound(outer, use{low, true}, use{seam, true}, use{high, false}, use{seam, false}))
		floor := f.flat(origin, zAxis.Mul(-1), xAxis, f.bound(outer, use{f.ring(origin, r), false}))
		lid := f.flat(top, zAxis, xAxis, f.bound(outer, use{f.ring(top, r), true}))
		return ids{f.solid(side, floor, lid)}, Solid{
			VolumeMM3: math.Pi * r * r * h, AreaMM2: 2*math.Pi*r*h + 2*math.Pi*r*r,
			Min: at(-r, -r, 0), Max: at(r, r, h),
		}
	}
}

// curveBounded is a prism whose top is a curve bounded surface over its plane.
func curveBounded(f *file) (ids, Solid) {
	lo, hi := at(0, 0, 0), at(10, 10, 4)
	f.lid = func(f *file) (id, bool) {
		c := boxCorners(lo, hi)[4:]
		plane := f.plane(c[0], zAxis, xAxis)
		var segments []string
		for k, p := range c {
			q := c[(k+1)%4]
			flat := f.line2(f.length(p.X), f.length(p.Y), real(q.X-p.X)/10, real(q.Y-p.Y)/10)
			line := f.add("TRIMMED_CURVE('',%v,(%v),(%v),.T.,.CARTESIAN.)", f.line(p, q), f.point(p), f.point(q))
			curve := f.add("SURFACE_CURVE('',%v,(%v),.CURVE_3D.)", line, f.pcurve(plane, flat))
			segments = append(segments, f.add("COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,%v)", curve).String())
		}
		boundary := f.add("OUTER_BOUNDARY_CURVE('',(%s),.F.)", strings.Join(segments, ","))
		return f.add("CURVE_BOUNDED_SURFACE('',%v,(%v),.F.)", plane, boundary), true
	}
	faces := f.polyhedron(boxCorners(lo, hi), boxLoops)
	f.lid = nil
	return ids{f.solid(faces...)}, boxed(lo, hi)
}

// blocks of constructive geometry and wires: what is not a boundary representation.
func csgSolid(f *file) id {
	block := f.add("BLOCK('',%v,%v,%v,%v)", f.axes(origin, zAxis, xAxis), f.length(10), f.length(10), f.length(10))
	return f.add("CSG_SOLID('',%v)", f.add("BOOLEAN_RESULT('',.DIFFERENCE.,%v,%v)", block, f.add("SPHERE('',%v,%v)", f.length(4), f.point(origin))))
}

func wire(f *file) id {
	return f.add("GEOMETRIC_CURVE_SET('',(%v))", f.add("POLYLINE('',%v)", f.points(origin, xAxis, yAxis, origin)))
}
