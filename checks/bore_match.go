package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/roles"
	"pocketgauge/rules"
)

// demandedBore is a hole that the rules ask for, with the bore of the insert that it is taken to be.
type demandedBore struct {
	*rules.Bore
	// is is nil where the insert has none.
	is *Bore
	// offMM is how far its axis stands from where it should, at the mouth asked for.
	offMM float64
	// step is the one whose diameter is nearest to what is asked.
	step roles.Step
}

var demandedBoresFact = fact[[]demandedBore]{findDemandedBores}

const (
	// strayDiameters is how many diameters from its place a bore may stand and still be taken for the
	// one asked for, moved: farther off it is another bore, and the one asked for is missing.
	strayDiameters = 1.5
	// otherDiameterShare is by how much of it the diameter may differ likewise: an M8 for an M6.
	otherDiameterShare = 0.5
)

// findDemandedBores pairs the holes that the rules ask of this half with the insert's bores, the
// nearest pairs first, each bore once.
func findDemandedBores(s *Subject) []demandedBore {
	var asked []demandedBore
	for i := range s.Frame.Bores {
		if d := &s.Frame.Bores[i]; d.Half.HoldsFor(s.Half) {
			asked = append(asked, demandedBore{Bore: d})
		}
	}
	if len(asked) == 0 {
		return nil
	}
	bores := s.Surfaces().Bores
	type pair struct {
		asked, bore int
		off, cost   float64
		step        roles.Step
	}
	var pairs []pair
	for i := range asked {
		d := asked[i].Bore
		want := middleOfRange(d.DiameterMM)
		for j := range bores {
			b := &bores[j]
			cos := b.Into.Dot(d.Into.At)
			if b.Through {
				cos = abs(cos)
			}
			if cos < math.Cos(demandedAngle) {
				continue
			}
			step := nearestStep(b.Bore, want)
			at := d.At.At.Sub(b.Mouth)
			along := at.Dot(b.Into)
			off := at.Sub(b.Into.Mul(along)).Norm()
			// The mouth asked for lies at the bore's own, within what an edge break or a slot takes off.
			away := max(-along, along-b.DepthMM, 0)
			if !b.Through {
				away = abs(along)
			}
			differs := abs(step.DiameterMM - want)
			if off > strayDiameters*want || differs > otherDiameterShare*want || away > want+b.DepthMM/2 {
				continue
			}
			pairs = append(pairs, pair{i, j, off, off + differs, step})
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.cost, b.cost) })
	used := make([]bool, len(bores))
	for _, p := range pairs {
		if d := &asked[p.asked]; d.is == nil && !used[p.bore] {
			used[p.bore] = true
			d.is, d.offMM, d.step = &bores[p.bore], p.off, p.step
		}
	}
	return asked
}

// asksBores reports whether the rules ask for a hole in this half.
func (s *Subject) asksBores() bool {
	return slices.ContainsFunc(s.Frame.Bores, func(b rules.Bore) bool { return b.Half.HoldsFor(s.Half) })
}

func middleOfRange(r rules.Range) float64 {
	switch {
	case !r.Least.Set:
		return r.Most.Value
	case !r.Most.Set:
		return r.Least.Value
	}
	return (r.Least.Value + r.Most.Value) / 2
}

// nearestStep is the step of a bore whose diameter is nearest to what is wanted.
func nearestStep(b *roles.Bore, wanted float64) roles.Step {
	if len(b.Steps) == 0 {
		return roles.Step{DiameterMM: b.DiameterMM, DiameterErrorMM: b.DiameterErrorMM, ToMM: b.DepthMM}
	}
	return slices.MinFunc(b.Steps, func(x, y roles.Step) int {
		return cmp.Compare(abs(x.DiameterMM-wanted), abs(y.DiameterMM-wanted))
	})
}

// ofEachDemanded calls read for each hole asked for that the insert has. One that is missing is
// bore.present's to tell, and no other's.
func (s *Subject) ofEachDemanded(read func(d *demandedBore) (Reading, bool)) []Reading {
	var list []Reading
	for i := range demandedBoresFact.of(s) {
		d := &demandedBoresFact.of(s)[i]
		if d.is == nil {
			continue
		}
		if r, ok := read(d); ok {
			r.Of = d.Name.Value
			if !r.Located {
				r.At, r.Located = d.is.Mouth, true
			}
			list = append(list, r)
		}
	}
	return list
}

func (d *demandedBore) String() string {
	size := fmt.Sprintf("%.2f", middleOfRange(d.DiameterMM))
	return fmt.Sprintf("the %s %q of %s mm at %s", d.Kind.Value, d.Name.Value, size, placeText(d.At.At))
}

func placeText(p r3.Vector) string { return fmt.Sprintf("(%.4g, %.4g, %.4g)", p.X, p.Y, p.Z) }
