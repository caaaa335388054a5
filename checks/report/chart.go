package report

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"
)

// Chart is a plot of numbers against numbers, drawn as SVG. The same chart gives the same bytes.
type Chart struct {
	Title, X, Y string
	Series      []Series
	// Diagonal draws the line on which both are equal, and gives both axes one scale.
	Diagonal bool
}

// Series are points of one kind, joined by a line or marked one by one.
type Series struct {
	Name   string
	Points [][2]float64
	Line   bool
}

// The chart's size and margins in SVG units, and the colours of its series: they differ in lightness,
// so that a printed page in grey still tells them apart.
const (
	chartWidth, chartHeight = 720, 480
	chartLeft, chartTop     = 90, 50
	chartRight, chartBottom = 30, 60
)

var seriesColours = [...]string{"#b5452c", "#1f4e79", "#6b8e23", "#7a4b8f", "#444444"}

// ticks are round numbers, about five of them, from nought to at least most.
func ticks(most float64) []float64 {
	if !(most > 0) || math.IsInf(most, 0) {
		most = 1
	}
	const about = 5
	step := math.Pow(10, math.Floor(math.Log10(most/about)))
	for _, k := range []float64{1, 2, 5, 10} {
		if most/(k*step) <= about {
			step *= k
			break
		}
	}
	var all []float64
	for i := 0; ; i++ {
		all = append(all, float64(i)*step)
		if float64(i)*step >= most {
			return all
		}
	}
}

// WriteSVG draws the chart. Axes start at nought: neither hours nor money is less.
func (c *Chart) WriteSVG(w io.Writer) error {
	mostX, mostY := 0.0, 0.0
	for _, s := range c.Series {
		for _, p := range s.Points {
			mostX, mostY = max(mostX, p[0]), max(mostY, p[1])
		}
	}
	if c.Diagonal {
		mostX = max(mostX, mostY)
		mostY = mostX
	}
	tx, ty := ticks(mostX), ticks(mostY)
	spanX, spanY := tx[len(tx)-1], ty[len(ty)-1]
	const wide, high = chartWidth - chartLeft - chartRight, chartHeight - chartTop - chartBottom
	px := func(x float64) string { return Decimal(chartLeft+wide*x/spanX, 2) }
	py := func(y float64) string { return Decimal(chartTop+high*(1-y/spanY), 2) }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" font-family="sans-serif" font-size="13">`+"\n", chartWidth, chartHeight, chartWidth, chartHeight)
	fmt.Fprintf(&b, `<rect width="%d" height="%d" fill="white"/>`+"\n", chartWidth, chartHeight)
	text := func(x, y any, anchor, more, words string) {
		fmt.Fprintf(&b, `<text x="%v" y="%v" text-anchor="%s"%s>%s</text>`+"\n", x, y, anchor, more, escaped(words))
	}
	text(chartWidth/2, chartTop/2, "middle", ` font-size="16"`, c.Title)
	for _, v := range tx {
		fmt.Fprintf(&b, `<path d="M%s %d V%d" stroke="#dddddd"/>`+"\n", px(v), chartTop, chartTop+high)
		text(px(v), chartTop+high+18, "middle", "", Decimal(v, 6))
	}
	for _, v := range ty {
		fmt.Fprintf(&b, `<path d="M%d %s H%d" stroke="#dddddd"/>`+"\n", chartLeft, py(v), chartLeft+wide)
		text(chartLeft-8, py(v), "end", ` dominant-baseline="middle"`, Decimal(v, 6))
	}
	text(chartLeft+wide/2, chartHeight-14, "middle", "", c.X)
	text(20, chartTop+high/2, "middle", fmt.Sprintf(` transform="rotate(-90 20 %d)"`, chartTop+high/2), c.Y)
	if c.Diagonal {
		fmt.Fprintf(&b, `<path d="M%s %s L%s %s" stroke="#888888" stroke-dasharray="6 4" fill="none"/>`+"\n", px(0), py(0), px(spanX), py(spanX))
	}
	for i, s := range c.Series {
		colour := seriesColours[i%len(seriesColours)]
		if s.Line && len(s.Points) > 0 {
			b.WriteString(`<path d="`)
			for k, p := range s.Points {
				fmt.Fprintf(&b, "%c%s %s ", "ML"[min(k, 1)], px(p[0]), py(p[1]))
			}
			fmt.Fprintf(&b, `" stroke="%s" stroke-width="2" fill="none"/>`+"\n", colour)
		}
		for _, p := range s.Points {
			if !s.Line {
				fmt.Fprintf(&b, `<circle cx="%s" cy="%s" r="4" fill="%s" fill-opacity="0.7"/>`+"\n", px(p[0]), py(p[1]), colour)
			}
		}
		y := chartTop + 16 + 18*i
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="14" height="6" fill="%s"/>`+"\n", chartLeft+12, y-8, colour)
		text(chartLeft+32, y, "start", "", s.Name)
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(w, b.String())
	return err
}

func escaped(s string) string {
	var b strings.Builder
	// Writing to a Builder cannot fail.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
