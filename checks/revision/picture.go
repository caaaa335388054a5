package revision

import (
	"fmt"
	"image/color"
	"strconv"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/index"
	"pocketgauge/mesh/render"
)

var (
	sameTone    = color.RGBA{0xB9, 0xC0, 0xC6, 0xFF}
	removedTone = render.Blue
	addedTone   = render.Vermilion
)

// mostMarks is how many regions of a kind are numbered in a picture, as many as the text lists.
const mostMarks = 10

// pieceShare is how long a piece of surface of one tone may be, of the insert's diagonal.
const pieceShare = 1.0 / 150

// Scene is the new insert with the surface that was cut anew in one colour and what stands where there was
// none in another; the regions are numbered, those to add first.
func (r *Revision) Scene() (render.Scene, []render.Key) {
	old := index.Build(r.OldPart.Mesh)
	m := r.New.Subject.Part.Mesh
	pieces, normals := m.Pieces(m.Bounds().Diagonal() * pieceShare)
	points := make([]r3.Vector, len(pieces.Triangles))
	for i := range points {
		a, b, c := pieces.Corners(i)
		points[i] = a.Add(b).Add(c).Mul(1.0 / 3)
	}
	feet := old.NearestBatch(points, r.NoiseMM, nil)
	tones := make([]color.RGBA, len(points))
	for i, f := range feet {
		switch {
		case f.Distance <= r.NoiseMM:
			tones[i] = sameTone
		case old.Inside(points[i].Add(normals[i].Mul(r.NoiseMM))):
			tones[i] = removedTone
		default:
			tones[i] = addedTone
		}
	}
	scene := render.Scene{Mesh: pieces, Tones: tones}
	n := 0
	mark := func(list []Change, severity render.Severity) {
		for i, c := range list {
			n++
			if i >= mostMarks {
				continue
			}
			if n == 1 {
				scene.ToEye = render.SideOf(m, c.At)
			}
			scene.Marks = append(scene.Marks, render.Mark{At: c.At, Label: strconv.Itoa(n), Severity: severity})
		}
	}
	mark(r.Added, render.Fail)
	mark(r.Removed, render.Note)
	keys := []render.Key{
		{Tone: addedTone, Label: fmt.Sprintf("added, in %s", places(len(r.Added))), Value: fmt.Sprintf("%.3f cm3", r.AddMM3.Value/1000)},
		{Tone: removedTone, Label: fmt.Sprintf("removed, in %s", places(len(r.Removed))), Value: fmt.Sprintf("%.3f cm3", r.RemoveMM3.Value/1000)},
		{Tone: sameTone, Label: "as it was"},
	}
	return scene, keys
}
