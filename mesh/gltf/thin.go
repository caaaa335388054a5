package gltf

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// thin gives each vertex the one that stands for it, so that no more than most triangles keep three
// corners: vertices of one cell of a cubic grid become the first of them (Rossignac and Borrel,
// "Multi-resolution 3D approximations for rendering complex scenes", 1993). The grid is made coarser
// until the count is met. movedMM bounds how far a vertex was moved: the diagonal of a cell.
//
// Edges of a block survive as well as the grid has cells; at the size of a picture that is enough.
func thin(m *mesh.Mesh, most int) (standsFor []int32, movedMM float64) {
	standsFor = make([]int32, len(m.Vertices))
	for i := range standsFor {
		standsFor[i] = int32(i)
	}
	if most <= 0 || len(m.Triangles) <= most {
		return standsFor, 0
	}
	b := m.Bounds()
	size := b.Size()
	widest := max(size.X, size.Y, size.Z)
	// A surface of n triangles covers about as many cells where a cell's side is the widest side
	// over the root of n / 12; from there on it is a search.
	const coarser = 1.25
	for cell := widest / math.Sqrt(float64(most)); ; cell *= coarser {
		first := make(map[[3]int32]int32, len(m.Vertices)/4)
		for i, p := range m.Vertices {
			k := cellOf(p.Sub(b.Min), cell)
			n, ok := first[k]
			if !ok {
				n = int32(i)
				first[k] = n
			}
			standsFor[i] = n
		}
		left := 0
		for _, t := range m.Triangles {
			if x, y, z := standsFor[t[0]], standsFor[t[1]], standsFor[t[2]]; x != y && y != z && z != x {
				left++
			}
		}
		if left <= most {
			return standsFor, math.Sqrt(3) * cell
		}
	}
}

func cellOf(p r3.Vector, cell float64) [3]int32 {
	return [3]int32{int32(p.X / cell), int32(p.Y / cell), int32(p.Z / cell)}
}
