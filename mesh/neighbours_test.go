package mesh_test

import (
	"reflect"
	"runtime"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

// byHand pairs the edges by a map, the second method.
func byHand(m *mesh.Mesh, skip func(int32) bool) [][3]int32 {
	type side struct{ a, b int32 }
	type use struct {
		t       int32
		k       int
		forward bool
	}
	uses := map[side][]use{}
	out := make([][3]int32, len(m.Triangles))
	for t, tri := range m.Triangles {
		out[t] = [3]int32{-1, -1, -1}
		if skip != nil && skip(int32(t)) {
			continue
		}
		for k := range 3 {
			a, b := tri[k], tri[(k+1)%3]
			uses[side{min(a, b), max(a, b)}] = append(uses[side{min(a, b), max(a, b)}], use{int32(t), k, a < b})
		}
	}
	for _, u := range uses {
		if len(u) == 2 && u[0].forward != u[1].forward {
			out[u[0].t][u[0].k], out[u[1].t][u[1].k] = u[1].t, u[0].t
		}
	}
	return out
}

// On sound, open, inside-out and non-manifold meshes, with a hub of many triangles and with some left out, at any number of cores.
func TestNeighbours(t *testing.T) {
	rng := meshtest.Random(t)
	list := []*mesh.Mesh{
		meshtest.Box(r3.Vector{}, r3.Vector{X: 1, Y: 2, Z: 3}).Mesh, meshtest.Box(r3.Vector{}, r3.Vector{X: 1, Y: 2, Z: 3}).Without(3),
		meshtest.Cone(3, 4, 200).Mesh, // its tip is a hub
		meshtest.Torus(5, 1, 40, 30).Mesh,
	}
	twisted := meshtest.Sphere(2, 20, 12).Mesh
	turned := &mesh.Mesh{Vertices: twisted.Vertices}
	for i, tri := range twisted.Triangles {
		if i%7 == 0 {
			tri[1], tri[2] = tri[2], tri[1]
		}
		turned.Triangles = append(turned.Triangles, tri)
		if i%11 == 0 {
			turned.Triangles = append(turned.Triangles, tri) // its edges have three triangles
		}
	}
	list = append(list, turned)
	for range 20 {
		list = append(list, meshtest.RandomSolid(rng).Mesh)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for n, m := range list {
		for _, skip := range []func(int32) bool{nil, func(t int32) bool { return t%5 == 2 }} {
			want := byHand(m, skip)
			for _, cores := range []int{1, 3} {
				runtime.GOMAXPROCS(cores)
				if got := mesh.Neighbours(m, skip); !reflect.DeepEqual(got, want) {
					t.Errorf("mesh %d, %d cores, some left out: %v", n, cores, skip != nil)
				}
			}
		}
	}
	// Control: of a closed mesh every side has its neighbour, and another mesh has others.
	for _, sides := range mesh.Neighbours(list[0], nil) {
		for _, o := range sides {
			if o < 0 {
				t.Errorf("a side of the box has no neighbour")
			}
		}
	}
	if reflect.DeepEqual(mesh.Neighbours(list[0], nil)[:11], mesh.Neighbours(list[1], nil)[:11]) {
		t.Error("a missing triangle does not show")
	}
}
