package brep

import "testing"

// seeds are small whole files that between them use most of what is read.
func seeds() [][]byte {
	var list [][]byte
	keep := func(w *writer) { list = append(list, w.file()) }
	w := &writer{}
	onePart(w, "box", []int{w.standard("datum", 1, 2, 3), w.solid("", vec(0, 0, 0), vec(1, 1, 1))}, w.context(w.inch(), w.degree()))
	keep(w)
	keep(assembly(true, false))
	w = &writer{}
	v := w.vertex(1, 0, 0)
	circle := w.add("SURFACE_CURVE('',#%d,(),.CURVE_3D.)", w.add("CIRCLE('',#%d,1.)", w.standard("", 0, 0, 0)))
	edge := w.add("EDGE_CURVE('',#%d,#%d,#%d,.T.)", v, v, circle)
	spline := w.add("B_SPLINE_CURVE_WITH_KNOTS('',2,(#%d,#%d,#%d),.UNSPECIFIED.,.F.,.F.,(3,3),(0.,2.),.UNSPECIFIED.)", w.point(1, 0, 0), w.point(2, 2, 0), w.point(3, 0, 0))
	other := w.add("EDGE_CURVE('',#%d,#%d,#%d,.F.)", w.vertex(3, 0, 0), w.vertex(1, 0, 0), spline)
	onePart(w, "sheet", []int{w.sheetOf(
		w.loopFace(w.add("CONICAL_SURFACE('',#%d,1.,0.5)", w.standard("", 0, 0, 0)), edge, ".T."),
		w.loopFace(w.add("SURFACE_OF_REVOLUTION('',#%d,#%d)", spline, w.add("AXIS1_PLACEMENT('',#%d,$)", w.point(0, 0, 0))), other, ".T."),
		w.loopFace(w.add("TOROIDAL_SURFACE('',#%d,3.,1.)", w.standard("", 0, 0, 0)), edge, ".F."),
		w.loopFace(w.add("B_SPLINE_SURFACE_WITH_KNOTS('',1,1,((#%d,#%d),(#%d,#%d)),.PLANE_SURF.,.F.,.F.,.F.,(2,2),(2,2),(0.,1.),(0.,1.),.UNSPECIFIED.)",
			w.point(0, 0, 0), w.point(1, 0, 0), w.point(0, 1, 0), w.point(1, 1, 1)), edge, ".T."),
	)}, w.millimetres())
	keep(w)
	w = &writer{}
	points := w.add("COORDINATES_LIST('',4,((0.,0.,0.),(3.,0.,0.),(0.,4.,0.),(0.,0.,5.)))")
	walls := w.add("COMPLEX_TRIANGULATED_FACE('',#%d,4,(),$,(),((3,1,4,2)),((2,3,4)))", points)
	onePart(w, "facets", []int{w.add("TESSELLATED_SOLID('cut',(#%d),$)", walls)}, w.millimetres())
	keep(w)
	return list
}

// Run it with -fuzzminimizetime 10x: the default spends a minute on shortening each new input.
//
// Whatever the text, reading it comes to an end with an error or with a model that keeps its
// promises as far as nothing in it is marked as not understood.
func FuzzRead(f *testing.F) {
	for _, s := range seeds() {
		f.Add(s, uint16(0), byte(0), uint16(0), byte(0))
	}
	f.Fuzz(func(t *testing.T, text []byte, at1 uint16, put1 byte, at2 uint16, put2 byte) {
		if len(text) > 1<<16 || len(text) == 0 {
			return
		}
		// Two bytes changed keep most of a valid file valid, which random text never is.
		text = append([]byte(nil), text...)
		if put1 != 0 {
			text[int(at1)%len(text)] = put1
		}
		if put2 != 0 {
			text[int(at2)%len(text)] = put2
		}
		m, err := read(text)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		for _, o := range m.Occurrences {
			if o.Body < 0 || o.Body >= len(m.Bodies) {
				t.Fatalf("occurrence of body %d of %d", o.Body, len(m.Bodies))
			}
		}
		for _, b := range m.Bodies {
			for _, s := range b.Shells {
				for _, face := range s.Faces {
					if (face.Surface == nil) != (face.Err != "") {
						t.Fatalf("#%d: surface %v, error %q", face.ID, face.Surface, face.Err)
					}
					for k := range face.Loops {
						checkLoop(t, &face.Loops[k])
					}
				}
			}
			if b.Facets != nil {
				for _, tri := range b.Facets.Triangles {
					for _, v := range tri {
						if v < 0 || int(v) >= len(b.Facets.Vertices) {
							t.Fatalf("triangle %v of %d vertices", tri, len(b.Facets.Vertices))
						}
					}
				}
			}
		}
	})
}

func checkLoop(t *testing.T, l *Loop) {
	if l.Vertex == nil && len(l.Uses) == 0 {
		t.Fatal("an empty loop")
	}
	for k := range l.Uses {
		e := l.Uses[k].Edge
		if e == nil || e.Curve == nil || e.Start == nil || e.End == nil {
			t.Fatal("an edge without a curve or a vertex")
		}
		for _, p := range []float64{e.T0, e.T1, e.MissMM} {
			if p-p != 0 {
				t.Fatalf("edge #%d from %v to %v, off %v", e.ID, e.T0, e.T1, e.MissMM)
			}
		}
	}
}
