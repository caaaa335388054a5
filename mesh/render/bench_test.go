package render

import (
	"testing"

	"github.com/fogleman/fauxgl"

	"pocketgauge/mesh/meshtest"
)

// hundredThousand is a torus of 100,800 triangles, the size that the limit on thumbnails names.
func hundredThousand() *meshtest.Solid { return meshtest.Torus(40, 18, 315, 160) }

func BenchmarkThumbnail512Of100k(b *testing.B) {
	s := Scene{Mesh: hundredThousand().Mesh}
	for b.Loop() {
		if _, err := Thumbnail(s, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkThumbnail512OfABlock(b *testing.B) {
	s := Scene{Mesh: block()}
	for b.Loop() {
		if _, err := Thumbnail(s, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLibraryRaster draws the same 100 k triangles with the library's own rasteriser at the
// same number of samples, without edges, marks or shadows.
func BenchmarkLibraryRaster(b *testing.B) {
	m := hundredThousand().Mesh
	s := Scene{Mesh: m}
	opt, _ := Options{}.filled()
	c := s.camera(opt)
	list := libraryTriangles(m)
	n := opt.WidthPX * opt.Supersample
	dc := fauxgl.NewContext(n, n)
	shader := fauxgl.NewPhongShader(libraryMatrix(c, opt), fauxgl.V(0, 0, 1), fauxgl.V(0, 0, 1000))
	shader.ObjectColor = fauxgl.HexColor("#AAAAAA")
	dc.Shader = shader
	for b.Loop() {
		dc.ClearColorBuffer()
		dc.ClearDepthBuffer()
		dc.DrawTriangles(list)
	}
}
