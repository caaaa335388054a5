package checks

import (
	"errors"
	"fmt"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/tol"
)

// blank is the block that an insert is cut from.
type blank struct {
	part *mesh.Part
	// roundMM3 is what the blank's mesh lacks in its round corners, exactly: the polygon that
	// stands for an arc lies within it.
	roundMM3 float64
}

// Blank is the block the insert is cut from, in pocket coordinates: the frame's own model of it,
// or its outline raised to a height.
func (s *Subject) Blank() (*mesh.Part, error) {
	b := blankFact.of(s)
	return b.value.part, b.err
}

var blankFact = fact[found[blank]]{func(s *Subject) found[blank] { return foundOf(s.makeBlank()) }}

func (s *Subject) makeBlank() (blank, error) {
	if s.BlankModel != nil {
		if !s.BlankModel.Audit.Closed() {
			return blank{}, fmt.Errorf("the blank's model %s is not a closed solid", s.Frame.Blank.Model.Value)
		}
		return blank{part: s.BlankModel}, nil
	}
	b := s.Frame.Blank
	if !b.HeightMM.Set {
		return blank{}, errors.New("the rules state no blank (blank.height or blank.model)")
	}
	outline, ok := s.Frame.BlankOutline()
	if !ok {
		return blank{}, errors.New("the rules state no blank (blank.height or blank.model)")
	}
	region, err := RegionOf(outline.Segments())
	if err != nil {
		return blank{}, fmt.Errorf("%s: the blank: %w", b.HeightMM.Origin, err)
	}
	line := region.Polyline(tol.ZoneDeflectionMM)
	low := -b.SeatStockMM.Value
	zone, err := difference.PrismZone(line, geom.Translate(r3.Vector{Z: low}), b.HeightMM.Value)
	if err != nil {
		return blank{}, fmt.Errorf("%s: the blank: %w", b.HeightMM.Origin, err)
	}
	m := zone.Mesh()
	round := region.AreaMM2()*b.HeightMM.Value - measure.Integrals(m, tol.RoundoffDouble, 0).VolumeMM3
	return blank{roundMM3: round, part: &mesh.Part{
		Name: "blank", Mesh: m, Audit: mesh.NewAudit(m), Faces: []mesh.Face{{Kind: mesh.Unknown}},
		ChordMM: tol.ZoneDeflectionMM, Roundoff: tol.RoundoffDouble,
	}}, nil
}
