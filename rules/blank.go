package rules

import (
	"pocketgauge/rules/quantity"
)

type Blank struct {
	// Model is the model file as written; ModelPath the same from where the program runs. Unset
	// when the blank is the outline with a height.
	Model     Text
	ModelPath string
	HeightMM  Limit
	// SideStockMM is what the blank has outside the outline; SeatStockMM what it has below the seat.
	SideStockMM Limit
	SeatStockMM Limit
}

func (b *Blank) keys() []key {
	return []key{
		{name: "model", form: textForm{into: &b.Model, inform: "path"}, rivals: []string{"height"},
			doc: `Path of a model of the blank, from this file's folder, in pocket coordinates: for blanks that come with slots and holes.`},
		limit("height", &b.HeightMM, quantity.Length, `Height of the blank, from its underside up.`).positive().insteadOf("model"),
		limit("side_stock", &b.SideStockMM, quantity.Length, `What the blank has outside the pocket's outline, per side, to be cut or
			ground off.`).orDefault("0 mm", "blanks come ground to the pocket"),
		limit("seat_stock", &b.SeatStockMM, quantity.Length, `What the blank has below the seat, to be ground off.`).
			orDefault("0 mm", "blanks come ground to the pocket"),
	}
}
