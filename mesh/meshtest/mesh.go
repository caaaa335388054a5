package meshtest

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// Joined is the meshes as one.
func Joined(meshes ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, m := range meshes {
		n := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, t := range m.Triangles {
			out.Triangles = append(out.Triangles, [3]int32{t[0] + n, t[1] + n, t[2] + n})
		}
	}
	return out
}

// Inverted is the mesh with every facet turned over.
func Inverted(m *mesh.Mesh) *mesh.Mesh {
	out := *m
	out.Triangles = make([][3]int32, len(m.Triangles))
	for i, t := range m.Triangles {
		out.Triangles[i] = [3]int32{t[0], t[2], t[1]}
	}
	return &out
}

// Bumpy is a closed surface over the sphere with so many rings:
// r = radius + depth*sin(waves*theta)*sin(waves*phi). Its measures have no closed form.
func Bumpy(rings int, radius, depth, waves float64) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: []r3.Vector{{Z: radius}, {Z: -radius}}}
	sides := 2 * rings
	at := func(i, j int) int32 {
		switch i {
		case 0:
			return 0
		case rings:
			return 1
		}
		return int32(2 + (i-1)*sides + j%sides)
	}
	for i := 1; i < rings; i++ {
		for j := range sides {
			theta, phi := math.Pi*float64(i)/float64(rings), math.Pi*float64(j)/float64(rings)
			r := radius + depth*math.Sin(waves*theta)*math.Sin(waves*phi)
			m.Vertices = append(m.Vertices, vec(r*math.Sin(theta)*math.Cos(phi), r*math.Sin(theta)*math.Sin(phi), r*math.Cos(theta)))
		}
	}
	for i := range rings {
		for j := range sides {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			if b != c {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c})
			}
			if a != d {
				m.Triangles = append(m.Triangles, [3]int32{a, c, d})
			}
		}
	}
	return m
}
