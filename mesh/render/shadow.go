package render

import (
	"math"

	"github.com/fogleman/fauxgl"
)

// shadowMap is the depth of the scene as the light sees it.
type shadowMap struct {
	size  int
	depth []float32
	// from carries a sample of the picture to the map.
	from fauxgl.Matrix
}

// shadowCells is the width of the map: about a cell for two samples of a usual thumbnail.
const shadowCells = 768

// lightCamera sees what the light sees: all of the mesh, or the surroundings of the focus. What
// would cast a shadow into a close-up from far outside it is then missed.
func (s *Scene) lightCamera(l lights) Camera {
	points := s.Mesh.Vertices
	if s.Focus != nil {
		points = boxCorners(s.Focus.Expand(s.Focus.Diagonal() / 2))
	}
	return newCamera(l.toLight, points, viewFrame{w: shadowCells, h: shadowCells, margin: 2})
}

func drawShadows(light *projected, lightMatrix, picture fauxgl.Matrix) *shadowMap {
	s := &shadowMap{size: shadowCells, depth: borrow(shadowCells * shadowCells)}
	const rows = 64
	list := light.bin(rows, 0)
	inParallel(len(list.start)-1, func(i int) {
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
	i, j := int(x), int(y)
	if x < 0 || y < 0 || i >= s.size || j >= s.size {
		return true
	}
	return depth <= s.depth[j*s.size+i]+bias
}

// row prepares to walk along a row of samples: the map's coordinates are linear in x and depth.
func (s *shadowMap) row(y float64) (at, alongX, alongDepth [3]float32) {
	m := s.from
	at = [3]float32{float32(m.X01*y + m.X03), float32(m.X11*y + m.X13), float32(m.X21*y + m.X23)}
	alongX = [3]float32{float32(m.X00), float32(m.X10), float32(m.X20)}
	alongDepth = [3]float32{float32(m.X02), float32(m.X12), float32(m.X22)}
	return at, alongX, alongDepth
}
