package gltf

import (
	"fmt"
	"image/color"

	"github.com/qmuntal/gltf"
	"github.com/qmuntal/gltf/modeler"

	"pocketgauge/mesh"
)

// EncodeColoured writes a mesh with a colour for each triangle as one GLB that every viewer shows:
// corners in single precision, colours as COLOR_0, one normal a facet.
func EncodeColoured(m *mesh.Mesh, colours []color.RGBA) ([]byte, error) {
	if len(colours) != len(m.Triangles) || len(colours) == 0 {
		return nil, fmt.Errorf("gltf: %d colours for %d triangles", len(colours), len(m.Triangles))
	}
	n := 3 * len(m.Triangles)
	positions, normals, tones := make([][3]float32, 0, n), make([][3]float32, 0, n), make([][4]uint8, 0, n)
	for t := range m.Triangles {
		normal := m.AreaVector(t)
		if l := normal.Norm(); l > 0 {
			normal = normal.Mul(1 / l)
		} else {
			normal.Z = 1 // a facet without area has no direction, and a normal must have one
		}
		a, b, c := m.Corners(t)
		for _, p := range [...]struct{ X, Y, Z float64 }{{a.X, a.Y, a.Z}, {b.X, b.Y, b.Z}, {c.X, c.Y, c.Z}} {
			// Metres with y up.
			positions = append(positions, [3]float32{float32(p.X * mmToMetre), float32(p.Z * mmToMetre), float32(-p.Y * mmToMetre)})
			normals = append(normals, [3]float32{float32(normal.X), float32(normal.Z), float32(-normal.Y)})
			tones = append(tones, [4]uint8{colours[t].R, colours[t].G, colours[t].B, colours[t].A})
		}
	}
	doc := gltf.NewDocument()
	doc.Asset.Generator = "pocketgauge"
	doc.Materials = []*gltf.Material{{Name: "layer", PBRMetallicRoughness: &gltf.PBRMetallicRoughness{MetallicFactor: gltf.Float(0), RoughnessFactor: gltf.Float(0.9)}}}
	doc.Meshes = []*gltf.Mesh{{Name: "insert", Primitives: []*gltf.Primitive{{
		Material: gltf.Index(0),
		Attributes: gltf.PrimitiveAttributes{
			gltf.POSITION: modeler.WritePosition(doc, positions),
			gltf.NORMAL:   modeler.WriteNormal(doc, normals),
			gltf.COLOR_0:  modeler.WriteColor(doc, tones),
		},
	}}}}
	doc.Nodes = []*gltf.Node{{Mesh: gltf.Index(0)}}
	doc.Scenes[0].Nodes = []int{0}
	return binary(doc)
}
