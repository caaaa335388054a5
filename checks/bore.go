package checks

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/roles"
	"pocketgauge/rules"
)

// Purpose is what a bore is for.
type Purpose uint8

// The purposes of bores. OtherBore is a hole of no purpose that its form or the rules tell.
const (
	OtherBore Purpose = iota
	Waterline
	EjectorBore
	ScrewBore
	DowelBore
	// FrameBore lies in a place that the frame wants open: something of the frame goes in there.
	FrameBore
)

func (p Purpose) String() string {
	return [...]string{"bore", "waterline", "ejector bore", "screw hole", "dowel hole", "hole for the frame"}[p]
}

// Bore is a drilled hole of an insert with what it is for.
type Bore struct {
	*roles.Bore
	Purpose Purpose
	// Demanded is the hole of the rules that this one is, nil for none.
	Demanded *rules.Bore
}

// Draw is the way the part leaves the insert, of length 1.
func (s *Subject) Draw() r3.Vector {
	if d := s.Frame.Draw.Direction; d.Set {
		return d.At.Normalize()
	}
	return r3.Vector{Z: 1}
}

// purposes tells what each bore is for: what the rules say of a hole at its place; else a bore
// across the draw of a waterline's diameter, or that meets one, is water; one along the draw that goes
// through the moving half to detail or parting face is an ejector's (or a core pin's: the form is
// the same); a blind one from the seat is a screw's.
func purposes(s *Subject, list []roles.Bore, surfaces *Surfaces) []Bore {
	draw := s.Draw()
	open := openPlaces(s)
	out := make([]Bore, len(list))
	for i := range list {
		b := &list[i]
		out[i] = Bore{Bore: b, Demanded: demanded(s, b)}
		switch run := b.Runs(draw); {
		case out[i].Demanded != nil:
			out[i].Purpose = purposeOfKind(out[i].Demanded.Kind.Value)
		case within(open, b):
			out[i].Purpose = FrameBore
		case run == roles.Across && isWaterline(s, b):
			out[i].Purpose = Waterline
		case run == roles.Along && b.Through && s.Half != rules.Fixed:
			out[i].Purpose = EjectorBore
		case run == roles.Along && !b.Through && b.Into.Dot(draw) > 0:
			out[i].Purpose = ScrewBore
		}
	}
	// Drillings that join waterlines are thinner than they and carry the same water.
	for again := true; again; {
		again = false
		for i := range out {
			if out[i].Purpose != OtherBore || out[i].Runs(draw) != roles.Across {
				continue
			}
			for j := range out {
				if out[j].Purpose == Waterline && meet(out[i].Bore, out[j].Bore) {
					out[i].Purpose, again = Waterline, true
					break
				}
			}
		}
	}
	return out
}

// within reports whether a bore lies in one of the boxes.
func within(boxes []geom.Box, b *roles.Bore) bool {
	end := b.Mouth.Add(b.Into.Mul(b.DepthMM))
	for _, box := range boxes {
		if box.Contains(b.Mouth) && box.Contains(end) {
			return true
		}
	}
	return false
}

func purposeOfKind(kind string) Purpose {
	switch kind {
	case "waterline", "port":
		return Waterline
	case "ejector":
		return EjectorBore
	case "thread":
		return ScrewBore
	case "dowel":
		return DowelBore
	}
	return OtherBore
}

func isWaterline(s *Subject, b *roles.Bore) bool {
	c := &s.Frame.Cooling
	for _, d := range c.WaterlineDiametersMM.Values {
		if abs(b.DiameterMM-d) <= c.DiameterToleranceMM.Value+b.DiameterErrorMM {
			return true
		}
	}
	return false
}

// demandedAngle is how far from the direction asked for a bore may run and still be taken for the
// hole that was asked for: five degrees, as for mesh/roles.
const demandedAngle = math.Pi / 36

// demanded is the hole of the rules at whose place b stands: parallel to it, its axis within
// that hole's radius of it.
func demanded(s *Subject, b *roles.Bore) *rules.Bore {
	for i := range s.Frame.Bores {
		d := &s.Frame.Bores[i]
		if !d.Half.HoldsFor(s.Half) || abs(b.Into.Dot(d.Into.At)) < math.Cos(demandedAngle) {
			continue
		}
		off := d.At.At.Sub(b.Mouth)
		off = off.Sub(b.Into.Mul(off.Dot(b.Into)))
		along := d.At.At.Sub(b.Mouth).Dot(b.Into)
		if off.Norm() <= d.DiameterMM.Most.Value/2 && along > -b.DiameterMM && along < b.DepthMM+b.DiameterMM {
			return d
		}
	}
	return nil
}

// meet reports whether two bores run into each other: their axes, as pieces from the mouth to the
// end, come nearer than the sum of their radii.
func meet(a, b *roles.Bore) bool {
	return geom.SegmentDistance(a.Mouth, a.Mouth.Add(a.Into.Mul(a.DepthMM)), b.Mouth, b.Mouth.Add(b.Into.Mul(b.DepthMM))) < (a.DiameterMM+b.DiameterMM)/2
}

func clamp01(x float64) float64 { return min(max(x, 0), 1) }
