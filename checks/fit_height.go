package checks

import (
	"fmt"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/tol"
)

var fitHeight = Check{
	ID:    "fit.height",
	Title: "The parting face stands proud of the frame by the right amount",
	Doc: `Too low, and the halves do not close on each other: the mould flashes. Too high, and the whole
clamp force rests on the insert. Measured: the height of the insert's parting face above its seat, less
the pocket's depth. The parting face is the flat level in the upper half of the pocket that runs out to the side of the insert along
most of it, so that neither a cavity's floor nor a core's top is taken for it, however large; where that level is a relief around a
land, the land. Exact but for rounding.
0.02 to 0.05 mm proud is usual (common practice, no source).`,
	Unit: MM,
	Keys: []string{"pocket.depth", "pocket.proud"},
	Mend: `Set the parting face to the pocket's depth plus the stand-proud that the frame asks for.`,
	Measure: func(s *Subject) []Reading {
		face, ok := s.partingFace()
		if !ok {
			return []Reading{NotMeasured("", "the insert has no flat face that looks up in the upper half of the pocket")}
		}
		proud := s.Frame.Pocket.ProudMM
		if !proud.Set() {
			return nil
		}
		low := s.Measures().Bounds.Min.Z
		r := Reading{
			Measured: true, Value: face.ZMM - low - s.DepthMM(), Uncertainty: 2 * s.StorageMM(),
			Limit: Band{Least: proud.Least.Value, HasLeast: proud.Least.Set, Most: proud.Most.Value, HasMost: proud.Most.Set},
			At:    s.middleOf(face), Located: true,
		}
		r.Says = fmt.Sprintf("The parting face stands %.3f mm above the seat, %.3f mm %s the frame.", face.ZMM-low, abs(r.Value), aboveOrBelow(r.Value))
		switch {
		case r.Limit.HasMost && r.Value > r.Limit.Most:
			r.Mend = fmt.Sprintf("Lower the parting face by %.3f mm (or take as much off the seat).", r.Value-r.Limit.Most)
		case r.Limit.HasLeast && r.Value < r.Limit.Least:
			r.Mend = fmt.Sprintf("Raise the parting face by %.3f mm, or choose a higher blank.", r.Limit.Least-r.Value)
		}
		return []Reading{r}
	},
}

// levels are the heights at which the insert has flat area that looks up or down.
type levels struct{ up, down []measure.Level }

var levelsFact = fact[levels]{func(s *Subject) levels {
	within := 2*s.StorageMM() + tol.LevelMM
	return levels{measure.Levels(s.Part.Mesh, true, within), measure.Levels(s.Part.Mesh, false, within)}
}}

// middleOf is the centre of the largest triangle of a level: a point that is surely on it.
func (s *Subject) middleOf(l measure.Level) r3.Vector {
	best, area := int(l.Triangles[0]), 0.0
	for _, t := range l.Triangles {
		if a := s.Part.Mesh.AreaVector(int(t)).Norm(); a > area {
			best, area = int(t), a
		}
	}
	a, b, c := s.Part.Mesh.Corners(best)
	return a.Add(b).Add(c).Mul(1.0 / 3)
}

func abs(x float64) float64 { return max(x, -x) }

func aboveOrBelow(x float64) string {
	if x < 0 {
		return "below"
	}
	return "above"
}
