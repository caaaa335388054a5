package render

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	xdraw "golang.org/x/image/draw"
)

// Stamp is the verdict on a captioned picture.
type Stamp uint8

// Stamps. Each has a colour, a shape, a sign in the shape and its word.
const (
	NoStamp     Stamp = iota
	PassStamp         // green disc with a tick
	UnsureStamp       // orange diamond with a question mark
	FailStamp         // vermilion octagon with a cross
	UnreadStamp       // grey square with an exclamation mark
)

// Captioned is one picture of a sheet.
type Captioned struct {
	// Picture is scaled to the cell; nil leaves an empty frame, as for a model that cannot be read.
	Picture image.Image
	Title   string
	// Detail is a second line in small letters.
	Detail string
	Stamp  Stamp
	// Word stands beside the stamp, such as "FAIL 2".
	Word string
}

// SheetOptions say how a sheet is laid out. The zero value is the usual sheet.
type SheetOptions struct {
	Title string
	// CellPX is the width of a picture; 0 is 300.
	CellPX int
	// Columns is the number of pictures beside each other; 0 chooses it.
	Columns    int
	Background color.RGBA // zero is Paper
}

// MaxSheetPixels bounds a sheet: 64 million pixels are 256 MB.
const MaxSheetPixels = 64 << 20

// SheetSize is the size in pixels that a sheet of n pictures would have.
func SheetSize(n int, opt SheetOptions) (width, height int) {
	g := layout(n, opt)
	return g.width, g.height
}

type grid struct{ columns, rows, cell, caption, gap, head, width, height int }

func layout(n int, opt SheetOptions) grid {
	g := grid{cell: opt.CellPX, columns: opt.Columns}
	if g.cell <= 0 {
		g.cell = 300
	}
	if g.columns <= 0 {
		g.columns = max(1, int(math.Ceil(math.Sqrt(float64(n)*1.25))))
	}
	g.columns = max(1, min(g.columns, n))
	g.rows = (n + g.columns - 1) / g.columns
	g.caption, g.gap = max(g.cell/6, 34), max(g.cell/22, 8)
	if opt.Title != "" {
		g.head = g.caption
	}
	g.width = g.columns*(g.cell+g.gap) + g.gap
	g.height = g.head + g.rows*(g.cell+g.caption+g.gap) + g.gap
	return g
}

// ContactSheet lays pictures out in rows, each with its caption and stamp.
func ContactSheet(items []Captioned, opt SheetOptions) (*image.RGBA, error) {
	if len(items) == 0 {
		return nil, fmt.Errorf("render: a sheet without pictures")
	}
	g := layout(len(items), opt)
	if g.width > MaxSheetPixels/g.height {
		return nil, fmt.Errorf("render: a sheet of %d pictures would have %d x %d pixels; draw several sheets or smaller pictures", len(items), g.width, g.height)
	}
	paper := opt.Background
	if paper == (color.RGBA{}) {
		paper = Paper
	}
	sheet := blank(g.width, g.height, darker(paper))
	c := newCanvas(Options{WidthPX: g.width, HeightPX: g.height, Background: paper}, Camera{})
	giveBack(c.depth)
	c.image = sheet
	scale := float64(g.cell) / 300
	title, detail, word := newLettering(14*scale, true), newLettering(11.5*scale, false), newLettering(11.5*scale, true)
	if opt.Title != "" {
		head := newLettering(19*scale, true)
		head.write(sheet, ink, point{float64(g.gap) + 2*scale, float64(g.head)*0.5 + head.capHeight()/2 + 3*scale}, head.fitted(opt.Title, float64(g.width-2*g.gap)))
	}
	for i, it := range items {
		x := g.gap + (i%g.columns)*(g.cell+g.gap)
		y := g.head + g.gap + (i/g.columns)*(g.cell+g.caption+g.gap)
		card := image.Rect(x, y, x+g.cell, y+g.cell+g.caption)
		draw.Draw(sheet, card, image.NewUniform(paper), image.Point{}, draw.Src)
		picture := image.Rect(x, y, x+g.cell, y+g.cell)
		switch {
		case it.Picture == nil:
			c.noPicture(picture, detail)
		case it.Picture.Bounds().Size() == picture.Size():
			draw.Draw(sheet, picture, it.Picture, it.Picture.Bounds().Min, draw.Over)
		default:
			xdraw.CatmullRom.Scale(sheet, fitted(picture, it.Picture.Bounds()), it.Picture, it.Picture.Bounds(), xdraw.Over, nil)
		}
		left, width := float64(x)+12*scale, float64(g.cell)-24*scale
		first, second := float64(y+g.cell)+18*scale, float64(y+g.cell)+36*scale
		if it.Stamp != NoStamp {
			r := 9 * scale
			at := point{float64(x+g.cell) - 12*scale - r, float64(y+g.cell) + 17*scale}
			c.stamp(it.Stamp, at, r)
			w := word.width(it.Word)
			word.write(sheet, it.Stamp.lettering(), point{at.x - r - 5*scale - w, at.y + word.capHeight()/2}, it.Word)
			width -= 2*r + 12*scale + w
		}
		title.write(sheet, ink, point{left, first + 4*scale}, title.fitted(it.Title, width))
		detail.write(sheet, faint, point{left, second + 2*scale}, detail.fitted(it.Detail, float64(g.cell)-24*scale))
		c.frame(card)
	}
	return sheet, nil
}

func darker(c color.RGBA) color.RGBA {
	f := func(v uint8) uint8 { return uint8(uint32(v) * 236 / 255) }
	return color.RGBA{f(c.R), f(c.G), f(c.B), 0xFF}
}

// fitted is the largest rectangle of the picture's proportions in the middle of the cell.
func fitted(cell, picture image.Rectangle) image.Rectangle {
	w, h := picture.Dx(), picture.Dy()
	if w == 0 || h == 0 {
		return image.Rectangle{}
	}
	fw, fh := cell.Dx(), cell.Dx()*h/w
	if fh > cell.Dy() {
		fw, fh = cell.Dy()*w/h, cell.Dy()
	}
	x, y := cell.Min.X+(cell.Dx()-fw)/2, cell.Min.Y+(cell.Dy()-fh)/2
	return image.Rect(x, y, x+fw, y+fh)
}

func (c *canvas) frame(r image.Rectangle) {
	tone := image.NewUniform(color.RGBA{0xC9, 0xCC, 0xCC, 0xFF})
	for _, side := range []image.Rectangle{
		image.Rect(r.Min.X, r.Min.Y, r.Max.X, r.Min.Y+1), image.Rect(r.Min.X, r.Max.Y-1, r.Max.X, r.Max.Y),
		image.Rect(r.Min.X, r.Min.Y, r.Min.X+1, r.Max.Y), image.Rect(r.Max.X-1, r.Min.Y, r.Max.X, r.Max.Y),
	} {
		draw.Draw(c.image, side, tone, image.Point{}, draw.Src)
	}
}

func (c *canvas) noPicture(r image.Rectangle, l lettering) {
	inset := r.Inset(r.Dx() / 4)
	a, b := point{float64(inset.Min.X), float64(inset.Min.Y)}, point{float64(inset.Max.X), float64(inset.Max.Y)}
	tone := color.RGBA{0xC9, 0xCC, 0xCC, 0xFF}
	width := float64(r.Dx()) / 150
	corners := []point{a, {b.x, a.y}, b, {a.x, b.y}}
	for i, p := range corners {
		c.line(tone, width, p, corners[(i+1)%4])
	}
	c.line(tone, width, a, b)
	c.line(tone, width, point{a.x, b.y}, point{b.x, a.y})
	l.centred(c.image, faint, point{(a.x + b.x) / 2, b.y + float64(r.Dy())/14}, "no picture")
}

func (s Stamp) tone() color.RGBA {
	switch s {
	case PassStamp:
		return BluishGreen
	case UnsureStamp:
		return Orange
	case FailStamp:
		return Vermilion
	}
	return faint
}

// lettering is the stamp's tone dark enough to be read as letters on paper: at least 4.5 to 1,
// the contrast that WCAG 2 asks of small text.
func (s Stamp) lettering() color.RGBA {
	switch s {
	case PassStamp:
		return color.RGBA{0x00, 0x6B, 0x4E, 0xFF}
	case UnsureStamp:
		return color.RGBA{0x8A, 0x5F, 0x00, 0xFF}
	case FailStamp:
		return color.RGBA{0xA8, 0x4A, 0x00, 0xFF}
	}
	return color.RGBA{0x55, 0x5D, 0x65, 0xFF}
}

// stamp draws the verdict's shape with its sign.
func (c *canvas) stamp(s Stamp, at point, r float64) {
	white := color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
	w := r * 0.28
	off := func(x, y float64) point { return point{at.x + x*r, at.y + y*r} }
	switch s {
	case PassStamp:
		c.disc(s.tone(), at, r)
		c.line(white, w, off(-0.48, 0.02), off(-0.09, 0.42))
		c.line(white, w, off(-0.17, 0.41), off(0.5, -0.36))
	case FailStamp:
		c.fill(s.tone(), regular(at, r*1.06, 8, math.Pi/8)...)
		c.line(white, w, off(-0.4, -0.4), off(0.4, 0.4))
		c.line(white, w, off(-0.4, 0.4), off(0.4, -0.4))
	case UnsureStamp:
		c.fill(s.tone(), regular(at, r*1.22, 4, 0)...)
		newLettering(r*1.5, true).centred(c.image, ink, at, "?")
	case UnreadStamp:
		c.fill(s.tone(), regular(at, r*1.25, 4, math.Pi/4)...)
		newLettering(r*1.5, true).centred(c.image, white, at, "!")
	}
}
