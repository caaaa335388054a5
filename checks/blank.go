package checks

import (
	"errors"
	"fmt"
	"sync"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/tol"
)

// blankCache holds the blank of a Subject once it has been asked for.
type blankCache struct {
	once  sync.Once
	blank *mesh.Part
	err   error
	// roundMM3 is what the blank's mesh lacks in its round corners, exactly: the polygon that
	// stands for an arc lies within it.
	roundMM3 float64
}

// Blank is the block the insert is cut from, in pocket coordinates: the frame's own model of it,
// or its outline raised to a height.
func (s *Subject) Blank() (*mesh.Part, error) {
	s.blank.once.Do(func() { s.blank.blank, s.blank.err = s.makeBlank() })
	return s.blank.blank, s.blank.err
}

func (s *Subject) makeBlank() (*mesh.Part, error) {
	if s.BlankModel != nil {
		if !s.BlankModel.Audit.Closed() {
			return nil, fmt.Errorf("the blank's model %s is not a closed solid", s.Frame.Blank.Model.Value)
		}
		return s.BlankModel, nil
	}
	b := s.Frame.Blank
	if !b.HeightMM.Set {
		return nil, errors.New("the rules state no blank (blank.height or blank.model)")
	}
	outline, ok := s.Frame.BlankOutline()
	if !ok {
		return nil, errors.New("the rules state no blank (blank.height or blank.model)")
	}
	region, err := regionOf(outline.Segments())
	if err != nil {
		return nil, fmt.Errorf("%s: the blank: %w", b.HeightMM.Origin, err)
	}
	line := region.Polyline(tol.ZoneDeflectionMM)
	low := -b.SeatStockMM.Value
	zone, err := difference.PrismZone(line, geom.Translate(r3.Vector{Z: low}), b.HeightMM.Value)
	if err != nil {
		return nil, fmt.Errorf("%s: the blank: %w", b.HeightMM.Origin, err)
	}
	m := zone.Mesh()
	s.blank.roundMM3 = region.AreaMM2()*b.HeightMM.Value - measure.Integrals(m, tol.RoundoffDouble, 0).VolumeMM3
	return &mesh.Part{
		Name: "blank", Mesh: m, Audit: mesh.NewAudit(m), Faces: []mesh.Face{{Kind: mesh.Unknown}},
		ChordMM: tol.ZoneDeflectionMM, Roundoff: tol.RoundoffDouble,
	}, nil
}
