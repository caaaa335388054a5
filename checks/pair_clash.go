package checks

import (
	"fmt"

	"pocketgauge/mesh/tol"
)

var pairClash = Check{
	ID:    "pair.clash",
	Title: "The two halves close without metal in metal",
	Doc: `Where both halves have metal in the same place the press crushes one into the other, or the mould
stays open and flashes all around. Measured: the halves in the closed position (the moving half turned
over about pair.turned_about, parting faces touching), compared along the draw on a grid of the pitch it
states; the depth of a clash is the distance between the two faces, from the nearest surfaces of the
middles of its longest overlaps. A clash smaller than the pitch may be missed. A pair is judged with its
fixed half.
0.005 mm is let pass, to be spotted in (common practice, no source).`,
	Unit: MM,
	Keys: []string{"pair.clash.depth", "pair.clash.volume", "pair.turned_about"},
	Mend: `Take the overlap off the shut-off that stands too far out, or close the mould about the right axis (pair.turned_about).`,
	Measure: func(s *Subject) []Reading {
		if s.PartnerError == nil && s.Partner == nil {
			return nil
		}
		if _, err := s.Pair(); err != nil {
			return []Reading{NotMeasured("", err.Error())}
		}
		return ofPair(s, func(p *Pair) []Reading {
			limit := max(s.Frame.Pair.ClashDepthMM.Value, tol.FlushMM)
			r := Reading{Measured: true, Limit: AtMost(limit), Uncertainty: p.ErrorMM}
			volume := 0.0
			for n, c := range p.Room.Clashes {
				volume += c.VolumeMM3
				if n >= mostClashes {
					continue
				}
				for _, at := range c.Middles {
					if d := p.depthOf(at); d > r.Value {
						r.Value, r.At, r.Located = d, at, true
					}
				}
			}
			if len(p.Room.Clashes) == 0 {
				r.Says = fmt.Sprintf("No metal of one half lies in metal of the other, so far as rays %.2g mm apart tell.", p.Room.PitchMM)
				return []Reading{r}
			}
			r.Says = fmt.Sprintf("Metal of one half lies %.3f mm deep in metal of the other: %.3g mm3 in %d place(s).", r.Value, volume, len(p.Room.Clashes))
			if volume <= s.Frame.Pair.ClashVolumeMM3.Value {
				// The rules let this much pass whatever its depth.
				r.Limit = AtMost(max(limit, r.Value+r.Uncertainty))
			}
			return []Reading{r}
		})
	},
}

// mostClashes is how many clashes, by volume, are looked into for their depth.
const mostClashes = 64
