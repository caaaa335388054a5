package brep

import (
	"fmt"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
)

// writer puts a STEP file together, instance by instance.
type writer struct {
	text strings.Builder
	n    int
}

// add writes #n=text; with %d standing for the names of other instances.
func (w *writer) add(text string, args ...any) int {
	w.n++
	fmt.Fprintf(&w.text, "#%d="+text+";\n", append([]any{w.n}, args...)...)
	return w.n
}

func (w *writer) file() []byte {
	return []byte("ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\n" +
		"FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n" + w.text.String() + "ENDSEC;\nEND-ISO-10303-21;\n")
}

func (w *writer) model(t *testing.T) *Model {
	t.Helper()
	m, err := read(w.file())
	if err != nil {
		t.Fatalf("%v\n%s", err, w.file())
	}
	return m
}

func refs(list []int) string {
	var s []string
	for _, n := range list {
		s = append(s, fmt.Sprintf("#%d", n))
	}
	return "(" + strings.Join(s, ",") + ")"
}

func real3(v r3.Vector) string { return fmt.Sprintf("(%.15E,%.15E,%.15E)", v.X, v.Y, v.Z) }

func (w *writer) point(x, y, z float64) int {
	return w.add("CARTESIAN_POINT('',%s)", real3(r3.Vector{X: x, Y: y, Z: z}))
}

func (w *writer) direction(x, y, z float64) int {
	return w.add("DIRECTION('',%s)", real3(r3.Vector{X: x, Y: y, Z: z}))
}

func (w *writer) placement(name string, o, z, x r3.Vector) int {
	return w.add("AXIS2_PLACEMENT_3D('%s',#%d,#%d,#%d)", name, w.point(o.X, o.Y, o.Z), w.direction(z.X, z.Y, z.Z), w.direction(x.X, x.Y, x.Z))
}

func (w *writer) standard(name string, x, y, z float64) int {
	return w.placement(name, vec(x, y, z), vec(0, 0, 1), vec(1, 0, 0))
}

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

func (w *writer) vertex(x, y, z float64) int { return w.add("VERTEX_POINT('',#%d)", w.point(x, y, z)) }

const (
	millimetre = "( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) )"
	metre      = "( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT($,.METRE.) )"
	radian     = "( NAMED_UNIT(*) PLANE_ANGLE_UNIT() SI_UNIT($,.RADIAN.) )"
)

func (w *writer) inch() int {
	mm := w.add(millimetre)
	size := w.add("LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#%d)", mm)
	dimension := w.add("DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)")
	return w.add("( CONVERSION_BASED_UNIT('INCH',#%d) LENGTH_UNIT() NAMED_UNIT(#%d) )", size, dimension)
}

func (w *writer) degree() int {
	rad := w.add(radian)
	size := w.add("PLANE_ANGLE_MEASURE_WITH_UNIT(PLANE_ANGLE_MEASURE(0.01745329252),#%d)", rad)
	dimension := w.add("DIMENSIONAL_EXPONENTS(0.,0.,0.,0.,0.,0.,0.)")
	return w.add("( CONVERSION_BASED_UNIT('DEGREE',#%d) NAMED_UNIT(#%d) PLANE_ANGLE_UNIT() )", size, dimension)
}

func (w *writer) context(length, angle int) int {
	u := w.add("UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-05),#%d,'distance_accuracy_value','')", length)
	return w.add("( GEOMETRIC_REPRESENTATION_CONTEXT(3) GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#%d)) GLOBAL_UNIT_ASSIGNED_CONTEXT((#%d,#%d)) REPRESENTATION_CONTEXT('','') )", u, length, angle)
}

func (w *writer) millimetres() int { return w.context(w.add(millimetre), w.add(radian)) }

// box writes the CLOSED_SHELL of a box. Its faces take turns in how they say which way they
// face: by the plane, by the sense of the face, by that of the bound.
func (w *writer) box(lo, hi r3.Vector) int {
	c := [2]r3.Vector{lo, hi}
	var corners [8]int
	at := func(k int) r3.Vector { return vec(c[k&1].X, c[k>>1&1].Y, c[k>>2&1].Z) }
	for k := range corners {
		corners[k] = w.vertex(at(k).X, at(k).Y, at(k).Z)
	}
	type pair struct{ a, b int }
	edges := map[pair]int{}
	use := func(a, b int) int {
		if e, ok := edges[pair{a, b}]; ok {
			return w.add("ORIENTED_EDGE('',*,*,#%d,.T.)", e)
		}
		if e, ok := edges[pair{b, a}]; ok {
			return w.add("ORIENTED_EDGE('',*,*,#%d,.F.)", e)
		}
		d := at(b).Sub(at(a))
		sense := ".T."
		if len(edges)%3 == 1 { // now and then the curve runs against its edge
			d, sense = d.Mul(-1), ".F."
		}
		line := w.add("LINE('',#%d,#%d)", w.point(at(a).X, at(a).Y, at(a).Z),
			w.add("VECTOR('',#%d,%.3f)", w.direction(d.X, d.Y, d.Z), 1.5))
		e := w.add("EDGE_CURVE('',#%d,#%d,#%d,%s)", corners[a], corners[b], line, sense)
		edges[pair{a, b}] = e
		return w.add("ORIENTED_EDGE('',*,*,#%d,.T.)", e)
	}
	var faces []int
	for k, f := range [6][4]int{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		normal := at(f[1]).Sub(at(f[0])).Cross(at(f[2]).Sub(at(f[0])))
		same, bound := ".T.", ".T."
		if k%2 == 1 {
			same, normal = ".F.", normal.Mul(-1)
		}
		var loop []int
		for j := range 4 {
			if k%3 == 2 {
				loop = append(loop, use(f[(4-j)%4], f[3-j]))
			} else {
				loop = append(loop, use(f[j], f[(j+1)%4]))
			}
		}
		if k%3 == 2 {
			bound = ".F."
		}
		p := w.add("PLANE('',#%d)", w.placement("", at(f[0]), normal, at(f[1]).Sub(at(f[0]))))
		l := w.add("EDGE_LOOP('',%s)", refs(loop))
		faces = append(faces, w.add("ADVANCED_FACE('',(#%d),#%d,%s)", w.add("FACE_OUTER_BOUND('',#%d,%s)", l, bound), p, same))
	}
	return w.add("CLOSED_SHELL('',%s)", refs(faces))
}

func (w *writer) solid(name string, lo, hi r3.Vector) int {
	return w.add("MANIFOLD_SOLID_BREP('%s',#%d)", name, w.box(lo, hi))
}

func (w *writer) shape(items []int, context int) int {
	return w.add("ADVANCED_BREP_SHAPE_REPRESENTATION('',%s,#%d)", refs(items), context)
}

// product writes a product and the definition that its shape hangs on.
func (w *writer) product(name string) int {
	p := w.add("PRODUCT('id of %s','%s','',())", name, name)
	return w.add("PRODUCT_DEFINITION('design','',#%d,$)", w.add("PRODUCT_DEFINITION_FORMATION('','',#%d)", p))
}

func (w *writer) shows(product, representation int) {
	w.add("SHAPE_DEFINITION_REPRESENTATION(#%d,#%d)", w.add("PRODUCT_DEFINITION_SHAPE('','',#%d)", product), representation)
}

// component places a product in another: first and second are rep_1 and rep_2 of the relation,
// item1 and item2 those of its transformation.
func (w *writer) component(parent, child, first, second, item1, item2 int) {
	usage := w.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE('1','','',#%d,#%d,$)", parent, child)
	t := w.add("ITEM_DEFINED_TRANSFORMATION('','',#%d,#%d)", item1, item2)
	r := w.add("( REPRESENTATION_RELATIONSHIP('','',#%d,#%d) REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#%d) SHAPE_REPRESENTATION_RELATIONSHIP() )", first, second, t)
	w.add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(#%d,#%d)", r, w.add("PRODUCT_DEFINITION_SHAPE('','',#%d)", usage))
}
