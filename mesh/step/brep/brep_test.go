package brep

import (
	"fmt"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/part21"
)

// loopVolume is the volume of a body of plane faces by the divergence theorem: a third of the
// sum of corner . area vector. Its sign and size hang on every sense flag.
func loopVolume(b *Body) float64 {
	v := 0.0
	for _, s := range b.Shells {
		for _, f := range s.Faces {
			for k := range f.Loops {
				v += corner(&f.Loops[k].Uses[0]).Dot(areaVector(&f.Loops[k])) / 6
			}
		}
	}
	return v
}

func bodyBox(b *Body) geom.Box {
	box := geom.EmptyBox()
	for _, s := range b.Shells {
		for _, f := range s.Faces {
			for k := range f.Loops {
				for u := range f.Loops[k].Uses {
					box = box.AddPoint(corner(&f.Loops[k].Uses[u]))
				}
			}
		}
	}
	return box
}

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

func wantSound(t *testing.T, m *Model) {
	t.Helper()
	for _, b := range m.Bodies {
		complaints, worst := soundness(b)
		for _, c := range complaints {
			t.Errorf("body #%d: %s", b.ID, c)
		}
		if worst > 1e-9 {
			t.Errorf("body #%d: an edge lies %g mm off a face", b.ID, worst)
		}
	}
	for _, n := range m.Notes {
		t.Errorf("note: %s: %s", n.Place, n.Says)
	}
}

func onePart(w *writer, name string, items []int, context int) {
	w.shows(w.product(name), w.shape(items, context))
}

func TestBoxInEveryUnit(t *testing.T) {
	for _, c := range []struct {
		unit   string
		length func(w *writer) int
		mm     float64
	}{
		{"mm", func(w *writer) int { return w.add(millimetre) }, 1},
		{"m", func(w *writer) int { return w.add(metre) }, 1000},
		{"in", func(w *writer) int { return w.inch() }, 25.4},
		{"µm", func(w *writer) int { return w.add("( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MICRO.,.METRE.) )") }, 0.001},
	} {
		w := &writer{}
		context := w.context(c.length(w), w.add(radian))
		onePart(w, "box", []int{w.standard("datum", 1, 2, 3), w.solid("", vec(1, 2, 3), vec(3, 5, 8))}, context)
		m := w.model(t)
		wantSound(t, m)
		if len(m.Bodies) != 1 || len(m.Occurrences) != 1 || m.Occurrences[0].Path != "box" || m.Unit != c.unit {
			t.Fatalf("%s: %d bodies, occurrences %v, unit %q", c.unit, len(m.Bodies), m.Occurrences, m.Unit)
		}
		b := m.Bodies[0]
		if v := loopVolume(b); !near(v/(c.mm*c.mm*c.mm), 30, 1e-9) {
			t.Errorf("%s: volume %v, want 30 cubed units", c.unit, v)
		}
		if got := bodyBox(b); got.Min.Sub(vec(1, 2, 3).Mul(c.mm)).Norm() > 1e-9 || got.Max.Sub(vec(3, 5, 8).Mul(c.mm)).Norm() > 1e-9 {
			t.Errorf("%s: box %v", c.unit, got)
		}
		if !near(b.UncertaintyMM, 1e-5*c.mm, 1e-12) {
			t.Errorf("%s: uncertainty %v", c.unit, b.UncertaintyMM)
		}
		if len(m.Frames) != 1 || m.Frames[0].Name != "datum" || m.Frames[0].Motion.Translation.Sub(vec(1, 2, 3).Mul(c.mm)).Norm() > 1e-9 {
			t.Errorf("%s: frames %v", c.unit, m.Frames)
		}
		edges := map[*Edge]bool{}
		corners := map[*Vertex]bool{}
		for _, f := range b.Shells[0].Faces {
			for k := range f.Loops[0].Uses {
				e := f.Loops[0].Uses[k].Edge
				edges[e], corners[e.Start] = true, true
				// The line's vector has a length of 1.5 units.
				if l := math.Abs(e.T1-e.T0) * 1.5 * c.mm; !near(l, e.End.Point.Sub(e.Start.Point).Norm(), 1e-9) {
					t.Errorf("%s: edge #%d runs from %v to %v", c.unit, e.ID, e.T0, e.T1)
				}
			}
		}
		if len(edges) != 12 || len(corners) != 8 {
			t.Errorf("%s: %d edges and %d vertices, want 12 and 8", c.unit, len(edges), len(corners))
		}
	}
}

// The oracle of orientation must see a flag that is wrong.
func TestSoundnessSeesAWrongFlag(t *testing.T) {
	w := &writer{}
	onePart(w, "box", []int{w.solid("", vec(0, 0, 0), vec(1, 1, 1))}, w.millimetres())
	text := string(w.file())
	at := strings.LastIndex(text, ",.F.);\n#") // the sense of a face
	if at < 0 {
		t.Fatal("no face with a sense of .F.")
	}
	m, err := read([]byte(text[:at] + ",.T." + text[at+4:]))
	if err != nil {
		t.Fatal(err)
	}
	if c, _ := soundness(m.Bodies[0]); len(c) == 0 {
		t.Errorf("a face turned over goes unnoticed")
	}
	bound := strings.Index(text, "FACE_OUTER_BOUND(")
	flag := bound + strings.Index(text[bound:], ".T.")
	m, err = read([]byte(text[:flag] + ".F." + text[flag+3:]))
	if err != nil {
		t.Fatal(err)
	}
	if c, _ := soundness(m.Bodies[0]); len(c) == 0 {
		t.Errorf("a bound turned over goes unnoticed")
	}
}

func TestVoidsTurnTheirShell(t *testing.T) {
	for _, complexForm := range []bool{false, true} {
		w := &writer{}
		outer := w.box(vec(0, 0, 0), vec(4, 4, 4))
		cavity := w.add("ORIENTED_CLOSED_SHELL('',*,#%d,.F.)", w.box(vec(1, 1, 1), vec(2, 3, 2)))
		var solid int
		if complexForm {
			solid = w.add("( BREP_WITH_VOIDS((#%d)) FACETED_BREP() GEOMETRIC_REPRESENTATION_ITEM() MANIFOLD_SOLID_BREP(#%d) REPRESENTATION_ITEM('hollow') SOLID_MODEL() )", cavity, outer)
		} else {
			solid = w.add("BREP_WITH_VOIDS('hollow',#%d,(#%d))", outer, cavity)
		}
		onePart(w, "casing", []int{solid}, w.millimetres())
		m := w.model(t)
		wantSound(t, m)
		b := m.Bodies[0]
		if b.Name != "hollow" || len(b.Shells) != 2 || b.Shells[0].Void || !b.Shells[1].Void || !b.Shells[1].Reversed {
			t.Fatalf("body %+v", b)
		}
		if v := loopVolume(b); !near(v, 64-2, 1e-9) {
			t.Errorf("volume %v, want 62", v)
		}
	}
}

func TestFacetedBrep(t *testing.T) {
	// A tetrahedron whose polygons share no point, with and without planes.
	corners := []r3.Vector{vec(0, 0, 0), vec(3, 0, 0), vec(0, 4, 0), vec(0, 0, 5)}
	for _, planes := range []bool{true, false} {
		w := &writer{}
		var faces []int
		for _, f := range [4][3]int{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}} {
			var points []int
			for _, k := range f {
				points = append(points, w.point(corners[k].X, corners[k].Y, corners[k].Z))
			}
			bound := w.add("FACE_OUTER_BOUND('',#%d,.T.)", w.add("POLY_LOOP('',%s)", refs(points)))
			if planes {
				n := corners[f[1]].Sub(corners[f[0]]).Cross(corners[f[2]].Sub(corners[f[0]]))
				faces = append(faces, w.add("FACE_SURFACE('',(#%d),#%d,.F.)", bound,
					w.add("PLANE('',#%d)", w.placement("", corners[f[0]], n.Mul(-1), corners[f[1]].Sub(corners[f[0]])))))
			} else {
				faces = append(faces, w.add("FACE('',(#%d))", bound))
			}
		}
		onePart(w, "wedge", []int{w.add("FACETED_BREP('',#%d)", w.add("CLOSED_SHELL('',%s)", refs(faces)))}, w.millimetres())
		m := w.model(t)
		wantSound(t, m)
		if v := loopVolume(m.Bodies[0]); !near(v, 10, 1e-9) {
			t.Errorf("volume %v, want 3 x 4 x 5 / 6 = 10", v)
		}
	}
}

func TestSurfaceModels(t *testing.T) {
	for _, c := range []string{"SHELL_BASED_SURFACE_MODEL('skin',(#%d))", "FACE_BASED_SURFACE_MODEL('skin',(#%d))"} {
		w := &writer{}
		onePart(w, "sheet", []int{w.add(c, w.box(vec(0, 0, 0), vec(1, 2, 3)))}, w.millimetres())
		m := w.model(t)
		wantSound(t, m)
		if b := m.Bodies[0]; !b.Sheet || b.Name != "skin" || len(b.Shells[0].Faces) != 6 {
			t.Errorf("%s: body %+v", c, b)
		}
	}
}

// assembly: frame holds two arms, each arm holds a pin turned a quarter about z.
func assembly(swapRepresentations, swapItems bool) *writer {
	w := &writer{}
	mm := w.millimetres()
	inch := w.context(w.inch(), w.add(radian))
	pin, arm, frame := w.product("pin"), w.product("arm"), w.product("frame")

	pinOrigin := w.standard("", 0, 0, 0)
	pinShape := w.shape([]int{pinOrigin, w.solid("", vec(0, 0, 0), vec(1, 2, 3))}, mm)
	w.shows(pin, pinShape)

	// The arm is drawn in inches.
	seat := w.placement("", vec(10, 0, 0), vec(0, 0, 1), vec(0, 1, 0))
	armOrigin := w.standard("", 0, 0, 0)
	armShape := w.add("SHAPE_REPRESENTATION('',(#%d,#%d),#%d)", armOrigin, seat, inch)
	w.shows(arm, armShape)
	// Its body hangs on a representation of its own, linked either way round.
	armBody := w.shape([]int{w.solid("", vec(0, 0, 0), vec(1, 1, 1))}, inch)
	if swapRepresentations {
		w.add("SHAPE_REPRESENTATION_RELATIONSHIP('','',#%d,#%d)", armBody, armShape)
	} else {
		w.add("SHAPE_REPRESENTATION_RELATIONSHIP('','',#%d,#%d)", armShape, armBody)
	}

	left, right := w.standard("", 0, -100, 0), w.standard("", 0, 100, 0)
	frameShape := w.add("SHAPE_REPRESENTATION('',(#%d,#%d),#%d)", left, right, mm)
	w.shows(frame, frameShape)

	place := func(parent, child, parentShape, childShape, parentItem, childItem int) {
		first, second, item1, item2 := childShape, parentShape, childItem, parentItem
		if swapRepresentations {
			first, second, item1, item2 = second, first, item2, item1
		}
		if swapItems {
			item1, item2 = item2, item1
		}
		w.component(parent, child, first, second, item1, item2)
	}
	place(arm, pin, armShape, pinShape, seat, pinOrigin)
	place(frame, arm, frameShape, armShape, left, armOrigin)
	place(frame, arm, frameShape, armShape, right, armOrigin)
	return w
}

func TestAssemblies(t *testing.T) {
	for _, swapRepresentations := range []bool{false, true} {
		for _, swapItems := range []bool{false, true} {
			m := assembly(swapRepresentations, swapItems).model(t)
			var got []string
			for _, o := range m.Occurrences {
				p := o.Motion.Point(vec(1, 2, 3))
				got = append(got, fmt.Sprintf("%s %.4f %.4f %.4f", o.Path, p.X, p.Y, p.Z))
			}
			// The pin's x turns to y and its y to -x at 10 inches.
			want := []string{
				"frame/arm 1.0000 -98.0000 3.0000",
				"frame/arm/pin 252.0000 -99.0000 3.0000",
				"frame/arm 1.0000 102.0000 3.0000",
				"frame/arm/pin 252.0000 101.0000 3.0000",
			}
			if !reflect.DeepEqual(got, want) {
				t.Errorf("swapped representations %v, items %v:\ngot  %q\nwant %q", swapRepresentations, swapItems, got, want)
			}
			if len(m.Bodies) != 2 || !near(loopVolume(m.Bodies[0]), 25.4*25.4*25.4, 1e-6) {
				t.Errorf("%d bodies, the arm of %v mm3", len(m.Bodies), loopVolume(m.Bodies[0]))
			}
		}
	}
}

func TestMappedItems(t *testing.T) {
	w := &writer{}
	mm := w.millimetres()
	origin := w.standard("", 0, 0, 1)
	part := w.shape([]int{w.solid("block", vec(0, 0, 0), vec(1, 1, 1))}, mm)
	source := w.add("REPRESENTATION_MAP(#%d,#%d)", origin, part)
	moved := w.add("MAPPED_ITEM('',#%d,#%d)", source, w.standard("", 5, 0, 0))
	operator := w.add("CARTESIAN_TRANSFORMATION_OPERATOR_3D('','',$,#%d,#%d,#%d,2.,#%d)", w.direction(0, 1, 0), w.direction(-1, 0, 0), w.point(0, 7, 0), w.direction(0, 0, 1))
	scaled := w.add("MAPPED_ITEM('',#%d,#%d)", source, operator)
	w.shows(w.product("tray"), w.add("SHAPE_REPRESENTATION('',(#%d,#%d),#%d)", moved, scaled, mm))
	m := w.model(t)
	wantSound(t, m)
	if len(m.Occurrences) != 2 || len(m.Bodies) != 1 {
		t.Fatalf("occurrences %v", m.Occurrences)
	}
	if p := m.Occurrences[0].Motion.Point(vec(1, 2, 3)); p.Sub(vec(6, 2, 2)).Norm() > 1e-12 {
		t.Errorf("moved: %v, want (6, 2, 2)", p)
	}
	// Twice the size, x to y and y to -x.
	if p := m.Occurrences[1].Motion.Point(vec(1, 2, 3)); p.Sub(vec(-4, 9, 4)).Norm() > 1e-12 {
		t.Errorf("scaled: %v, want (-4, 9, 4)", p)
	}
}

func TestStraysCyclesAndNames(t *testing.T) {
	w := &writer{}
	mm := w.millimetres()
	a, b := w.product("a"), w.product("b")
	shapeA := w.shape([]int{w.solid("one", vec(0, 0, 0), vec(1, 1, 1)), w.solid("two", vec(2, 0, 0), vec(3, 1, 1))}, mm)
	w.shows(a, shapeA)
	w.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE('1','','',#%d,#%d,$)", a, b)
	w.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE('2','','',#%d,#%d,$)", b, b)
	w.solid("lost", vec(0, 0, 0), vec(1, 1, 1))
	m := w.model(t)
	var paths []string
	for _, o := range m.Occurrences {
		paths = append(paths, o.Path)
	}
	if want := []string{"a", "a", "lost"}; !reflect.DeepEqual(paths, want) {
		t.Errorf("paths %q, want %q", paths, want)
	}
	notes := fmt.Sprint(m.Notes)
	for _, want := range []string{"component of itself", "belongs to no product"} {
		if !strings.Contains(notes, want) {
			t.Errorf("notes %s: want one of %q", notes, want)
		}
	}
}

func TestEveryCopyBoundsItsMemory(t *testing.T) {
	// Each level holds the one below twice: 2^40 blocks.
	w := &writer{}
	mm := w.millimetres()
	at := w.standard("", 0, 0, 0)
	below := w.shape([]int{w.solid("", vec(0, 0, 0), vec(1, 1, 1))}, mm)
	for range 40 {
		item := w.add("MAPPED_ITEM('',#%d,#%d)", w.add("REPRESENTATION_MAP(#%d,#%d)", at, below), at)
		below = w.add("SHAPE_REPRESENTATION('',(#%d,#%d),#%d)", item, item, mm)
	}
	w.shows(w.product("bomb"), below)
	if _, err := read(w.file()); err == nil || !strings.Contains(err.Error(), "more than") {
		t.Errorf("error %v, want one about too many", err)
	}
}

func TestSharedLoopsBoundTheirMemory(t *testing.T) {
	// Three thousand faces of one loop of a thousand uses.
	w := &writer{}
	v := w.vertex(1, 0, 0)
	use := w.add("ORIENTED_EDGE('',*,*,#%d,.T.)", w.add("EDGE_CURVE('',#%d,#%d,#%d,.T.)", v, v, w.add("CIRCLE('',#%d,1.)", w.standard("", 0, 0, 0))))
	uses := make([]int, 1000)
	for k := range uses {
		uses[k] = use
	}
	bound := w.add("FACE_BOUND('',#%d,.T.)", w.add("EDGE_LOOP('',%s)", refs(uses)))
	plane := w.add("PLANE('',#%d)", w.standard("", 0, 0, 0))
	faces := make([]int, 3000)
	for k := range faces {
		faces[k] = w.add("ADVANCED_FACE('',(#%d),#%d,.T.)", bound, plane)
	}
	onePart(w, "bomb", []int{w.sheetOf(faces...)}, w.millimetres())
	if _, err := read(w.file()); err == nil || !strings.Contains(err.Error(), "shares its topology") {
		t.Errorf("error %v, want one about sharing", err)
	}
	// A solid and a sheet over the same shell is no crime.
	w = &writer{}
	shell := w.box(vec(0, 0, 0), vec(1, 1, 1))
	onePart(w, "both", []int{w.add("MANIFOLD_SOLID_BREP('',#%d)", shell), w.add("SHELL_BASED_SURFACE_MODEL('',(#%d))", shell)}, w.millimetres())
	m := w.model(t)
	wantSound(t, m)
	if len(m.Bodies) != 2 || m.Bodies[0].Shells[0].Faces[0].Loops[0].Uses[0].Edge != m.Bodies[1].Shells[0].Faces[0].Loops[0].Uses[0].Edge {
		t.Errorf("bodies %v do not share their edges", m.Bodies)
	}
}

func TestFilesWithoutABody(t *testing.T) {
	for name, c := range map[string]struct {
		write func(w *writer)
		want  []string
	}{
		"references": {func(w *writer) {
			w.add("DOCUMENT_FILE('left_half.stp','','',#%d,'',$)", w.add("DOCUMENT_TYPE('geometry')"))
		}, []string{"left_half.stp", "#2 DOCUMENT_FILE"}},
		"wireframe": {func(w *writer) {
			onePart(w, "wire", []int{w.add("GEOMETRIC_CURVE_SET('',(#%d))", w.point(0, 0, 0))}, w.millimetres())
		}, []string{"wireframe", "GEOMETRIC_CURVE_SET"}},
		"construction": {func(w *writer) {
			onePart(w, "csg", []int{w.add("BLOCK('',#%d,1.,2.,3.)", w.standard("", 0, 0, 0))}, w.millimetres())
		}, []string{"BLOCK", "by construction"}},
		"nothing": {func(w *writer) { w.point(0, 0, 0) }, []string{"no solid", "1 instances"}},
		"broken": {func(w *writer) {
			onePart(w, "broken", []int{w.add("MANIFOLD_SOLID_BREP('',#%d)", w.point(0, 0, 0))}, w.millimetres())
		}, []string{"#2", "shell"}},
	} {
		w := &writer{}
		c.write(w)
		_, err := read(w.file())
		if err == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		for _, want := range c.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q does not say %q", name, err, want)
			}
		}
	}
	text := []byte("ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\nFILE_SCHEMA(('X'));\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n")
	f, err := part21.Parse(text, part21.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Read(f); err == nil || !strings.Contains(err.Error(), "vocabulary") {
		t.Errorf("a file parsed with another vocabulary: %v", err)
	}
}

// loopFace writes a face over a surface, bounded by one loop of one closed edge.
func (w *writer) loopFace(surface, edge int, forward string) int {
	l := w.add("EDGE_LOOP('',(#%d))", w.add("ORIENTED_EDGE('',*,*,#%d,%s)", edge, forward))
	return w.add("ADVANCED_FACE('',(#%d),#%d,.T.)", w.add("FACE_BOUND('',#%d,.T.)", l), surface)
}

func (w *writer) sheetOf(faces ...int) int {
	return w.add("SHELL_BASED_SURFACE_MODEL('',(#%d))", w.add("OPEN_SHELL('',%s)", refs(faces)))
}

func TestAFaceThatIsNotUnderstoodSaysSo(t *testing.T) {
	w := &writer{}
	v := w.vertex(1, 0, 0)
	circle := w.add("CIRCLE('',#%d,1.)", w.standard("", 0, 0, 0))
	edge := w.add("EDGE_CURVE('',#%d,#%d,#%d,.T.)", v, v, circle)
	strange := w.loopFace(w.add("SURFACE_OF_DREAMS('',#%d)", v), edge, ".T.")
	badRadius := w.loopFace(w.add("CYLINDRICAL_SURFACE('',#%d,-1.)", w.standard("", 0, 0, 0)), edge, ".F.")
	badEdge := w.add("EDGE_CURVE('',#%d,#%d,#%d,.T.)", w.vertex(0, 0, 0), w.vertex(2, 0, 0), w.add("CURVE_OF_DREAMS('')"))
	plain := w.loopFace(w.add("PLANE('',#%d)", w.standard("", 0, 0, 0)), badEdge, ".T.")
	onePart(w, "odd", []int{w.sheetOf(strange, badRadius, plain)}, w.millimetres())
	m := w.model(t)
	faces := m.Bodies[0].Shells[0].Faces
	if len(faces) != 3 {
		t.Fatalf("%d faces", len(faces))
	}
	if f := faces[0]; f.Surface != nil || !strings.Contains(f.Err, "SURFACE_OF_DREAMS") || len(f.Loops) != 1 {
		t.Errorf("face %+v", f)
	}
	if f := faces[1]; f.Surface != nil || !strings.Contains(f.Err, "radius") || !strings.Contains(f.Err, "CYLINDRICAL_SURFACE") {
		t.Errorf("face %+v", f)
	}
	e := faces[2].Loops[0].Uses[0].Edge
	if !strings.Contains(e.Err, "CURVE_OF_DREAMS") || e.Curve.Point((e.T0+e.T1)/2).Sub(vec(1, 0, 0)).Norm() > 1e-12 {
		t.Errorf("edge %+v", e)
	}
	notes := fmt.Sprint(m.Notes)
	for _, f := range faces[:2] {
		if !strings.Contains(notes, fmt.Sprintf("#%d", f.ID)) {
			t.Errorf("notes %s: none for face #%d", notes, f.ID)
		}
	}
	if !strings.Contains(notes, fmt.Sprintf("#%d", e.ID)) {
		t.Errorf("notes %s: none for edge #%d", notes, e.ID)
	}
}

// Each case writes one edge from (1, 0, 0) and says what the edge should be.
func TestEdgesOfEveryCurve(t *testing.T) {
	quarter := math.Pi / 2
	type edge struct {
		name       string
		write      func(w *writer) int // the curve
		start, end r3.Vector           // equal for a closed edge
		same       string
		t0, t1     float64
		middle     r3.Vector
	}
	s := math.Sqrt2 / 2
	circle := func(w *writer) int { return w.add("CIRCLE('',#%d,1.)", w.standard("", 0, 0, 0)) }
	spline := func(w *writer) int {
		return w.add("B_SPLINE_CURVE_WITH_KNOTS('',2,%s,.UNSPECIFIED.,.F.,.F.,(3,3),(0.,2.),.UNSPECIFIED.)", refs([]int{w.point(1, 0, 0), w.point(2, 2, 0), w.point(3, 0, 0)}))
	}
	// A square polygon closed on itself, of straight segments.
	closedSpline := func(w *writer) int {
		return w.add("B_SPLINE_CURVE_WITH_KNOTS('',1,%s,.UNSPECIFIED.,.T.,.F.,(2,1,1,1,2),(0.,1.,2.,3.,4.),.UNSPECIFIED.)",
			refs([]int{w.point(1, 0, 0), w.point(1, 1, 0), w.point(0, 1, 0), w.point(0, 0, 0), w.point(1, 0, 0)}))
	}
	trimmed := func(w *writer, basis int, trims, sense, master string) int {
		return w.add("TRIMMED_CURVE('',#%d,%s,%s,.%s.)", basis, trims, sense, master)
	}
	line := func(w *writer, x, y, dx, dy float64) int {
		return w.add("LINE('',#%d,#%d)", w.point(x, y, 0), w.add("VECTOR('',#%d,1.)", w.direction(dx, dy, 0)))
	}
	cases := []edge{
		{"quarter", circle, vec(1, 0, 0), vec(0, 1, 0), ".T.", 0, quarter, vec(s, s, 0)},
		{"three quarters against", circle, vec(1, 0, 0), vec(0, 1, 0), ".F.", 0, quarter - 2*math.Pi, vec(-s, -s, 0)},
		{"three quarters over the seam", circle, vec(0, 1, 0), vec(1, 0, 0), ".T.", quarter, 2 * math.Pi, vec(-s, -s, 0)},
		{"whole circle", circle, vec(1, 0, 0), vec(1, 0, 0), ".T.", 0, 2 * math.Pi, vec(-1, 0, 0)},
		{"whole circle from its top, against", circle, vec(0, 1, 0), vec(0, 1, 0), ".F.", quarter, quarter - 2*math.Pi, vec(0, -1, 0)},
		{"half ellipse", func(w *writer) int { return w.add("ELLIPSE('',#%d,2.,1.)", w.standard("", 0, 0, 0)) }, vec(2, 0, 0), vec(-2, 0, 0), ".T.", 0, math.Pi, vec(0, 1, 0)},
		{"parabola", func(w *writer) int { return w.add("PARABOLA('',#%d,1.)", w.standard("", 0, 0, 0)) }, vec(1, -2, 0), vec(1, 2, 0), ".T.", -1, 1, vec(0, 0, 0)},
		{"hyperbola", func(w *writer) int { return w.add("HYPERBOLA('',#%d,1.,1.)", w.standard("", 0, 0, 0)) }, vec(1.25, -0.75, 0), vec(1.25, 0.75, 0), ".T.", -math.Ln2, math.Ln2, vec(1, 0, 0)},
		{"spline", spline, vec(1, 0, 0), vec(3, 0, 0), ".T.", 0, 2, vec(2, 1, 0)},
		{"spline against", spline, vec(3, 0, 0), vec(1, 0, 0), ".F.", 2, 0, vec(2, 1, 0)},
		{"part of a spline", spline, vec(1.5, 0.75, 0), vec(3, 0, 0), ".T.", 0.5, 2, vec(2.25, 0.9375, 0)},
		{"whole closed spline", closedSpline, vec(1, 0, 0), vec(1, 0, 0), ".T.", 0, 4, vec(0, 1, 0)},
		{"closed spline over its seam", closedSpline, vec(0.5, 0, 0), vec(1, 0.5, 0), ".T.", 3.5, 4.5, vec(1, 0, 0)},
		{"polyline", func(w *writer) int {
			return w.add("POLYLINE('',%s)", refs([]int{w.point(0, 0, 0), w.point(2, 0, 0), w.point(2, 2, 0)}))
		}, vec(1, 0, 0), vec(2, 1, 0), ".T.", 0.5, 1.5, vec(2, 0, 0)},
		{"circle trimmed by parameters", func(w *writer) int {
			return trimmed(w, circle(w), "(PARAMETER_VALUE(0.)),(PARAMETER_VALUE(3.))", ".T.", "PARAMETER")
		}, vec(1, 0, 0), vec(0, 1, 0), ".T.", 0, quarter, vec(s, s, 0)},
		{"circle trimmed by points, backwards", func(w *writer) int {
			return trimmed(w, circle(w), fmt.Sprintf("(#%d),(#%d)", w.point(0, 1, 0), w.point(1, 0, 0)), ".F.", "CARTESIAN")
		}, vec(0, 1, 0), vec(1, 0, 0), ".T.", 0, quarter, vec(s, s, 0)},
		{"composite", func(w *writer) int {
			first := trimmed(w, line(w, 0, 0, 1, 0), "(PARAMETER_VALUE(0.)),(PARAMETER_VALUE(2.))", ".T.", "PARAMETER")
			second := trimmed(w, line(w, 2, 2, 0, -1), "(PARAMETER_VALUE(0.)),(PARAMETER_VALUE(2.))", ".T.", "PARAMETER")
			return w.add("COMPOSITE_CURVE('',(#%d,#%d),.F.)", w.add("COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,#%d)", first), w.add("COMPOSITE_CURVE_SEGMENT(.DISCONTINUOUS.,.F.,#%d)", second))
		}, vec(1, 0, 0), vec(2, 1, 0), ".T.", 1, 3, vec(2, 0, 0)},
		{"offset", func(w *writer) int {
			return w.add("OFFSET_CURVE_3D('',#%d,1.,.F.,#%d)", line(w, 0, 0, 1, 0), w.direction(0, 0, 1))
		}, vec(1, 1, 0), vec(3, 1, 0), ".T.", 1, 3, vec(2, 1, 0)},
		{"surface curve", func(w *writer) int {
			return w.add("SURFACE_CURVE('',#%d,(#%d),.CURVE_3D.)", circle(w), w.add("PLANE('',#%d)", w.standard("", 0, 0, 0)))
		}, vec(1, 0, 0), vec(0, 1, 0), ".T.", 0, quarter, vec(s, s, 0)},
		{"parameter curve alone", func(w *writer) int {
			cylinder := w.add("CYLINDRICAL_SURFACE('',#%d,1.)", w.standard("", 0, 0, 0))
			flat := w.add("POLYLINE('',(#%d,#%d))", w.add("CARTESIAN_POINT('',(0.,0.))"), w.add("CARTESIAN_POINT('',(%.15f,4.))", quarter))
			context := w.add("( GEOMETRIC_REPRESENTATION_CONTEXT(2) PARAMETRIC_REPRESENTATION_CONTEXT() REPRESENTATION_CONTEXT('2D','') )")
			return w.add("PCURVE('',#%d,#%d)", cylinder, w.add("DEFINITIONAL_REPRESENTATION('',(#%d),#%d)", flat, context))
		}, vec(1, 0, 0), vec(0, 1, 4), ".T.", 0, 1, vec(s, s, 2)},
		{"quasi-uniform", func(w *writer) int {
			return w.add("QUASI_UNIFORM_CURVE('',2,%s,.UNSPECIFIED.,.F.,.F.)", refs([]int{w.point(1, 0, 0), w.point(2, 2, 0), w.point(3, 0, 0)}))
		}, vec(1, 0, 0), vec(3, 0, 0), ".T.", 0, 1, vec(2, 1, 0)},
		{"Bezier", func(w *writer) int {
			return w.add("BEZIER_CURVE('',2,%s,.UNSPECIFIED.,.F.,.F.)", refs([]int{w.point(1, 0, 0), w.point(2, 2, 0), w.point(3, 0, 0)}))
		}, vec(1, 0, 0), vec(3, 0, 0), ".T.", 0, 1, vec(2, 1, 0)},
		// A uniform quadratic starts and ends midway between its control points.
		{"uniform", func(w *writer) int {
			return w.add("UNIFORM_CURVE('',2,%s,.UNSPECIFIED.,.F.,.F.)", refs([]int{w.point(1, 0, 0), w.point(2, 2, 0), w.point(3, 0, 0)}))
		}, vec(1.5, 1, 0), vec(2.5, 1, 0), ".T.", 0, 1, vec(2, 1.5, 0)},
		{"rational", func(w *writer) int {
			return w.add("( BOUNDED_CURVE() B_SPLINE_CURVE(2,%s,.CIRCULAR_ARC.,.F.,.F.) B_SPLINE_CURVE_WITH_KNOTS((3,3),(0.,1.),.UNSPECIFIED.) CURVE() GEOMETRIC_REPRESENTATION_ITEM() RATIONAL_B_SPLINE_CURVE((1.,%.15f,1.)) REPRESENTATION_ITEM('') )",
				refs([]int{w.point(1, 0, 0), w.point(1, 1, 0), w.point(0, 1, 0)}), s)
		}, vec(1, 0, 0), vec(0, 1, 0), ".T.", 0, 1, vec(s, s, 0)},
		{"rational Bezier", func(w *writer) int {
			return w.add("( BEZIER_CURVE() BOUNDED_CURVE() B_SPLINE_CURVE(2,%s,.CIRCULAR_ARC.,.F.,.F.) CURVE() GEOMETRIC_REPRESENTATION_ITEM() RATIONAL_B_SPLINE_CURVE((1.,%.15f,1.)) REPRESENTATION_ITEM('') )",
				refs([]int{w.point(1, 0, 0), w.point(1, 1, 0), w.point(0, 1, 0)}), s)
		}, vec(1, 0, 0), vec(0, 1, 0), ".T.", 0, 1, vec(s, s, 0)},
	}
	for _, c := range cases {
		w := &writer{}
		v0 := w.vertex(c.start.X, c.start.Y, c.start.Z)
		v1 := v0
		if c.end != c.start {
			v1 = w.vertex(c.end.X, c.end.Y, c.end.Z)
		}
		e := w.add("EDGE_CURVE('',#%d,#%d,#%d,%s)", v0, v1, c.write(w), c.same)
		onePart(w, "edge", []int{w.sheetOf(w.loopFace(w.add("PLANE('',#%d)", w.standard("", 0, 0, 0)), e, ".T."))}, w.millimetres())
		m := w.model(t)
		got := m.Bodies[0].Shells[0].Faces[0].Loops[0].Uses[0].Edge
		if got.Err != "" || !near(got.T0, c.t0, 1e-7) || !near(got.T1, c.t1, 1e-7) || got.MissMM > 1e-9 {
			t.Errorf("%s: from %v to %v, %g off, error %q; want %v to %v", c.name, got.T0, got.T1, got.MissMM, got.Err, c.t0, c.t1)
			continue
		}
		if p := got.Curve.Point((got.T0 + got.T1) / 2); p.Sub(c.middle).Norm() > 1e-7 {
			t.Errorf("%s: its middle is %v, want %v", c.name, p, c.middle)
		}
		for _, n := range m.Notes {
			t.Errorf("%s: note %v", c.name, n)
		}
	}
}

func TestVertexOffItsCurveIsTold(t *testing.T) {
	w := &writer{}
	e := w.add("EDGE_CURVE('',#%d,#%d,#%d,.T.)", w.vertex(1.5, 0, 0), w.vertex(0, 1, 0), w.add("CIRCLE('',#%d,1.)", w.standard("", 0, 0, 0)))
	onePart(w, "edge", []int{w.sheetOf(w.loopFace(w.add("PLANE('',#%d)", w.standard("", 0, 0, 0)), e, ".T."))}, w.millimetres())
	m := w.model(t)
	if got := m.Bodies[0].Shells[0].Faces[0].Loops[0].Uses[0].Edge.MissMM; !near(got, 0.5, 1e-12) {
		t.Errorf("MissMM %v, want 0.5", got)
	}
	if len(m.Notes) != 1 || m.Notes[0].Place != fmt.Sprintf("#%d", e) || !strings.Contains(m.Notes[0].Says, "0.5 mm") {
		t.Errorf("notes %v", m.Notes)
	}
}

// Each case writes one surface in degrees and inches, and gives a point of it in millimetres.
func TestSurfacesInDegreesAndInches(t *testing.T) {
	const inch = 25.4
	deg := math.Pi / 180
	grid := func(w *writer) string {
		var rows []string
		for i := range 3 {
			rows = append(rows, refs([]int{w.point(float64(i), 0, 0), w.point(float64(i), 2, float64(i%2))}))
		}
		return "(" + strings.Join(rows, ",") + ")"
	}
	line := func(w *writer) int {
		return w.add("LINE('',#%d,#%d)", w.point(1, 0, 0), w.add("VECTOR('',#%d,2.)", w.direction(0, 0, 3)))
	}
	// A sweep of a straight b-spline stays a sweep.
	straight := func(w *writer) int {
		return w.add("B_SPLINE_CURVE_WITH_KNOTS('',1,(#%d,#%d),.UNSPECIFIED.,.F.,.F.,(2,2),(0.,1.),.UNSPECIFIED.)", w.point(1, 0, 0), w.point(1, 0, 2))
	}
	for _, c := range []struct {
		name  string
		write func(w *writer) int
		kind  mesh.SurfaceKind
		at    r2.Point
		want  r3.Vector // inches
	}{
		{"plane", func(w *writer) int { return w.add("PLANE('',#%d)", w.standard("", 0, 0, 0)) }, mesh.Plane, r2.Point{X: inch, Y: 2 * inch}, vec(1, 2, 0)},
		{"cylinder", func(w *writer) int { return w.add("CYLINDRICAL_SURFACE('',#%d,2.)", w.standard("", 0, 0, 0)) }, mesh.Cylinder, r2.Point{X: 90 * deg, Y: inch}, vec(0, 2, 1)},
		{"cone of 45 degrees", func(w *writer) int { return w.add("CONICAL_SURFACE('',#%d,2.,45.)", w.standard("", 0, 0, 0)) }, mesh.Cone, r2.Point{Y: 3 * inch}, vec(5, 0, 3)},
		{"sphere", func(w *writer) int { return w.add("SPHERICAL_SURFACE('',#%d,2.)", w.standard("", 0, 0, 1)) }, mesh.Sphere, r2.Point{Y: 90 * deg}, vec(0, 0, 3)},
		{"torus", func(w *writer) int { return w.add("TOROIDAL_SURFACE('',#%d,3.,1.)", w.standard("", 0, 0, 0)) }, mesh.Torus, r2.Point{X: 90 * deg, Y: 90 * deg}, vec(0, 3, 1)},
		{"lemon", func(w *writer) int {
			return w.add("DEGENERATE_TOROIDAL_SURFACE('',#%d,1.,2.,.F.)", w.standard("", 0, 0, 0))
		}, mesh.Revolution, r2.Point{Y: 180 * deg}, vec(-1, 0, 0)},
		{"revolved line", func(w *writer) int {
			return w.add("SURFACE_OF_REVOLUTION('',#%d,#%d)", line(w), w.add("AXIS1_PLACEMENT('',#%d,#%d)", w.point(0, 0, 0), w.direction(0, 0, 1)))
		}, mesh.Cylinder, r2.Point{X: 90 * deg, Y: inch}, vec(0, 1, 1)},
		{"revolution", func(w *writer) int {
			return w.add("SURFACE_OF_REVOLUTION('',#%d,#%d)", straight(w), w.add("AXIS1_PLACEMENT('',#%d,#%d)", w.point(0, 0, 0), w.direction(0, 0, 1)))
		}, mesh.Revolution, r2.Point{X: 90 * deg, Y: 1}, vec(0, 1, 2)},
		{"extrusion", func(w *writer) int {
			return w.add("SURFACE_OF_LINEAR_EXTRUSION('',#%d,#%d)", straight(w), w.add("VECTOR('',#%d,5.)", w.direction(0, 1, 0)))
		}, mesh.Extrusion, r2.Point{X: 1, Y: 2}, vec(1, 10, 2)},
		{"offset", func(w *writer) int {
			return w.add("OFFSET_SURFACE('',#%d,0.5,.F.)", w.add("CYLINDRICAL_SURFACE('',#%d,2.)", w.standard("", 0, 0, 0)))
		}, mesh.Cylinder, r2.Point{}, vec(2.5, 0, 0)},
		{"trimmed", func(w *writer) int {
			return w.add("RECTANGULAR_TRIMMED_SURFACE('',#%d,90.,180.,1.,2.,.T.,.T.)", w.add("CYLINDRICAL_SURFACE('',#%d,2.)", w.standard("", 0, 0, 0)))
		}, mesh.Cylinder, r2.Point{}, vec(0, 2, 1)},
		{"bounded by curves", func(w *writer) int {
			return w.add("CURVE_BOUNDED_SURFACE('',#%d,(),.F.)", w.add("PLANE('',#%d)", w.standard("", 0, 0, 4)))
		}, mesh.Plane, r2.Point{}, vec(0, 0, 4)},
		{"spline", func(w *writer) int {
			return w.add("B_SPLINE_SURFACE_WITH_KNOTS('',2,1,%s,.UNSPECIFIED.,.F.,.F.,.F.,(3,3),(2,2),(0.,1.),(0.,4.),.UNSPECIFIED.)", grid(w))
		}, mesh.BSpline, r2.Point{X: 0.5, Y: 4}, vec(1, 2, 0.5)},
		{"quasi-uniform", func(w *writer) int {
			return w.add("QUASI_UNIFORM_SURFACE('',2,1,%s,.UNSPECIFIED.,.F.,.F.,.F.)", grid(w))
		}, mesh.BSpline, r2.Point{X: 0.5, Y: 1}, vec(1, 2, 0.5)},
		{"Bezier", func(w *writer) int { return w.add("BEZIER_SURFACE('',2,1,%s,.UNSPECIFIED.,.F.,.F.,.F.)", grid(w)) }, mesh.BSpline, r2.Point{X: 0.5, Y: 1}, vec(1, 2, 0.5)},
		{"uniform", func(w *writer) int { return w.add("UNIFORM_SURFACE('',2,1,%s,.UNSPECIFIED.,.F.,.F.,.F.)", grid(w)) }, mesh.BSpline, r2.Point{X: 0.5, Y: 1}, vec(1, 2, 0.75)},
		{"rational", func(w *writer) int {
			return w.add("( BOUNDED_SURFACE() B_SPLINE_SURFACE(2,1,%s,.UNSPECIFIED.,.F.,.F.,.F.) B_SPLINE_SURFACE_WITH_KNOTS((3,3),(2,2),(0.,1.),(0.,1.),.UNSPECIFIED.) GEOMETRIC_REPRESENTATION_ITEM() RATIONAL_B_SPLINE_SURFACE(((1.,1.),(3.,3.),(1.,1.))) REPRESENTATION_ITEM('') SURFACE() )", grid(w))
			// The middle row weighs 3 x 1/2 against 2 x 1/4.
		}, mesh.BSpline, r2.Point{X: 0.5, Y: 1}, vec(1, 2, 0.75)},
	} {
		w := &writer{}
		v := w.vertex(0, 0, 0)
		loop := w.add("VERTEX_LOOP('',#%d)", v)
		face := w.add("ADVANCED_FACE('',(#%d),#%d,.T.)", w.add("FACE_BOUND('',#%d,.T.)", loop), c.write(w))
		onePart(w, "face", []int{w.sheetOf(face)}, w.context(w.inch(), w.degree()))
		m := w.model(t)
		f := m.Bodies[0].Shells[0].Faces[0]
		if f.Err != "" || f.Surface == nil {
			t.Errorf("%s: %s", c.name, f.Err)
			continue
		}
		if len(f.Loops) != 1 || f.Loops[0].Vertex == nil {
			t.Errorf("%s: loops %v", c.name, f.Loops)
		}
		if p := f.Surface.Point(c.at.X, c.at.Y); p.Sub(c.want.Mul(inch)).Norm() > 1e-9 {
			t.Errorf("%s: %v inches, want %v", c.name, p.Mul(1/inch), c.want)
		}
		if k := f.Surface.Face().Kind; k != c.kind {
			t.Errorf("%s: a %v, want %v", c.name, k, c.kind)
		}
	}
}

func TestTessellated(t *testing.T) {
	w := &writer{}
	points := w.add("COORDINATES_LIST('',4,((0.,0.,0.),(3.,0.,0.),(0.,4.,0.),(0.,0.,5.)))")
	floor := w.add("TRIANGULATED_FACE('',#%d,3,(),$,(1,3,2),((1,2,3)))", points)
	// A strip of two triangles, the second turned, and a fan of one.
	walls := w.add("COMPLEX_TRIANGULATED_FACE('',#%d,4,(),$,(),((3,1,4,2)),((2,3,4)))", points)
	solid := w.add("TESSELLATED_SOLID('cut',(#%d,#%d),$)", floor, walls)
	onePart(w, "facets", []int{solid}, w.context(w.inch(), w.add(radian)))
	m := w.model(t)
	wantSound(t, m)
	b := m.Bodies[0]
	if b.Facets == nil || len(b.Facets.Triangles) != 4 || len(b.Facets.Vertices) != 4 || b.Name != "cut" || b.Sheet {
		t.Fatalf("body %+v", b)
	}
	a := mesh.NewAudit(b.Facets)
	if !a.Closed() || !near(a.Shells[0].VolumeMM3, 10*25.4*25.4*25.4, 1e-6) {
		t.Errorf("closed %v, shells %v, want 10 cubic inches", a.Closed(), a.Shells)
	}
	if got := b.Facets.Faces; !reflect.DeepEqual(got, []int32{0, 1, 1, 1}) {
		t.Errorf("faces %v", got)
	}
	// Linked to an exact solid, or beside one in the same product, the triangles give way.
	for _, linked := range []bool{true, false} {
		w := &writer{}
		points := w.add("COORDINATES_LIST('',3,((0.,0.,0.),(3.,0.,0.),(0.,4.,0.)))")
		exact := w.solid("exact", vec(0, 0, 0), vec(1, 1, 1))
		link := "$"
		if linked {
			link = fmt.Sprint("#", exact)
		}
		face := w.add("TRIANGULATED_FACE('',#%d,3,(),$,(),((1,2,3)))", points)
		onePart(w, "both", []int{w.add("TESSELLATED_SOLID('shown',(#%d),%s)", face, link), exact}, w.millimetres())
		m := w.model(t)
		if len(m.Occurrences) != 1 || m.Bodies[m.Occurrences[0].Body].Name != "exact" || len(m.Notes) != 1 {
			t.Errorf("linked %v: occurrences %v, notes %v", linked, m.Occurrences, m.Notes)
		}
	}
	// An index past the list is an error, not a crash.
	text := strings.Replace(string(w.file()), "((3,1,4,2))", "((3,1,9,2))", 1)
	if _, err := read([]byte(text)); err == nil || !strings.Contains(err.Error(), "point 9 of 4") {
		t.Errorf("error %v", err)
	}
}

// B4: what is made in parallel does not depend on the number of cores.
func TestSameModelAtAnyNumberOfCores(t *testing.T) {
	w := &writer{}
	var items []int
	for k := range 120 {
		items = append(items, w.solid(fmt.Sprint("box ", k), vec(float64(k), 0, 0), vec(float64(k)+0.5, 1, 1)))
	}
	onePart(w, "many", items, w.millimetres())
	text := w.file()
	describe := func(cores int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		m, err := read(text)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for _, body := range m.Bodies {
			for _, f := range body.Shells[0].Faces {
				fmt.Fprintln(&b, f.ID, f.Forward, f.Surface.Point(1, 2))
				for _, u := range f.Loops[0].Uses {
					fmt.Fprintln(&b, u.Edge.ID, u.Forward, u.Edge.T0, u.Edge.T1, u.Edge.Start.Point)
				}
			}
		}
		return b.String()
	}
	one := describe(1)
	for range 3 {
		if many := describe(8); many != one {
			t.Fatalf("the model on 8 cores is not that on 1")
		}
	}
	if len(one) < 10000 {
		t.Errorf("control: nothing was described")
	}
}

func TestVocabularyIsWhole(t *testing.T) {
	if len(Keywords()) != int(typeCount)-1 {
		t.Fatalf("%d keywords for %d types", len(Keywords()), typeCount-1)
	}
	seen := map[string]bool{}
	for k, name := range Keywords() {
		if name == "" || seen[name] {
			t.Errorf("keyword %d is %q", k+1, name)
		}
		seen[name] = true
	}
}
