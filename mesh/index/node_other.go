//go:build !amd64

package index

func rayNode(n *node, r *boxRay, limit float32, dist *[width]float32) uint32 {
	return rayNodePlain(n, r, limit, dist)
}

func pointNode(n *node, p *[3]float32, limit float32, dist *[width]float32) uint32 {
	return pointNodePlain(n, p, limit, dist)
}

func (t *Tree) leafMask(_ *shear, _, count int32) uint32 { return 1<<count - 1 }

func prefetchNode(*node) {}

func prefetchTriangles(*corners) {}

func prefetchCorners(*Tree, int32) {}
