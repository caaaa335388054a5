package meshtest

import (
	"encoding/binary"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// BinarySTL is the mesh as a binary STL file. Coordinates are rounded to binary32, as the format
// asks; the header is written with name and does not begin with "solid".
func BinarySTL(name string, m *mesh.Mesh) []byte {
	const headerBytes, facetBytes = 84, 50
	data := make([]byte, headerBytes, headerBytes+facetBytes*len(m.Triangles))
	copy(data[:80], "binary "+name)
	binary.LittleEndian.PutUint32(data[80:], uint32(len(m.Triangles)))
	put := func(v r3.Vector) {
		for _, x := range [3]float64{v.X, v.Y, v.Z} {
			data = binary.LittleEndian.AppendUint32(data, math.Float32bits(float32(x)))
		}
	}
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		put(m.AreaVector(t).Normalize())
		put(a)
		put(b)
		put(c)
		data = append(data, 0, 0)
	}
	return data
}
