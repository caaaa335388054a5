package thickness

import (
	"math"
	"reflect"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"pocketgauge/mesh"
	"pocketgauge/mesh/index"
)

// tinyMesh reads corners on a small whole-number grid, three bytes each, and triangles of what
// follows: open, folded, crossing itself and without area, as it comes.
func tinyMesh(data []byte) *mesh.Mesh {
	m := &mesh.Mesh{}
	for len(data) >= 3 && len(m.Vertices) < 12 {
		m.Vertices = append(m.Vertices, vec(float64(data[0]%16), float64(data[1]%16), float64(data[2]%16)))
		data = data[3:]
	}
	for n := len(m.Vertices); len(data) >= 3 && n > 0 && len(m.Triangles) < 40; data = data[3:] {
		t := [3]int32{int32(int(data[0]) % n), int32(int(data[1]) % n), int32(int(data[2]) % n)}
		if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
			m.Triangles = append(m.Triangles, t)
		}
	}
	return m
}

// FuzzWalls: any mesh is sampled within its bounds, W3 holds for it, and what is reported is made
// of its points.
func FuzzWalls(f *testing.F) {
	cube := []byte{0, 0, 0, 9, 0, 0, 9, 9, 0, 0, 9, 0, 0, 0, 1, 9, 0, 1, 9, 9, 1, 0, 9, 1, 0, 0, 0, 9, 9, 9, 3, 3, 3, 4, 4, 4}
	for _, t := range block(0, 0, 0, 1, 1, 1).Triangles {
		cube = append(cube, byte(t[0]), byte(t[1]), byte(t[2]))
	}
	f.Add(cube, uint8(8), false)
	f.Add(cube[:60], uint8(1), true)
	f.Add([]byte{}, uint8(3), false)
	f.Fuzz(func(t *testing.T, data []byte, pitch uint8, gap bool) {
		m := tinyMesh(data)
		o := Options{PitchMM: 0.25 + float64(pitch%32)/8, MostSamples: 3000}
		if gap {
			o.Side = Gap
		}
		if pitch&32 != 0 {
			o.LimitMM = 3
		}
		if pitch&64 != 0 {
			o.Keep = func(i int32) bool { return i%3 != 0 }
		}
		field, err := Walls(index.Build(m), o)
		if err != nil {
			t.Fatal(err)
		}
		if len(field.Samples) > 3000 {
			t.Fatalf("%d samples, at most 3000 were asked for", len(field.Samples))
		}
		area, want := 0.0, 0.0
		for _, s := range field.Samples {
			area += float64(s.AreaMM2)
			if !field.Sampled(s.Triangle) || math.IsNaN(field.Point(&s).Norm()) || math.IsNaN(float64(s.WallMM)) || (s.Partner < 0) != math.IsInf(float64(s.WallMM), 1) {
				t.Fatalf("sample %+v", s)
			}
		}
		for i := range m.Triangles {
			if field.Sampled(int32(i)) {
				want += m.AreaVector(i).Norm()
			}
		}
		if math.Abs(area-want) > 1e-4*want {
			t.Fatalf("samples stand for %v mm2 of %v", area, want)
		}
		if len(field.Samples) > 0 {
			if missing, at := spokenFor(seeded(t, uint64(pitch)), field, m, 60); missing > 0 {
				t.Fatalf("no sample speaks for %d of 60 points, one is %v", missing, at)
			}
		}
		got := field.Thin(0, nil)
		for _, r := range got.Regions {
			if d := r.B.Sub(r.A).Norm(); !(math.Abs(d-r.ValueMM) <= r.ErrorMM) || r.TriangleA < 0 || r.TriangleB < 0 || !(r.AreaMM2 >= 0) {
				t.Fatalf("region %+v, its ends %v apart", r, d)
			}
		}
		for _, e := range field.FeatherEdges(nil) {
			if !(e.Angle >= 0 && e.Angle <= 45.001*s1.Degree) || !(e.LengthMM > 0) || e.A == (r3.Vector{}) && e.B == (r3.Vector{}) {
				t.Fatalf("feather edge %+v", e)
			}
		}
		for _, b := range field.Blades(got.Regions, 0.1) {
			if math.IsNaN(b.HeightMM) || math.IsNaN(b.Up.Norm()) {
				t.Fatalf("blade %+v", b)
			}
		}
		if again := field.Thin(0, nil); !reflect.DeepEqual(got, again) {
			t.Fatal("asked twice, two answers")
		}
	})
}
