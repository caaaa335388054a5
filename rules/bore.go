package rules

import (
	"pocketgauge/rules/quantity"
)

type Bore struct {
	Name Text
	// Kind is dowel, thread, port, clearance, ejector or waterline.
	Kind Text
	Half Half
	// At is the middle of the mouth; Into is the direction from the mouth into the metal, length 1.
	At, Into   Place3
	DiameterMM Range
	DepthMM    Range
	// PositionMM is how far the axis may stand from At.
	PositionMM Limit
	// Whole is the least share of a dowel's or thread's wall that must be there.
	Whole  Limit
	Origin Origin

	halfText Text
}

var boreKinds = []string{"dowel", "thread", "port", "clearance", "ejector", "waterline"}

func (b *Bore) keys() []key {
	return []key{
		text("name", &b.Name, `What the hole is called on the frame's drawing.`).required(),
		choice("kind", &b.Kind, nil, boreKinds, `What the hole is for: dowel, thread (its core hole), port, clearance (something passes
			through), ejector or waterline.`).required(),
		half("half", &b.halfText, &b.Half, `The half of the mould that has the hole.`),
		place3("at", &b.At, `Middle of the hole's mouth, in pocket coordinates.`).required(),
		direction("into", &b.Into, `Direction from the mouth into the metal: [0, 0, 1] is up from the seat, [0, 0, -1] down from the
			parting face, [1, 0, 0] in from the left.`).required(),
		ranged("diameter", &b.DiameterMM, quantity.Length, `Least and most diameter.`).positive().required(),
		ranged("depth", &b.DepthMM, quantity.Length, `Depth from the mouth to the end of the full diameter. Left out for a hole
			that goes through.`),
		limit("position", &b.PositionMM, quantity.Length, `How far the hole's axis may stand from where it should.`).
			orDefault("0.1 mm", "common practice, no source; a dowel needs less"),
		limit("whole", &b.Whole, quantity.Share, `Least share of the wall of a dowel or thread that must be there; what crosses it takes
			some.`).atMost(1).orDefault("97 %", "what a run-out thread or a slanted mouth takes; "+memory),
	}
}
