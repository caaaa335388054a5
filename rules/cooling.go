package rules

import (
	"pocketgauge/rules/quantity"
)

type Cooling struct {
	WaterlineDiametersMM Numbers
	DiameterToleranceMM  Limit
	Ports                []Port
	// CoverDiameters, PitchDiameters: in diameters of the waterline.
	CoverDiameters Range
	PitchDiameters Range
	ReachMM        Limit
	Circuits       Range
	CoolingTimeS   Limit
}

type Port struct {
	Name       Text
	Half       Half
	At         Place3
	DiameterMM Limit
	PositionMM Limit
	Origin     Origin

	halfText Text
}

func (c *Cooling) keys() []key {
	return []key{
		numbers("waterline_diameters", &c.WaterlineDiametersMM, quantity.Length, `Diameters of waterlines that the shop drills and has plugs and
			fittings for.`).positive(),
		limit("diameter_tolerance", &c.DiameterToleranceMM, quantity.Length, `How far a bore's diameter may be from a listed one and still
			be that waterline.`).orDefault("0.25 mm", memory),
		named("ports", &c.Ports, (*Port).keys, func(p *Port) *Origin { return &p.Origin }, "name", func(p *Port) *Text { return &p.Name },
			`Where the frame's water enters and leaves the insert.`),
		ranged("cover", &c.CoverDiameters, quantity.Plain, `Metal between a waterline and the detail, in diameters of the waterline. Two
			published layout rules say 2 to 2.5 and 1.5 to 2.`).ends("1.5", "2.5", "the two usual layout rules together: 1.5 to 2 and 2 to 2.5 diameters"),
		ranged("pitch", &c.PitchDiameters, quantity.Plain, `Distance between the axes of neighbouring waterlines, in diameters.`).
			ends("3", "5", "the usual layout rule, 3 to 5 diameters"),
		limit("reach", &c.ReachMM, quantity.Length, `Most that any place of the detail may lie from the nearest waterline.`).positive(),
		ranged("circuits", &c.Circuits, quantity.Plain, `How many separate circuits an insert has.`).whole(),
		limit("cooling_time", &c.CoolingTimeS, quantity.Time, `Longest cooling time, by the one-dimensional plate formula from part wall and
			resin.`).positive(),
	}
}

func (p *Port) keys() []key {
	return []key{
		text("name", &p.Name, `What the port is called on the frame.`).required(),
		half("half", &p.halfText, &p.Half, `The half of the mould that has the port.`),
		place3("at", &p.At, `Middle of the port, in pocket coordinates.`).required(),
		limit("diameter", &p.DiameterMM, quantity.Length, `Diameter of the port.`).positive().required(),
		limit("position", &p.PositionMM, quantity.Length, `How far the waterline's axis may stand from the port's middle.`).
			orDefault("0.5 mm", memory),
	}
}
