package takeoff

import (
	"fmt"
	"image/color"
	"math"
	"strconv"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh/render"
)

// way is how the metal over a piece of surface went.
type way uint8

const (
	stands way = iota // nothing went there
	byFacing
	byRoughing
	byRest
	byDrill
	byBurning
	isLeft
	ways
)

// tones are Okabe and Ito's where they say something; what is faced or stands keeps the look of steel.
var tones = [ways]color.RGBA{
	stands:     {0xDD, 0xDE, 0xDC, 0xFF},
	byFacing:   {0xAC, 0xB6, 0xBF, 0xFF},
	byRoughing: render.Blue,
	byRest:     render.SkyBlue,
	byDrill:    render.Orange,
	byBurning:  render.Vermilion,
	isLeft:     render.Yellow,
}

var wayNames = [ways]string{stands: "as the blank is", byFacing: "faced and ground", byRoughing: "roughed", byRest: "rest-milled", byDrill: "drilled", byBurning: "spark erosion", isLeft: "stays"}

// mostMarks is how many regions to burn are numbered in a picture.
const mostMarks = 12

// pieceShare is how long a piece of surface of one tone may be, of the insert's diagonal.
const pieceShare = 1.0 / 150

// Scene is the insert with its surface in the colours of how the metal over it went, the regions to burn
// numbered from the largest, and what the colours stand for. A picture shows and measures nothing: each
// piece of surface is asked for one point, a pitch over its middle.
func (t *Takeoff) Scene(s *checks.Subject) (render.Scene, []render.Key) {
	m := s.Part.Mesh
	of := s.Surfaces().Of
	limit := m.Bounds().Diagonal() * pieceShare
	top := m.Bounds().Max.Z
	over := t.PitchMM * 1.01
	out, normals := m.Pieces(limit)
	colours := make([]color.RGBA, len(normals))
	for i, n := range normals {
		a, b, c := out.Corners(i)
		colours[i] = tones[t.wayOver(a.Add(b).Add(c).Mul(1.0/3), n, over, of[out.Faces[i]], top)]
	}
	scene := render.Scene{Mesh: out, Tones: colours}
	for i, b := range t.Burns {
		if i == mostMarks || b.Left != "" {
			break
		}
		scene.Marks = append(scene.Marks, render.Mark{At: b.At, Label: strconv.Itoa(i + 1), Severity: render.Note})
	}
	return scene, t.keys()
}

// wayOver is how the metal over a point of the surface went.
func (t *Takeoff) wayOver(p, normal r3.Vector, over float64, surface checks.Surface, top float64) way {
	if surface == checks.Bored {
		return byDrill
	}
	switch f, ok := t.plan.over(p, normal, over); {
	case !ok:
	case f.Left && t.burnt(p):
		return byBurning
	case f.Left:
		return isLeft
	case f.Drill >= 0 && f.Drill < t.plan.slabs:
		return byFacing
	case f.Drill >= 0:
		return byDrill
	case t.plan.loaded[f.SetUp][f.Cutter] < 0:
		return isLeft
	case t.plan.loaded[f.SetUp][f.Cutter] == t.plan.first(f.SetUp):
		return byRoughing
	default:
		return byRest
	}
	if surface == checks.Side || surface == checks.Seat || math.Abs(p.Z-top) < over {
		if t.FacedMM3.Value > 0 {
			return byFacing
		}
	}
	return stands
}

// burnt reports whether a place lies in a region that an electrode burns.
func (t *Takeoff) burnt(p r3.Vector) bool {
	for i := range t.Burns {
		if b := &t.Burns[i]; b.Electrode > 0 && b.box.Expand(t.PitchMM).Contains(p) {
			return true
		}
	}
	return false
}

// keys tell what the colours stand for and how much of each there is.
func (t *Takeoff) keys() []render.Key {
	var by [ways]float64
	by[byFacing] = t.FacedMM3.Value
	for _, u := range t.SetUps {
		for _, c := range u.Cuts {
			w := byRoughing
			if c.Rest {
				w = byRest
			}
			by[w] += c.RemovedMM3.Value
		}
	}
	for _, h := range t.Drilled {
		by[byDrill] += h.RemovedMM3.Value
	}
	by[byBurning], by[isLeft] = t.BurnMM3.Value, t.LeftMM3.Value
	var keys []render.Key
	for w := byFacing; w < ways; w++ {
		label := wayNames[w]
		if w == byBurning && len(t.Electrodes) > 0 {
			label = fmt.Sprintf("%s, %d electrodes", label, len(t.Electrodes))
		}
		keys = append(keys, render.Key{Tone: tones[w], Label: label, Value: fmt.Sprintf("%.3f cm3", by[w]/1000)})
	}
	return keys
}
