package render

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"golang.org/x/image/vector"
)

// canvas is a picture in the making: its pixels, and how far from the eye each is, in pixels.
type canvas struct {
	opt    Options
	camera Camera
	image  *image.RGBA
	depth  []float32
	// unit is what drawing is sized by: 1 at 512 pixels, so that a large picture is the small one
	// grown.
	unit float64
	pen  *vector.Rasterizer
}

func newCanvas(opt Options, camera Camera) *canvas {
	return &canvas{
		opt: opt, camera: camera,
		image: image.NewRGBA(image.Rect(0, 0, opt.WidthPX, opt.HeightPX)),
		depth: borrow(opt.WidthPX * opt.HeightPX),
		unit:  math.Max(math.Min(float64(opt.WidthPX), float64(opt.HeightPX))/512, 0.65),
		pen:   vector.NewRasterizer(0, 0),
	}
}

type point struct{ x, y float64 }

func (p point) plus(q point) point    { return point{p.x + q.x, p.y + q.y} }
func (p point) minus(q point) point   { return point{p.x - q.x, p.y - q.y} }
func (p point) times(k float64) point { return point{p.x * k, p.y * k} }
func (p point) length() float64       { return math.Hypot(p.x, p.y) }
func (p point) unitOr(q point) point {
	if l := p.length(); l > 0 {
		return p.times(1 / l)
	}
	return q
}

// fill paints a polygon.
func (c *canvas) fill(tone color.RGBA, corners ...point) {
	lo, hi := corners[0], corners[0]
	for _, p := range corners {
		lo, hi = point{min(lo.x, p.x), min(lo.y, p.y)}, point{max(hi.x, p.x), max(hi.y, p.y)}
	}
	box := image.Rect(int(math.Floor(lo.x)), int(math.Floor(lo.y)), int(math.Ceil(hi.x))+1, int(math.Ceil(hi.y))+1)
	if box = box.Intersect(c.image.Rect); box.Empty() {
		return
	}
	c.pen.Reset(box.Dx(), box.Dy())
	at := func(p point) (float32, float32) {
		return float32(p.x - float64(box.Min.X)), float32(p.y - float64(box.Min.Y))
	}
	c.pen.MoveTo(at(corners[0]))
	for _, p := range corners[1:] {
		c.pen.LineTo(at(p))
	}
	c.pen.ClosePath()
	c.pen.Draw(c.image, box, image.NewUniform(premultiplied(tone)), image.Point{})
}

func premultiplied(c color.RGBA) color.RGBA {
	a := uint32(c.A)
	return color.RGBA{uint8(uint32(c.R) * a / 255), uint8(uint32(c.G) * a / 255), uint8(uint32(c.B) * a / 255), c.A}
}

func withAlpha(c color.RGBA, a uint8) color.RGBA { c.A = a; return c }

// line draws a stroke with flat ends.
func (c *canvas) line(tone color.RGBA, width float64, a, b point) {
	a, b, ok := c.clipped(a, b, width)
	d := b.minus(a)
	if !ok || d.length() == 0 {
		return
	}
	n := point{-d.y, d.x}.times(width / 2 / d.length())
	c.fill(tone, a.plus(n), b.plus(n), b.minus(n), a.minus(n))
}

// clipped is the part of a segment within the picture and a border around it (Liang and Barsky, A
// New Concept and Method for Line Clipping, 1984). The rasteriser of polygons walks every row
// between a corner and the picture, so what lies far outside must not reach it.
func (c *canvas) clipped(a, b point, border float64) (point, point, bool) {
	d := b.minus(a)
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{
		{-d.x, a.x + border}, {d.x, float64(c.opt.WidthPX) + border - a.x},
		{-d.y, a.y + border}, {d.y, float64(c.opt.HeightPX) + border - a.y},
	} {
		p, q := side[0], side[1]
		switch {
		case !(math.Abs(p)+math.Abs(q) < math.MaxFloat64):
			return a, b, false
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			from = max(from, q/p)
		case p > 0:
			to = min(to, q/p)
		}
	}
	return a.plus(d.times(from)), a.plus(d.times(to)), from < to
}

func (c *canvas) within(p point) bool {
	return p.x >= 0 && p.y >= 0 && p.x < float64(c.opt.WidthPX) && p.y < float64(c.opt.HeightPX)
}

func regular(centre point, radius float64, corners int, turn float64) []point {
	list := make([]point, corners)
	for i := range list {
		s, k := math.Sincos(turn + 2*math.Pi*float64(i)/float64(corners))
		list[i] = point{centre.x + radius*k, centre.y + radius*s}
	}
	return list
}

func (c *canvas) disc(tone color.RGBA, centre point, radius float64) {
	c.fill(tone, regular(centre, radius, 48, 0)...)
}

// ring is drawn as a band of quads, so that its middle stays free.
func (c *canvas) ring(tone color.RGBA, centre point, radius, width float64) {
	const n = 40
	outer, inner := regular(centre, radius+width/2, n, 0), regular(centre, radius-width/2, n, 0)
	corners := append([]point{}, outer...)
	corners = append(corners, outer[0], inner[0])
	for i := n - 1; i >= 0; i-- {
		corners = append(corners, inner[i])
	}
	c.fill(tone, corners...)
}

// hides reports whether the body lies before a place of the picture at this depth.
func (c *canvas) hides(p point, depth float64) bool {
	x, y := int(p.x), int(p.y)
	if x < 0 || y < 0 || x >= c.opt.WidthPX || y >= c.opt.HeightPX {
		return false
	}
	return float64(c.depth[y*c.opt.WidthPX+x]) < depth-1.5
}

func blank(w, h int, tone color.RGBA) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(m, m.Rect, image.NewUniform(tone), image.Point{}, draw.Src)
	return m
}
