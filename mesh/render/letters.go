package render

import (
	"image"
	"image/color"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// The Go fonts come with the program, so that a picture has the same letters everywhere.
var fonts = sync.OnceValue(func() [2]*opentype.Font {
	var list [2]*opentype.Font
	for i, data := range [][]byte{goregular.TTF, gobold.TTF} {
		f, err := opentype.Parse(data)
		if err != nil {
			panic("render: a font of the program is not readable: " + err.Error())
		}
		list[i] = f
	}
	return list
})

// lettering is text of one size; a face keeps state, so each picture has its own.
type lettering struct{ face font.Face }

func newLettering(heightPX float64, bold bool) lettering {
	f := fonts()[0]
	if bold {
		f = fonts()[1]
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: heightPX, DPI: 72, Hinting: font.HintingFull})
	if err != nil {
		panic("render: " + err.Error())
	}
	return lettering{face}
}

func (l lettering) width(text string) float64 {
	return float64(font.MeasureString(l.face, text)) / 64
}

// capHeight is the height of capital letters and figures.
func (l lettering) capHeight() float64 { return float64(l.face.Metrics().CapHeight) / 64 }

// write puts text with its left end and foot line at p.
func (l lettering) write(m *image.RGBA, tone color.RGBA, p point, text string) {
	d := font.Drawer{Dst: m, Src: image.NewUniform(premultiplied(tone)), Face: l.face,
		Dot: fixed.Point26_6{X: fixed.Int26_6(p.x * 64), Y: fixed.Int26_6(p.y * 64)}}
	d.DrawString(text)
}

// centred puts text with its middle at p.
func (l lettering) centred(m *image.RGBA, tone color.RGBA, p point, text string) {
	l.write(m, tone, point{p.x - l.width(text)/2, p.y + l.capHeight()/2}, text)
}

// fitted shortens text in its middle to the width, where file names say least.
func (l lettering) fitted(text string, width float64) string {
	if l.width(text) <= width {
		return text
	}
	r := []rune(text)
	for keep := len(r) - 1; keep > 1; keep-- {
		head := (keep + 1) / 2
		short := string(r[:head]) + "…" + string(r[len(r)-(keep-head):])
		if l.width(short) <= width {
			return short
		}
	}
	return "…"
}
