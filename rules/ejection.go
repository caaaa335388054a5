package rules

import (
	"pocketgauge/rules/quantity"
)

type Ejection struct {
	// Outline is where pins may stand; its Set method tells whether one was given.
	Outline        Outline
	KeepClear      []KeepClear
	PinDiametersMM Numbers
	EdgeDistanceMM Limit
	PinSpacingMM   Limit
	BearingMM      Range
	AreaPerPinMM2  Limit
	PinPressureMPa Limit
	StrokeMM       Limit
	StrokeSpareMM  Limit
}

type KeepClear struct {
	Name       Text
	At         Place2
	DiameterMM Limit
	Origin     Origin
}

func (e *Ejection) keys() []key {
	return []key{
		outlineKey("outline", &e.Outline, `Where ejector pins may stand: the reach of the frame's ejector plates, seen from above.`),
		named("keep_clear", &e.KeepClear, (*KeepClear).keys, func(k *KeepClear) *Origin { return &k.Origin }, "name", func(k *KeepClear) *Text { return &k.Name },
			`Round places of the ejector set that pins must stay clear of: return pins, supports, rods.`),
		numbers("pin_diameters", &e.PinDiametersMM, quantity.Length, `Diameters of pins that the shop stocks.`).positive(),
		limit("edge_distance", &e.EdgeDistanceMM, quantity.Length, `Least metal between a pin's bore and the edge of the detail.`).
			orDefault("1.5 mm", memory),
		limit("pin_spacing", &e.PinSpacingMM, quantity.Length, `Least distance between the axes of two pins.`).positive(),
		ranged("bearing", &e.BearingMM, quantity.Length, `Length over which the bore guides the pin; below it the bore is relieved.`).
			ends("12 mm", "25 mm", "15 to 20 mm in a published guideline for inserts, widened; "+memory),
		limit("area_per_pin", &e.AreaPerPinMM2, quantity.Area, `Most projected area of the part for each pin.`).positive(),
		limit("pin_pressure", &e.PinPressureMPa, quantity.Pressure, `Most pressure of a pin on the part.`).positive(),
		limit("stroke", &e.StrokeMM, quantity.Length, `Stroke of the ejector set.`).positive(),
		limit("stroke_spare", &e.StrokeSpareMM, quantity.Length, `What the stroke must have beyond the height of the part.`).
			orDefault("5 mm", "height of the moulding and 5 mm: Pye, Injection Mould Design"),
	}
}

func (k *KeepClear) keys() []key {
	return []key{
		text("name", &k.Name, `What stands there.`).required(),
		place2("at", &k.At, `Its middle, seen from above.`).required(),
		limit("diameter", &k.DiameterMM, quantity.Length, `Diameter that must stay clear, its play included.`).positive().required(),
	}
}
