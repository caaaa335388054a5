package checks

import (
	"errors"
	"fmt"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/cavity"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// Pair is the two halves of an insert in the closed position, in the pocket coordinates of the
// fixed half.
type Pair struct {
	// Fixed and Moving are the halves, each in its own pocket, unit and placement mended.
	Fixed, Moving *Subject
	// Closing carries the moving half's pocket coordinates to the fixed half's.
	Closing geom.Motion
	Room    *cavity.Room
	// GapMM is the widest gap that holds the melt back, GapFrom where that is from.
	GapMM   float64
	GapFrom string
	// ErrorMM bounds how far the distance between two points of the halves is off.
	ErrorMM float64
}

// Pair is the closed pair that s is a half of; nil without an error where no other half is known.
//
// Each half is drawn in its own pocket, seat down. The moving half is turned by half a turn about
// pair.turned_about of the fixed half's rules and lowered until the two parting faces touch: the
// press closes on the inserts, whatever they stand proud of their frames by (that is
// fit.height's to judge). The parting faces are those of fit.height.
func (s *Subject) Pair() (*Pair, error) {
	f := pairFact.of(s)
	return f.value, f.err
}

var pairFact = fact[found[*Pair]]{func(s *Subject) found[*Pair] { return foundOf(s.closePair()) }}

func (s *Subject) closePair() (*Pair, error) {
	switch {
	case s.PartnerError != nil:
		return nil, fmt.Errorf("the other half cannot be read: %w", s.PartnerError)
	case s.Partner == nil:
		return nil, nil
	}
	if !s.IsSolid() {
		return nil, errors.New("the model is not a closed solid")
	}
	other := Righted(s.Partner)
	if !other.IsSolid() {
		return nil, fmt.Errorf("the other half, %s, is not a closed solid", other.Name)
	}
	switch {
	case s.Half == rules.Fixed && other.Half == rules.Moving:
		f := closedFact.of(s)
		return f.value, f.err
	case s.Half == rules.Moving && other.Half == rules.Fixed:
		// Where both halves are judged they are closed once, whichever asks first.
		if other.Partner != nil && Righted(other.Partner) == s {
			f := closedFact.of(other)
			return f.value, f.err
		}
		return closed(other, s)
	}
	return nil, errors.New("one half must be stated as fixed and the other as moving")
}

// closedFact is a fixed half closed with its partner, where both are solids.
var closedFact = fact[found[*Pair]]{func(s *Subject) found[*Pair] { return foundOf(closed(s, Righted(s.Partner))) }}

func closed(fixed, moving *Subject) (*Pair, error) {
	p := &Pair{Fixed: fixed, Moving: moving}
	below, ok1 := p.Fixed.partingFace()
	above, ok2 := p.Moving.partingFace()
	if !ok1 || !ok2 {
		return nil, errors.New("a half has no parting face to close on")
	}
	p.Closing = geom.Motion{
		Rotation: [3]r3.Vector{{X: -1}, {Y: 1}, {Z: -1}}, Translation: r3.Vector{Z: below.ZMM + above.ZMM}, Scale: 1,
	}
	if p.Fixed.Frame.Pair.TurnedAbout.Value == "x" {
		p.Closing.Rotation = [3]r3.Vector{{X: 1}, {Y: -1}, {Z: -1}}
	}
	p.ErrorMM = p.Fixed.SurfaceMM() + p.Moving.SurfaceMM()
	p.GapMM, p.GapFrom = p.Fixed.Frame.Pair.FlashGapMM.Value, "pair.flash_gap"
	if r := p.Resin(); r != nil && r.VentDepthMM.Set {
		p.GapMM, p.GapFrom = r.VentDepthMM.Value, "the vent depth of "+r.Name.Value
	}
	room, err := cavity.Between(p.Fixed.Part.Mesh, p.Moving.Part.Mesh.Moved(p.Closing), cavity.Options{GapMM: p.GapMM, FlushMM: tol.FlushMM})
	if err != nil {
		return nil, err
	}
	p.Room = room
	return p, nil
}

// Resin is what the pair moulds; nil where nobody says.
func (p *Pair) Resin() *rules.Resin {
	if p.Fixed.Resin != nil {
		return p.Fixed.Resin
	}
	return p.Moving.Resin
}

// Parts are the cavities, Melt the area seen along the draw and the volume of all closed room,
// runners included.
func (p *Pair) Parts() []cavity.Solid {
	var parts []cavity.Solid
	for _, s := range p.Room.Solids {
		if s.Kind == cavity.Part {
			parts = append(parts, s)
		}
	}
	return parts
}

// quantity is a number with the bound on its error.
type quantity struct{ value, within float64 }

// VolumeMM3 is that of all closed room, runners included, without the sprue. What the surfaces are
// off by moves it by that much over the faces of the room, which are at least twice its area.
func (p *Pair) volume() (v quantity) {
	for _, s := range p.Room.Solids {
		v.value += s.VolumeMM3
		v.within += s.VolumeErrorMM3 + 2*s.AreaMM2*p.ErrorMM
	}
	return v
}

// area is that of all closed room, seen along the draw.
func (p *Pair) area() (a quantity) {
	for _, s := range p.Room.Solids {
		a.value += s.AreaMM2
		a.within += s.AreaErrorMM2
	}
	return a
}

// heightMM is how high the highest part is along the draw.
func (p *Pair) heightMM() float64 {
	h := 0.0
	for _, s := range p.Parts() {
		h = max(h, s.Box.Size().Z)
	}
	return h
}

// ofPair takes readings of the closed pair. A pair is judged once, with its fixed half; the
// moving half says nothing of it.
func ofPair(s *Subject, measure func(p *Pair) []Reading) []Reading {
	if s.Half == rules.Moving {
		return nil
	}
	p, err := s.Pair()
	if p == nil || err != nil {
		return nil // pair.clash says that there was no measuring
	}
	return measure(p)
}

// depthOf is how thick the metal in the middle of an overlap is, from the face of the one half to
// that of the other.
func (p *Pair) depthOf(at r3.Vector) float64 {
	reach := p.Fixed.Part.Mesh.Bounds().Diagonal()
	a, ok1 := p.Fixed.Tree().Nearest(at, reach)
	b, ok2 := p.Moving.Tree().Nearest(p.Closing.Inverse().Point(at), reach)
	if !ok1 || !ok2 {
		return 0
	}
	return a.Distance + b.Distance
}
