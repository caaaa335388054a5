package checks

import (
	"fmt"

	"pocketgauge/mesh/thickness"
)

var steelWall = Check{
	ID:    "steel.wall",
	Title: "No wall of steel is thinner than the rules allow",
	Doc: `A thin wall between a cavity and a waterline, a bore or the side cracks under cavity pressure, often
after the tool has run for weeks. Between two kinds of surface that the rules give a limit of their own
(detail, side, back, bore, waterline) that limit alone counts; everything else is held against the one for
any two surfaces, so that one thin place is one finding. Eight to fifteen millimetres from the detail to the
side, one and a half to two diameters to a waterline and three to five between bores are usual (common
practice, no source). Measured: for two kinds of surface, the least distance of all their facets that face
each other, a bore taken for the cylinder that it is: nothing is sampled, and what lies in between is not
looked at. Bores that meet have no wall between them, nor has a bore at its own mouth in the detail. For
any two surfaces: over the whole surface at a stated pitch, the distance to facing metal along the inward
normal and the largest ball that fits inside; each thin place is then refined to the exact least distance
of the mesh. Corners are no walls: only surfaces that face each other count. Sampled: a thin place smaller
than the pitch on both sides may be missed. Thin places smaller than the noise area are counted and not
judged.`,
	Unit: MM,
	Keys: []string{
		"steel.wall.any", "steel.wall.detail_side", "steel.wall.detail_back", "steel.wall.detail_bore", "steel.wall.detail_waterline",
		"steel.wall.bore_bore", "steel.wall.bore_side", "steel.wall.noise_area", "measuring.pitch",
	},
	Mend:       `Move the detail or the bore so that the wall between them grows by the missing amount.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		var list []Reading
		if l := s.Frame.Steel.Wall.AnyMM; l.Set && l.Value > 0 {
			list = append(list, anyWall(s))
		}
		for p := range rolePairs {
			if p.asked(&s.Frame.Steel.Wall) {
				if r, ok := s.roleReading(p); ok {
					list = append(list, r)
				}
			}
		}
		return list
	},
}

// anyWall is the thinnest wall between surfaces that have no limit of their own.
func anyWall(s *Subject) Reading {
	limit := s.Frame.Steel.Wall.AnyMM
	field, err := s.Walls()
	if err != nil {
		return NotMeasured("", err.Error())
	}
	walls := &s.Frame.Steel.Wall
	facets := rolesFact.of(s)
	found := field.Thin(wallSearch*limit.Value, func(a, b int32) bool {
		p := facets.pairOf(a, b)
		return p == noRolePair || !p.asked(walls)
	})
	noise := walls.NoiseMM2.Value
	specks := 0
	r := Reading{Measured: true, Value: wallSearch * limit.Value, Uncertainty: 2 * s.SurfaceMM(), Limit: AtLeast(limit.Value), Beyond: true}
	r.Says = fmt.Sprintf("No wall is thinner than %g mm, so far as samples %.2g mm apart tell.", wallSearch*limit.Value, field.PitchMM)
	thin := 0
	for _, g := range found.Regions {
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
		r.Value, r.Uncertainty, r.Beyond = g.ValueMM, g.ErrorMM+2*s.SurfaceMM(), false
		r.At, r.Located = g.A.Add(g.B).Mul(0.5), true
		a, b := s.SurfaceName(g.TriangleA), s.SurfaceName(g.TriangleB)
		between := a + " and " + b
		if a == b {
			between = "two faces of " + a
		}
		r.Says = fmt.Sprintf("The thinnest wall is %.3f mm, between %s, over %.1f mm2.", g.ValueMM, between, g.AreaMM2)
	}
	if thin > 1 {
		r.Says += fmt.Sprintf(" %d walls in all are under the limit.", thin)
	}
	if n := len(found.Blocked); n > 0 {
		r.Says += fmt.Sprintf(" %d places could not be measured: surfaces lie across each other there.", n)
	}
	if specks > 0 {
		r.Says += fmt.Sprintf(" %d thin places under %g mm2 are not judged.", specks, noise)
	}
	return r
}

// wallSearch is how far above the limit walls are looked for, so that a passing insert shows how
// close it came.
const wallSearch = 1.5

// defaultPitchMM is the sampling pitch where the rules state none: fine enough that a wall of a
// millimetre is met by several samples.
const defaultPitchMM = 1

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
