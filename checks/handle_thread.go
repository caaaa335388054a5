package checks

import (
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/roles"
	"pocketgauge/mesh/tol"
)

var handleThread = Check{
	ID:    "handle.thread",
	Title: "An insert too heavy for a hand has a thread to lift it by",
	Doc: `What weighs more than a person may lift needs an eyebolt, and so a thread. Measured: the mass of the
insert; where it is more than the rules let be lifted by hand, a bore is looked for that the rules call a
thread, or one of the core diameter of the lifting thread that does not open on the seat. The default limit,
23 kg, is the load constant of the revised NIOSH lifting equation (DHHS (NIOSH) Publication 94-110): an upper
reference under ideal conditions, not a safe load. A thread that is found says nothing of its strength or
depth; lifting follows the shop's risk assessment, the hoist's manual, local codes and licensed practice.`,
	Unit: KG,
	Keys: []string{"handling.lifting_thread_above", "handling.lifting_thread", "steels.density"},
	Mend: `Add a thread for an eyebolt over the centre of gravity.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Handling.LiftingThreadAboveKG
		mass, ok := s.massKG()
		if !limit.Set || !ok {
			return nil
		}
		if !s.IsSolid() {
			return []Reading{NotMeasured("", notSolid)}
		}
		r := Reading{Measured: true, Value: mass.value, Uncertainty: mass.within, Limit: AtMost(limit.Value)}
		r.Says = fmt.Sprintf("The insert weighs %.2f kg; up to %g kg it needs no thread to lift it by.", mass.value, limit.Value)
		if mass.value+mass.within <= limit.Value {
			return []Reading{r}
		}
		if b := s.liftingBore(); b != nil {
			r.Limit = Band{}
			r.At, r.Located = b.Mouth, true
			r.Says = fmt.Sprintf("The insert weighs %.2f kg and has a thread to lift it by.", mass.value)
			return []Reading{r}
		}
		r.Says = fmt.Sprintf("The insert weighs %.2f kg and has no thread to lift it by.", mass.value)
		return []Reading{r}
	},
}

// coreDiametersMM are the drills for metric coarse threads (ISO 2306, from memory).
var coreDiametersMM = map[string]float64{"M6": 5, "M8": 6.8, "M10": 8.5, "M12": 10.2, "M16": 14, "M20": 17.5, "M24": 21, "M30": 26.5}

// liftingBore is the bore for the lifting thread that lies nearest to the centre of gravity; nil
// for none.
func (s *Subject) liftingBore() *roles.Bore {
	core := coreDiametersMM[strings.ToUpper(strings.TrimSpace(s.Frame.Handling.LiftingThread.Value))]
	var best *roles.Bore
	nearest := math.Inf(1)
	list := s.Surfaces().Bores
	for i := range list {
		b := &list[i]
		onSeat := !b.Through && abs(b.Mouth.Z) <= tol.SeatMM+s.SurfaceMM() && b.Into.Z > 0
		fits := b.Demanded != nil && b.Demanded.Kind.Value == "thread"
		for name, d := range coreDiametersMM {
			if core == 0 && name != "M6" || core == d {
				fits = fits || !b.Through && abs(b.DiameterMM-d) <= tol.CoreDrillMM+b.DiameterErrorMM
			}
		}
		if !fits || onSeat {
			continue
		}
		if d := s.tilt(b); d < nearest {
			best, nearest = b.Bore, d
		}
	}
	return best
}

// tilt is how far the centre of gravity lies from the axis of a bore.
func (s *Subject) tilt(b *Bore) float64 { return axisDistance(b.Bore, s.Measures().CentroidMM) }

func axisDistance(b *roles.Bore, p r3.Vector) float64 {
	d := p.Sub(b.Mouth)
	return d.Sub(b.Into.Mul(d.Dot(b.Into))).Norm()
}
