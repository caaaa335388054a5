package render

import (
	"math"

	"github.com/fogleman/fauxgl"
	"github.com/golang/geo/r3"
)

// Camera carries points to a picture by parallel projection.
type Camera struct {
	matrix fauxgl.Matrix
	// PixelsPerMM is the scale of lengths across the line of sight.
	PixelsPerMM float64
	// ToEye is the direction from the scene to the eye, of length 1.
	ToEye r3.Vector
}

// Project gives the place in pixels, y downwards, and the depth, also in pixels, larger further
// from the eye.
func (c *Camera) Project(p r3.Vector) (x, y, depth float64) {
	v := c.matrix.MulPosition(fauxgl.Vector{X: p.X, Y: p.Y, Z: p.Z})
	return v.X, v.Y, v.Z
}

// Camera is the one with which Thumbnail draws the scene.
func (s *Scene) Camera(opt Options) (Camera, error) {
	opt, err := opt.filled()
	if err != nil {
		return Camera{}, err
	}
	if err := s.check(); err != nil {
		return Camera{}, err
	}
	return s.camera(opt), nil
}

// furnitureShare is the part of the picture's height that the tripod and scale bar have.
const furnitureShare = 0.13

func (s *Scene) camera(opt Options) Camera {
	w, h := float64(opt.WidthPX), float64(opt.HeightPX)
	frame := viewFrame{w: w, h: h, margin: 0.045 * math.Min(w, h)}
	if !opt.Bare {
		frame.foot = furnitureShare * h
	}
	toEye := s.ToEye
	if toEye == (r3.Vector{}) {
		toEye = DefaultToEye
	}
	if s.Focus != nil {
		corners := s.Focus.Corners()
		return newCamera(toEye, corners[:], frame)
	}
	points := s.Mesh.Vertices
	if len(s.Ghost) > 0 {
		points = append([]r3.Vector{}, points...)
		for _, g := range s.Ghost {
			points = append(points, g...)
		}
	}
	return newCamera(toEye, points, frame)
}

// viewFrame is the picture and what of it is kept free.
type viewFrame struct{ w, h, margin, foot float64 }

// newCamera fits the points into the frame.
func newCamera(toEye r3.Vector, points []r3.Vector, f viewFrame) Camera {
	toEye = toEye.Normalize()
	up := fauxgl.Vector{Z: 1}
	if math.Hypot(toEye.X, toEye.Y) < math.Abs(toEye.Z)/1024 {
		up = fauxgl.Vector{Y: 1} // straight from above or below, z has no direction in the picture
	}
	look := fauxgl.LookAt(fauxgl.Vector{X: toEye.X, Y: toEye.Y, Z: toEye.Z}, fauxgl.Vector{}, up)
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		x := look.X00*p.X + look.X01*p.Y + look.X02*p.Z + look.X03
		y := look.X10*p.X + look.X11*p.Y + look.X12*p.Z + look.X13
		lo[0], hi[0] = min(lo[0], x), max(hi[0], x)
		lo[1], hi[1] = min(lo[1], y), max(hi[1], y)
	}
	scale := math.Min((f.w-2*f.margin)/(hi[0]-lo[0]), (f.h-2*f.margin-f.foot)/(hi[1]-lo[1]))
	if math.IsInf(scale, 0) || math.IsNaN(scale) {
		scale = 1 // a point has no size to fit
	}
	m := look.
		Translate(fauxgl.Vector{X: -(lo[0] + hi[0]) / 2, Y: -(lo[1] + hi[1]) / 2}).
		Scale(fauxgl.Vector{X: scale, Y: -scale, Z: -scale}).
		Translate(fauxgl.Vector{X: f.w / 2, Y: (f.h - f.foot) / 2})
	return Camera{matrix: m, PixelsPerMM: scale, ToEye: toEye}
}
