package solids

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"
)

type vec = r3.Vector

var (
	origin  = vec{}
	xAxis   = vec{X: 1}
	yAxis   = vec{Y: 1}
	zAxis   = vec{Z: 1}
	inch    = 25.4
	degrees = math.Pi / 180
)

func at(x, y, z float64) vec { return vec{X: x, Y: y, Z: z} }

// id is an instance name; ids a list of them.
type id int

func (i id) String() string { return "#" + strconv.Itoa(int(i)) }

type ids []id

func (l ids) String() string {
	s := make([]string, len(l))
	for k, i := range l {
		s[k] = i.String()
	}
	return "(" + strings.Join(s, ",") + ")"
}

// real is a real number as Part 21 has it: with a point.
type real float64

func (x real) String() string {
	s := strconv.FormatFloat(float64(x), 'G', -1, 64)
	if strings.Contains(s, ".") {
		return s
	}
	if m, e, ok := strings.Cut(s, "E"); ok {
		return m + ".E" + e
	}
	return s + "."
}

type logical bool

func (b logical) String() string {
	if b {
		return ".T."
	}
	return ".F."
}

// file is a STEP file being written.
type file struct {
	data   strings.Builder
	n      int
	mm     float64 // millimetres in the file's length unit
	radian float64 // radians in its plane angle unit
	schema string

	uncertainty float64 // mm

	// Sense flags turned at one level, with the geometry beneath turned as well so that the solid
	// stays the same.
	turnCurves bool // lines and circles run backwards, edges say .F.
	turnEdges  bool // edges end where they began, oriented edges say .F.
	turnBounds bool // loops run the other way, bounds say .F.
	turnPlanes bool // planes face inward, faces say .F.
	insideOut  bool // all faces face inward, for an oriented shell that says .F.

	wrapCurve func(f *file, curve id, on ...id) id // nil, or makes a surface curve of a curve

	// lid, if set, makes the surface of the second face of a polyhedron.
	lid func(f *file) (surface id, same bool)

	fixed ids // vertices of a polyhedron made before, nil to make them

	references string
}

func newFile() *file {
	return &file{mm: 1, radian: 1, schema: "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }", uncertainty: 1e-5}
}

func (f *file) add(format string, args ...any) id {
	f.n++
	fmt.Fprintf(&f.data, "#%d="+format+";\n", append([]any{f.n}, args...)...)
	return id(f.n)
}

func (f *file) text(name string) []byte {
	head := "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('" + name +
		"','2026-01-01T00:00:00',(''),(''),'','','');\nFILE_SCHEMA(('" + f.schema + "'));\nENDSEC;\n"
	if f.references != "" {
		head += "REFERENCE;\n" + f.references + "ENDSEC;\n"
	}
	return []byte(head + "DATA;\n" + f.data.String() + "ENDSEC;\nEND-ISO-10303-21;\n")
}

func (f *file) length(mm float64) real     { return real(mm / f.mm) }
func (f *file) angle(radians float64) real { return real(radians / f.radian) }

func (f *file) triple(p vec) string {
	return fmt.Sprintf("(%v,%v,%v)", f.length(p.X), f.length(p.Y), f.length(p.Z))
}

func (f *file) point(p vec) id { return f.add("CARTESIAN_POINT('',%s)", f.triple(p)) }

func (f *file) points(p ...vec) ids {
	var l ids
	for _, q := range p {
		l = append(l, f.point(q))
	}
	return l
}

func (f *file) direction(d vec) id {
	d = d.Normalize()
	return f.add("DIRECTION('',(%v,%v,%v))", real(d.X), real(d.Y), real(d.Z))
}

func (f *file) axes(o, z, x vec) id {
	return f.add("AXIS2_PLACEMENT_3D('',%v,%v,%v)", f.point(o), f.direction(z), f.direction(x))
}

func (f *file) line(p, q vec) id {
	return f.add("LINE('',%v,%v)", f.point(p), f.add("VECTOR('',%v,1.)", f.direction(q.Sub(p))))
}

func (f *file) circle(o, z, x vec, r float64) id {
	return f.add("CIRCLE('',%v,%v)", f.axes(o, z, x), f.length(r))
}

func (f *file) plane(o, z, x vec) id { return f.add("PLANE('',%v)", f.axes(o, z, x)) }

func (f *file) cylinder(o, z, x vec, r float64) id {
	return f.add("CYLINDRICAL_SURFACE('',%v,%v)", f.axes(o, z, x), f.length(r))
}

func (f *file) sphere(o vec, r float64) id {
	return f.add("SPHERICAL_SURFACE('',%v,%v)", f.axes(o, zAxis, xAxis), f.length(r))
}

func (f *file) torus(o vec, major, minor float64) id {
	return f.add("TOROIDAL_SURFACE('',%v,%v,%v)", f.axes(o, zAxis, xAxis), f.length(major), f.length(minor))
}

func (f *file) vertex(p vec) id { return f.add("VERTEX_POINT('',%v)", f.point(p)) }

func (f *file) edge(a, b, curve id, same bool) id {
	if f.turnEdges {
		a, b, same = b, a, !same
	}
	return f.add("EDGE_CURVE('',%v,%v,%v,%v)", a, b, curve, logical(same))
}

// straight is an edge along the line from p to q, between vertices there.
func (f *file) straight(a, b id, p, q vec) id {
	if f.turnCurves {
		return f.edge(a, b, f.line(q, p), false)
	}
	return f.edge(a, b, f.line(p, q), true)
}

// ring is a closed edge, a circle about z that begins and ends at its vertex in direction x.
func (f *file) ring(o vec, r float64, on ...id) id {
	return f.ringAt(f.vertex(o.Add(xAxis.Mul(r))), o, r, on...)
}

func (f *file) ringAt(v id, o vec, r float64, on ...id) id {
	if f.turnCurves {
		return f.edge(v, v, f.onSurfaces(f.circle(o, zAxis.Mul(-1), xAxis, r), on), false)
	}
	return f.edge(v, v, f.onSurfaces(f.circle(o, zAxis, xAxis, r), on), true)
}

func (f *file) onSurfaces(curve id, on []id) id {
	if f.wrapCurve == nil {
		return curve
	}
	return f.wrapCurve(f, curve, on...)
}

// use is an edge as a loop runs along it.
type use struct {
	edge    id
	forward bool
}

func (f *file) loop(uses ...use) id {
	var l ids
	for k := range uses {
		u := uses[k]
		if f.turnBounds {
			u = uses[len(uses)-1-k]
			u.forward = !u.forward
		}
		l = append(l, f.add("ORIENTED_EDGE('',*,*,%v,%v)", u.edge, logical(u.forward != f.turnEdges)))
	}
	return f.add("EDGE_LOOP('',%v)", l)
}

const (
	outer = "FACE_OUTER_BOUND"
	bound = "FACE_BOUND"
)

func (f *file) bound(kind string, uses ...use) id {
	return f.add("%s('',%v,%v)", kind, f.loop(uses...), logical(!f.turnBounds != f.insideOut))
}

func (f *file) vertexBound(kind string, v id) id {
	return f.add("%s('',%v,.T.)", kind, f.add("VERTEX_LOOP('',%v)", v))
}

func (f *file) face(surface id, same bool, bounds ...id) id {
	return f.add("ADVANCED_FACE('',%v,%v,%v)", ids(bounds), surface, logical(same != f.insideOut))
}

// flat is a plane face with a normal.
func (f *file) flat(o, normal, x vec, bounds ...id) id {
	if f.turnPlanes {
		return f.face(f.plane(o, normal.Mul(-1), x), false, bounds...)
	}
	return f.face(f.plane(o, normal, x), true, bounds...)
}

func (f *file) closedShell(faces ids) id { return f.add("CLOSED_SHELL('',%v)", faces) }

func (f *file) solid(faces ...id) id {
	return f.add("MANIFOLD_SOLID_BREP('',%v)", f.closedShell(faces))
}

// polyhedron makes plane faces of loops of corners that run anticlockwise seen from outside.
func (f *file) polyhedron(corners []vec, loops [][]int) ids {
	vertices := make(ids, len(corners))
	for k, p := range corners {
		vertices[k] = f.vertex(p)
	}
	if f.fixed != nil {
		vertices = f.fixed
	}
	edges := map[[2]int]id{}
	var faces ids
	for n, l := range loops {
		var uses []use
		for k, a := range l {
			b := l[(k+1)%len(l)]
			if e, ok := edges[[2]int{b, a}]; ok {
				uses = append(uses, use{e, false})
				continue
			}
			e := f.straight(vertices[a], vertices[b], corners[a], corners[b])
			edges[[2]int{a, b}] = e
			uses = append(uses, use{e, true})
		}
		if n == 1 && f.lid != nil {
			surface, same := f.lid(f)
			faces = append(faces, f.face(surface, same, f.bound(outer, uses...)))
			continue
		}
		x := corners[l[1]].Sub(corners[l[0]])
		normal := x.Cross(corners[l[2]].Sub(corners[l[1]]))
		faces = append(faces, f.flat(corners[l[0]], normal, x, f.bound(outer, uses...)))
	}
	return faces
}

var boxLoops = [][]int{{0, 3, 2, 1}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}}

func boxCorners(lo, hi vec) []vec {
	return []vec{lo, at(hi.X, lo.Y, lo.Z), at(hi.X, hi.Y, lo.Z), at(lo.X, hi.Y, lo.Z),
		at(lo.X, lo.Y, hi.Z), at(hi.X, lo.Y, hi.Z), hi, at(lo.X, hi.Y, hi.Z)}
}

func (f *file) box(lo, hi vec) ids { return f.polyhedron(boxCorners(lo, hi), boxLoops) }

// boxed is what is known of a box: V = abc, A = 2(ab + bc + ca).
func boxed(lo, hi vec) Solid {
	d := hi.Sub(lo)
	return Solid{VolumeMM3: d.X * d.Y * d.Z, AreaMM2: 2 * (d.X*d.Y + d.Y*d.Z + d.Z*d.X), Min: lo, Max: hi}
}
