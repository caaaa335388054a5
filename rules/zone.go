package rules

import (
	"pocketgauge/rules/quantity"
)

type Must string

const (
	Open  Must = "open"  // no metal of the insert may be here
	Solid Must = "solid" // the insert must be whole here
	Uncut Must = "uncut" // as the blank left it
)

type Zone struct {
	Name  Text
	Must  Must
	Half  Half
	Shape Shape
	// AllowedMM3 and AllowedDepthMM are how much may be wrong before the zone is broken.
	AllowedMM3     Limit
	AllowedDepthMM Limit
	Says           Text
	Origin         Origin

	mustText, halfText Text
}

func (z *Zone) keys() []key {
	return []key{
		text("name", &z.Name, `What the place is called on the frame's drawing.`).required(),
		choice("must", &z.mustText, func(s string) { z.Must = Must(s) }, []string{string(Open), string(Solid), string(Uncut)},
			`What the zone asks of the metal in it: open (no metal: slots for the clamps, the ejector tie-in, ports), solid (metal
			throughout: pads and bearing faces), uncut (as the blank left it).`).required(),
		half("half", &z.halfText, &z.Half, `The half of the mould that the zone is for.`),
		shapeKey("shape", &z.Shape, `The place itself, in pocket coordinates.`).required(),
		section("allowance", `How much may be wrong before the zone is broken.`,
			limit("volume", &z.AllowedMM3, quantity.Volume, `Volume of metal that may be where none should be, or lack where it should
				be.`).orDefault("0 mm3", "a zone allows nothing unless it says so"),
			limit("depth", &z.AllowedDepthMM, quantity.Length, `Depth to which the fault may reach.`).
				orDefault("0 mm", "a zone allows nothing unless it says so"),
		),
		text("says", &z.Says, `What a designer should read when the zone is broken: what reaches in here.`),
	}
}

// half is the key that says for which half something holds.
func half(name string, into *Text, typed *Half, doc string) key {
	return choice(name, into, func(s string) { *typed = Half(s) }, []string{string(Fixed), string(Moving), string(Both)}, doc).
		orDefault(string(Both), "what names no half holds for both")
}
