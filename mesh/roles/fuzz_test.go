package roles

import (
	"math"
	"reflect"
	"runtime"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// tinyPart reads a mesh and the faces it is said to come from, right or wrong.
func tinyPart(data []byte) *mesh.Part {
	m := &mesh.Mesh{}
	p := &mesh.Part{Mesh: m}
	for len(data) >= 3 && len(m.Vertices) < 14 {
		m.Vertices = append(m.Vertices, r3.Vector{X: float64(data[0] % 16), Y: float64(data[1] % 16), Z: float64(data[2] % 16)})
		data = data[3:]
	}
	for n := len(m.Vertices); len(data) >= 4 && n > 0 && len(m.Triangles) < 60; data = data[4:] {
		t := [3]int32{int32(int(data[0]) % n), int32(int(data[1]) % n), int32(int(data[2]) % n)}
		if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
			m.Triangles = append(m.Triangles, t)
			m.Faces = append(m.Faces, int32(data[3]%5))
		}
	}
	kinds := []mesh.SurfaceKind{mesh.Unknown, mesh.Plane, mesh.Cylinder}
	for k := 0; k < 4 && len(data) >= 4; k, data = k+1, data[4:] {
		p.Faces = append(p.Faces, mesh.Face{
			Kind: kinds[int(data[0])%len(kinds)], Inner: data[0]&8 != 0, RadiusMM: float64(data[1]%12) / 2,
			Origin: r3.Vector{X: float64(data[2] % 16), Y: float64(data[2] / 16)},
			Axis:   r3.Vector{X: float64(data[3]%3) - 1, Y: float64(data[3]/3%3) - 1, Z: float64(data[3]/9%3) - 1}.Normalize(),
		})
	}
	return p
}

// FuzzFind: any part gives every triangle one role (R3), bores of finite size made of its
// triangles, and the same at any number of cores (R4).
func FuzzFind(f *testing.F) {
	// A hexagonal bore right through a hexagonal block, its faces named.
	var hexagon []byte
	for _, z := range []byte{0, 12} {
		for _, c := range [][2]byte{{14, 8}, {11, 13}, {5, 13}, {2, 8}, {5, 3}, {11, 3}} {
			hexagon = append(hexagon, c[0], c[1], z)
		}
	}
	hexagon = append(hexagon, 8, 8, 0, 8, 8, 12)
	for i := range byte(6) {
		j := (i + 1) % 6
		hexagon = append(hexagon, i, 6+j, j, 2, i, 6+i, 6+j, 2, i, j, 12, 1, 6+i, 13, 6+j, 1)
	}
	f.Add(hexagon, uint8(0))
	f.Add(append(hexagon, 0, 0, 0, 0, 1, 0, 0, 0, 10, 12, 0x88, 22), uint8(2))
	f.Add([]byte{}, uint8(1))
	f.Fuzz(func(t *testing.T, data []byte, blank uint8) {
		p := tinyPart(data)
		onBlank := func(i int32) bool { return blank > 0 && i%int32(blank) == 0 }
		got := Find(p, onBlank)
		n := len(p.Mesh.Triangles)
		if len(got.Of) != n || len(got.BoreOf) != n {
			t.Fatalf("%d roles of %d triangles", len(got.Of), n)
		}
		member := make([]int, n)
		for k, b := range got.Bores {
			if !(b.DiameterMM > 0) || !(b.DepthMM >= 0) || math.IsInf(b.DiameterMM+b.DepthMM, 0) || !(math.Abs(b.Into.Norm()-1) < 1e-9) || len(b.Steps) == 0 {
				t.Fatalf("bore %+v", b)
			}
			for _, i := range b.Triangles {
				member[i] = k + 1
			}
		}
		for i := range n {
			if (got.Of[i] == InBore) != (got.BoreOf[i] >= 0) || int(got.BoreOf[i])+1 != member[i] {
				t.Fatalf("triangle %d has role %v, bore %d, and is among the triangles of bore %d", i, got.Of[i], got.BoreOf[i], member[i]-1)
			}
			if got.Of[i] == Blank && !onBlank(int32(i)) {
				t.Fatalf("triangle %d is called blank and is not", i)
			}
		}
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
		for _, cores := range []int{1, 3} {
			runtime.GOMAXPROCS(cores)
			if again := Find(p, onBlank); !reflect.DeepEqual(got, again) {
				t.Fatalf("%d cores find otherwise", cores)
			}
		}
	})
}
