package checks

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/rules"
)

// Pin is a bore for an ejector pin, seen from the detail.
type Pin struct {
	*Bore
	// Top is where its axis comes out at the detail, DiameterMM that of the step there.
	Top                         r3.Vector
	DiameterMM, DiameterErrorMM float64
	// BearingMM is how far down from there that diameter reaches.
	BearingMM float64
}

// Plan is the place of the axis seen from above.
func (p *Pin) Plan() r2.Point { return r2.Point{X: p.Top.X, Y: p.Top.Y} }

// Pins are the ejector bores, in the order of the bores: along the draw, open at detail or parting
// face. A core pin's bore has the same form and counts as one.
func (s *Subject) Pins() []Pin { return pinsFact.of(s) }

var pinsFact = fact[[]Pin]{func(s *Subject) []Pin {
	if s.Half == rules.Fixed {
		return nil
	}
	draw := s.Draw()
	var pins []Pin
	list := s.Surfaces().Bores
	for i := range list {
		b := &list[i]
		if b.Purpose != EjectorBore || len(b.Steps) == 0 {
			continue
		}
		p := Pin{Bore: b, Top: b.Mouth.Add(b.Into.Mul(b.DepthMM))}
		from, step := len(b.Steps)-1, -1
		if b.Into.Dot(draw) < 0 {
			p.Top, from, step = b.Mouth, 0, 1
		}
		first := b.Steps[from]
		p.DiameterMM, p.DiameterErrorMM = first.DiameterMM, first.DiameterErrorMM
		// Steps of one diameter, parted by what crosses the bore, guide the pin together.
		for k := from; k >= 0 && k < len(b.Steps); k += step {
			t := b.Steps[k]
			if math.Abs(t.DiameterMM-first.DiameterMM) > t.DiameterErrorMM+first.DiameterErrorMM+2*s.SurfaceMM() {
				break
			}
			p.BearingMM += t.ToMM - t.FromMM
		}
		pins = append(pins, p)
	}
	return pins
}}

// worstPin takes one reading over all pins: measure gives each pin's value, and the one nearest to
// breaking the limit is told. better is set where more is better.
func worstPin(s *Subject, limit Band, more bool, measure func(p *Pin) (value, within float64)) (Reading, *Pin) {
	pins := s.Pins()
	var worst *Pin
	r := Reading{Measured: true, Limit: limit}
	for i := range pins {
		v, within := measure(&pins[i])
		if worst == nil || more && v < r.Value || !more && v > r.Value {
			worst = &pins[i]
			r.Value, r.Uncertainty, r.At, r.Located = v, within, pins[i].Top, true
		}
	}
	return r, worst
}

// placeError is how far the wall of a pin's bore may lie from where it is taken to.
func (s *Subject) placeError(p *Pin) float64 { return p.DiameterErrorMM/2 + s.SurfaceMM() }
