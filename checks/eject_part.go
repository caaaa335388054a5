package checks

import (
	"fmt"
	"math"

	"pocketgauge/mesh/cavity"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

var ejectPart = Check{
	ID:    "eject.part",
	Title: "Every ejector pin presses on the part",
	Doc: `A pin that comes out where the other half shuts off pushes nothing. Measured: with the halves closed,
the share of each pin's end over which there is room of a part or a runner; counted are the pins with less
than a twentieth. Needs the other half; judged with the half that has the pins.
The limit is none: a pin that pushes nothing is a mistake.`,
	Unit: Count,
	Mend: `Move the pin to where the part is.`,
	Measure: func(s *Subject) []Reading {
		p, err := s.Pair()
		if p == nil || err != nil || len(p.Room.Solids) == 0 || len(s.Pins()) == 0 || s.Half != rules.Moving {
			return nil
		}
		r := Reading{Measured: true, Limit: AtMost(0)}
		pins := s.Pins()
		for i := range pins {
			if p.onPart(&pins[i]) >= tol.PinOnPartShare {
				continue
			}
			r.Value++
			if !r.Located {
				r.At, r.Located = pins[i].Top, true
			}
		}
		r.Says = fmt.Sprintf("All %d pins press on the part or its runner.", len(pins))
		if r.Value > 0 {
			r.Says = fmt.Sprintf("%.0f of %d pins come out where the other half shuts off, and press on no part.", r.Value, len(pins))
		}
		return []Reading{r}
	},
}

// onPart is the share of a pin's end over which there is room, at places spread evenly over it
// (Vogel, A better way to construct the sunflower head, 1979).
func (p *Pair) onPart(pin *Pin) float64 {
	const places = 64
	golden := math.Pi * (3 - math.Sqrt(5))
	on := 0
	for n := range places {
		radius := pin.DiameterMM / 2 * math.Sqrt((float64(n)+0.5)/places)
		s, c := math.Sincos(float64(n) * golden)
		at := pin.Top
		at.X, at.Y = at.X+radius*c, at.Y+radius*s
		at = p.Closing.Point(at)
		if k, _ := p.Room.Thickness(at.X, at.Y); k >= 0 && (p.Room.Solids[k].Kind == cavity.Part || p.Room.Solids[k].Kind == cavity.Runner) {
			on++
		}
	}
	return float64(on) / places
}
