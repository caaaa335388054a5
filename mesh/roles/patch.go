package roles

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// growCos joins neighbours that turn by at most 30 degrees: a round of twelve sides. Between the
// wall of a bore and its end, or a cone of 118 degrees, the turn is 59 and more.
var growCos = math.Cos(30 * math.Pi / 180)

// surface is the mesh with what recognition needs of it.
type surface struct {
	m *mesh.Mesh
	// normal is outward, of length 1, zero for a triangle without area; area is in mm2.
	normal []r3.Vector
	area   []float64
	// across holds the neighbour over edges 01, 12 and 20, see mesh.Neighbours.
	across [][3]int32
	// patch is the number of each triangle's smooth patch, patches their triangles ascending.
	patch   []int32
	patches [][]int32
}

func newSurface(part *mesh.Part) *surface {
	m := part.Mesh
	n := len(m.Triangles)
	s := &surface{m: m, normal: make([]r3.Vector, n), area: make([]float64, n), across: mesh.Neighbours(m, nil), patch: make([]int32, n)}
	for i := range n {
		v := m.AreaVector(i)
		s.area[i] = v.Norm()
		s.normal[i] = v.Normalize()
	}
	s.grow(part)
	return s
}

// grow collects patches: the triangles of one named face, or, where the file names none,
// neighbours that turn gently. Triangles without area join nothing and are patches of their own.
func (s *surface) grow(part *mesh.Part) {
	named := func(t int32) bool {
		f := int(s.m.FaceOf(int(t)))
		return f < len(part.Faces) && part.Faces[f].Kind != mesh.Unknown
	}
	for i := range s.patch {
		s.patch[i] = -1
	}
	var queue []int32
	for i := range int32(len(s.patch)) {
		if s.patch[i] >= 0 {
			continue
		}
		number := int32(len(s.patches))
		s.patch[i] = number
		queue = append(queue[:0], i)
		for k := 0; k < len(queue); k++ {
			t := queue[k]
			for _, o := range s.across[t] {
				if o < 0 || s.patch[o] >= 0 {
					continue
				}
				if named(t) || named(o) {
					if s.m.FaceOf(int(t)) != s.m.FaceOf(int(o)) {
						continue
					}
				} else if s.normal[t].Dot(s.normal[o]) < growCos {
					continue
				}
				s.patch[o] = number
				queue = append(queue, o)
			}
		}
		members := slices.Clone(queue)
		slices.Sort(members)
		s.patches = append(s.patches, members)
	}
}
