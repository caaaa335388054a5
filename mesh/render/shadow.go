package render

import (
	"math"

	"github.com/fogleman/fauxgl"

	"pocketgauge/mesh/parallel"
)

// shadowMap is the depth of the scene as the light sees it.
type shadowMap struct {
	size  int
	depth []float32
	// from carries a sample of the picture to the map.
	from fauxgl.Matrix
}

// shadowCells is the width of the map for a picture: two cells for a pixel.
func shadowCells(opt Options) int {
	return min(max(2*max(opt.WidthPX, opt.HeightPX), 768), 2048)
}

// lightCamera sees what the light sees: all of the mesh, or the surroundings of the focus. What
// would cast a shadow into a close-up from far outside it is then missed.
func (s *Scene) lightCamera(l lights, cells int) Camera {
	points := s.Mesh.Vertices
	if s.Focus != nil {
		corners := s.Focus.Expand(s.Focus.Diagonal() / 4).Corners()
		points = corners[:]
	}
	return newCamera(l.toLight, points, viewFrame{w: float64(cells), h: float64(cells), margin: 2})
}

func drawShadows(light *projected, lightMatrix, picture fauxgl.Matrix) *shadowMap {
	s := &shadowMap{size: light.w, depth: borrow(light.w * light.w)}
	const rows = 64
	list := light.bin(rows, 0)
	parallel.Each(len(list.start)-1, func(i, _ int) {
		b := band{first: i * rows, rows: min(rows, s.size-i*rows), w: s.size}
		b.depth = s.depth[i*rows*s.size:][: b.rows*s.size : b.rows*s.size]
		far := float32(math.MaxFloat32)
		for k := range b.depth {
			b.depth[k] = far
		}
		for _, t := range list.list[list.start[i]:list.start[i+1]] {
			b.draw(light, t)
		}
	})
	s.from = lightMatrix.Mul(picture.Inverse())
	return s
}

// lit reports whether the light reaches a place of the map.
func (s *shadowMap) lit(x, y, depth, bias float32) bool {
	if size := float32(s.size); !(x >= 0 && y >= 0 && x < size && y < size) { // NaN too
		return true
	}
	return depth <= s.depth[int(y)*s.size+int(x)]+bias
}

// spread is how far apart, in cells, the outermost samples of a pixel look the map up. Each sample
// asks a place of its own, so that the mean over the pixel softens the map's steps.
const spread = 2.7

// row prepares to walk along a row of samples: the map's coordinates are linear in x and depth.
func (s *shadowMap) row(y float64) (at, alongX, alongDepth [3]float32) {
	m := s.from
	at = [3]float32{float32(m.X01*y + m.X03), float32(m.X11*y + m.X13), float32(m.X21*y + m.X23)}
	alongX = [3]float32{float32(m.X00), float32(m.X10), float32(m.X20)}
	alongDepth = [3]float32{float32(m.X02), float32(m.X12), float32(m.X22)}
	return at, alongX, alongDepth
}
