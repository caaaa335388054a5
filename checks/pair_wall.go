package checks

import "fmt"

var pairWall = Check{
	ID:    "pair.wall",
	Title: "The part is nowhere too thin or too thick",
	Doc: `A wall that is too thin does not fill, one that is too thick sinks and takes long to cool. Measured: from
samples of the detail of both halves, measuring.pitch apart, straight across the cavity to the surface that
faces them, and the largest ball that touches the sample and fits between the halves. Least is the
shortest way across between facing surfaces, most the thickest place a ball finds, mean that over the samples
where both agree. Runners are left out. A place smaller than the pitch may be missed.
What a wall may be the part's designer says: 1 to 4 mm is usual (common practice, no source).`,
	Unit: MM,
	Keys: []string{"pair.part_wall.least", "pair.part_wall.most", "measuring.pitch"},
	Mend: `Bring the faces of the two halves to the wall that the part asks for.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Pair.PartWallMM
		if !limit.Set() {
			return nil
		}
		return ofPair(s, func(p *Pair) []Reading {
			w, ok := s.PartWall()
			if !ok {
				return nil // pair.cavity says that there is no cavity
			}
			var list []Reading
			if limit.Least.Set {
				list = append(list, Reading{
					Of: "least", Measured: true, Value: w.LeastMM, Uncertainty: w.ErrorMM, Limit: AtLeast(limit.Least.Value), At: w.LeastAt, Located: true,
					Says: fmt.Sprintf("The part is %.3f mm at its thinnest, %.2f mm in the mean, so far as samples %.2g mm apart tell.", w.LeastMM, w.MeanMM, w.PitchMM),
				})
			}
			if limit.Most.Set {
				list = append(list, Reading{
					Of: "most", Measured: true, Value: w.MostMM, Uncertainty: w.ErrorMM, Limit: AtMost(limit.Most.Value), At: w.MostAt, Located: true,
					Says: fmt.Sprintf("The part is %.3f mm at its thickest, %.2f mm in the mean, so far as samples %.2g mm apart tell.", w.MostMM, w.MeanMM, w.PitchMM),
				})
			}
			return list
		})
	},
}
