package checks

import (
	"math"

	"github.com/golang/geo/r3"
)

// drilling is what one run of a drill leaves: bores of one axis and diameter that others cross
// come out of the surface in pieces.
type drilling struct {
	// first is the piece at whose mouth the drill enters.
	first               *Bore
	diameterMM, errorMM float64
	depthMM             float64
	end                 r3.Vector
}

// sameAxisMM and sameDiameterMM are how far two pieces of one drilling may differ.
const sameAxisMM, sameDiameterMM = 0.1, 0.05

// drillings joins the bores of one axis and diameter. Each step of a bore is a drilling of its
// own, from the mouth down to its end.
func (s *Subject) drillings() []drilling {
	bores := s.Surfaces().Bores
	var out []drilling
	taken := make([]bool, len(bores))
	for i := range bores {
		b := &bores[i]
		if taken[i] {
			continue
		}
		if len(b.Steps) > 1 {
			for _, st := range b.Steps {
				out = append(out, drilling{b, st.DiameterMM, st.DiameterErrorMM, st.ToMM, b.Mouth.Add(b.Into.Mul(st.ToMM))})
			}
			continue
		}
		low, high := 0.0, b.DepthMM
		for j := i + 1; j < len(bores); j++ {
			o := &bores[j]
			if taken[j] || len(o.Steps) > 1 || abs(o.DiameterMM-b.DiameterMM) > sameDiameterMM || abs(o.Into.Dot(b.Into)) < math.Cos(demandedAngle) {
				continue
			}
			off := o.Mouth.Sub(b.Mouth)
			along := off.Dot(b.Into)
			if off.Sub(b.Into.Mul(along)).Norm() > sameAxisMM {
				continue
			}
			end := along + o.DepthMM*o.Into.Dot(b.Into)
			// Apart by no more than what may cross between them.
			if gap := max(min(along, end)-high, low-max(along, end)); gap > 3*b.DiameterMM {
				continue
			}
			taken[j] = true
			low, high = min(low, along, end), max(high, along, end)
		}
		out = append(out, drilling{b, b.DiameterMM, b.DiameterErrorMM, high - low, b.Mouth.Add(b.Into.Mul(high))})
	}
	return out
}
