package checks

import "fmt"

var fitClearance = Check{
	ID:    "fit.clearance",
	Title: "The locating sides hold the insert without too much play",
	Doc: `An insert that drops in but rattles shifts between shots, and the two halves no longer meet.
Measured: for each side of the pocket that locates the insert, the gap between that side and the
nearest metal opposite it, up to the height over which the fit must hold; exact for straight and round
sides. The side with the largest excess is reported.
The limit is the pocket's clearance, or what its ISO 286 fit leaves at that size, as for fit.outline.`,
	Unit: MM,
	Keys: []string{"pocket.locating", "pocket.fit", "pocket.clearance", "pocket.fit_height"},
	Mend: `Bring the side out to the size that the fit asks for.`,
	Measure: func(s *Subject) []Reading {
		segments := s.Frame.Pocket.Outline.Segments()
		worst, found := 0, false
		var missing []Reading
		clear := s.clearances()
		for i, c := range clear {
			if !segments[i].Locating {
				continue
			}
			if !c.Faced {
				missing = append(missing, NotMeasured(sideName(segments[i].Name), "no metal lies opposite this locating side"))
				continue
			}
			if !found || segments[i].ClearanceMM.Hi-c.GapMM < segments[worst].ClearanceMM.Hi-clear[worst].GapMM {
				worst, found = i, true
			}
		}
		if !found {
			return missing
		}
		c, piece := clear[worst], segments[worst]
		r := Reading{
			Of: sideName(piece.Name), Measured: true, Value: c.GapMM, Uncertainty: c.GapErrorMM,
			Limit: AtMost(piece.ClearanceMM.Hi), At: c.GapAt, Located: true,
		}
		r.Says = fmt.Sprintf("The largest gap on a locating side is %.4f mm, at the %s.", c.GapMM, sideName(piece.Name))
		if c.GapMM > piece.ClearanceMM.Hi {
			r.Mend = fmt.Sprintf("Bring the %s side out by %.3f mm.", sideName(piece.Name), c.GapMM-piece.ClearanceMM.Hi)
		}
		return append(missing, r)
	},
}
