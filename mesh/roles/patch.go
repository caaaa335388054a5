package roles

import (
	"cmp"
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
	// across holds the neighbour over edges 01, 12 and 20, -1 where there is not exactly one.
	across [][3]int32
	// patch is the number of each triangle's smooth patch, patches their triangles ascending.
	patch   []int32
	patches [][]int32
}

func newSurface(part *mesh.Part) *surface {
	m := part.Mesh
	n := len(m.Triangles)
	s := &surface{m: m, normal: make([]r3.Vector, n), area: make([]float64, n), across: make([][3]int32, n), patch: make([]int32, n)}
	for i := range n {
		v := m.AreaVector(i)
		s.area[i] = v.Norm()
		s.normal[i] = v.Normalize()
	}
	s.findNeighbours()
	s.grow(part)
	return s
}

type edgeUse struct{ high, triangle, side int32 }

func (s *surface) findNeighbours() {
	m := s.m
	start := make([]int32, len(m.Vertices)+1)
	for i, t := range m.Triangles {
		s.across[i] = [3]int32{-1, -1, -1}
		for k := range 3 {
			start[min(t[k], t[(k+1)%3])]++
		}
	}
	sum := int32(0)
	for v, n := range start {
		start[v] = sum
		sum += n
	}
	uses := make([]edgeUse, sum)
	for i, t := range m.Triangles {
		for k := range 3 {
			p, q := t[k], t[(k+1)%3]
			at := &start[min(p, q)]
			uses[*at] = edgeUse{max(p, q), int32(i), int32(k)}
			*at++
		}
	}
	begin := int32(0)
	for v := range m.Vertices {
		bucket := uses[begin:start[v]]
		begin = start[v]
		slices.SortFunc(bucket, func(x, y edgeUse) int {
			return cmp.Or(cmp.Compare(x.high, y.high), cmp.Compare(x.triangle, y.triangle))
		})
		for i := 0; i < len(bucket); {
			j := i + 1
			for j < len(bucket) && bucket[j].high == bucket[i].high {
				j++
			}
			if a, b := bucket[i], bucket[j-1]; j-i == 2 {
				s.across[a.triangle][a.side] = b.triangle
				s.across[b.triangle][b.side] = a.triangle
			}
			i = j
		}
	}
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
