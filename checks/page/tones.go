package page

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"pocketgauge/checks"
	"pocketgauge/checks/report"
)

// ramp goes from dark to light, so that it reads without colour: little is dark.
var ramp = [...][3]float64{{46, 30, 78}, {44, 73, 130}, {33, 122, 140}, {80, 168, 122}, {176, 206, 104}, {247, 236, 160}}

// kindTones tell kinds apart: the colours of Okabe and Ito and greys between them, in the order of
// checks.Surface.
var kindTones = [...][3]uint8{
	{0, 114, 178}, {120, 126, 132}, {186, 190, 194}, {230, 226, 205}, {230, 159, 0}, {204, 121, 167}, {86, 180, 233}, {213, 94, 0}, {0, 158, 115}, {240, 228, 66},
}

// rampAt is the tone at x, from 0 to 1.
func rampAt(x float64) color.RGBA {
	p := min(max(x, 0), 1) * float64(len(ramp)-1)
	i := min(int(p), len(ramp)-2)
	f := p - float64(i)
	at := func(k int) uint8 { return uint8(math.Round(ramp[i][k] + (ramp[i+1][k]-ramp[i][k])*f)) }
	return color.RGBA{at(0), at(1), at(2), 255}
}

// Tones colours the triangles of a layer as the page does; none stands for triangles without a value.
func Tones(l *checks.Layer, none color.RGBA) []color.RGBA {
	tones := make([]color.RGBA, len(l.Values))
	for t, v := range l.Values {
		switch {
		case v != v:
			tones[t] = none
		case l.Kinds != nil:
			k := kindTones[int(v)%len(kindTones)]
			tones[t] = color.RGBA{k[0], k[1], k[2], 255}
		default:
			tones[t] = rampAt((float64(v) - l.Low) / (l.High - l.Low))
		}
	}
	return tones
}

// Legend says in words what the tones of a layer mean.
func Legend(l *checks.Layer) string {
	if l.Kinds != nil {
		there := map[int]bool{}
		for _, v := range l.Values {
			if v == v {
				there[int(v)] = true
			}
		}
		var words []string
		for k, word := range l.Kinds {
			if there[k] {
				words = append(words, word+" "+kindNames[k%len(kindNames)])
			}
		}
		return l.Title + ": " + strings.Join(words, ", ")
	}
	text := fmt.Sprintf("%s: dark for %s %s to light for %s %s", l.Title, report.Decimal(l.Low, 2), l.Unit, report.Decimal(l.High, 2), l.Unit)
	if l.None != "" {
		text += "; metal for " + l.None
	}
	return text
}

// kindNames are the names of kindTones.
var kindNames = [len(kindTones)]string{"blue", "grey", "light grey", "cream", "orange", "pink", "light blue", "red", "green", "yellow"}
