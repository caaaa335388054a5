package difference

import (
	"math"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// withoutShared are the triangles of a and b that the other does not hold with the same corners
// in the same sense. As chains the two that remain have the same difference as a and b.
func withoutShared(a, b *mesh.Mesh) (restA, restB *mesh.Mesh, shared int) {
	marksA, marksB := triangleMarks(a), triangleMarks(b)
	// Open addressing with triangles of b; a power of two with at least half of it empty.
	size := 1
	for size < 2*len(b.Triangles) {
		size *= 2
	}
	slots := make([]int32, size)
	mask := uint64(size - 1)
	for t := range b.Triangles {
		h := marksB[t] & mask
		for slots[h] != 0 {
			h = (h + 1) & mask
		}
		slots[h] = int32(t + 1)
	}
	taken := make([]bool, len(b.Triangles))
	restA = &mesh.Mesh{Vertices: a.Vertices}
	for t := range a.Triangles {
		match := -1
		for h := marksA[t] & mask; slots[h] != 0; h = (h + 1) & mask {
			u := int(slots[h] - 1)
			if !taken[u] && marksB[u] == marksA[t] && sameTriangle(a, b, t, u) {
				match = u
				break
			}
		}
		if match < 0 {
			restA.Triangles = append(restA.Triangles, a.Triangles[t])
			continue
		}
		taken[match] = true
		shared++
	}
	restB = &mesh.Mesh{Vertices: b.Vertices}
	for t, tri := range b.Triangles {
		if !taken[t] {
			restB.Triangles = append(restB.Triangles, tri)
		}
	}
	return restA, restB, shared
}

// triangleMarks hashes each triangle by the coordinates of its corners, the same for the three
// corners it may be listed from and different for the opposite sense.
func triangleMarks(m *mesh.Mesh) []uint64 {
	corner := make([]uint64, len(m.Vertices))
	parallel.Each((len(m.Vertices)+chunk-1)/chunk, func(k, _ int) {
		for i := k * chunk; i < min((k+1)*chunk, len(m.Vertices)); i++ {
			v := m.Vertices[i]
			// Adding zero turns -0 into 0, which are one coordinate.
			corner[i] = mix(mix(mix(math.Float64bits(v.X+0))+math.Float64bits(v.Y+0)) + math.Float64bits(v.Z+0))
		}
	})
	marks := make([]uint64, len(m.Triangles))
	parallel.Each((len(m.Triangles)+chunk-1)/chunk, func(k, _ int) {
		for t := k * chunk; t < min((k+1)*chunk, len(m.Triangles)); t++ {
			p, q, r := corner[m.Triangles[t][0]], corner[m.Triangles[t][1]], corner[m.Triangles[t][2]]
			marks[t] = mix(p^mix(q)) + mix(q^mix(r)) + mix(r^mix(p))
		}
	})
	return marks
}

func sameTriangle(a, b *mesh.Mesh, t, u int) bool {
	p, q, r := a.Corners(t)
	x, y, z := b.Corners(u)
	return p == x && q == y && r == z || p == y && q == z && r == x || p == z && q == x && r == y
}

// mostWindows is how many places of change are sampled on their own; more are taken as one.
const mostWindows = 64

// windows groups boxes, one for each connected set of triangles, into boxes that are apart.
func windows(boxes []geom.Box) []geom.Box {
	out := append([]geom.Box(nil), boxes...)
	if len(out) > mostWindows*mostWindows {
		return []geom.Box{unionOf(out)}
	}
	for merged := true; merged; {
		merged = false
		for i := 0; i < len(out); i++ {
			for j := i + 1; j < len(out); j++ {
				if !out[i].Intersection(out[j]).IsEmpty() {
					out[i] = out[i].Union(out[j])
					out = append(out[:j], out[j+1:]...)
					merged = true
					j--
				}
			}
		}
	}
	if len(out) > mostWindows {
		return []geom.Box{unionOf(out)}
	}
	return out
}

func unionOf(boxes []geom.Box) geom.Box {
	u := geom.EmptyBox()
	for _, b := range boxes {
		u = u.Union(b)
	}
	return u
}

// setBoxes are the boxes of the sets of triangles connected over vertices, of those triangles
// that use is true for (nil for all).
func setBoxes(m *mesh.Mesh, use func(t int) bool) []geom.Box {
	f := mesh.NewForest(len(m.Vertices))
	for t, tri := range m.Triangles {
		if use == nil || use(t) {
			f.Join(tri[0], tri[1])
			f.Join(tri[0], tri[2])
		}
	}
	number := make(map[int32]int)
	var out []geom.Box
	for t, tri := range m.Triangles {
		if use != nil && !use(t) {
			continue
		}
		root := f.Root(tri[0])
		n, ok := number[root]
		if !ok {
			n = len(out)
			number[root] = n
			out = append(out, geom.EmptyBox())
		}
		for _, v := range tri {
			out[n] = out[n].AddPoint(m.Vertices[v])
		}
	}
	return out
}

// within is the mesh of the triangles of m that touch box, with the vertices they use.
func within(m *mesh.Mesh, box geom.Box) *mesh.Mesh {
	out := &mesh.Mesh{}
	number := make(map[int32]int32)
	for _, tri := range m.Triangles {
		var b geom.Box
		b.Min, b.Max = m.Vertices[tri[0]], m.Vertices[tri[0]]
		b = b.AddPoint(m.Vertices[tri[1]]).AddPoint(m.Vertices[tri[2]])
		if b.Intersection(box).IsEmpty() {
			continue
		}
		var n [3]int32
		for k, v := range tri {
			i, ok := number[v]
			if !ok {
				i = int32(len(out.Vertices))
				number[v] = i
				out.Vertices = append(out.Vertices, m.Vertices[v])
			}
			n[k] = i
		}
		out.Triangles = append(out.Triangles, n)
	}
	return out
}
