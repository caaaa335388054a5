package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/outline"
	"pocketgauge/rules"
)

// Subject is an insert in its frame's pocket, and what the checks share about it. What is costly
// is a fact, found once, when a check first asks; see fact.go.
type Subject struct {
	// File and Name are for people.
	File, Name string
	Half       rules.Half
	Frame      *rules.Frame
	Steel      *rules.SteelGrade // nil where the rules list no such grade
	Resin      *rules.Resin      // nil where nobody names one
	// Finish is the finish of the detail, as the workspace names it; "" for none.
	Finish string
	// Part is the insert placed in pocket coordinates.
	Part *mesh.Part
	// Whole is the model that Part came from, unplaced.
	Whole *mesh.Model
	// StatedUnit is the unit that the file or the workspace states; "" where nobody does.
	StatedUnit string
	// Partner is the other half, in its own pocket's coordinates as it was read; nil where none is
	// known. PartnerError says why one that is named could not be had. Where this subject is its partner's
	// in turn, what the two have in common is found once for both.
	Partner      *Subject
	PartnerError error
	// BlankModel is the blank where it is a model of its own, in pocket coordinates.
	BlankModel *mesh.Part

	// Motion is what carried the model to where Part is.
	Motion geom.Motion

	// Pocket is the frame's outline.
	Pocket *outline.Region

	facts facts
}

// NewSubject places nothing: part is in pocket coordinates already.
func NewSubject(frame *rules.Frame, part *mesh.Part) (*Subject, error) {
	region, err := RegionOf(frame.Pocket.Outline.Segments())
	if err != nil {
		return nil, fmt.Errorf("%s: pocket.outline: %w", frame.Pocket.Outline.Origin, err)
	}
	return &Subject{Frame: frame, Part: part, Pocket: region, Motion: geom.Identity()}, nil
}

// RegionOf turns the outline of a rules file into a region to measure against.
func RegionOf(segments []rules.Segment) (*outline.Region, error) {
	pieces := make([]outline.Piece, len(segments))
	for i, s := range segments {
		pieces[i] = outline.Piece{Name: s.Name, Start: s.Start, End: s.End, Arc: s.Arc, Center: s.Center, RadiusMM: s.RadiusMM, CCW: s.CCW}
	}
	return outline.New(pieces)
}

var measuresFact = fact[mesh.Measures]{func(s *Subject) mesh.Measures { return measure.Of(s.Part) }}

// Measures are the insert's volume, area, centroid and bounds, placed.
func (s *Subject) Measures() mesh.Measures { return measuresFact.of(s) }

var treeFact = fact[*index.Tree]{func(s *Subject) *index.Tree { return index.Build(s.Part.Mesh) }}

// Tree finds what of the insert's surface is near or along a ray.
func (s *Subject) Tree() *index.Tree { return treeFact.of(s) }

// IsSolid reports whether the insert is one closed, sound body.
func (s *Subject) IsSolid() bool {
	a := s.Part.Audit
	return a.Closed() && a.Solids() > 0
}

// StorageMM bounds how far a vertex stands from where it is meant, by rounding alone.
func (s *Subject) StorageMM() float64 {
	return math.Sqrt(3) * s.Part.Roundoff * s.Measures().Bounds.MaxAbs()
}

// SurfaceMM bounds how far any point of the mesh stands from the surface it stands for.
func (s *Subject) SurfaceMM() float64 { return s.StorageMM() + s.Part.ChordMM }

// errorOf is SurfaceMM for one triangle: flat faces have no chord.
func (s *Subject) errorOf(t int) float64 {
	if s.isFlat(t) {
		return s.StorageMM()
	}
	return s.SurfaceMM()
}

// isFlat reports whether a triangle is known to lie in a flat face.
func (s *Subject) isFlat(t int) bool {
	f := int(s.Part.Mesh.FaceOf(t))
	return f < len(s.Part.Faces) && s.Part.Faces[f].Kind == mesh.Plane
}

// DepthMM is the depth of the pocket.
func (s *Subject) DepthMM() float64 { return s.Frame.Pocket.DepthMM.Value }

// FitHeightMM is how far up from the seat the side of the insert must fit.
func (s *Subject) FitHeightMM() float64 {
	if h := s.Frame.Pocket.FitHeightMM; h.Set {
		return min(h.Value, s.DepthMM())
	}
	return s.DepthMM()
}

func flat(x, y float64) r2.Point { return r2.Point{X: x, Y: y} }
