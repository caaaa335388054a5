package checks

import (
	"fmt"
	"math"
	"strings"

	"pocketgauge/mesh"
	"pocketgauge/rules"
)

var ejectPressure = Check{
	ID:    "eject.pressure",
	Title: "The ejector pins do not press into the part",
	Doc: `A part shrinks onto its cores, and pins too few or too thin for the force that strips it leave white marks or go through. Measured: the
force over the area of the pins' ends that press on the part. The force is that of a thin-walled part on a round core,
F = e E A mu / (d/2t (1 - nu/2)) (Rosato, Injection Molding Handbook, as quoted in a public forum of engineers; not seen in the book), with A = pi d h the core's wall: its
diameter falls out, F = 2 pi t h e E mu / (1 - nu/2), and is summed over the cores of the moving half, h being the height of each above the parting face, t
the mean wall between the halves, e the upper end of the resin's shrinkage, E its modulus at ejection, mu its friction on steel and nu = 0.4 (from memory).
It is an upper figure: the part has not shrunk wholly when it is pushed, and draft helps (a core whose draft's tangent exceeds mu lets go by itself: Shen, Chen and
Jiang 1999). Not seen: ribs and bosses that grip in grooves, cores of the fixed half, and vacuum. Needs the other half. The limit is the resin's or the shop's: a part
pushed hot bears a fraction of its yield stress (common practice, no source).`,
	Unit: MPa,
	Keys: []string{"ejection.pin_pressure", "resins.ejection_modulus", "resins.friction", "resins.shrinkage"},
	Mend: `Take thicker pins or more of them, next to the cores; give the cores more draft, or polish them along the draw.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Ejection.PinPressureMPa
		if !limit.Set || s.Half != rules.Moving {
			return nil
		}
		p, err := s.Pair()
		if p == nil || err != nil || len(p.Parts()) == 0 || len(s.Pins()) == 0 {
			return nil
		}
		wall, ok := s.PartWall()
		resin := p.Resin()
		var missing []string
		if resin == nil {
			missing = append(missing, "the resin")
		} else {
			for _, k := range [...]struct {
				set  bool
				name string
			}{
				{resin.EjectionModulusMPa.Set, "modulus at ejection"}, {resin.Friction.Set, "friction"}, {resin.Shrinkage.Most.Set, "shrinkage"},
			} {
				if !k.set {
					missing = append(missing, "the "+k.name+" of "+resin.Name.Value)
				}
			}
		}
		if !ok {
			missing = append(missing, "the part's wall")
		}
		if len(missing) > 0 {
			return []Reading{NotMeasured("", "not known: "+strings.Join(missing, ", "))}
		}
		area, areaError := 0.0, 0.0
		pins := s.Pins()
		for i := range pins {
			if on := p.onPart(&pins[i]); on > 0 {
				d := pins[i].DiameterMM
				area += on * math.Pi * d * d / 4
				areaError += on * math.Pi * d * (pins[i].DiameterErrorMM + s.SurfaceMM()) / 2
			}
		}
		if area == 0 {
			return nil // eject.part says so
		}
		height, cores := s.coreHeightsMM()
		const poisson = 0.4
		perMM := 2 * math.Pi * resin.Shrinkage.Most.Value * resin.EjectionModulusMPa.Value * resin.Friction.Value / (1 - poisson/2) // N for each mm of wall and of height
		force := perMM * wall.MeanMM * height
		r := Reading{Measured: true, Value: force / area, Limit: AtMost(limit.Value)}
		r.Uncertainty = perMM*(wall.ErrorMM*height+wall.MeanMM*2*s.SurfaceMM()*float64(cores))/area + r.Value*areaError/area
		r.Says = fmt.Sprintf("%.0f N strip a part of %s with a mean wall of %.2f mm off %d core(s), %.1f mm high in all; %.1f mm2 of pins push.", force, resin.Name.Value, wall.MeanMM, cores, height, area)
		if cores == 0 {
			r.Says = "No core stands on this half for the part to shrink onto."
		}
		return []Reading{r}
	},
}

// coreHeightsMM is the sum of the heights of the cores that stand on the parting face, and how many there are: pieces of steep
// detail that hang together above it.
func (s *Subject) coreHeightsMM() (sum float64, cores int) {
	parting, ok := s.partingFace()
	if !ok {
		return 0, 0
	}
	m, of, draw := s.Part.Mesh, s.Surfaces().Of, s.Draw()
	f := facetsFact.of(s)
	foot := parting.ZMM + s.SurfaceMM()
	pieces := mesh.NewForest(len(m.Vertices))
	steep := func(t int) bool {
		a, b, c := m.Corners(t)
		return of[t] == Detail && abs(f.normal[t].Dot(draw)) < steepSine && min(a.Z, b.Z, c.Z) >= parting.ZMM-s.SurfaceMM() && max(a.Z, b.Z, c.Z) > foot
	}
	for t, tri := range m.Triangles {
		if steep(t) {
			pieces.Join(tri[0], tri[1])
			pieces.Join(tri[0], tri[2])
		}
	}
	number := map[int32]int{}
	var heights []float64
	for t, tri := range m.Triangles {
		if !steep(t) {
			continue
		}
		root := pieces.Root(tri[0])
		i, seen := number[root]
		if !seen {
			i = len(heights)
			number[root] = i
			heights = append(heights, 0)
		}
		for _, v := range tri {
			heights[i] = max(heights[i], m.Vertices[v].Z-parting.ZMM)
		}
	}
	for _, h := range heights {
		sum += h
	}
	return sum, len(heights)
}
