package gltf_test

import (
	"bytes"
	"encoding/json"
	"image/color"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	library "github.com/qmuntal/gltf"
	"github.com/qmuntal/gltf/modeler"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/gltf"
	"pocketgauge/mesh/meshtest"
)

// read is a file as the library reads it back.
type read struct {
	positions [][3]float64 // in metres, y up
	values    [][4]uint8
	indices   []uint32
	info      gltf.Info
}

func readBack(t *testing.T, data []byte) read {
	t.Helper()
	var doc library.Document
	if err := library.NewDecoder(bytes.NewReader(data)).Decode(&doc); err != nil {
		t.Fatal(err)
	}
	p := doc.Meshes[0].Primitives[0]
	var r read
	raw, err := modeler.ReadAccessor(&doc, doc.Accessors[p.Attributes[library.POSITION]], nil)
	if err != nil {
		t.Fatal(err)
	}
	matrix := doc.Nodes[0].MatrixOrDefault()
	place := func(x, y, z float64) {
		var out [3]float64
		for i := range out {
			out[i] = matrix[i]*x + matrix[4+i]*y + matrix[8+i]*z + matrix[12+i]
		}
		r.positions = append(r.positions, out)
	}
	switch list := raw.(type) {
	case [][3]uint16:
		for _, q := range list {
			place(float64(q[0]), float64(q[1]), float64(q[2]))
		}
	case [][3]float32:
		for _, q := range list {
			place(float64(q[0]), float64(q[1]), float64(q[2]))
		}
	default:
		t.Fatalf("positions are %T", raw)
	}
	if i, ok := p.Attributes[gltf.ValuesAttribute]; ok {
		raw, err := modeler.ReadAccessor(&doc, doc.Accessors[i], nil)
		if err != nil {
			t.Fatal(err)
		}
		r.values = raw.([][4]uint8)
	}
	if p.Indices != nil {
		if r.indices, err = modeler.ReadIndices(&doc, doc.Accessors[*p.Indices], nil); err != nil {
			t.Fatal(err)
		}
	} else {
		for i := range r.positions {
			r.indices = append(r.indices, uint32(i))
		}
	}
	if e := doc.Meshes[0].Extras; e != nil {
		text, err := json.Marshal(e)
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(text, &r.info); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

// volumeMM3 is that of a closed surface by the divergence theorem, from metres.
func (r *read) volumeMM3() float64 {
	sum := 0.0
	at := func(i uint32) r3.Vector {
		p := r.positions[i]
		return r3.Vector{X: p[0], Y: p[1], Z: p[2]}
	}
	for i := 0; i < len(r.indices); i += 3 {
		sum += at(r.indices[i]).Dot(at(r.indices[i+1]).Cross(at(r.indices[i+2])))
	}
	const m3 = 1e9
	return sum / 6 * m3
}

func block() *mesh.Mesh {
	lo, hi := r3.Vector{X: -50, Y: -30, Z: 0}, r3.Vector{X: 50, Y: 30, Z: 40}
	pocket := geom.Box{Min: r3.Vector{X: -20, Y: -10, Z: 25}, Max: r3.Vector{X: 20, Y: 10, Z: 50}}
	return meshtest.BlockWithPockets(geom.Box{Min: lo, Max: hi}, pocket).Mesh
}

// numbered gives each triangle its number as value, which keeps all corners apart.
func numbered(m *mesh.Mesh, kinds []string) gltf.Layer {
	l := gltf.Layer{Name: "n", Title: "number", Kinds: kinds, High: float64(len(m.Triangles) - 1)}
	for t := range m.Triangles {
		l.Values = append(l.Values, float32(t))
	}
	return l
}

func TestBlockKeepsItsVolume(t *testing.T) {
	m := block()
	data, info, err := gltf.Encode(m, []gltf.Layer{numbered(m, nil)}, gltf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r := readBack(t, data)
	// 100 x 60 x 40 less 40 x 20 x 15. Half a step of each axis on every face at most (G2).
	want := 100.*60*40 - 40.*20*15
	slack := 100*60*40.0/65535 + 60*40*100.0/65535 + 100*40*60.0/65535
	meshtest.WantNear(t, "volume", r.volumeMM3(), want, slack)
	if info.Drawn != len(m.Triangles) || info.ThinnedMM != 0 || r.info.Drawn != info.Drawn {
		t.Errorf("drawn %d of %d, thinned %v", info.Drawn, len(m.Triangles), info.ThinnedMM)
	}
	// G3: the three corners of a triangle carry its own value.
	for i := 0; i < len(r.indices); i += 3 {
		want := uint8(1 + math.Round(float64(i/3)/float64(len(m.Triangles)-1)*254))
		for _, c := range r.indices[i : i+3] {
			if r.values[c][0] != want {
				t.Fatalf("triangle %d has value %d at a corner, want %d", i/3, r.values[c][0], want)
			}
		}
	}
}

func TestValuesAsBytes(t *testing.T) {
	m := block()
	layer := gltf.Layer{Name: "wall", Low: 1, High: 3, Values: make([]float32, len(m.Triangles))}
	kinds := gltf.Layer{Name: "kind", Kinds: []string{"a", "b", "c"}, Values: make([]float32, len(m.Triangles))}
	for i, v := range []float32{float32(math.NaN()), 0, 1, 2, 3, 9} {
		layer.Values[i] = v
		kinds.Values[i] = float32(i % 3)
	}
	data, _, err := gltf.Encode(m, []gltf.Layer{layer, kinds}, gltf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r := readBack(t, data)
	for i, want := range []uint8{0, 1, 1, 128, 255, 255} {
		got := r.values[r.indices[3*i]]
		if got[0] != want || got[1] != uint8(1+i%3) {
			t.Errorf("value %d came out as %v, want %d and %d", i, got, want, 1+i%3)
		}
	}
	if len(r.info.Layers) != 2 || r.info.Layers[1].Kinds[2] != "c" {
		t.Errorf("layers came out as %+v", r.info.Layers)
	}
}

func TestThinnedSphere(t *testing.T) {
	const radius, most = 30, 2000
	m := meshtest.Sphere(radius, 200, 100).Mesh
	data, info, err := gltf.Encode(m, nil, gltf.Options{MostTriangles: most})
	if err != nil {
		t.Fatal(err)
	}
	if info.Drawn > most || info.Drawn < most/8 || info.ThinnedMM <= 0 || info.Triangles != len(m.Triangles) {
		t.Errorf("%d of %d triangles drawn, at most %d were asked for; thinned by %v", info.Drawn, info.Triangles, most, info.ThinnedMM)
	}
	r := readBack(t, data)
	// Corners stay on the ball; what chords of two cells cut off is under the shell of ThinnedMM.
	whole := 4 * math.Pi / 3 * math.Pow(radius, 3)
	if v := r.volumeMM3(); v > whole || v < whole-4*math.Pi*radius*radius*info.ThinnedMM {
		t.Errorf("volume %v, the ball has %v", v, whole)
	}
	again, _, err := gltf.Encode(m, nil, gltf.Options{MostTriangles: most})
	if err != nil || !bytes.Equal(data, again) {
		t.Error("the same mesh gave other bytes")
	}
}

func TestColoured(t *testing.T) {
	m := block()
	colours := make([]color.RGBA, len(m.Triangles))
	for i := range colours {
		colours[i] = color.RGBA{uint8(i), 1, 2, 255}
	}
	data, err := gltf.EncodeColoured(m, colours)
	if err != nil {
		t.Fatal(err)
	}
	r := readBack(t, data)
	meshtest.WantNear(t, "volume", r.volumeMM3(), 100*60*40-40*20*15, 0.1)
	if _, err := gltf.EncodeColoured(m, colours[1:]); err == nil {
		t.Error("a colour too few was taken")
	}
}

func TestRefused(t *testing.T) {
	m := block()
	l := numbered(m, nil)
	for name, layers := range map[string][]gltf.Layer{
		"five layers": {l, l, l, l, l}, "a value too few": {{Name: "x", Values: make([]float32, 3)}},
	} {
		if _, _, err := gltf.Encode(m, layers, gltf.Options{}); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if _, _, err := gltf.Encode(&mesh.Mesh{}, nil, gltf.Options{}); err == nil {
		t.Error("an empty mesh was taken")
	}
}
