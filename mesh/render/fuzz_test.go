package render

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// FuzzThumbnail draws triangles of any coordinates, NaN and infinite ones too (no reader lets those
// through, but a picture must not be what falls over them), from any side.
func FuzzThumbnail(f *testing.F) {
	seed := func(v ...float64) {
		var b []byte
		for _, x := range v {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
		}
		f.Add(b)
	}
	seed(1, 1, 1, 0, 0, 0, 10, 0, 0, 0, 10, 0)
	seed(0, 0, 0, 1e300, 0, 0, -1e300, 1e-300, 0, 0, math.NaN(), math.Inf(1))
	seed(0, 0, 1, 5, 5, 5, 5, 5, 5, 5, 5, 5)
	f.Fuzz(func(t *testing.T, data []byte) {
		next := func() float64 {
			if len(data) < 8 {
				return 0
			}
			v := math.Float64frombits(binary.LittleEndian.Uint64(data))
			data = data[8:]
			return v
		}
		vector := func() r3.Vector { return r3.Vector{X: next(), Y: next(), Z: next()} }
		s := Scene{Mesh: &mesh.Mesh{}, ToEye: vector()}
		for len(data) >= 24 && len(s.Mesh.Vertices) < 60 {
			s.Mesh.Vertices = append(s.Mesh.Vertices, vector())
		}
		for i := 2; i < len(s.Mesh.Vertices); i++ {
			s.Mesh.Triangles = append(s.Mesh.Triangles, [3]int32{int32(i - 2), int32(i - 1), int32(i)})
		}
		if n := len(s.Mesh.Vertices); n > 0 {
			s.Marks = []Mark{{At: s.Mesh.Vertices[0], Label: "1", Severity: Fail}}
			s.Ghost = [][]r3.Vector{s.Mesh.Vertices}
		}
		m, err := Thumbnail(s, Options{WidthPX: 48, Supersample: 2})
		if (m == nil) == (err == nil) {
			t.Fatalf("picture %v and error %v", m != nil, err)
		}
		if m != nil && m.Rect.Dx() != 48 {
			t.Fatalf("the picture is %v", m.Rect)
		}
		if err == nil && !finite(SideOf(s.Mesh, s.Mesh.Vertices[0])) {
			t.Fatal("no side to look from")
		}
	})
}
