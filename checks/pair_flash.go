package checks

import (
	"fmt"
	"strings"
)

var pairFlash = Check{
	ID:    "pair.flash",
	Title: "No gap between the closed halves lets the melt through",
	Doc: `Melt runs into a gap that is wider than the depth at which its resin is vented, and every part comes
out with flash to be cut off. Measured: room between the halves that is too thin for a part and of even
width, where it lies within the outline of a cavity (a shut-off that does not shut) or leads from one to
the outside; the width is taken square to the faces. Judged against the resin's vent depth, else
pair.flash_gap. A gap open to the outside does not drain the cavity: it is closed at its narrowest and
named. Not seen: gaps at shut-offs so steep that no ray along the draw meets them.
Published vent depths run from 0.008 mm (PA) to 0.064 mm (PC).`,
	Unit: MM,
	Keys: []string{"pair.flash_gap", "resins.vent_depth"},
	Mend: `Bring the faces together at the place shown, or make the vent no deeper than the resin allows.`,
	Measure: func(s *Subject) []Reading {
		return ofPair(s, func(p *Pair) []Reading {
			if len(p.Room.Solids) == 0 {
				return nil // pair.cavity says so
			}
			r := Reading{Measured: true, Limit: AtMost(p.GapMM), Uncertainty: p.ErrorMM}
			if len(p.Room.Gaps) == 0 {
				r.Value = p.Room.TightestMM
				if r.Value > 0 {
					r.At, r.Located = p.Room.TightestAt, true
				}
				r.Says = fmt.Sprintf("The widest gap beside a cavity is %.3f mm; %s is %.3g mm.", r.Value, p.GapFrom, p.GapMM)
				return []Reading{r}
			}
			// Gaps come widest first.
			g := p.Room.Gaps[0]
			r.Value, r.At, r.Located = g.WidthMM, g.At, true
			leaks := 0
			area := 0.0
			for _, g := range p.Room.Gaps {
				area += g.AreaMM2
				if g.Leak {
					leaks++
				}
			}
			var says strings.Builder
			fmt.Fprintf(&says, "The halves stand %.3f mm apart where they should shut off, over %.1f mm2 in %d place(s); %s is %.3g mm.", g.WidthMM, area, len(p.Room.Gaps), p.GapFrom, p.GapMM)
			if leaks > 0 {
				fmt.Fprintf(&says, " %d of them lead to the outside.", leaks)
			}
			r.Says = says.String()
			return []Reading{r}
		})
	},
}
