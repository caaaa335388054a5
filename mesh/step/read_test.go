package step

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/step/tessellate"
	"pocketgauge/testdata/stepmake/solids"
)

func textOf(tb testing.TB, name string) []byte {
	tb.Helper()
	for _, c := range solids.Cases() {
		if c.Name == name {
			return c.Text
		}
	}
	tb.Fatalf("no solid %s", name)
	return nil
}

// The distance of the mesh from its surface is what it says, where the surface is a formula (T3).
func TestChord(t *testing.T) {
	distances := map[string]func(p r3.Vector) float64{
		"sphere_no_bound": func(p r3.Vector) float64 { return math.Abs(p.Norm() - 7) },
		"sphere_halves":   func(p r3.Vector) float64 { return math.Abs(p.Norm() - 7) },
		"torus_no_bound": func(p r3.Vector) float64 {
			return math.Abs(math.Hypot(math.Hypot(p.X, p.Y)-9, p.Z) - 2.5)
		},
		"torus_seams": func(p r3.Vector) float64 {
			return math.Abs(math.Hypot(math.Hypot(p.X, p.Y)-9, p.Z) - 2.5)
		},
	}
	for name, distance := range distances {
		for _, chord := range [...]float64{0.1, 0.01, 0.002} {
			m, err := Read(textOf(t, name), name, tessellate.Options{ChordMM: chord})
			if err != nil {
				t.Fatal(err)
			}
			p := &m.Parts[0]
			if p.ChordMM > chord {
				t.Errorf("%s: chord %g for %g", name, p.ChordMM, chord)
			}
			worst, used := 0.0, 0.0
			for i := range p.Mesh.Triangles {
				a, b, c := p.Mesh.Corners(i)
				for _, w := range [...][3]float64{{1, 1, 1}, {1, 1, 0}, {0, 1, 1}, {1, 0, 1}, {2, 1, 1}, {1, 2, 1}, {1, 1, 2}, {3, 1, 0}, {0, 1, 3}} {
					q := a.Mul(w[0]).Add(b.Mul(w[1])).Add(c.Mul(w[2])).Mul(1 / (w[0] + w[1] + w[2]))
					worst = max(worst, distance(q))
				}
				used = max(used, distance(a), distance(b), distance(c))
			}
			if worst > p.ChordMM {
				t.Errorf("%s at %g: %g off, stated %g", name, chord, worst, p.ChordMM)
			}
			// The control, and no waste: most of what is allowed is used, by the triangles and not
			// by their corners.
			if worst < 0.6*p.ChordMM || used > 1e-9 {
				t.Errorf("%s at %g: only %g off; corners %g off", name, chord, worst, used)
			}
		}
	}
}

// The mesh's own volume lies within its chord of the surface's.
func TestMeshWithinChordOfSurface(t *testing.T) {
	for _, c := range solids.Cases() {
		m, err := Read(c.Text, c.Name, tessellate.Options{})
		if err != nil {
			continue
		}
		for i := range m.Parts {
			p := &m.Parts[i]
			if p.Exact == nil || !p.Audit.Closed() {
				continue
			}
			q := measure.Integrals(p.Mesh, p.Roundoff, 0)
			if off := math.Abs(q.VolumeMM3 - p.Exact.VolumeMM3); off > p.ChordMM*p.Exact.AreaMM2+p.Exact.VolumeErrorMM3 {
				t.Errorf("%s: mesh %.9g, surface %.9g, chord %g over %g mm2", c.Name, q.VolumeMM3, p.Exact.VolumeMM3, p.ChordMM, p.Exact.AreaMM2)
			}
			if off := q.CentroidMM.Sub(p.Exact.CentroidMM).Norm(); off > 3*p.ChordMM*p.Exact.AreaMM2*p.Mesh.Bounds().Diagonal()/p.Exact.VolumeMM3 {
				t.Errorf("%s: centroids %v and %v", c.Name, q.CentroidMM, p.Exact.CentroidMM)
			}
			if !q.Bounds.Expand(p.ChordMM+p.Exact.BoundsErrorMM).Contains(p.Exact.Bounds.Min) || !p.Exact.Bounds.Expand(p.Exact.BoundsErrorMM+1e-9).Contains(q.Bounds.Min) {
				t.Errorf("%s: bounds %v of the mesh, %v of the surface", c.Name, q.Bounds, p.Exact.Bounds)
			}
		}
	}
}

// The stated error holds against the closed form, and is not a blank cheque.
func TestStatedErrors(t *testing.T) {
	for _, c := range solids.Cases() {
		m, err := Read(c.Text, c.Name, tessellate.Options{})
		if err != nil || len(m.Parts) != 1 || m.Parts[0].Exact == nil || c.Solids[0].Open {
			continue
		}
		q, s := m.Parts[0].Exact, c.Solids[0]
		// The generator rounds what it writes to 12 digits.
		rounding := 1e-11
		if off := math.Abs(q.VolumeMM3 - s.VolumeMM3); off > q.VolumeErrorMM3+rounding*s.VolumeMM3 {
			t.Errorf("%s: volume off by %.3g, stated %.3g", c.Name, off, q.VolumeErrorMM3)
		}
		if off := math.Abs(q.AreaMM2 - s.AreaMM2); off > q.AreaErrorMM2+rounding*s.AreaMM2 {
			t.Errorf("%s: area off by %.3g, stated %.3g", c.Name, off, q.AreaErrorMM2)
		}
		if c.Name == "box_loose_vertices" {
			continue // its edges lie off its planes, and that is what it is there for
		}
		if q.VolumeErrorMM3 > 1e-3*s.VolumeMM3 || q.AreaErrorMM2 > 1e-3*s.AreaMM2 {
			t.Errorf("%s: stated errors %.3g of %.3g and %.3g of %.3g", c.Name, q.VolumeErrorMM3, s.VolumeMM3, q.AreaErrorMM2, s.AreaMM2)
		}
	}
}

// A face whose surface is not understood is closed and named (T2).
func TestUnknownSurfaceIsClosed(t *testing.T) {
	text := bytes.Replace(textOf(t, "box"), []byte("=PLANE("), []byte("=CLOTHOIDAL_SURFACE("), 1)
	if bytes.Equal(text, textOf(t, "box")) {
		t.Fatal("the box has no plane")
	}
	m, err := Read(text, "box", tessellate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := &m.Parts[0]
	if !p.Audit.Closed() {
		t.Errorf("%d open edges", p.Audit.OpenEdges)
	}
	found := false
	for _, n := range m.Notes {
		found = found || strings.HasPrefix(n.Place, "#") && strings.Contains(n.Says, "flat triangles")
	}
	if !found {
		t.Errorf("no note among %v", m.Notes)
	}
	if off := math.Abs(p.Exact.VolumeMM3 - 12*5*20); off > 1e-9 {
		t.Errorf("volume %v", p.Exact.VolumeMM3)
	}
}

// Kinds, axes and radii of faces; walls of bores are inner.
func TestFacesAreDescribed(t *testing.T) {
	m, err := Read(textOf(t, "tube_window"), "", tessellate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	inner, outer, planes := 0, 0, 0
	for _, f := range m.Parts[0].Faces {
		if !strings.HasPrefix(f.Label, "#") {
			t.Errorf("label %q", f.Label)
		}
		switch {
		case f.Kind == mesh.Cylinder && f.Inner && f.RadiusMM == 5:
			inner++
		case f.Kind == mesh.Cylinder && !f.Inner && f.RadiusMM == 8:
			outer++
		case f.Kind == mesh.Plane:
			planes++
		}
	}
	if inner != 1 || outer != 1 || planes != 6 {
		t.Errorf("%d inner, %d outer cylinders, %d planes: want 1, 1, 6", inner, outer, planes)
	}
	// Every plane's axis is the outward normal of its triangles.
	p := &m.Parts[0]
	for i := range p.Mesh.Triangles {
		f := p.Faces[p.Mesh.FaceOf(i)]
		if n := p.Mesh.AreaVector(i); f.Kind == mesh.Plane && n.Dot(f.Axis) < 0.999*n.Norm() {
			t.Errorf("triangle %d of plane %s faces %v, its axis %v", i, f.Label, n, f.Axis)
		}
	}
}

func TestLooksAndPacked(t *testing.T) {
	text := textOf(t, "box")
	var gz, zipped bytes.Buffer
	w := gzip.NewWriter(&gz)
	w.Write(text)
	w.Close()
	z := zip.NewWriter(&zipped)
	f, err := z.Create("part/box.stp")
	if err != nil {
		t.Fatal(err)
	}
	f.Write(text)
	z.Close()
	for name, data := range map[string][]byte{
		"plain": text, "gzip": gz.Bytes(), "zip": zipped.Bytes(),
		"mark":    append([]byte("\xEF\xBB\xBF"), text...),
		"comment": append([]byte("\r\n/* a part */ "), text...),
	} {
		if !Looks(data) {
			t.Errorf("%s does not look like STEP", name)
		}
		m, err := Read(data, name, tessellate.Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(m.Parts) != 1 || len(m.Parts[0].Mesh.Triangles) != 12 || m.Format != "STEP AP214" || m.Unit != "mm" {
			t.Errorf("%s: %d parts, format %q, unit %q", name, len(m.Parts), m.Format, m.Unit)
		}
	}
	for _, s := range []string{"", "solid box\nfacet", "ISO 10303", "/* ISO"} {
		if Looks([]byte(s)) {
			t.Errorf("%q looks like STEP", s)
		}
	}
}

// Errors say where and what, by line, column and instance.
func TestErrorsHaveAPlace(t *testing.T) {
	text := textOf(t, "box")
	cut := text[:len(text)/2]
	_, err := Read(cut, "cut", tessellate.Options{})
	var e *Error
	if !errors.As(err, &e) || e.Code != "step-syntax" || !strings.HasPrefix(e.Place, "line ") || e.Says == "" {
		t.Errorf("a cut file: %#v", err)
	}
	_, err = Read(textOf(t, "refused_csg"), "csg", tessellate.Options{})
	if !errors.As(err, &e) || e.Code != "step-content" {
		t.Errorf("a file without a body: %#v", err)
	}
	_, err = Read([]byte("\x1F\x8Bnot gzip"), "packed", tessellate.Options{})
	if !errors.As(err, &e) || e.Code != "step-packed" {
		t.Errorf("a broken packing: %#v", err)
	}
}
