// Package gltf writes meshes as binary glTF 2.0 (ISO/IEC 12113:2022), with layers of values on their
// triangles, for viewers.
//
// Lengths are millimetres; a glTF scene is in metres with y up, and the node's matrix carries
// the one to the other. What is written is for looking at: corners are rounded to 1/65535 of the
// bounds, values to 1/254 of their range, and a mesh of more triangles than asked for is thinned.
// Info says so. Nothing is to be measured on it.
//
// Invariants (the tests cite these numbers):
//
//	G1  the same mesh, layers and options give the same bytes
//	G2  no corner moves by more than half a step of the rounding, or where the mesh was thinned by
//	    Info.ThinnedMM besides
//	G3  every triangle keeps its own values: corners are shared only where all values agree
package gltf

import (
	"bytes"
	"fmt"
	"math"

	"github.com/golang/geo/r3"
	"github.com/qmuntal/gltf"
	"github.com/qmuntal/gltf/modeler"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

// Layer is a value for each triangle, such as a wall's thickness, or the number of a kind.
type Layer struct {
	// Name is for programs, Title and Unit for people.
	Name  string `json:"name"`
	Title string `json:"title"`
	Unit  string `json:"unit,omitempty"`
	// Kinds are the words for 0, 1, ... of a layer that sorts; nil for one that measures.
	Kinds []string `json:"kinds,omitempty"`
	// Low and High are the ends of the range that is shown; values outside count as the nearer end.
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	// Limit is where good turns to bad, nil for none; Least is set where less than it is bad.
	Limit *float64 `json:"limit,omitempty"`
	Least bool     `json:"least,omitempty"`
	// None is said of triangles without a value.
	None string `json:"none,omitempty"`
	// Values is one for each triangle; NaN for none.
	Values []float32 `json:"-"`
}

// MostLayers is how many layers one model can carry: the components of one attribute.
const MostLayers = 4

// ValuesAttribute holds a byte for each layer at each corner: 0 for none, else 1 to 255 along the
// layer's range, or 1 more than the number of its kind.
const ValuesAttribute = "_VALUES"

// Options say how much is written. The zero value writes all.
type Options struct {
	// MostTriangles is how many are kept; 0 keeps all.
	MostTriangles int
}

// Info is what viewers are told with the mesh, as the extras of its glTF mesh.
type Info struct {
	// OriginMM and StepMM give a corner in mm from its whole numbers: origin + step * number.
	OriginMM [3]float64 `json:"origin_mm"`
	StepMM   [3]float64 `json:"step_mm"`
	Layers   []Layer    `json:"layers"`
	// Triangles are those of the mesh, Drawn those that are written.
	Triangles int `json:"triangles"`
	Drawn     int `json:"drawn"`
	// ThinnedMM is how far a corner may have been moved to thin the mesh; 0 where it was not.
	ThinnedMM float64 `json:"thinned_mm"`
}

// Encode writes a mesh with its layers as one GLB.
func Encode(m *mesh.Mesh, layers []Layer, o Options) ([]byte, Info, error) {
	if len(layers) > MostLayers {
		return nil, Info{}, fmt.Errorf("gltf: %d layers; %d are taken", len(layers), MostLayers)
	}
	for _, l := range layers {
		if len(l.Values) != len(m.Triangles) {
			return nil, Info{}, fmt.Errorf("gltf: layer %s has %d values for %d triangles", l.Name, len(l.Values), len(m.Triangles))
		}
	}
	if len(m.Triangles) == 0 {
		return nil, Info{}, fmt.Errorf("gltf: the mesh has no triangles")
	}
	corner, thinned := thin(m, o.MostTriangles)
	s := newShared(m, layers)
	for t, tri := range m.Triangles {
		a, b, c := corner[tri[0]], corner[tri[1]], corner[tri[2]]
		if a != b && b != c && c != a {
			s.add(t, [3]int32{a, b, c})
		}
	}
	info := Info{
		OriginMM: xyz(s.origin), StepMM: xyz(s.step), Layers: layers, Triangles: len(m.Triangles),
		Drawn: len(s.indices) / 3, ThinnedMM: thinned,
	}
	out, err := s.document(info)
	return out, info, err
}

func xyz(v r3.Vector) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// steps is how many steps a rounded coordinate has: an unsigned 16-bit number.
const steps = math.MaxUint16

// shared collects corners that agree in place and values.
type shared struct {
	mesh         *mesh.Mesh
	layers       []Layer
	origin, step r3.Vector
	at           map[key]uint32
	positions    [][3]uint16
	values       [][4]uint8
	indices      []uint32
}

type key struct {
	vertex int32
	values [4]uint8
}

func newShared(m *mesh.Mesh, layers []Layer) *shared {
	b := m.Bounds()
	size := b.Size()
	s := &shared{mesh: m, layers: layers, origin: b.Min, at: make(map[key]uint32, len(m.Vertices))}
	s.step = r3.Vector{X: size.X / steps, Y: size.Y / steps, Z: size.Z / steps}
	return s
}

func (s *shared) add(t int, corners [3]int32) {
	var values [4]uint8
	for i := range s.layers {
		values[i] = s.layers[i].byteOf(s.layers[i].Values[t])
	}
	for _, v := range corners {
		k := key{v, values}
		n, ok := s.at[k]
		if !ok {
			n = uint32(len(s.positions))
			s.at[k] = n
			p := s.mesh.Vertices[v].Sub(s.origin)
			s.positions = append(s.positions, [3]uint16{whole(p.X, s.step.X), whole(p.Y, s.step.Y), whole(p.Z, s.step.Z)})
			s.values = append(s.values, values)
		}
		s.indices = append(s.indices, n)
	}
}

func whole(x, step float64) uint16 {
	if step == 0 {
		return 0
	}
	return uint16(min(max(math.Round(x/step), 0), steps))
}

// byteOf is a value as a byte: 0 for none.
func (l *Layer) byteOf(v float32) uint8 {
	if v != v {
		return 0
	}
	const last = math.MaxUint8 - 1
	if l.Kinds != nil {
		return 1 + uint8(min(max(v, 0), last))
	}
	x := (float64(v) - l.Low) / (l.High - l.Low)
	if math.IsNaN(x) {
		return 1 // a range of nothing
	}
	return 1 + uint8(math.Round(min(max(x, 0), 1)*last))
}

// document is the whole file.
func (s *shared) document(info Info) ([]byte, error) {
	doc := gltf.NewDocument()
	doc.Asset.Generator = "pocketgauge"
	doc.ExtensionsUsed = []string{"KHR_mesh_quantization"}
	doc.ExtensionsRequired = doc.ExtensionsUsed
	position := modeler.WriteAccessor(doc, gltf.TargetArrayBuffer, s.positions)
	bounds := geom.EmptyBox()
	for _, p := range s.positions {
		bounds = bounds.AddPoint(r3.Vector{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])})
	}
	lo, hi := xyz(bounds.Min), xyz(bounds.Max)
	doc.Accessors[position].Min, doc.Accessors[position].Max = lo[:], hi[:]
	attributes := gltf.PrimitiveAttributes{gltf.POSITION: position}
	if len(s.layers) > 0 {
		attributes[ValuesAttribute] = modeler.WriteAccessor(doc, gltf.TargetArrayBuffer, s.values)
	}
	var indices int
	if len(s.positions) <= steps {
		short := make([]uint16, len(s.indices))
		for i, v := range s.indices {
			short[i] = uint16(v)
		}
		indices = modeler.WriteIndices(doc, short)
	} else {
		indices = modeler.WriteIndices(doc, s.indices)
	}
	doc.Meshes = []*gltf.Mesh{{Name: "insert", Extras: info, Primitives: []*gltf.Primitive{{Indices: gltf.Index(indices), Attributes: attributes}}}}
	doc.Nodes = []*gltf.Node{{Mesh: gltf.Index(0), Matrix: s.toScene()}}
	doc.Scenes[0].Nodes = []int{0}
	return binary(doc)
}

// mmToMetre is a glTF scene's unit.
const mmToMetre = 1e-3

// toScene carries whole numbers to metres with y up: x stays, z becomes y, y becomes -z.
func (s *shared) toScene() [16]float64 {
	k, o := s.step.Mul(mmToMetre), s.origin.Mul(mmToMetre)
	return [16]float64{ // by columns
		k.X, 0, 0, 0,
		0, 0, -k.Y, 0,
		0, k.Z, 0, 0,
		o.X, o.Z, -o.Y, 1,
	}
}

func binary(doc *gltf.Document) ([]byte, error) {
	var b bytes.Buffer
	e := gltf.NewEncoder(&b)
	e.AsBinary = true
	if err := e.Encode(doc); err != nil {
		return nil, fmt.Errorf("gltf: %w", err)
	}
	return b.Bytes(), nil
}
