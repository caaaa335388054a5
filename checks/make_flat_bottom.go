package checks

import (
	"fmt"
	"math"

	"pocketgauge/mesh/roles"
)

var makeFlatBottom = Check{
	ID:    "make.flat-bottom",
	Title: "Blind holes end as a drill leaves them",
	Doc: `A drill leaves a cone; a flat end takes a second tool, and is usually drawn by habit and not because anything needs it.
Measured: blind bores whose end is flat: square to the bore over more than half of its section. Judged only where making.flat_bottoms says
refuse; by default they are allowed, for an end mill or a boring bar finishes them (common practice, no source).`,
	Unit:       Count,
	Keys:       []string{"making.flat_bottoms"},
	Mend:       `Draw the end of the hole as a cone of 118 or 135 deg.`,
	NeedsSolid: true,
	Asks:       func(s *Subject) bool { return s.Frame.Making.FlatBottoms.Value == "refuse" },
	Measure: func(s *Subject) []Reading {
		r := Reading{Measured: true, Limit: AtMost(0), Says: "No blind bore has a flat end."}
		for i := range s.Surfaces().Bores {
			b := &s.Surfaces().Bores[i]
			if b.Through || !s.flatEnd(b.Bore) {
				continue
			}
			r.Value++
			if !r.Located {
				r.At, r.Located = b.Mouth.Add(b.Into.Mul(b.DepthMM)), true
				r.Says = fmt.Sprintf("The %v of diameter %.2f mm, %.1f mm deep, has a flat end.", b.Purpose, b.DiameterMM, b.DepthMM)
			}
		}
		if r.Value > 1 {
			r.Says += fmt.Sprintf(" %.0f blind bores have one.", r.Value)
		}
		return []Reading{r}
	},
}

// flatEndCosine is how squarely an end looks back at the mouth to be flat: 18 degrees; a drill's cone
// of 140 degrees looks back at 20, of 118 at 31.
const flatEndCosine = 0.951

// flatEnd reports whether more than half of the section at a blind bore's end is square to it.
func (s *Subject) flatEnd(b *roles.Bore) bool {
	f := facetsFact.of(s)
	last := b.DiameterMM
	if n := len(b.Steps); n > 0 {
		last = b.Steps[n-1].DiameterMM
	}
	within := 2*s.SurfaceMM() + last/100
	area := 0.0
	for _, t := range b.Triangles {
		if f.normal[t].Dot(b.Into) < -flatEndCosine && s.middle(t).Sub(b.Mouth).Dot(b.Into) >= b.DepthMM-within {
			area += f.area[t]
		}
	}
	return area > math.Pi*last*last/8
}
