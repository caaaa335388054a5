package render

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"runtime"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

func fullScene() Scene {
	loop := func(z float64) []r3.Vector {
		return []r3.Vector{vec(-50, -40, z), vec(50, -40, z), vec(50, 40, z), vec(-50, 40, z), vec(-50, -40, z)}
	}
	return Scene{
		Mesh:  block(),
		Ghost: [][]r3.Vector{loop(0), loop(30)},
		Marks: []Mark{
			{At: vec(10, 5, 15), Label: "1", Severity: Fail}, {At: vec(-50, -40, 30), Label: "2", Severity: Borderline},
			{At: vec(-45, 0, 14), Label: "12"}, {At: vec(10, 5, 15), Label: "3", Severity: Fail},
		},
	}
}

func encoded(t *testing.T, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := EncodePNG(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func thumbnail(t *testing.T, s Scene, opt Options) *image.RGBA {
	t.Helper()
	m, err := Thumbnail(s, opt)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestP1SameBytesAtAnyNumberOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	scenes := map[string]Scene{
		"block": fullScene(), "torus": {Mesh: meshtest.Torus(40, 18, 90, 60).Mesh}, // more than one chunk of triangles
	}
	for name, s := range scenes {
		var want []byte
		for _, cores := range []int{1, 2, 7, 2} {
			runtime.GOMAXPROCS(cores)
			got := encoded(t, thumbnail(t, s, Options{WidthPX: 200}))
			if want == nil {
				want = got
			}
			if !bytes.Equal(got, want) {
				t.Errorf("%s: other bytes with %d cores", name, cores)
			}
		}
		s.ToEye = vec(0.42, -0.62, 0.7) // control: another view is another picture
		if bytes.Equal(encoded(t, thumbnail(t, s, Options{WidthPX: 200})), want) {
			t.Errorf("%s: another view has the same bytes", name)
		}
	}
}

// The ring of a mark is white outside, its severity's tone on the line, and the dot in its middle
// is where the point is projected to.
func TestP2MarkStandsWhereItsPointIs(t *testing.T) {
	rng := meshtest.Random(t)
	for range 12 {
		s := Scene{Mesh: block(), Marks: []Mark{{At: vec(rng.Float64()*100-50, rng.Float64()*80-40, 30.0), Label: "1", Severity: Fail}}}
		c, err := s.Camera(Options{})
		if err != nil {
			t.Fatal(err)
		}
		x, y, _ := c.Project(s.Marks[0].At)
		// By hand: the axes of the picture from the direction to the eye.
		eye := DefaultToEye.Normalize()
		right := vec(0, 0, 1).Cross(eye).Normalize()
		up := eye.Cross(right)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range s.Mesh.Vertices {
			lo, hi = min(lo, v.Dot(right)), max(hi, v.Dot(right))
		}
		meshtest.WantNear(t, "x by hand", x, 256+(s.Marks[0].At.Dot(right)-(lo+hi)/2)*c.PixelsPerMM, 1e-6)
		_ = up
		m := thumbnail(t, s, Options{})
		with := centroidOf(m, Vermilion, int(x), int(y), 8)
		meshtest.WantNear(t, "x of the ring", with[0], x, 1)
		meshtest.WantNear(t, "y of the ring", with[1], y, 1)
	}
}

// centroidOf is the middle of the pixels of a tone within reach of a place, the leader's side and
// all: the ring outweighs it.
func centroidOf(m *image.RGBA, tone color.RGBA, x, y, reach int) [2]float64 {
	var sx, sy, n float64
	for j := y - 6; j <= y+6; j++ {
		for i := x - 6; i <= x+6; i++ {
			if !(image.Point{X: i, Y: j}).In(m.Rect) {
				continue
			}
			p := m.RGBAAt(i, j)
			if near(p, tone, 70) && math.Hypot(float64(i-x), float64(j-y)) < 5.5 {
				sx, sy, n = sx+float64(i)+0.5, sy+float64(j)+0.5, n+1
			}
		}
	}
	return [2]float64{sx / n, sy / n}
}

func near(a, b color.RGBA, within int) bool {
	d := func(x, y uint8) int { return max(int(x)-int(y), int(y)-int(x)) }
	return d(a.R, b.R)+d(a.G, b.G)+d(a.B, b.B) < within
}

func TestScaleBarIsTrue(t *testing.T) {
	for most, want := range map[float64]float64{49.9: 20, 50: 50, 199: 100, 0.0999: 0.05, 0.2: 0.2, 7: 5, 1e6: 1e6} {
		if got := roundLength(most); got != want {
			t.Errorf("bar for at most %g mm: %g, want %g", most, got, want)
		}
	}
	s := Scene{Mesh: block()}
	opt := Options{}
	c, _ := s.Camera(opt)
	m := thumbnail(t, s, opt)
	// The bar is the longest run of ink in the foot of the picture.
	longest := 0
	for y := 460; y < 512; y++ {
		run := 0
		for x := range 512 {
			if near(m.RGBAAt(x, y), ink, 60) {
				run++
				longest = max(longest, run)
			} else {
				run = 0
			}
		}
	}
	want := roundLength(0.26*512/c.PixelsPerMM) * c.PixelsPerMM
	meshtest.WantNear(t, "length of the bar in pixels", float64(longest), want, 3)
}

func TestP3SeveritiesAndStampsDifferInShape(t *testing.T) {
	silhouette := func(draw func(c *canvas)) string {
		c := newCanvas(Options{WidthPX: 64, HeightPX: 64}, Camera{})
		c.image = blank(64, 64, color.RGBA{0xFF, 0xFF, 0xFF, 0xFF})
		draw(c)
		s := ""
		for i := 0; i < len(c.image.Pix); i += 4 {
			if c.image.Pix[i] == 0xFF && c.image.Pix[i+1] == 0xFF && c.image.Pix[i+2] == 0xFF {
				s += "."
			} else {
				s += "#"
			}
		}
		return s
	}
	seen := map[string]string{}
	for _, v := range []Severity{Note, Borderline, Fail} {
		k := silhouette(func(c *canvas) { c.badge(v, v.tone(), point{32, 32}, 20) })
		if other, ok := seen[k]; ok {
			t.Errorf("severity %d has the shape of %s", v, other)
		}
		seen[k] = fmt.Sprint("severity ", v)
	}
	seen = map[string]string{}
	for _, v := range []Stamp{PassStamp, UnsureStamp, FailStamp, UnreadStamp} {
		k := silhouette(func(c *canvas) { c.stamp(v, point{32, 32}, 20) })
		if other, ok := seen[k]; ok {
			t.Errorf("stamp %d has the shape of %s", v, other)
		}
		seen[k] = fmt.Sprint("stamp ", v)
	}
}

// luminance is the relative luminance of WCAG 2.
func luminance(c color.RGBA) float64 {
	f := func(v uint8) float64 { return linear(float64(v) / 255) }
	return 0.2126*f(c.R) + 0.7152*f(c.G) + 0.0722*f(c.B)
}

func TestLettersHaveContrast(t *testing.T) {
	contrast := func(a, b color.RGBA) float64 {
		x, y := luminance(a), luminance(b)
		return (max(x, y) + 0.05) / (min(x, y) + 0.05)
	}
	for name, c := range map[string]color.RGBA{"ink": ink, "faint": faint, "pass": PassStamp.lettering(), "unsure": UnsureStamp.lettering(), "fail": FailStamp.lettering(), "unread": UnreadStamp.lettering()} {
		if got := contrast(c, Paper); got < 4.5 {
			t.Errorf("%s on paper: contrast %.2f, want 4.5", name, got)
		}
	}
	if got := contrast(Vermilion, Paper); got >= 4.5 {
		t.Errorf("control: vermilion on paper has %.2f; the darker letters are not needed", got)
	}
}

func TestP4BadInputIsAnError(t *testing.T) {
	m := block()
	nan := math.NaN()
	for name, c := range map[string]struct {
		s   Scene
		opt Options
	}{
		"no mesh":       {Scene{}, Options{}},
		"no triangle":   {Scene{Mesh: &mesh.Mesh{}}, Options{}},
		"too large":     {Scene{Mesh: m}, Options{WidthPX: MaxSizePX + 1}},
		"negative":      {Scene{Mesh: m}, Options{WidthPX: -5}},
		"samples":       {Scene{Mesh: m}, Options{Supersample: 9}},
		"tones":         {Scene{Mesh: m, Tones: make([]color.RGBA, 3)}, Options{}},
		"mark nowhere":  {Scene{Mesh: m, Marks: []Mark{{At: vec(nan, 0, 0)}}}, Options{}},
		"ghost nowhere": {Scene{Mesh: m, Ghost: [][]r3.Vector{{vec(0, math.Inf(1), 0)}}}, Options{}},
		"eye nowhere":   {Scene{Mesh: m, ToEye: vec(nan, 0, 1)}, Options{}},
	} {
		if got, err := Thumbnail(c.s, c.opt); err == nil || got != nil {
			t.Errorf("%s: picture %v, error %v", name, got != nil, err)
		}
	}
	if _, err := Thumbnail(Scene{}, Options{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("no mesh: %v", err)
	}
	if _, err := ContactSheet(nil, SheetOptions{}); err == nil {
		t.Error("a sheet of nothing was drawn")
	}
	if _, err := ContactSheet(make([]Captioned, 100000), SheetOptions{}); err == nil {
		t.Error("a sheet of 100000 pictures was drawn")
	}
}

// Odd meshes are drawn all the same: flat ones, ones seen on edge, points, far ones, huge ones.
func TestOddMeshesAreDrawn(t *testing.T) {
	far := geom.Translate(vec(1e7, -1e7, 1e7))
	flat := &mesh.Mesh{Vertices: []r3.Vector{{}, {X: 10}, {Y: 10}}, Triangles: [][3]int32{{0, 1, 2}}}
	dot := &mesh.Mesh{Vertices: []r3.Vector{{X: 1}, {X: 1}, {X: 1}}, Triangles: [][3]int32{{0, 1, 2}}}
	huge := meshtest.Box(vec(-1e200, -1, -1), vec(1e200, 1, 1)).Mesh
	for name, m := range map[string]*mesh.Mesh{"flat": flat, "dot": dot, "far": block().Moved(far), "huge": huge, "tiny": block().Moved(geom.ScaleBy(1e-9))} {
		for _, eye := range []r3.Vector{{}, {Z: 1}, {Z: -1}, {X: 1}, {X: 1, Y: 1e-300}} {
			if _, err := Thumbnail(Scene{Mesh: m, ToEye: eye}, Options{WidthPX: 64}); err != nil {
				t.Errorf("%s from %v: %v", name, eye, err)
			}
		}
	}
}

// A surface that is seen from behind is shown in a tone of its own, and a closed one never is.
func TestInsideOfAnOpenSurfaceIsShown(t *testing.T) {
	s := meshtest.Box(vec(-10, -10, 0), vec(10, 10, 10))
	purple := func(m *mesh.Mesh) int {
		n := 0
		im := thumbnail(t, Scene{Mesh: m}, Options{WidthPX: 200, Bare: true})
		for i := 0; i < len(im.Pix); i += 4 {
			if int(im.Pix[i]) > int(im.Pix[i+1])+25 {
				n++
			}
		}
		return n
	}
	if n := purple(s.Mesh); n != 0 {
		t.Errorf("a closed box shows %d pixels of its inside", n)
	}
	open := *s.Mesh
	open.Triangles = nil
	for i, k := range s.Mesh.Triangles {
		if s.Mesh.AreaVector(i).Z <= 0 {
			open.Triangles = append(open.Triangles, k)
		}
	}
	if n := purple(&open); n < 2000 {
		t.Errorf("a box without its lid shows only %d pixels of its inside", n)
	}
}

// A core throws its shadow on the floor beside it: the same floor is darker there, and a face
// that looks at the light is not darkened by itself.
func TestShadows(t *testing.T) {
	tall := meshtest.BlockWithPockets(geom.Box{Min: vec(-40, -40, 0), Max: vec(40, 40, 40)},
		geom.Box{Min: vec(-40, -40, 10), Max: vec(40, -5, 40)}, geom.Box{Min: vec(-40, 5, 10), Max: vec(40, 40, 40)},
		geom.Box{Min: vec(-40, -40, 10), Max: vec(-5, 40, 40)}, geom.Box{Min: vec(5, -40, 10), Max: vec(40, 40, 40)}).Mesh
	s := Scene{Mesh: tall}
	im := thumbnail(t, s, Options{Bare: true})
	c, _ := s.Camera(Options{Bare: true})
	levels := map[uint8]int{}
	for x := -38.0; x < 38; x++ {
		for y := -38.0; y < 38; y++ {
			if math.Max(math.Abs(x), math.Abs(y)) < 8 {
				continue
			}
			px, py, d := c.Project(vec(x, y, 10))
			if depthOverAt(tall, &c, px, py, d) {
				continue
			}
			levels[im.RGBAAt(int(px), int(py)).R]++
		}
	}
	lit, dark := 0, 0
	for v, n := range levels {
		if v > 150 {
			lit += n
		} else if v < 130 {
			dark += n
		}
	}
	if lit < 2000 || dark < 100 {
		t.Errorf("of the floor's places %d are lit and %d in shadow", lit, dark)
	}
}

// depthOverAt reports whether something lies before a place, by rays.
func depthOverAt(m *mesh.Mesh, c *Camera, px, py, d float64) bool {
	back := c.matrix.Inverse()
	at := func(depth float64) r3.Vector {
		return vec(back.X00*px+back.X01*py+back.X02*depth+back.X03, back.X10*px+back.X11*py+back.X12*depth+back.X13, back.X20*px+back.X21*py+back.X22*depth+back.X23)
	}
	return nearest(m, at(d-1), c.ToEye) >= 0
}

func TestSideOfSeesThePlace(t *testing.T) {
	m := block()
	for _, at := range []r3.Vector{{X: 0, Y: -20, Z: 25}, {X: -40, Y: 0, Z: 14}, {X: 0, Y: 0, Z: 0}, {X: 50, Y: 20, Z: 10}, {X: -20, Y: 40, Z: 10}, {X: 30, Y: 5, Z: 20}} {
		d := SideOf(m, at)
		from := at.Add(d.Normalize().Mul(0.5))
		if k := nearest(m, from, d.Normalize()); k >= 0 {
			t.Errorf("from %v the place %v is hidden by a facet %g mm before it", d, at, k)
		}
	}
	if SideOf(m, vec(0, 0, 20)) != DefaultToEye {
		t.Error("what the usual view shows is not looked at from there")
	}
	if d := SideOf(m, vec(0, 0, 0)); d.Z >= 0 {
		t.Errorf("the seat is looked at from %v", d)
	}
	SideOf(m, vec(-45, 20, 10)) // within the metal: some direction, no loop
}

func TestPNGIsReadBack(t *testing.T) {
	im := thumbnail(t, fullScene(), Options{WidthPX: 120})
	got, err := png.Decode(bytes.NewReader(encoded(t, im)))
	if err != nil {
		t.Fatal(err)
	}
	for y := range 120 {
		for x := range 120 {
			r, g, b, a := got.At(x, y).RGBA()
			if want := im.RGBAAt(x, y); uint8(r>>8) != want.R || uint8(g>>8) != want.G || uint8(b>>8) != want.B || a>>8 != 0xFF {
				t.Fatalf("pixel %d, %d is another", x, y)
			}
		}
	}
}

func TestContactSheet(t *testing.T) {
	red := blank(50, 50, color.RGBA{0xFF, 0, 0, 0xFF})
	items := []Captioned{
		{Picture: red, Title: "one", Detail: "first", Stamp: PassStamp, Word: "pass"}, {Title: "two", Stamp: UnreadStamp, Word: "unreadable"},
		{Picture: blank(100, 50, color.RGBA{0, 0, 0xFF, 0xFF}), Title: "a title that is much too long for its cell and must be shortened", Stamp: FailStamp, Word: "2 fail"},
	}
	opt := SheetOptions{CellPX: 120, Columns: 2, Title: "sheet"}
	m, err := ContactSheet(items, opt)
	if err != nil {
		t.Fatal(err)
	}
	if w, h := SheetSize(3, opt); m.Rect.Dx() != w || m.Rect.Dy() != h {
		t.Errorf("the sheet is %v, announced as %d x %d", m.Rect, w, h)
	}
	count := func(tone color.RGBA) int {
		n := 0
		for i := 0; i < len(m.Pix); i += 4 {
			if near(color.RGBA{m.Pix[i], m.Pix[i+1], m.Pix[i+2], 0xFF}, tone, 30) {
				n++
			}
		}
		return n
	}
	meshtest.WantNear(t, "pixels of the first picture", float64(count(color.RGBA{0xFF, 0, 0, 0xFF})), 120*120, 500)
	meshtest.WantNear(t, "pixels of the wide picture", float64(count(color.RGBA{0, 0, 0xFF, 0xFF})), 120*60, 300)
	again, _ := ContactSheet(items, opt)
	if !bytes.Equal(m.Pix, again.Pix) {
		t.Error("the same sheet twice differs")
	}
	l := newLettering(14, true)
	for _, text := range []string{"ordinary", "a title that is much too long for its cell", "длинное имя вставки для рамки"} {
		if got := l.fitted(text, 100); l.width(got) > 100 {
			t.Errorf("%q is %g wide", got, l.width(got))
		}
	}
}
