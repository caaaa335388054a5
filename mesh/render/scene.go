package render

import (
	"errors"
	"fmt"
	"image/color"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

// Scene is what a picture shows.
type Scene struct {
	Mesh *mesh.Mesh
	// Tones colour the triangles one by one; nil shows all in Steel.
	Tones []color.RGBA
	// Steel is the tone of the metal; the zero value is that of SteelTone("").
	Steel color.RGBA
	// Marks whose place lies outside the picture are left out.
	Marks []Mark
	// Ghost are polylines drawn thin over the body, faint where the body hides them: the
	// pocket's outline, a zone.
	Ghost [][]r3.Vector
	// ToEye points from the scene to the eye; zero is DefaultToEye.
	ToEye r3.Vector
	// Focus is what must be in the picture; nil is the whole mesh with the ghost.
	Focus *geom.Box
}

// DefaultToEye looks from the front right and well above, so that both the parting face's detail
// and two sides are seen.
var DefaultToEye = r3.Vector{X: 0.42, Y: -0.62, Z: 0.66}

// Severity is what a mark says of its place.
type Severity uint8

// Severities, least first. Each has a colour and a shape of its own.
const (
	Note       Severity = iota // disc
	Borderline                 // diamond
	Fail                       // octagon
)

// Mark is a numbered place.
type Mark struct {
	At       r3.Vector
	Label    string
	Severity Severity
}

// Options say how a picture is made. The zero value is the usual thumbnail.
type Options struct {
	// WidthPX and HeightPX default to 512 each; at most MaxSizePX.
	WidthPX, HeightPX int
	// Supersample is how many samples a pixel has each way, 1 to 4; 0 is 3.
	Supersample int
	Background  color.RGBA // zero is Paper
	// Bare leaves the tripod and the scale bar out.
	Bare bool
}

// MaxSizePX is the largest width or height of a picture.
const MaxSizePX = 4096

// ErrEmpty is a scene without a triangle.
var ErrEmpty = errors.New("render: the mesh has no triangles")

func (o Options) filled() (Options, error) {
	if o.WidthPX == 0 {
		o.WidthPX = 512
	}
	if o.HeightPX == 0 {
		o.HeightPX = o.WidthPX
	}
	if o.Supersample == 0 {
		o.Supersample = 3
	}
	if o.Background == (color.RGBA{}) {
		o.Background = Paper
	}
	switch {
	case o.WidthPX < 16 || o.HeightPX < 16 || o.WidthPX > MaxSizePX || o.HeightPX > MaxSizePX:
		return o, fmt.Errorf("render: a picture of %d x %d pixels: 16 to %d each way are drawn", o.WidthPX, o.HeightPX, MaxSizePX)
	case o.Supersample < 1 || o.Supersample > 4:
		return o, fmt.Errorf("render: %d samples each way: 1 to 4 are taken", o.Supersample)
	}
	return o, nil
}

func (s *Scene) check() error {
	if s.Mesh == nil || len(s.Mesh.Triangles) == 0 {
		return ErrEmpty
	}
	if s.Tones != nil && len(s.Tones) != len(s.Mesh.Triangles) {
		return fmt.Errorf("render: %d tones for %d triangles", len(s.Tones), len(s.Mesh.Triangles))
	}
	if !finite(s.ToEye) {
		return errors.New("render: the direction to the eye is not finite")
	}
	for i, m := range s.Marks {
		if !finite(m.At) {
			return fmt.Errorf("render: mark %d is not at a finite place", i+1)
		}
	}
	for i, line := range s.Ghost {
		for _, p := range line {
			if !finite(p) {
				return fmt.Errorf("render: ghost line %d is not finite", i+1)
			}
		}
	}
	return nil
}

func finite(v r3.Vector) bool {
	s := v.X + v.Y + v.Z
	return !math.IsNaN(s-s) && !math.IsInf(s, 0)
}
