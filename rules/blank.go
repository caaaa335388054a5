package rules

import (
	"pocketgauge/rules/quantity"
)

type Blank struct {
	// Model is the model file as written; ModelPath the same from where the program runs. Unset
	// when the blank is the outline with a height.
	Model     Text
	ModelPath string
	// HeightMM is the whole height of the block, from its underside at z = -SeatStockMM.
	HeightMM Limit
	// SideStockMM is what the blank has outside the outline; SeatStockMM what it has below the seat.
	SideStockMM Limit
	SeatStockMM Limit
	// Changed is the most share of the wall of a slot or bore of the blank's model that the insert may
	// have otherwise.
	Changed Limit
}

func (b *Blank) keys() []key {
	return []key{
		{name: "model", form: textForm{into: &b.Model, inform: "path"}, rivals: []string{"height"},
			doc: `Path of a model of the blank, from this file's folder, in pocket coordinates: for blanks that come with slots and holes.`},
		limit("height", &b.HeightMM, quantity.Length, `Whole height of the blank, as it lies on the bench: what it has below the seat counts.`).positive().insteadOf("model"),
		limit("side_stock", &b.SideStockMM, quantity.Length, `What the blank has outside the pocket's outline, per side, to be cut or
			ground off.`).orDefault("0 mm", "blanks come ground to the pocket"),
		limit("seat_stock", &b.SeatStockMM, quantity.Length, `What the blank has below the seat, to be ground off.`).
			orDefault("0 mm", "blanks come ground to the pocket"),
		limit("changed", &b.Changed, quantity.Share, `Most share of the wall of each slot and bore of the blank's model that the insert may
			fill or cut away.`).atMost(1).orDefault("3 %", "what an edge break or a crossing drill takes; "+memory),
	}
}

// Set tells whether anything is known of the blank.
func (b *Blank) Set() bool { return b.Model.Set || b.HeightMM.Set }

// BlankOutline is the blank seen from above: the pocket's outline, grown by the side stock. A
// rounded corner of radius r becomes one of r + stock, a sharp one stays sharp. It stands from
// -SeatStockMM to HeightMM - SeatStockMM. False when the blank is a model or has no height.
func (f *Frame) BlankOutline() (Outline, bool) {
	if !f.Blank.HeightMM.Set || len(f.Pocket.Outline.segments) == 0 {
		return Outline{}, false
	}
	return f.OutlineOffset(f.Blank.SideStockMM.Value)
}

// OutlineOffset is the pocket's outline grown by a length, or shrunk by a negative one. A rounded
// corner of radius r becomes one of r + by, a sharp one stays sharp. False where the outline is not of
// a kind that can be offset, or nothing is left of it.
func (f *Frame) OutlineOffset(by float64) (Outline, bool) {
	o, stock := f.Pocket.Outline, by
	if stock == 0 {
		return o, true
	}
	grown := func(l Limit, by float64) Limit { l.Value += by; return l }
	out := Outline{Origin: o.Origin}
	switch {
	case o.Rectangle != nil:
		r := *o.Rectangle
		r.WidthMM, r.LengthMM = grown(r.WidthMM, 2*stock), grown(r.LengthMM, 2*stock)
		if r.CornerRadiusMM.Value > 0 {
			r.CornerRadiusMM = grown(r.CornerRadiusMM, max(stock, -r.CornerRadiusMM.Value))
		}
		out.Rectangle = &r
	case o.Circle != nil:
		c := Circle{DiameterMM: grown(o.Circle.DiameterMM, 2*stock)}
		for _, s := range o.Circle.Flats {
			s.DistanceMM = grown(s.DistanceMM, stock)
			c.Flats = append(c.Flats, s)
		}
		out.Circle = &c
	default:
		return Outline{}, false // refused where the file was read
	}
	if err := out.build(); err != nil {
		return Outline{}, false
	}
	return out, true
}
