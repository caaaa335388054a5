package load_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/meshtest"
)

// textSTL writes the mesh in the text form, with as many digits as a double has.
func textSTL(m *mesh.Mesh) []byte {
	var b strings.Builder
	b.WriteString("solid drawn by hand\n")
	for t := range m.Triangles {
		p, q, r := m.Corners(t)
		b.WriteString("facet normal 0 0 0\n outer loop\n")
		for _, v := range []r3.Vector{p, q, r} {
			fmt.Fprintf(&b, "  vertex %.17g %.17g %.17g\n", v.X, v.Y, v.Z)
		}
		b.WriteString(" endloop\nendfacet\n")
	}
	b.WriteString("endsolid drawn by hand\n")
	return []byte(b.String())
}

func TestFormatIsToldByContentAndNotByName(t *testing.T) {
	step, err := os.ReadFile(filepath.Join("..", "..", "testdata", "apiary-step", "entrance-disc-fixed.stp"))
	if err != nil {
		t.Fatal(err)
	}
	// A binary file may begin with the word that text files begin with.
	binary := meshtest.BinarySTL("x", cube20().Mesh)
	copy(binary, "solid of a cube")
	for _, c := range []struct {
		name, format string
		data         []byte
	}{
		{"cube.stp", "STL binary", meshtest.BinarySTL("cube", cube20().Mesh)},
		{"solid.txt", "STL binary", binary},
		{"cube.step", "STL text", textSTL(cube20().Mesh)},
		{"disc.stl", "STEP", step},
	} {
		model, err := load.Bytes(c.name, c.data, load.Options{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if !strings.HasPrefix(model.Format, c.format) {
			t.Errorf("%s: read as %s, want %s", c.name, model.Format, c.format)
		}
		for _, p := range model.Parts {
			if p.Audit == nil || p.Name == "" {
				t.Errorf("%s: part %q has audit %v", c.name, p.Name, p.Audit)
			}
		}
	}
}

func TestNamelessPartTakesTheNameOfItsFile(t *testing.T) {
	model, err := load.Bytes("shelf/queen-clip.v2.stl", meshtest.BinarySTL("", cube20().Mesh), load.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := model.Parts[0].Name; got != "queen-clip.v2" {
		t.Errorf("name %q, want queen-clip.v2", got)
	}
}

func TestErrorsHaveACodeAPlaceAndTheFile(t *testing.T) {
	cube := meshtest.BinarySTL("cube", cube20().Mesh)
	short := cube[:84+50*7+12]
	nan := append([]byte{}, cube...)
	copy(nan[84+50*2+12:], []byte{0, 0, 0xc0, 0x7f}) // first corner of the third facet
	for _, c := range []struct {
		name, code, place, says string
		data                    []byte
	}{
		{"empty", "format", "", "neither STEP", nil},
		{"text of no format", "format", "", "neither STEP", []byte("bill of materials\n")},
		{"cut short", "truncated", "byte 446", "12 facets", short},
		{"not a number", "coordinate", "byte 196", "facet 3", nan},
		{"text cut short", "", "line", "", textSTL(cube20().Mesh)[:300]},
	} {
		_, err := load.Bytes("shelf/a.stl", c.data, load.Options{})
		var e *load.Error
		if !errors.As(err, &e) {
			t.Errorf("%s: error %v (%T) is no *load.Error", c.name, err, err)
			continue
		}
		if c.code != "" && e.Code != c.code || !strings.HasPrefix(e.Place, c.place) || !strings.Contains(e.Says, c.says) || e.File != "shelf/a.stl" {
			t.Errorf("%s: code %q, place %q, file %q, says %q; want %q, %q, %q", c.name, e.Code, e.Place, e.File, e.Says, c.code, c.place, c.says)
		}
		if !strings.HasPrefix(e.Error(), "shelf/a.stl: ") {
			t.Errorf("%s: %q does not begin with the file", c.name, e.Error())
		}
	}
}

func TestFilesThatCannotBeOpened(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct{ name, code string }{{filepath.Join(dir, "gone.stl"), "missing"}, {dir, "open"}} {
		_, _, err := load.File(c.name, load.Options{})
		var e *load.Error
		if !errors.As(err, &e) || e.Code != c.code || e.File != c.name {
			t.Errorf("%s: %v, want code %q", c.name, err, c.code)
		}
	}
	file := filepath.Join(dir, "cube.stl")
	want := meshtest.BinarySTL("cube", cube20().Mesh)
	if err := os.WriteFile(file, want, 0o644); err != nil {
		t.Fatal(err)
	}
	model, data, err := load.File(file, load.Options{})
	if err != nil || len(model.Parts) != 1 || string(data) != string(want) {
		t.Errorf("cube: %v", err)
	}
}

// No bytes make the reader panic or return without either a model or an error that says where.
func FuzzLoad(f *testing.F) {
	f.Add(meshtest.BinarySTL("cube", cube20().Mesh))
	f.Add(textSTL(cube20().Mesh))
	f.Add([]byte("ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=CARTESIAN_POINT('',(0.,0.,0.));\nENDSEC;\nEND-ISO-10303-21;\n"))
	f.Add([]byte("solid\nfacet"))
	f.Fuzz(func(t *testing.T, data []byte) {
		model, err := load.Bytes("fuzz", data, load.Options{})
		if err != nil {
			var e *load.Error
			if !errors.As(err, &e) || e.Code == "" || e.Says == "" || e.Code == "internal" {
				t.Fatalf("error %v", err)
			}
			return
		}
		for _, p := range model.Parts {
			for _, tri := range p.Mesh.Triangles {
				for _, v := range tri {
					if v < 0 || int(v) >= len(p.Mesh.Vertices) {
						t.Fatalf("triangle %v of %d vertices", tri, len(p.Mesh.Vertices))
					}
				}
			}
			if p.Audit == nil {
				t.Fatal("a part without an audit")
			}
		}
	})
}
