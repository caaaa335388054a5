package checks

import (
	"fmt"

	"pocketgauge/mesh"
	"pocketgauge/mesh/thickness"
)

var steelWall = Check{
	ID:    "steel.wall",
	Title: "No wall of steel is thinner than the rules allow",
	Doc: `A thin wall between a cavity and a waterline, a bore or the side cracks under cavity pressure, often
after the tool has run for weeks. Measured: over the whole surface at a stated pitch, the distance to
facing metal along the inward normal and the largest ball that fits inside; each thin place is then
refined to the exact least distance of the mesh. Corners are no walls: only surfaces that face each
other count. Sampled: a thin place smaller than the pitch on both sides may be missed. Thin places
smaller than the noise area are counted and not judged.`,
	Unit:       MM,
	Keys:       []string{"steel.wall.any", "steel.wall.noise_area", "measuring.pitch"},
	Mend:       `Move the detail or the bore so that the wall between them grows by the missing amount.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Steel.Wall.AnyMM
		if !limit.Set || limit.Value <= 0 {
			return nil
		}
		field, err := s.Walls()
		if err != nil {
			return []Reading{NotMeasured("", err.Error())}
		}
		regions := field.Regions(wallSearch*limit.Value, nil)
		noise := s.Frame.Steel.Wall.NoiseMM2.Value
		specks := 0
		r := Reading{Measured: true, Value: wallSearch * limit.Value, Uncertainty: 2 * s.SurfaceMM(), Limit: AtLeast(limit.Value), Beyond: true}
		r.Says = fmt.Sprintf("No wall is thinner than %g mm, so far as samples %.2g mm apart tell.", wallSearch*limit.Value, field.PitchMM)
		thin := 0
		for _, g := range regions {
			if g.AreaMM2 < noise {
				specks++
				continue
			}
			if g.ValueMM < limit.Value {
				thin++
			}
			if r.Located {
				continue
			}
			r.Value, r.Uncertainty = g.ValueMM, g.ErrorMM+2*s.SurfaceMM()
			r.Beyond = false
			r.At, r.Located = g.A.Add(g.B).Mul(0.5), true
			a, b := s.SurfaceName(g.TriangleA), s.SurfaceName(g.TriangleB)
			between := a + " and " + b
			if a == cutFace && b == cutFace {
				between = "two cut faces"
			}
			r.Says = fmt.Sprintf("The thinnest wall is %.3f mm, between %s, over %.1f mm2.", g.ValueMM, between, g.AreaMM2)
		}
		if thin > 1 {
			r.Says += fmt.Sprintf(" %d walls in all are under the limit.", thin)
		}
		if specks > 0 {
			r.Says += fmt.Sprintf(" %d thin places under %g mm2 are not judged.", specks, noise)
		}
		return []Reading{r}
	},
}

// wallSearch is how far above the limit walls are looked for, so that a passing insert shows how
// close it came.
const wallSearch = 1.5

// defaultPitchMM is the sampling pitch where the rules state none: fine enough that a wall of a
// millimetre is met by several samples.
const defaultPitchMM = 1

// cutFace is all that an STL file says of a surface that is neither seat nor side.
const cutFace = "a cut face"

// Walls samples the thickness of the insert once, up to what any check asks for.
func (s *Subject) Walls() (*thickness.Field, error) {
	f := wallsFact.of(s)
	return f.value, f.err
}

var wallsFact = fact[found[*thickness.Field]]{func(s *Subject) found[*thickness.Field] {
	return foundOf(thickness.Walls(s.Tree(), thickness.Options{
		PitchMM: s.PitchMM(), LimitMM: wallSearch * s.Frame.Steel.Wall.AnyMM.Value, Roundoff: s.Part.Roundoff,
	}))
}}

// PitchMM is the distance between samples of the surface that the rules ask for.
func (s *Subject) PitchMM() float64 {
	if p := s.Frame.Measuring.PitchMM; p.Set && p.Value > 0 {
		return p.Value
	}
	return defaultPitchMM
}

// SurfaceName says for people what a triangle belongs to: the seat, the side of the insert, or a
// face of the file.
func (s *Subject) SurfaceName(t int32) string {
	a, b, c := s.Part.Mesh.Corners(int(t))
	within := s.SurfaceMM()
	if max(abs(a.Z), abs(b.Z), abs(c.Z)) <= within {
		return "the seat"
	}
	far := 0.0
	for _, p := range [...]struct{ X, Y float64 }{{a.X, a.Y}, {b.X, b.Y}, {c.X, c.Y}} {
		d, _ := s.Pocket.Clearance(flat(p.X, p.Y))
		far = max(far, d)
	}
	if far <= s.Frame.Pocket.ClearanceMM.Most.Value+within {
		return "the side"
	}
	f := int(s.Part.Mesh.FaceOf(int(t)))
	if f >= len(s.Part.Faces) || s.Part.Exact == nil {
		return cutFace
	}
	face := s.Part.Faces[f]
	if face.Kind == mesh.Cylinder && face.Inner {
		return fmt.Sprintf("a round face of diameter %.4g mm (%s)", 2*face.RadiusMM, face.Label)
	}
	return fmt.Sprintf("a %v face (%s)", face.Kind, face.Label)
}
