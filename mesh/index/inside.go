package index

import (
	"math"

	"github.com/golang/geo/r3"
)

// slant is the direction in which Winding looks: along no axis, diagonal or simple slope, so
// that it seldom meets an edge or runs in a face. Any direction gives the same answer.
var slant = r3.Vector{X: 0.2672612419124244, Y: 0.3585685828003181, Z: 0.8944271909999159}

// Winding is how many times the surface goes around p, outward normals counting as +1: 1 in
// metal, 0 in the open and in a void, 2 where two bodies overlap, negative in a body turned
// inside out. It means something only where the mesh is closed (see mesh.Audit).
func (t *Tree) Winding(p r3.Vector) int {
	if len(t.nodes) == 0 || !t.box.Contains(p) {
		return 0
	}
	r := Ray{Origin: p, Direction: slant, TMin: 0, TMax: math.Inf(1)}
	var b boxRay
	var s shear
	if !t.prepare(&r, &b, &s) {
		return 0
	}
	var st stack
	w := 0
	t.visit(&b, float32(math.MaxFloat32), &st, func(first, count int32) bool {
		for k := first; k < first+count; k++ {
			if _, leaves, ok := t.crossing(&s, k); ok {
				if leaves {
					w++
				} else {
					w--
				}
			}
		}
		return false
	})
	return w
}

// Inside reports whether p lies in the metal of a closed mesh: Winding > 0.
func (t *Tree) Inside(p r3.Vector) bool { return t.Winding(p) > 0 }

// Signed is the distance of p from the surface, negative in the metal.
func (t *Tree) Signed(p r3.Vector) float64 {
	n, ok := t.Nearest(p, math.Inf(1))
	if !ok {
		return math.Inf(1)
	}
	if t.Inside(p) {
		return -n.Distance
	}
	return n.Distance
}
