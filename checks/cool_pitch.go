package checks

import (
	"fmt"
	"math"

	"pocketgauge/mesh/geom"
)

var coolPitch = Check{
	ID:    "cool.pitch",
	Title: "Neighbouring waterlines are neither crowded nor far apart",
	Doc: `Lines too near each other leave little steel between them and waste drilling; lines far apart leave the part warm
between them, and it warps. Measured: for every line the distance of its axis from that of the nearest line that runs beside
it (parallel within five degrees, over more than a diameter of length), over the wider diameter of the two; told are the
least and the most. Lines that no other runs beside are not judged. Where so little metal is left between two lines that the
steel is too weak, steel.wall says so. The limits are the usual layout rule, 3 to 5 diameters.
They are common in published layout rules.`,
	Unit:       Diameters,
	Keys:       []string{"cooling.pitch.least", "cooling.pitch.most"},
	Mend:       `Space the waterlines evenly, or add one.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		asked := s.Frame.Cooling.PitchDiameters
		w := s.water()
		narrow, wide, ok := w.pitches()
		if !asked.Set() || !ok {
			return nil
		}
		reading := func(p pitch, band Band) Reading {
			a, b := &w.lines[p.a], &w.lines[p.b]
			return Reading{
				Measured: true, Value: p.diameters(w), Limit: band,
				Uncertainty: ((a.diameterErrorMM+b.diameterErrorMM)/2 + 2*s.StorageMM() + p.diameters(w)*max(a.diameterErrorMM, b.diameterErrorMM)) / max(a.diameterMM, b.diameterMM),
				At:          a.from.Add(a.to).Add(b.from).Add(b.to).Mul(0.25), Located: true,
				Says: fmt.Sprintf("%.3f mm between the axes of %s and %s: %.2f diameters.", p.mm, a.name(), b.name(), p.diameters(w)),
			}
		}
		band := bandOf(asked.Least, asked.Most)
		least := band
		if wall := &s.Frame.Steel.Wall; boreBore.asked(wall) && narrow.mm-(w.lines[narrow.a].diameterMM+w.lines[narrow.b].diameterMM)/2 < wall.BoreBoreMM.Value {
			least.HasLeast = false
		}
		if narrow == wide {
			if least.HasLeast || least.HasMost {
				return []Reading{reading(narrow, least)}
			}
			return nil
		}
		var list []Reading
		if least.HasLeast {
			r := reading(narrow, AtLeast(least.Least))
			r.Of = "narrowest"
			list = append(list, r)
		}
		if band.HasMost {
			r := reading(wide, AtMost(band.Most))
			r.Of = "widest"
			list = append(list, r)
		}
		return list
	},
}

// pitch is the distance of the axes of two lines that run beside each other.
type pitch struct {
	a, b int // a < b
	mm   float64
}

func (p pitch) diameters(w *water) float64 {
	return p.mm / max(w.lines[p.a].diameterMM, w.lines[p.b].diameterMM)
}

// pitches are the narrowest and the widest of the pitches from each line to its neighbour.
func (w *water) pitches() (narrow, wide pitch, ok bool) {
	for i := range w.lines {
		best := pitch{mm: math.Inf(1)}
		for j := range w.lines {
			if p, beside := w.pitch(i, j); beside && p.mm < best.mm {
				best = p
			}
		}
		if math.IsInf(best.mm, 1) {
			continue
		}
		if !ok || best.diameters(w) < narrow.diameters(w) {
			narrow = best
		}
		if !ok || best.diameters(w) > wide.diameters(w) {
			wide = best
		}
		ok = true
	}
	return narrow, wide, ok
}

// pitch is that of two lines, false where they do not run beside each other.
func (w *water) pitch(i, j int) (pitch, bool) {
	a, b := &w.lines[i], &w.lines[j]
	d := max(a.diameterMM, b.diameterMM)
	along := a.along()
	if i == j || abs(along.Dot(b.along())) < math.Cos(demandedAngle) {
		return pitch{}, false
	}
	length := a.to.Sub(a.from).Dot(along)
	p, q := b.from.Sub(a.from).Dot(along), b.to.Sub(a.from).Dot(along)
	if min(length, max(p, q))-max(0, min(p, q)) <= d {
		return pitch{}, false
	}
	// On one axis they are two drillings from opposite ends, not neighbours.
	mm := geom.SegmentDistance(a.from, a.to, b.from, b.to)
	if mm < d/2 {
		return pitch{}, false
	}
	return pitch{min(i, j), max(i, j), mm}, true
}
