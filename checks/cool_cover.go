package checks

import (
	"fmt"
	"math"

	"pocketgauge/mesh/proximity"
	"pocketgauge/rules"
)

var coolCover = Check{
	ID:    "cool.cover",
	Title: "Waterlines run at the right depth under the detail",
	Doc: `Too near, a waterline shows on the part as a cold stripe and weakens the steel; too far, it does not cool. Measured:
for each circuit the least metal between the round wall of one of its lines and the detail, over that line's
diameter, exact on the mesh; a line's blind end is not looked at. At most that much away must be the nearest
line of each circuit; the others may run deeper. Where the wall is too thin for the steel already, steel.wall
says so and only the upper end is judged here. The limits are those of two published layout rules, 1.5 to 2
and 2 to 2.5 diameters.`,
	Unit:       Diameters,
	Keys:       []string{"cooling.cover.least", "cooling.cover.most"},
	Mend:       `Move the waterline nearer to the detail or away from it.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		asked := s.Frame.Cooling.CoverDiameters
		w := s.water()
		if !asked.Set() || len(w.lines) == 0 || len(rolesFact.of(s).detail) == 0 {
			return nil
		}
		var list []Reading
		covers := coversFact.of(s)
		for c := range w.circuits {
			if r, ok := s.coverReading(w, covers, c, asked); ok {
				list = append(list, r)
			}
		}
		return list
	},
}

func (s *Subject) coverReading(w *water, covers []cover, circuit int, asked rules.Range) (Reading, bool) {
	best, shallow := -1, math.Inf(1)
	for i := range w.lines {
		if w.lines[i].circuit == circuit && covers[i].found && covers[i].LengthMM/w.lines[i].diameterMM < shallow {
			best, shallow = i, covers[i].LengthMM/w.lines[i].diameterMM
		}
	}
	if best < 0 {
		return NotMeasured(w.circuitName(circuit), "no part of the detail lies square to any line of the circuit"), true
	}
	c, d := covers[best], w.lines[best].diameterMM
	r := Reading{
		Of: w.circuitName(circuit), Measured: true, Value: shallow, Uncertainty: (c.errorMM + shallow*w.lines[best].diameterErrorMM) / d,
		Limit: bandOf(asked.Least, asked.Most), At: c.A.Add(c.B).Mul(0.5), Located: true,
	}
	r.Says = fmt.Sprintf("%.3f mm of metal between the detail and %s: %.2f diameters.", c.LengthMM, w.lines[best].name(), shallow)
	switch {
	case asked.Least.Set && shallow < asked.Least.Value:
		r.Mend = fmt.Sprintf("Move the waterline %.3f mm away from the detail.", asked.Least.Value*d-c.LengthMM)
	case asked.Most.Set && shallow > asked.Most.Value:
		r.Mend = fmt.Sprintf("Move the waterline %.3f mm nearer to the detail.", c.LengthMM-asked.Most.Value*d)
	}
	if wall := &s.Frame.Steel.Wall; detailWaterline.asked(wall) && c.LengthMM < wall.DetailWaterlineMM.Value {
		r.Limit.HasLeast, r.Mend = false, ""
	}
	return r, r.Limit.HasLeast || r.Limit.HasMost
}

// cover is the least metal between a line and the detail.
type cover struct {
	proximity.Wall
	found   bool
	errorMM float64
}

var coversFact = fact[[]cover]{func(s *Subject) []cover {
	w, r := s.water(), rolesFact.of(s)
	out := make([]cover, len(w.lines))
	bores := s.Surfaces().Bores
	reach := s.Measures().Bounds.Diagonal()
	for i := range w.lines {
		for _, axis := range w.lines[i].axesOf(bores) {
			wall, ok := proximity.LeastToAxis(s.Part.Mesh, axis, r.detail, reach, nil)
			if ok && (!out[i].found || wall.LengthMM < out[i].LengthMM) {
				out[i] = cover{wall, true, w.lines[i].diameterErrorMM/2 + s.StorageMM() + s.errorOf(int(wall.TriangleB))}
			}
		}
	}
	return out
}}

// bandOf is the band between two limits of the rules, either of which may be missing.
func bandOf(least, most rules.Limit) Band {
	return Band{Least: least.Value, HasLeast: least.Set, Most: most.Value, HasMost: most.Set}
}
