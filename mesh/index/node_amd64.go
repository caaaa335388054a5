package index

import "golang.org/x/sys/cpu"

// The node tests are the inner loop of everything here and the same few operations on eight
// boxes; one 256-bit register holds a plane of all eight. BenchmarkFirst measures the plain ones
// beside them.

var wide = cpu.X86.HasAVX2 && cpu.X86.HasFMA

//go:noescape
func rayNodeAVX2(n *node, r *boxRay, limit float32, dist *[width]float32) (mask uint32)

//go:noescape
func pointNodeAVX2(n *node, p *[3]float32, limit float32, dist *[width]float32) (mask uint32)

//go:noescape
func leafAVX2(vertex *[3]float64, tri *corners, s *shear) (mask uint32)

// prefetchNode asks for the memory of a node.
//
//go:noescape
func prefetchNode(n *node)

// prefetchTriangles asks for the memory of four triangles.
//
//go:noescape
func prefetchTriangles(tri *corners)

//go:noescape
func prefetchFour(vertex *[3]float64, tri *corners)

// prefetchCorners asks for the memory of the corners of four triangles from k.
func prefetchCorners(t *Tree, k int32) { prefetchFour(&t.vertex[0], &t.tri[k]) }

// leafMask has a bit for each of the count triangles from k that crossing may find crossed; the
// others it does not. Four are looked at in any case, for which tri has room at its end.
func (t *Tree) leafMask(s *shear, k, count int32) uint32 {
	if !wide || count > leafTriangles {
		return 1<<count - 1
	}
	return leafAVX2(&t.vertex[0], &t.tri[k], s) & (1<<count - 1)
}

func rayNode(n *node, r *boxRay, limit float32, dist *[width]float32) uint32 {
	if wide {
		return rayNodeAVX2(n, r, limit, dist)
	}
	return rayNodePlain(n, r, limit, dist)
}

func pointNode(n *node, p *[3]float32, limit float32, dist *[width]float32) uint32 {
	if wide {
		return pointNodeAVX2(n, p, limit, dist)
	}
	return pointNodePlain(n, p, limit, dist)
}
