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
