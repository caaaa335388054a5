package stl

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"testing"

	"pocketgauge/mesh"
)

var cubeCorners = [8][3]float32{{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}, {0, 0, 1}, {1, 0, 1}, {1, 1, 1}, {0, 1, 1}}

var cubeFacets = [12][3]int{
	{0, 2, 1}, {0, 3, 2}, {4, 5, 6}, {4, 6, 7}, {0, 1, 5}, {0, 5, 4},
	{1, 2, 6}, {1, 6, 5}, {2, 3, 7}, {2, 7, 6}, {3, 0, 4}, {3, 4, 7},
}

func binaryCube(header string) []byte {
	var b bytes.Buffer
	head := make([]byte, 80)
	copy(head, header)
	b.Write(head)
	binary.Write(&b, binary.LittleEndian, uint32(len(cubeFacets)))
	for _, f := range cubeFacets {
		b.Write(make([]byte, 12))
		for _, c := range f {
			binary.Write(&b, binary.LittleEndian, cubeCorners[c])
		}
		b.Write([]byte{0xab, 0xcd}) // attribute bytes, to be ignored
	}
	return b.Bytes()
}

func textFacet(a, b, c string) string {
	return "facet normal 0 0 0\nouter loop\nvertex " + a + "\nvertex " + b + "\nvertex " + c + "\nendloop\nendfacet\n"
}

func textCube(name string, at float64) string {
	var s strings.Builder
	s.WriteString("solid " + name + "\n")
	for _, f := range cubeFacets {
		var p [3]string
		for i, c := range f {
			q := cubeCorners[c]
			p[i] = strings.Join([]string{num(float64(q[0]) + at), num(float64(q[1])), num(float64(q[2]))}, " ")
		}
		s.WriteString(textFacet(p[0], p[1], p[2]))
	}
	s.WriteString("endsolid " + name)
	return s.String()
}

func num(f float64) string {
	if f == math.Trunc(f) {
		return []string{"0", "1", "2", "3", "4", "5", "6"}[int(f)]
	}
	return "0.5"
}

func volume(a *mesh.Audit) float64 {
	v := 0.0
	for _, s := range a.Shells {
		v += s.VolumeMM3
	}
	return v
}

func TestReadsEveryFormOfTheUnitCube(t *testing.T) {
	plain := textCube("cube one", 0)
	forms := map[string][]byte{
		"binary":                     binaryCube("made for a test"),
		"binary that says solid":     binaryCube("solid of nothing"),
		"text":                       []byte(plain),
		"text with newline at end":   []byte(plain + "\n"),
		"text with CRLF":             []byte(strings.ReplaceAll(plain, "\n", "\r\n")),
		"text with CR only":          []byte(strings.ReplaceAll(plain, "\n", "\r")),
		"text in upper case":         []byte(strings.ToUpper(plain)),
		"text on one line":           []byte("solid\n" + strings.ReplaceAll(strings.TrimSuffix(plain[len("solid cube one\n"):], "endsolid cube one"), "\n", " ") + "endsolid"),
		"text with a mark":           []byte("\xef\xbb\xbf" + plain),
		"text with end solid":        []byte(strings.Replace(plain, "endsolid cube one", "end solid cube one", 1)),
		"text with a nan for normal": []byte(strings.ReplaceAll(plain, "normal 0 0 0", "normal nan nan nan")),
	}
	for name, data := range forms {
		t.Run(name, func(t *testing.T) {
			m, err := Read(data)
			if err != nil {
				t.Fatal(err)
			}
			p := m.Parts[0]
			if len(p.Mesh.Vertices) != 8 || len(p.Mesh.Triangles) != 12 {
				t.Errorf("%d vertices and %d triangles, want 8 and 12", len(p.Mesh.Vertices), len(p.Mesh.Triangles))
			}
			if !p.Audit.Closed() || p.Audit.Solids() != 1 {
				t.Errorf("closed %v with %d solids, want a closed solid", p.Audit.Closed(), p.Audit.Solids())
			}
			if v := volume(p.Audit); v != 1 { // exact: every term is a multiple of 1/48
				t.Errorf("volume %v, want 1", v)
			}
		})
	}
}

func TestSeveralSolidsInOneText(t *testing.T) {
	m, err := Read([]byte(textCube("left", 0) + "\n" + textCube("right", 4) + "\n"))
	if err != nil {
		t.Fatal(err)
	}
	p := m.Parts[0]
	if len(p.Faces) != 2 || p.Faces[0].Label != "left" || p.Faces[1].Label != "right" {
		t.Errorf("solids are named %v, want left and right", p.Faces)
	}
	if p.Mesh.FaceOf(0) != 0 || p.Mesh.FaceOf(12) != 1 {
		t.Errorf("facets 0 and 12 belong to solids %d and %d, want 0 and 1", p.Mesh.FaceOf(0), p.Mesh.FaceOf(12))
	}
	if n := p.Audit.Solids(); n != 2 {
		t.Errorf("%d solids, want 2", n)
	}
}

func TestDamagedFilesSayWhatAndWhere(t *testing.T) {
	cube := binaryCube("")
	huge := bytes.Clone(cube)
	binary.LittleEndian.PutUint32(huge[80:], math.MaxUint32)
	infinite := bytes.Clone(cube)
	binary.LittleEndian.PutUint32(infinite[84+50*3+12+12:], math.Float32bits(float32(math.Inf(1))))
	text := textCube("c", 0)
	cases := []struct {
		name              string
		data              []byte
		code, place, says string
	}{
		{"zero bytes", nil, "empty", "", "no bytes"},
		{"only a header", cube[:84], "truncated", "byte 84", "counts 12 facets, the file ends after 0"},
		{"cut inside a facet", cube[:84+50*5+7], "truncated", "byte 341", "after 5 and 7 bytes of the next"},
		{"four billion facets", huge, "truncated", "byte 684", "counts 4294967295 facets"},
		{"bytes behind the last facet", append(bytes.Clone(cube), 1, 2, 3), "count", "byte 684", "3 bytes follow"},
		{"infinite coordinate", infinite, "coordinate", "byte 258", "facet 4"},
		{"text without a facet", []byte("solid a\nendsolid a"), "empty", "", "no facet"},
		{"text cut in a vertex", []byte(text[:70]), "truncated", "line 6", "ends where"},
		{"text with a wrong word", []byte(strings.Replace(text, "outer", "inner", 1)), "syntax", "line 3", `"inner" stands where "outer" should`},
		{"text with a word for a number", []byte(strings.Replace(text, "vertex 0", "vertex zero", 1)), "coordinate", "line 4", `"zero"`},
		{"text with nan", []byte(strings.Replace(text, "vertex 0", "vertex nan", 1)), "coordinate", "line 2", "not a finite"},
		{"all facets flat", []byte("solid s " + "\n" + textFacet("0 0 0", "0 0 0", "1 0 0") + "endsolid"), "empty", "", "none of the 1 facets"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(c.data)
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("error %v, want a *stl.Error", err)
			}
			if e.Code != c.code || e.Place != c.place || !strings.Contains(e.Says, c.says) {
				t.Errorf("got %q at %q: %q\nwant %q at %q: ...%s...", e.Code, e.Place, e.Says, c.code, c.place, c.says)
			}
		})
	}
	if _, err := Read([]byte("ISO-10303-21;")); !errors.Is(err, ErrNotSTL) {
		t.Errorf("foreign text gives %v, want ErrNotSTL", err)
	}
}

func TestHugeCountSetsNoMemoryAside(t *testing.T) {
	data := binaryCube("")
	binary.LittleEndian.PutUint32(data[80:], math.MaxUint32)
	perRun := testing.Benchmark(func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Read(data)
		}
	}).AllocedBytesPerOp()
	// The table of recent vertices is 64 KB whatever the file; what the header claims is 200 GB.
	if limit := int64(1 << 18); perRun > limit {
		t.Errorf("reading a %d-byte file that claims 4294967295 facets takes %d bytes, want under %d", len(data), perRun, limit)
	}
}

func TestWeldClosesRoundingGapsOnly(t *testing.T) {
	for _, c := range []struct {
		gap    float32
		closed bool
	}{{0.00005, true}, {0.001, false}} {
		data := binaryCube("")
		// Move one corner of one facet (corner 6 of facet 2) by the gap.
		at := 84 + 50*2 + 12 + 24
		x := math.Float32frombits(binary.LittleEndian.Uint32(data[at:]))
		binary.LittleEndian.PutUint32(data[at:], math.Float32bits(x+c.gap))
		m, err := Read(data)
		if err != nil {
			t.Fatal(err)
		}
		if got := m.Parts[0].Audit.Closed(); got != c.closed {
			t.Errorf("a corner %g mm off: closed %v, want %v", c.gap, got, c.closed)
		}
		if told := len(m.Notes) > 0; told != c.closed {
			t.Errorf("a corner %g mm off: notes %v", c.gap, m.Notes)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(binaryCube(""))
	f.Add(binaryCube("solid")[:300])
	f.Add([]byte(textCube("a", 0)))
	f.Add([]byte(textCube("a", 0) + "\r\n" + textCube("b", 2)))
	f.Add([]byte("solid x\nfacet normal 0 0 1 outer loop vertex 1e38 0 0 vertex 0 nan 0"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := Read(data)
		if err != nil {
			var e *Error
			if !errors.As(err, &e) && !errors.Is(err, ErrNotSTL) {
				t.Fatalf("error of type %T", err)
			}
			return
		}
		for _, p := range m.Parts {
			for _, tri := range p.Mesh.Triangles {
				for _, v := range tri {
					if v < 0 || int(v) >= len(p.Mesh.Vertices) {
						t.Fatalf("M1 broken: vertex %d of %d", v, len(p.Mesh.Vertices))
					}
				}
				if tri[0] == tri[1] || tri[1] == tri[2] || tri[2] == tri[0] {
					t.Fatalf("M1 broken: %v", tri)
				}
			}
			for _, v := range p.Mesh.Vertices {
				if math.IsNaN(v.Norm2()) || math.IsInf(v.X, 0) {
					t.Fatalf("M2 broken: %v", v)
				}
			}
		}
	})
}
