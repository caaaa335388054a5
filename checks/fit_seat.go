package checks

import (
	"fmt"

	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/tol"
)

var fitSeat = Check{
	ID:    "fit.seat",
	Title: "Enough of the seat carries the insert",
	Doc: `The seat takes the cavity pressure; where nothing bears, the insert bends. Measured: the area of the
insert's downward-facing flat surface at z = 0 (within rounding), as a share of the pocket's floor; the
areas are exact. The place shown is the middle of the widest disc of the floor on which nothing bears,
found on a grid of the pitch it states.
Where the rules state no pocket.seat_bearing half of the floor must bear (common practice, no source).`,
	Unit: Percent,
	Keys: []string{"pocket.seat_bearing"},
	Mend: `Leave more of the seat uncut, or place the model so that its seat is at z = 0.`,
	Measure: func(s *Subject) []Reading {
		r, triangles := s.seatBearing()
		if !r.Measured {
			return nil
		}
		bare := measure.WidestBare(s.Part.Mesh, triangles, s.Pocket, tol.SeatGridShare)
		if bare.RadiusMM > 0 {
			r.At, r.Located = bare.At, true
		}
		r.Says = fmt.Sprintf("%.1f %% of the pocket's floor bears the insert", r.Value)
		if r.Value == 0 {
			r.Says = "Nothing of the insert rests on the seat (z = 0)"
			if low := s.Measures().Bounds.Min.Z; abs(low) > tol.SeatMM {
				r.Says += fmt.Sprintf(": its lowest point is at z = %.3f", low)
			}
		} else if bare.RadiusMM > 0 {
			r.Says += fmt.Sprintf("; the widest bare place is %.1f mm across (grid of %.1f mm)", 2*bare.RadiusMM, bare.PitchMM)
		}
		r.Says += "."
		return []Reading{r}
	},
}

// seatBearing is the share of the pocket's floor that bears, without where it does not, and the triangles of the
// seat; not measured where the rules ask for none.
func (s *Subject) seatBearing() (Reading, []int32) {
	limit := s.Frame.Pocket.SeatBearing
	if !limit.Set {
		return Reading{}, nil
	}
	floor := s.Pocket.AreaMM2()
	bearing := 0.0
	var triangles []int32
	for _, l := range levelsFact.of(s).down {
		if abs(l.ZMM) <= tol.SeatMM+2*s.StorageMM() {
			bearing += l.AreaMM2
			triangles = append(triangles, l.Triangles...)
		}
	}
	// Moving every vertex by the storage error changes the area by at most the seat's
	// perimeter times that; twice the outline's is ample for a seat with holes.
	u := 100 * 2 * s.outlineLengthMM() * s.StorageMM() / floor
	r := Reading{Measured: true, Value: 100 * bearing / floor, Uncertainty: u, Limit: AtLeast(100 * limit.Value)}
	return r, triangles
}

func (s *Subject) outlineLengthMM() float64 {
	sum := 0.0
	for _, p := range s.Pocket.Pieces {
		if p.Arc {
			sum += p.RadiusMM * p.Sweep()
		} else {
			sum += p.End.Sub(p.Start).Norm()
		}
	}
	return sum
}
