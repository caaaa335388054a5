package render

import (
	"image/color"
	"math"
	"sync"

	"github.com/fogleman/fauxgl"
	"github.com/golang/geo/r3"
)

// Light is added up in linear light, in steps of 1/linearOne.
const linearOne = 4095

// toLinear and toDisplay are the transfer curve of IEC 61966-2-1 (sRGB) and its inverse.
var (
	toLinear  [256]uint16
	toDisplay [linearOne + 1]uint8
	// fineLinear is toLinear in steps of 1/linearOne: a power for each facet would cost more than
	// its light.
	fineLinear [linearOne + 1]uint16
)

func init() {
	for i := range toLinear {
		toLinear[i] = uint16(math.Round(linear(float64(i)/255) * linearOne))
	}
	for i := range fineLinear {
		fineLinear[i] = uint16(math.Round(linear(float64(i)/linearOne) * linearOne))
	}
	for i := range toDisplay {
		v := float64(i) / linearOne
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		toDisplay[i] = uint8(math.Round(v * 255))
	}
}

func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

type shade [3]uint16

func linearOf(c color.RGBA) shade { return shade{toLinear[c.R], toLinear[c.G], toLinear[c.B]} }

// coat is what a triangle looks like: in the light, in shadow, and how its plane lies in the
// picture.
type coat struct {
	lit, dark shade
	normal    [3]float32
	// slope is the change of depth for one sample right and down.
	slope [2]float32
	// bias is how far a sample of it may lie behind the light's map and still be lit.
	bias float32
}

// lights are those of a drawing board: one from the upper left behind the eye's shoulder, which
// casts the shadows, and a weak sky that keeps what lies in shadow readable.
type lights struct {
	toLight, toEye, up r3.Vector
}

func newLights(c *Camera) lights {
	// Taken from the picture's own axes, so that views from all sides are lit alike.
	m := c.matrix
	right := r3.Vector{X: m.X00, Y: m.X01, Z: m.X02}.Normalize()
	up := r3.Vector{X: -m.X10, Y: -m.X11, Z: -m.X12}.Normalize()
	if c.ToEye.Z < 0 {
		up = up.Mul(-1) // who looks up at the seat holds the lamp low
	}
	return lights{
		toLight: right.Mul(-0.55).Add(up.Mul(0.62)).Add(c.ToEye.Mul(0.56)).Normalize(),
		toEye:   c.ToEye,
		up:      up,
	}
}

// coat shades a facet with the library's Phong model, once with the light and once without.
func (l *lights) coat(tone color.RGBA, normal, middle r3.Vector) (lit, dark shade) {
	sky := 0.5 + 0.5*normal.Dot(l.up)
	ambient := 0.30 + 0.16*sky
	front := math.Max(normal.Dot(l.toEye), 0)
	ambient += 0.10 * front
	s := fauxgl.PhongShader{
		LightDirection: fauxgl.Vector{X: l.toLight.X, Y: l.toLight.Y, Z: l.toLight.Z},
		CameraPosition: fauxgl.Vector{X: middle.X + l.toEye.X, Y: middle.Y + l.toEye.Y, Z: middle.Z + l.toEye.Z},
		ObjectColor:    fauxgl.Color{R: float64(tone.R) / 255, G: float64(tone.G) / 255, B: float64(tone.B) / 255, A: 1},
		AmbientColor:   fauxgl.Color{R: ambient, G: ambient * 1.01, B: ambient * 1.05, A: 1},
		DiffuseColor:   fauxgl.Color{R: 0.72, G: 0.71, B: 0.68, A: 1},
		SpecularColor:  fauxgl.Color{R: 0.10, G: 0.10, B: 0.10, A: 1},
		SpecularPower:  12,
	}
	v := fauxgl.Vertex{
		Position: fauxgl.Vector{X: middle.X, Y: middle.Y, Z: middle.Z},
		Normal:   fauxgl.Vector{X: normal.X, Y: normal.Y, Z: normal.Z},
	}
	lit = linearShade(s.Fragment(v))
	s.DiffuseColor, s.SpecularPower = fauxgl.Color{A: 1}, 0
	dark = linearShade(s.Fragment(v))
	return lit, dark
}

func linearShade(c fauxgl.Color) shade {
	q := func(v float64) uint16 {
		if !(v > 0) { // NaN too
			return 0
		}
		return fineLinear[int(min(v, 1)*linearOne+0.5)]
	}
	return shade{q(c.R), q(c.G), q(c.B)}
}

// coats shades every facet that covers a sample; the others' coats hold what was there.
func (s *Scene) coats(c *Camera, p *projected, l lights, light *projected) []coat {
	m := s.Mesh
	steel := s.Steel
	if steel == (color.RGBA{}) {
		steel = SteelTone("")
	}
	list := borrowCoats(len(m.Triangles))
	inChunks(len(m.Triangles), func(lo, hi int) {
		for t := lo; t < hi; t++ {
			if _, _, ok := p.rows(t); !ok {
				continue
			}
			area := m.AreaVector(t)
			normal := area.Normalize()
			if !finite(normal) || normal == (r3.Vector{}) {
				normal = c.ToEye // a facet too large or too thin to have a direction in binary64
			}
			tone := steel
			if s.Tones != nil {
				tone = s.Tones[t]
			}
			if normal.Dot(c.ToEye) < 0 {
				normal = normal.Mul(-1)
				tone = inside
			}
			a, b, d := m.Corners(t)
			k := &list[t]
			k.lit, k.dark = l.coat(tone, normal, a.Add(b).Add(d).Mul(1.0/3))
			if normal.Dot(l.toLight) <= 0 {
				k.lit = k.dark
			}
			k.normal = [3]float32{float32(normal.X), float32(normal.Y), float32(normal.Z)}
			k.slope = slope(p, t)
			g := slope(light, t)
			k.bias = 1 + min(float32(math.Abs(float64(g[0]))+math.Abs(float64(g[1]))), 20)
		}
	})
	return list
}

var coatPool sync.Pool

func borrowCoats(n int) []coat {
	if s, ok := coatPool.Get().(*[]coat); ok && cap(*s) >= n {
		return (*s)[:n]
	}
	return make([]coat, n)
}

// slope is the gradient of a facet's depth over the samples; 0 where it is seen on edge.
func slope(p *projected, t int) [2]float32 {
	tri := p.triangles[t]
	ax, ay, az := p.x[tri[0]], p.y[tri[0]], p.z[tri[0]]
	bx, by, bz := p.x[tri[1]]-ax, p.y[tri[1]]-ay, p.z[tri[1]]-az
	cx, cy, cz := p.x[tri[2]]-ax, p.y[tri[2]]-ay, p.z[tri[2]]-az
	twice := bx*cy - by*cx
	if twice == 0 {
		return [2]float32{}
	}
	return [2]float32{(bz*cy - cz*by) / twice, (cz*bx - bz*cx) / twice}
}
