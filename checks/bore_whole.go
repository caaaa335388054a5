package checks

import (
	"fmt"
	"math"

	"pocketgauge/mesh/tol"
)

var boreWhole = Check{
	ID:    "bore.whole",
	Title: "Nothing cuts into the holes that the frame needs",
	Doc: `A thread that a cavity or a waterline cuts into tears out, and a dowel that does not bear all around lets the insert turn. Measured: the area of the
hole's wall over that of a whole cylinder of its diameter between the ends of its full diameter; facets of a round are
taken as chords of the number they come to. Limit: the hole's own whole, 97 % where the rules state none (common practice, no source: what a run-out thread or a slanted
mouth takes), for dowels and threads; ports, waterlines and clearance holes are crossed on purpose and not judged.`,
	Unit:       Percent,
	Keys:       []string{"bores.whole"},
	Mend:       `Move what cuts into the hole, or the hole where the frame allows it.`,
	NeedsSolid: true,
	Asks:       (*Subject).asksBores,
	Measure: func(s *Subject) []Reading {
		f := facetsFact.of(s)
		return s.ofEachDemanded(func(d *demandedBore) (Reading, bool) {
			if k := d.Kind.Value; k != "dowel" && k != "thread" || !d.Whole.Set {
				return Reading{}, false
			}
			b, radius := d.is, d.step.DiameterMM/2
			length := d.step.ToMM - d.step.FromMM
			within := 2*s.SurfaceMM() + d.step.DiameterErrorMM + radius/50
			area := 0.0
			for _, t := range b.Triangles {
				n := f.normal[t]
				if abs(n.Dot(b.Into)) > tol.UprightSine {
					continue
				}
				p := s.middle(t).Sub(b.Mouth)
				along := p.Dot(b.Into)
				out := p.Sub(b.Into.Mul(along))
				if along < d.step.FromMM-within || along > d.step.ToMM+within || abs(out.Norm()-radius) > radius/10+within {
					continue
				}
				// A facet at distance c from the axis spans 2 acos(c/r) of the round where its chord
				// spans 2 sqrt(1-(c/r)^2): the arc is so much longer.
				c := min(1, abs(n.Dot(out))/radius)
				stretch := 1.0
				if half := math.Acos(c); half > 0 {
					stretch = half / math.Sin(half)
				}
				area += f.area[t] * stretch
			}
			whole := 2 * math.Pi * radius * length
			r := Reading{Measured: true, Value: 100 * area / whole, Limit: AtLeast(100 * d.Whole.Value)}
			r.Uncertainty = 100 * (d.step.DiameterErrorMM/d.step.DiameterMM + 2*s.SurfaceMM()/length + s.SurfaceMM()/radius)
			r.Says = fmt.Sprintf("%.1f %% of the wall of %v is there.", r.Value, d)
			return r, true
		})
	},
}
