package render

import "image/color"

// Colours that say something are those of Okabe and Ito (Color Universal Design, 2008), which
// people with the common kinds of colour blindness tell apart.
var (
	Vermilion   = color.RGBA{0xD5, 0x5E, 0x00, 0xFF}
	Orange      = color.RGBA{0xE6, 0x9F, 0x00, 0xFF}
	SkyBlue     = color.RGBA{0x56, 0xB4, 0xE9, 0xFF}
	BluishGreen = color.RGBA{0x00, 0x9E, 0x73, 0xFF}
	Yellow      = color.RGBA{0xF0, 0xE4, 0x42, 0xFF}
	Blue        = color.RGBA{0x00, 0x72, 0xB2, 0xFF}
	Purple      = color.RGBA{0xCC, 0x79, 0xA7, 0xFF}
)

// Colours of the drawing itself.
var (
	Paper = color.RGBA{0xF7, 0xF7, 0xF4, 0xFF}
	ink   = color.RGBA{0x24, 0x2A, 0x30, 0xFF}
	faint = color.RGBA{0x62, 0x6B, 0x74, 0xFF}
	// inside is the tone of a facet seen from behind: the inner side of a surface that is open or
	// turned inside out.
	inside = Purple
)

// SteelTone is the tone in which a grade is shown. Tool steels all look alike; the few tones only
// keep copper alloys, aluminium and stainless grades apart from the rest.
func SteelTone(grade string) color.RGBA {
	switch grade {
	case "C17200":
		return color.RGBA{0xC8, 0x9A, 0x6A, 0xFF}
	case "7075-T6":
		return color.RGBA{0xCF, 0xD3, 0xD6, 0xFF}
	case "1.2083":
		return color.RGBA{0xB8, 0xC4, 0xCB, 0xFF}
	case "1.2344", "1.2379":
		return color.RGBA{0xA3, 0xAB, 0xB8, 0xFF}
	}
	return color.RGBA{0xAC, 0xB6, 0xBF, 0xFF}
}

func (s Severity) tone() color.RGBA {
	switch s {
	case Fail:
		return Vermilion
	case Borderline:
		return Orange
	}
	return Blue
}
