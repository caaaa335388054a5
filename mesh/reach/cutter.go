package reach

import (
	"fmt"
	"math"
)

// Cutter is a rotating tool with its holder. CornerRadiusMM is 0 for a flat end, half the
// diameter for a ball, between them for a bull nose.
type Cutter struct {
	Name           string
	DiameterMM     float64
	CornerRadiusMM float64
	// StickOutMM is from the tip to the holder's face; 0 leaves the holder out.
	StickOutMM float64
	// HolderDiameterMM is needed with a stick-out.
	HolderDiameterMM float64
}

func (c Cutter) check() error {
	for _, v := range [...]float64{c.DiameterMM, c.CornerRadiusMM, c.StickOutMM, c.HolderDiameterMM} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			return fmt.Errorf("cutter %q: %g is not a size", c.Name, v)
		}
	}
	switch {
	case c.DiameterMM == 0:
		return fmt.Errorf("cutter %q has no diameter", c.Name)
	case 2*c.CornerRadiusMM > c.DiameterMM:
		return fmt.Errorf("cutter %q: corner radius %g is more than half the diameter %g", c.Name, c.CornerRadiusMM, c.DiameterMM)
	case c.StickOutMM > 0 && c.HolderDiameterMM == 0:
		return fmt.Errorf("cutter %q has a stick-out of %g but no holder diameter", c.Name, c.StickOutMM)
	}
	return nil
}

// profileMM is the height of the cutter's end above its tip at distance r from its axis; false
// beyond its outline.
func (c Cutter) profileMM(r float64) (float64, bool) {
	outer := c.DiameterMM / 2
	if r > outer {
		return 0, false
	}
	d := r - (outer - c.CornerRadiusMM)
	if d <= 0 {
		return 0, true
	}
	return c.CornerRadiusMM - math.Sqrt(max(c.CornerRadiusMM*c.CornerRadiusMM-d*d, 0)), true
}

// shape is a round profile on a grid: rise[dy*side+dx] is its height, in quanta, at dx columns
// and dy rows from the axis, for dx up to wide[dy]; -1 there means the row is outside.
type shape struct {
	side int
	rise []int32
	wide []int32
}

// newShape tabulates a profile that is defined up to outer.
func newShape(pitchU, pitchV, quantum, outer float64, profile func(r float64) (float64, bool)) *shape {
	s := &shape{side: int(outer/min(pitchU, pitchV)) + 2}
	s.rise = make([]int32, s.side*s.side)
	s.wide = make([]int32, s.side)
	for dy := range s.side {
		s.wide[dy] = -1
		for dx := range s.side {
			h, in := profile(math.Hypot(float64(dx)*pitchU, float64(dy)*pitchV))
			if !in {
				break
			}
			s.rise[dy*s.side+dx] = int32(math.Round(h / quantum))
			s.wide[dy] = int32(dx)
		}
	}
	return s
}

// CuspMM is the height of the ridges that the rounded end leaves on a flat floor between
// parallel passes a step apart, exactly r - sqrt(r^2 - s^2/4), near s^2/(8r). Passes so far
// apart that the round parts do not meet leave walls and are not a number.
//
// The flat part of a bull nose overlaps the next pass first, so only what of the step is beyond
// it is round.
func (c Cutter) CuspMM(stepMM float64) float64 {
	r := c.CornerRadiusMM
	s := max(stepMM-(c.DiameterMM-2*r), 0)
	if s == 0 {
		return 0
	}
	return r - math.Sqrt(r*r-s*s/4)
}
