package page

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	"image/jpeg"
	"slices"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/checks/report"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/gltf"
	"pocketgauge/mesh/render"
)

// Section is one insert on the page.
type Section struct {
	Insert report.Insert
	// Thumbnail and Strip are pictures as data URLs; none where the model could not be read.
	Thumbnail template.URL
	Strip     []Picture
	// Model is the insert to turn: a GLB, gzip-packed, in base 64. "" for none.
	Model string
	// ModelSays is what people should know of the model as it is drawn.
	ModelSays string
	// Findings are those that do not pass, the furthest past its limit first; Passed the others.
	Findings []Shown
	Passed   []report.Finding
	// Unshown says why there is no picture.
	Unshown string
}

// Picture is a view of an insert.
type Picture struct {
	URL template.URL
	Alt string
}

// Shown is a finding with what shows it.
type Shown struct {
	report.Finding
	// Number is that of its mark in the pictures, 0 where it has no place.
	Number int
	Title  string
	// Also are the checks that were not judged for the same reason and stand with this one.
	Also    []string
	CloseUp template.URL
	Bar     *Bar
}

// Options say how rich a section is. The zero value suits a few inserts.
type Options struct {
	// MostTriangles of the turnable model; 0 is 40000. MostCloseUps of one insert; 0 is 8.
	MostTriangles, MostCloseUps int
	// Small leaves out the turnable model and the strip that stands in for it, and draws small.
	Small bool
}

// For divides what a page may hold among n inserts: a page of 50 stays under 25 MB, and one of thousands
// can still be opened.
func For(n int) Options {
	const (
		pageTriangles = 900_000
		most, least   = 40_000, 3_000
		pageCloseUps  = 1_500
		mostCloseUps  = 8
	)
	return Options{
		MostTriangles: min(most, max(least, pageTriangles/max(n, 1))),
		MostCloseUps:  min(mostCloseUps, max(1, pageCloseUps/max(n, 1))),
		Small:         n > mostTurnable,
	}
}

// mostTurnable is up to how many inserts a page has models to turn.
const mostTurnable = 300

const (
	thumbnailPX = 360
	smallPX     = 200
	stripPX     = 240
	closeUpPX   = 340
	// jpegQuality: edges of one pixel still stand, at a third of the bytes of PNG.
	jpegQuality = 82
)

// Of reads an insert again and draws what the page shows of it. It never fails: what cannot be drawn
// is said in the section.
func Of(in batch.Insert, judged report.Insert, opt Options) Section {
	if opt.MostTriangles == 0 {
		opt.MostTriangles = For(1).MostTriangles
	}
	if opt.MostCloseUps == 0 {
		opt.MostCloseUps = 8
	}
	s := Said(judged, "")
	err := batch.Guard(in.File, func() error {
		subject, _, err := batch.Read(in)
		if err != nil {
			return err
		}
		return s.draw(checks.Righted(subject), opt)
	})
	if err != nil {
		s.Unshown = "No picture: " + report.NewUnreadable(in.File, err).Error.Message
	}
	return s
}

// Said is a section of words and figures alone; why says why there is no picture.
func Said(judged report.Insert, why string) Section {
	s := Section{Insert: judged, Unshown: why}
	for _, f := range judged.Findings {
		if f.Verdict == report.VerdictPass {
			s.Passed = append(s.Passed, f)
			continue
		}
		shown := Shown{Finding: f, Bar: barOf(f)}
		if c := checks.ByID(f.Check); c != nil {
			shown.Title = c.Title
		}
		s.Findings = append(s.Findings, shown)
	}
	slices.SortStableFunc(s.Findings, func(a, b Shown) int {
		return cmp.Or(cmp.Compare(rank(a.Verdict), rank(b.Verdict)), cmp.Compare(past(b.Finding), past(a.Finding)))
	})
	s.Findings = together(s.Findings)
	n := 0
	for i := range s.Findings {
		if s.Findings[i].AtMM != nil {
			n++
			s.Findings[i].Number = n
		}
	}
	return s
}

// together lays what was not judged for one reason under one finding: an open surface leaves a score of
// checks without an answer.
func together(list []Shown) []Shown {
	first := map[string]int{}
	out := list[:0]
	for _, f := range list {
		if f.Verdict == report.VerdictNotJudged && f.AtMM == nil {
			if i, ok := first[f.Says]; ok {
				if f.Check != out[i].Check && !slices.Contains(out[i].Also, f.Check) {
					out[i].Also = append(out[i].Also, f.Check)
				}
				continue
			}
			first[f.Says] = len(out)
		}
		out = append(out, f)
	}
	return out
}

// Checks are the ids of all checks that the finding stands for, with spaces between.
func (f Shown) Checks() string { return strings.Join(append([]string{f.Check}, f.Also...), " ") }

// draw fills in the pictures and the model.
func (s *Section) draw(subject *checks.Subject, opt Options) error {
	var marks []render.Mark
	for _, f := range s.Findings {
		if f.Number > 0 {
			marks = append(marks, markOf(f))
		}
	}
	scene := Scene(subject, marks)
	side := thumbnailPX
	if opt.Small {
		side = smallPX
	}
	var err error
	if s.Thumbnail, err = picture(scene, side, side); err != nil {
		return err
	}
	if opt.Small {
		return s.closeUps(scene, opt.MostCloseUps)
	}
	for _, v := range []struct {
		alt   string
		toEye r3.Vector
	}{
		{"from the parting face", r3.Vector{Z: 1}},
		{"from the back left", r3.Vector{X: -0.5, Y: 0.6, Z: 0.55}},
		{"from the seat", r3.Vector{X: 0.42, Y: -0.62, Z: -0.66}},
	} {
		scene.ToEye = v.toEye
		url, err := picture(scene, stripPX, stripPX)
		if err != nil {
			return err
		}
		s.Strip = append(s.Strip, Picture{url, v.alt})
	}
	if err := s.closeUps(scene, opt.MostCloseUps); err != nil {
		return err
	}
	return s.model(subject, opt.MostTriangles)
}

func markOf(f Shown) render.Mark {
	m := render.Mark{At: vector(f.AtMM), Label: strconv.Itoa(f.Number), Severity: render.Borderline}
	if f.Verdict == report.VerdictFail {
		m.Severity = render.Fail
	}
	return m
}

func vector(at *[3]float64) r3.Vector { return r3.Vector{X: at[0], Y: at[1], Z: at[2]} }

// closeUps draws each place from a side on which it lies open: a box around it, an eighth of the
// insert and no less than what a finger covers.
func (s *Section) closeUps(scene render.Scene, most int) error {
	const share, fingerMM = 1.0 / 8, 12
	half := max(scene.Mesh.Bounds().Diagonal()*share, fingerMM) / 2
	for i := range s.Findings {
		f := &s.Findings[i]
		if f.Number == 0 || f.Number > most {
			continue
		}
		at := vector(f.AtMM)
		around := geom.Box{Min: at, Max: at}.Expand(half)
		near := scene
		near.Focus, near.ToEye = &around, render.SideOf(scene.Mesh, at)
		near.Marks = []render.Mark{markOf(*f)}
		var err error
		if f.CloseUp, err = picture(near, closeUpPX, closeUpPX*3/4); err != nil {
			return err
		}
	}
	return nil
}

func picture(scene render.Scene, width, height int) (template.URL, error) {
	m, err := render.Thumbnail(scene, render.Options{WidthPX: width, HeightPX: height, Supersample: 2})
	if err != nil {
		return "", err
	}
	return jpegURL(m)
}

func jpegURL(m image.Image) (template.URL, error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: jpegQuality}); err != nil {
		return "", fmt.Errorf("page: %w", err)
	}
	return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(b.Bytes())), nil
}

// model packs the insert with its layers.
func (s *Section) model(subject *checks.Subject, most int) error {
	data, info, err := gltf.Encode(subject.Part.Mesh, LayersOf(subject), gltf.Options{MostTriangles: most})
	if err != nil {
		return err
	}
	var b bytes.Buffer
	packed, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return fmt.Errorf("page: %w", err)
	}
	if _, err := packed.Write(data); err != nil {
		return fmt.Errorf("page: %w", err)
	}
	if err := packed.Close(); err != nil {
		return fmt.Errorf("page: %w", err)
	}
	s.Model = base64.StdEncoding.EncodeToString(b.Bytes())
	if info.ThinnedMM > 0 {
		s.ModelSays = fmt.Sprintf("Drawn with %d of %d triangles: places are good to %.2g mm here.", info.Drawn, info.Triangles, info.ThinnedMM)
	}
	return nil
}

// LayersOf are the subject's layers as the model carries them.
func LayersOf(subject *checks.Subject) []gltf.Layer {
	var list []gltf.Layer
	for _, l := range subject.Layers() {
		if len(list) == gltf.MostLayers {
			break
		}
		g := gltf.Layer{Name: l.ID, Title: l.Title, Unit: string(l.Unit), Kinds: l.Kinds, Low: l.Low, High: l.High, Least: l.Least, None: l.None, Values: l.Values}
		if l.HasLimit {
			limit := l.Limit
			g.Limit = &limit
		}
		list = append(list, g)
	}
	return list
}
