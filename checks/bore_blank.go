package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/roles"
	"pocketgauge/mesh/tol"
)

var boreBlank = Check{
	ID:    "bore.blank",
	Title: "The insert keeps the slots and bores that its blank comes with",
	Doc: `A blank is bought with its clamp slots, dowels and threads. A model that lacks one of them shows steel where there is none, and whatever is planned there
goes into a hole; one that cuts into it spoils it. Measured: over the wall of each slot and bore of the blank's model (the wall alone of a bore: another
drill may go on from its end), at samples half the measuring pitch apart and a twentieth of a millimetre to either side, whether the insert has metal where the blank has
none, or none where it has some; of a bore it is told whether it is missing, stands elsewhere, has another diameter, is too shallow or is cut into. The value is the share of the wall that is not as the blank has it. Limit: blank.changed, 3 % where the rules state none (common
practice, no source: what an edge break or a crossing drill takes). Slots that the rules want open are zone.open's, holes that they ask for bore.present's.`,
	Unit:       Percent,
	Keys:       []string{"blank.model", "blank.changed"},
	Mend:       `Draw the blank's slots and bores into the model as the blank has them, and keep the detail off them.`,
	NeedsSolid: true,
	Asks:       func(s *Subject) bool { return s.BlankModel != nil && s.Frame.Blank.Changed.Set },
	Measure: func(s *Subject) []Reading {
		var list []Reading
		features := blankFeaturesFact.of(s)
		for i := range features {
			if f := &features[i]; len(f.triangles) > 0 && !s.toldElsewhere(f) {
				list = append(list, s.compareFeature(f))
			}
		}
		return list
	},
}

// besideMM is how far to either side of a wall the insert is asked: ten times what is flush, a
// fiftieth of the smallest hole.
const besideMM = 10 * tol.FlushMM

func (s *Subject) compareFeature(f *blankFeature) Reading {
	m, tree := s.BlankModel.Mesh, s.Tree()
	pitch := s.PitchMM() / 2
	total, filled, cut := 0.0, 0.0, 0.0
	var filledAt, cutAt r3.Vector
	for _, t := range f.triangles {
		v := m.AreaVector(int(t))
		area := v.Norm()
		if area == 0 {
			continue
		}
		n := v.Mul(besideMM / area)
		a, b, c := m.Corners(int(t))
		longest := math.Sqrt(max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2()))
		const most = 64
		k := int(min(max(math.Ceil(longest/pitch), 1), most))
		e, g := b.Sub(a).Mul(1/float64(k)), c.Sub(a).Mul(1/float64(k))
		part := area / float64(k*k)
		ask := func(i, j float64) {
			p := a.Add(e.Mul(i)).Add(g.Mul(j))
			total += part
			switch {
			case tree.Inside(p.Add(n)):
				if filled == 0 {
					filledAt = p
				}
				filled += part
			case !tree.Inside(p.Sub(n)):
				if cut == 0 {
					cutAt = p
				}
				cut += part
			}
		}
		for i := range k {
			for j := range k - i {
				ask(float64(i)+1.0/3, float64(j)+1.0/3)
				if i+j+1 < k {
					ask(float64(i)+2.0/3, float64(j)+2.0/3)
				}
			}
		}
	}
	r := Reading{Of: f.String(), Measured: true, Value: 100 * (filled + cut) / total, Limit: AtMost(100 * s.Frame.Blank.Changed.Value)}
	// The border of what differs passes somewhere between samples.
	r.Uncertainty = 100 * min(1, (4*math.Sqrt(filled+cut)*pitch+pitch*pitch)/total)
	r.Uncertainty = min(r.Uncertainty, max(r.Value, 100*pitch*pitch/total))
	r.At, r.Located = f.box.Center(), true
	became := ""
	if f.bore != nil && filled+cut > 0 {
		became = s.becameOf(f.bore)
	}
	switch {
	case became != "":
		r.At = filledAt
		if filled == 0 {
			r.At = cutAt
		}
		r.Says = fmt.Sprintf("The blank's %v %s: the insert differs along %.0f %% of its wall.", f, became, 100*(filled+cut)/total)
		r.Mend = "Draw it into the model as the blank has it."
	case filled > cut:
		r.At = filledAt
		r.Says = fmt.Sprintf("The insert has metal along %.0f %% of the wall of the blank's %v, where the blank has none.", 100*filled/total, f)
		r.Mend = "Draw it into the model as the blank has it."
	case cut > 0:
		r.At = cutAt
		r.Says = fmt.Sprintf("%.0f %% of the wall of the blank's %v is cut away.", 100*cut/total, f)
		r.Mend = "Keep the detail and the bores off it."
	default:
		r.Says = fmt.Sprintf("The blank's %v is as the blank has it.", f)
	}
	return r
}

// becameOf says in words what has become of a bore of the blank, by the insert's bore nearest to it; "" where it is
// as it was, and something else cuts into it.
func (s *Subject) becameOf(b *roles.Bore) string {
	bores := s.Surfaces().Bores
	var near *Bore
	least := math.Inf(1)
	off := func(o *Bore) float64 {
		d := o.Mouth.Sub(b.Mouth)
		return d.Sub(b.Into.Mul(d.Dot(b.Into))).Norm()
	}
	for i := range bores {
		o := &bores[i]
		differs := abs(o.DiameterMM - b.DiameterMM)
		if abs(o.Into.Dot(b.Into)) < math.Cos(demandedAngle) || off(o) > strayDiameters*b.DiameterMM || differs > otherDiameterShare*b.DiameterMM {
			continue
		}
		if cost := off(o) + differs; cost < least {
			near, least = o, cost
		}
	}
	known := 2*tol.FlushMM + s.SurfaceMM() + b.DiameterErrorMM
	switch {
	case near == nil:
		return "is missing"
	case off(near) > known+near.DiameterErrorMM:
		return fmt.Sprintf("stands %.3f mm beside its place", off(near))
	case abs(near.DiameterMM-b.DiameterMM) > known+near.DiameterErrorMM:
		return fmt.Sprintf("is %.3f mm wide", near.DiameterMM)
	case !near.Through && near.DepthMM < b.DepthMM-known:
		return fmt.Sprintf("is %.2f mm deep, not %.2f", near.DepthMM, b.DepthMM)
	}
	return ""
}

// toldElsewhere reports whether the rules themselves ask for a feature, so that a check of theirs
// tells what has become of it.
func (s *Subject) toldElsewhere(f *blankFeature) bool {
	for _, b := range openPlaces(s) {
		if b.Contains(f.box.Min) && b.Contains(f.box.Max) {
			return true
		}
	}
	return f.bore != nil && demanded(s, f.bore) != nil
}
