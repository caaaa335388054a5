package index

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// tinyMesh reads triangles of a small whole-number grid, so that corners, edges and planes meet
// often: nine bytes a triangle, at most 40.
func tinyMesh(data []byte) *mesh.Mesh {
	m := &mesh.Mesh{}
	for len(data) >= 9 && len(m.Triangles) < 40 {
		for k := range 3 {
			m.Vertices = append(m.Vertices, r3.Vector{X: float64(data[3*k] % 8), Y: float64(data[3*k+1] % 8), Z: float64(data[3*k+2] % 8)})
		}
		n := int32(len(m.Vertices))
		m.Triangles = append(m.Triangles, [3]int32{n - 3, n - 2, n - 1})
		data = data[9:]
	}
	return m
}

// FuzzQueries holds every query against all triangles, on meshes full of coincidences.
func FuzzQueries(f *testing.F) {
	f.Add([]byte{}, int8(1), int8(2), int8(3), int8(0), int8(0), int8(1))
	f.Add([]byte{0, 0, 0, 7, 0, 0, 0, 7, 0, 0, 0, 0, 0, 7, 0, 7, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1}, int8(1), int8(1), int8(-5), int8(0), int8(0), int8(1))
	f.Add([]byte{0, 0, 0, 7, 0, 0, 0, 7, 0, 0, 0, 7, 7, 0, 7, 0, 7, 7}, int8(-9), int8(0), int8(0), int8(7), int8(0), int8(0))
	f.Fuzz(func(t *testing.T, data []byte, x, y, z, dx, dy, dz int8) {
		m := tinyMesh(data)
		tree := Build(m)
		p := r3.Vector{X: float64(x), Y: float64(y), Z: float64(z)}
		d := r3.Vector{X: float64(dx), Y: float64(dy), Z: float64(dz)}
		if d != (r3.Vector{}) && len(m.Triangles) > 0 {
			r := Ray{p, d, 0, math.Inf(1)}
			got, ok := tree.First(r)
			want := everyTriangle(tree, r)
			if got != want || ok != (want.Triangle >= 0) || tree.Any(r) != ok {
				t.Fatalf("first on %v: %v, all triangles say %v", r, got, want)
			}
			all := tree.All(r, nil)
			if ok && all[0] != got || !ok && len(all) != 0 {
				t.Fatalf("all on %v: %v, first %v", r, all, got)
			}
			for i := 1; i < len(all); i++ {
				if all[i].T < all[i-1].T {
					t.Fatalf("all on %v are not in order: %v", r, all)
				}
			}
		}
		foot, ok := tree.Nearest(p, math.Inf(1))
		if ok != (len(m.Triangles) > 0) {
			t.Fatalf("nearest of %d triangles: %v", len(m.Triangles), ok)
		}
		least := math.Inf(1)
		within := 0
		for k := range m.Triangles {
			d := sampledDistance(m, k, p)
			least = math.Min(least, d)
			if d <= 5-1e-9 {
				within++
			}
		}
		if ok && math.Abs(foot.Distance-least) > 1e-9*math.Max(1, least) {
			t.Fatalf("nearest of %v is %v away, by all triangles %v", p, foot.Distance, least)
		}
		if got := tree.Within(p, 5, nil); len(got) < within {
			t.Fatalf("within 5 of %v lie %d triangles, at least %d by all", p, len(got), within)
		}
	})
}
