package part21

import "golang.org/x/text/encoding/charmap"

// latin holds ISO 8859-1 to -9, which the directives \PA\ to \PI\ choose between. What a set has
// no character for is U+FFFD.
var latin = [9]*charmap.Charmap{
	charmap.ISO8859_1, charmap.ISO8859_2, charmap.ISO8859_3, charmap.ISO8859_4, charmap.ISO8859_5,
	charmap.ISO8859_6, charmap.ISO8859_7, charmap.ISO8859_8, charmap.ISO8859_9,
}
