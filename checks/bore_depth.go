package checks

import (
	"fmt"
	"math"

	"pocketgauge/mesh/index"
)

var boreDepth = Check{
	ID:    "bore.depth",
	Title: "Every hole that the frame needs is as deep as it should be",
	Doc: `In a hole that is too shallow the screw bottoms out before it clamps; one too deep may meet water or a cavity. Measured: from the mouth that the rules file
names to the end of the full diameter, without the drill's cone. A hole for which no depth is stated must go through: for one that does not, the depth is held against what it
would take. Limit: the hole's own least and most.
In steel a thread bears fully over one and a half diameters (common practice, no source).`,
	Unit:       MM,
	Keys:       []string{"bores.depth"},
	Mend:       `Make the hole as deep as the frame's drawing has it.`,
	NeedsSolid: true,
	Asks:       (*Subject).asksBores,
	Measure: func(s *Subject) []Reading {
		return s.ofEachDemanded(func(d *demandedBore) (Reading, bool) {
			b := d.is
			along := d.At.At.Sub(b.Mouth).Dot(b.Into)
			depth := d.step.ToMM - along
			if b.Into.Dot(d.Into.At) < 0 { // a hole that goes through, told from its other end
				depth = along - d.step.FromMM
			}
			r := Reading{Measured: true, Value: depth, Uncertainty: 2*s.SurfaceMM() + d.is.DiameterErrorMM, Limit: bandOf(d.DepthMM.Least, d.DepthMM.Most)}
			r.Says = fmt.Sprintf("%v is %.2f mm deep.", upperFirst(d.String()), depth)
			if b.Through {
				r.Says = fmt.Sprintf("%v goes through, %.2f mm.", upperFirst(d.String()), depth)
			}
			if d.DepthMM.Set() || b.Through {
				return r, true
			}
			// From the blind end on to where the metal ends.
			end := b.Mouth.Add(b.Into.Mul(b.DepthMM))
			through := depth
			hits := s.Tree().All(index.Ray{Origin: end, Direction: b.Into, TMax: 2 * s.Measures().Bounds.Diagonal()}, nil)
			far := math.Inf(-1)
			for _, h := range hits {
				if h.Leaves {
					far = max(far, h.T)
				}
			}
			if !math.IsInf(far, -1) {
				through += far
			}
			r.Limit = AtLeast(through)
			r.Says += " It should go through."
			return r, true
		})
	},
}
