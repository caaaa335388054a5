package measure

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// Summary is what one model measures as a whole: sums over its parts.
type Summary struct {
	Solids, Shells                 int
	Faces                          int // 0 where the format has no faces
	Triangles, Vertices            int
	Closed                         bool
	OpenEdges, NonManifoldEdges    int
	MisorientedEdges, InsideOut    int
	DuplicateTriangles, SheetParts int
	mesh.Measures
	// ChordMM is the largest of the parts; ChordKnown is false where the mesh is all there is.
	ChordMM    float64
	ChordKnown bool
}

// Summarise adds up the parts of a model. Sheets, which bound nothing, give area but no volume
// while there are solids beside them.
func Summarise(m *mesh.Model) Summary {
	s := Summary{Closed: true}
	if len(m.Parts) > 0 {
		s.Bounds = m.Parts[0].Mesh.Bounds()
	}
	for i := range m.Parts {
		if !isSheet(&m.Parts[i]) {
			s.Solids += solidsOf(&m.Parts[i])
		}
	}
	hasSolids := s.Solids > 0
	moment := r3.Vector{}
	first := true
	for i := range m.Parts {
		p := &m.Parts[i]
		if isSheet(p) {
			s.SheetParts++
			if hasSolids {
				continue
			}
		}
		q := Of(p)
		if first {
			s.Bounds, first = q.Bounds, false
		} else {
			s.Bounds = s.Bounds.Union(q.Bounds)
		}
		s.Shells += len(p.Audit.Shells)
		if p.Exact != nil || p.ChordMM > 0 {
			s.Faces += len(p.Faces)
			s.ChordKnown = true
		}
		s.Triangles += len(p.Mesh.Triangles)
		s.Vertices += len(p.Mesh.Vertices)
		s.Closed = s.Closed && p.Audit.Closed()
		s.OpenEdges += p.Audit.OpenEdges
		s.NonManifoldEdges += p.Audit.NonManifoldEdges
		s.MisorientedEdges += p.Audit.MisorientedEdges
		s.InsideOut += p.Audit.InsideOut()
		s.DuplicateTriangles += p.Audit.DuplicateTriangles
		s.ChordMM = max(s.ChordMM, p.ChordMM)
		s.VolumeMM3 += q.VolumeMM3
		s.VolumeErrorMM3 += q.VolumeErrorMM3
		s.AreaMM2 += q.AreaMM2
		s.AreaErrorMM2 += q.AreaErrorMM2
		s.BoundsErrorMM = max(s.BoundsErrorMM, q.BoundsErrorMM)
		moment = moment.Add(q.CentroidMM.Mul(q.VolumeMM3))
		if v := math.Abs(q.VolumeMM3); v > 0 {
			// Weighted later by the total: see below.
			s.CentroidErrorMM += q.CentroidErrorMM * v
		}
	}
	if v := math.Abs(s.VolumeMM3); v > 0 {
		s.CentroidMM = moment.Mul(1 / s.VolumeMM3)
		s.CentroidErrorMM /= v
	}
	return s
}

func isSheet(p *mesh.Part) bool { return p.Sheet && !p.Audit.Closed() }

// solidsOf counts one for a part the reader knows to be a solid (its voids are shells of it),
// and the outward closed shells for a mesh of unknown make.
func solidsOf(p *mesh.Part) int {
	if p.Exact != nil {
		return 1
	}
	return p.Audit.Solids()
}
