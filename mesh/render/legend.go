package render

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
)

// Key tells what a colour stands for.
type Key struct {
	Tone  color.RGBA
	Label string
	// Value stands at the right of the label, such as "46.4 cm3"; may be "".
	Value string
}

// Legend is the picture with a title over it and, under it, what its colours stand for, in as many
// columns as have room.
func Legend(picture image.Image, title string, keys []Key) (*image.RGBA, error) {
	if picture == nil || picture.Bounds().Empty() {
		return nil, errors.New("render: a legend without a picture")
	}
	b := picture.Bounds()
	unit := math.Max(float64(b.Dx())/512, 0.65)
	text, head := newLettering(12*unit, false), newLettering(14*unit, true)
	pad := 14 * unit
	row := 20 * unit
	chip := 11 * unit
	widest := 0.0
	for _, k := range keys {
		widest = math.Max(widest, chip+6*unit+text.width(k.Label)+12*unit+text.width(k.Value))
	}
	room := float64(b.Dx()) - 2*pad
	columns := max(1, min(int((room+pad)/(widest+pad)), len(keys), 4))
	width := (room - float64(columns-1)*pad) / float64(columns)
	rows := (len(keys) + columns - 1) / max(columns, 1)
	top := 0
	if title != "" {
		top = int(math.Ceil(26 * unit))
	}
	foot := 0
	if len(keys) > 0 {
		foot = int(math.Ceil(float64(rows)*row + pad))
	}
	if b.Dx() > MaxSheetPixels/(b.Dy()+top+foot) {
		return nil, fmt.Errorf("render: a picture of %d x %d pixels with its legend is too large", b.Dx(), b.Dy())
	}
	out := blank(b.Dx(), b.Dy()+top+foot, Paper)
	draw.Draw(out, image.Rect(0, top, b.Dx(), top+b.Dy()), picture, b.Min, draw.Src)
	if title != "" {
		head.write(out, ink, point{pad, 18 * unit}, head.fitted(title, room))
	}
	c := newCanvas(Options{WidthPX: out.Rect.Dx(), HeightPX: out.Rect.Dy(), Background: Paper}, Camera{})
	giveBack(c.depth)
	c.image = out
	for i, k := range keys {
		x := pad + float64(i/max(rows, 1))*(width+pad)
		y := float64(top+b.Dy()) + pad/2 + float64(i%max(rows, 1))*row
		c.fill(k.Tone, point{x, y}, point{x + chip, y}, point{x + chip, y + chip}, point{x, y + chip})
		foot := y + chip/2 + text.capHeight()/2
		w := text.width(k.Value)
		left := x + chip + 6*unit
		text.write(out, ink, point{left, foot}, text.fitted(k.Label, width-chip-6*unit-w-6*unit))
		if k.Value != "" {
			text.write(out, faint, point{x + width - w, foot}, k.Value)
		}
	}
	return out, nil
}
