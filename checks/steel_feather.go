package checks

import (
	"fmt"
	"math"

	"pocketgauge/mesh/thickness"
)

var steelFeather = Check{
	ID:    "steel.feather",
	Title: "No edge of the detail is so sharp that it breaks",
	Doc: `Where two faces run into each other at a small angle the steel ends in a feather edge: it rolls over at the shut-off
or breaks out, and the part flashes there. Measured: the angle of metal at every edge of the mesh that has detail on a side, exact for
its facets; runs shorter than the noise area's width are passed over. An edge that is blunted has no such angle: the land is a
wall, and one thinner than walls may be is steel.wall's finding. The angle where curved faces meet is that of their facets, and what
those stand off is in the uncertainty. The limit is common practice, no source.`,
	Unit:       Degree,
	Keys:       []string{"steel.feather_angle", "steel.feather_land"},
	Mend:       `Blunt the edge by a land, or let the faces meet more steeply.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit, land := s.Frame.Steel.FeatherAngle, s.Frame.Steel.FeatherLandMM
		if !limit.Set || land.Set && land.Value == 0 || len(rolesFact.of(s).detail) == 0 {
			return nil
		}
		const degree = 180 / math.Pi
		if limit.Value > widestFeather {
			return []Reading{NotMeasured("", fmt.Sprintf("edges are looked at up to %g degrees; steel.feather_angle asks for %.4g", widestFeather*degree, limit.Value*degree))}
		}
		field, err := s.Walls()
		if err != nil {
			return []Reading{NotMeasured("", err.Error())}
		}
		surfaces := s.Surfaces()
		r := Reading{Measured: true, Value: widestFeather * degree, Beyond: true, Limit: AtLeast(limit.Value * degree)}
		r.Says = fmt.Sprintf("No edge of the detail is sharper than %g degrees.", widestFeather*degree)
		for _, e := range field.FeatherEdges(func(a, b int32) bool { return surfaces.Of[a] == Detail || surfaces.Of[b] == Detail }) {
			if e.LengthMM*e.LengthMM < s.Frame.Steel.Wall.NoiseMM2.Value {
				continue
			}
			r.Value, r.Beyond = e.Angle.Degrees(), false
			r.Uncertainty = s.edgeError(&e) * degree
			r.At, r.Located = e.A.Add(e.B).Mul(0.5), true
			r.Says = fmt.Sprintf("The sharpest edge is one of %.1f degrees between %s and %s, over %.1f mm.",
				r.Value, s.SurfaceName(e.Triangles[0]), s.SurfaceName(e.Triangles[1]), e.LengthMM)
			if r.Value < r.Limit.Least {
				r.Mend = fmt.Sprintf("Blunt the edge by a land of at least %g mm, or let the faces meet at %.4g degrees.", land.Value, r.Limit.Least)
			}
			break // the sharpest comes first
		}
		return []Reading{r}
	},
}

// widestFeather is the widest angle at which mesh/thickness takes an edge for one.
const widestFeather = math.Pi / 4

// edgeError bounds by how much the angle between the facets of an edge may be off that between
// the faces they stand for, radians: each facet is turned by at most what it stands off over its height.
func (s *Subject) edgeError(e *thickness.FeatherEdge) float64 {
	length, sum := e.B.Sub(e.A).Norm(), 0.0
	for _, t := range e.Triangles {
		height := 2 * s.Part.Mesh.AreaVector(int(t)).Norm() / length
		sum += math.Atan(2 * s.errorOf(int(t)) / height)
	}
	return sum
}
