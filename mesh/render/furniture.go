package render

import (
	"image/color"
	"math"
	"strconv"

	"github.com/golang/geo/r3"
)

// ghosts draws polylines: firm where they are seen, faint where the body hides them.
func (c *canvas) ghosts(lines [][]r3.Vector) {
	seen, hidden := withAlpha(Blue, 0xE0), withAlpha(Blue, 0x48)
	width := 1.3 * c.unit
	for _, line := range lines {
		for i := 1; i < len(line); i++ {
			c.split(line[i-1], line[i], func(a, b point, hides bool) {
				if hides {
					c.line(hidden, width, a, b)
				} else {
					c.line(seen, width, a, b)
				}
			})
		}
	}
}

// split cuts a segment where it goes behind the body or comes out.
func (c *canvas) split(from, to r3.Vector, draw func(a, b point, hides bool)) {
	ax, ay, az := c.camera.Project(from)
	bx, by, bz := c.camera.Project(to)
	whole := point{bx, by}.minus(point{ax, ay})
	a, b, ok := c.clipped(point{ax, ay}, point{bx, by}, 2)
	if !ok {
		return
	}
	// Depth along the clipped part: linear along the whole.
	slope := (bz - az) / whole.length()
	depth0 := az + slope*a.minus(point{ax, ay}).length()
	steps := int(math.Ceil(b.minus(a).length() / 2))
	if steps == 0 {
		return
	}
	at := func(i int) (point, float64) {
		k := float64(i) / float64(steps)
		return a.plus(b.minus(a).times(k)), depth0 + slope*b.minus(a).length()*k
	}
	start, _ := at(0)
	p, d := at(0)
	was := c.hides(p, d)
	for i := 1; i <= steps; i++ {
		p, d := at(i)
		now := c.hides(p, d)
		if now != was || i == steps {
			draw(start, p, was)
			start, was = p, now
		}
	}
}

// tripod draws the axes in the lower left corner.
func (c *canvas) tripod() {
	u := c.unit
	l := newLettering(math.Max(11.5*u, 9.5), true)
	reach := 24 * u
	h := float64(c.opt.HeightPX)
	type axis struct {
		name string
		tone color.RGBA
		to   point
		near float64
	}
	axes := []axis{{name: "X", tone: Vermilion}, {name: "Y", tone: BluishGreen}, {name: "Z", tone: Blue}}
	ox, oy, od := c.camera.Project(r3.Vector{})
	low := point{}
	for i, d := range []r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
		x, y, z := c.camera.Project(d)
		k := reach / c.camera.PixelsPerMM
		axes[i].to, axes[i].near = point{(x - ox) * k, (y - oy) * k}, z-od
		low = point{min(low.x, axes[i].to.x), max(low.y, axes[i].to.y)}
	}
	origin := point{14*u - low.x + 6*u, h - 12*u - low.y - 5*u}
	corner, top := origin, origin
	for _, a := range axes {
		corner = point{max(corner.x, origin.x+a.to.x), max(corner.y, origin.y+a.to.y)}
		top = point{min(top.x, origin.x+a.to.x), min(top.y, origin.y+a.to.y)}
	}
	c.plate(top.minus(point{16 * u, 16 * u}), corner.plus(point{16 * u, 16 * u}))
	// The axis that points away is drawn first.
	for range axes {
		far := 0
		for i := range axes {
			if axes[i].near > axes[far].near {
				far = i
			}
		}
		a := axes[far]
		axes[far].near = math.Inf(-1)
		if a.to.length() > 4*u {
			tip := origin.plus(a.to)
			d := a.to.unitOr(point{1, 0})
			n := point{-d.y, d.x}
			c.line(a.tone, 2*u, origin, tip.minus(d.times(5*u)))
			c.fill(a.tone, tip, tip.minus(d.times(7*u)).plus(n.times(3.2*u)), tip.minus(d.times(7*u)).minus(n.times(3.2*u)))
			l.centred(c.image, a.tone, tip.plus(d.times(math.Max(7.5*u, 6.5))), a.name)
		} else {
			c.disc(a.tone, origin, 3*u)
			l.centred(c.image, a.tone, origin.plus(point{-9 * u, -7 * u}), a.name)
		}
	}
}

// scaleBar draws a bar of a round length in the lower right corner.
func (c *canvas) scaleBar() {
	u := c.unit
	w, h := float64(c.opt.WidthPX), float64(c.opt.HeightPX)
	length := roundLength(0.26 * w / c.camera.PixelsPerMM)
	px := length * c.camera.PixelsPerMM
	right, foot := w-16*u, h-15*u
	c.plate(point{right - px - 10*u, foot - 24*u}, point{right + 10*u, foot + 10*u})
	c.fill(ink, point{right - px, foot - 1.2*u}, point{right, foot - 1.2*u}, point{right, foot + 1.2*u}, point{right - px, foot + 1.2*u})
	for _, x := range []float64{right - px, right} {
		c.fill(ink, point{x - u, foot - 5*u}, point{x + u, foot - 5*u}, point{x + u, foot + 5*u}, point{x - u, foot + 5*u})
	}
	l := newLettering(math.Max(13*u, 11), false)
	text := strconv.FormatFloat(length, 'g', -1, 64) + " mm"
	l.write(c.image, ink, point{right - px/2 - l.width(text)/2, foot - 7*u}, text)
}

// roundLength is the largest of 1, 2 and 5 times a power of ten up to most.
func roundLength(most float64) float64 {
	if !(most > 0) {
		return 1
	}
	e := math.Floor(math.Log10(most))
	// Powers of ten are parsed, not multiplied: 0.2 comes out as 0.2.
	for _, f := range []int{5, 2, 1} {
		if v, err := strconv.ParseFloat(strconv.Itoa(f)+"e"+strconv.Itoa(int(e)), 64); err == nil && v <= most {
			return v
		}
	}
	return math.Pow(10, e)
}

// plate lays paper under furniture where the body lies there, as it does in a close-up.
func (c *canvas) plate(lo, hi point) {
	for y := max(int(lo.y), 0); y < min(int(hi.y), c.opt.HeightPX); y++ {
		for x := max(int(lo.x), 0); x < min(int(hi.x), c.opt.WidthPX); x++ {
			if float64(c.depth[y*c.opt.WidthPX+x]) < math.MaxFloat32/(2*float64(c.opt.Supersample)) {
				r := 6 * c.unit
				c.fill(withAlpha(c.opt.Background, 0xDC),
					point{lo.x + r, lo.y}, point{hi.x - r, lo.y}, point{hi.x, lo.y + r}, point{hi.x, hi.y - r},
					point{hi.x - r, hi.y}, point{lo.x + r, hi.y}, point{lo.x, hi.y - r}, point{lo.x, lo.y + r})
				return
			}
		}
	}
}
