// Package place brings a model into pocket coordinates, and puts motions into words.
//
// Lengths are millimetres, angles radians. It finds a model's seat and outline, and judges nothing.
package place

import (
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

// Turn is one of the 24 ways in which a block can be set down along the axes.
type Turn struct {
	Motion geom.Motion
	// Says is the turn in words, "" for none.
	Says string
	// Rank orders turns by how far a designer would have to think: none, about the vertical,
	// flipped, tipped.
	Rank int
}

// Turns lists the 24, none first, in order of rank. Their matrices hold only 0, 1 and -1, so
// turning a model rounds nothing.
func Turns() []Turn {
	tips := []struct {
		says  string
		rank  int
		about r3.Vector
		steps int
	}{
		{"", 0, r3.Vector{X: 1}, 0},
		{"turn it over about x", 2, r3.Vector{X: 1}, 2},
		{"tip it a quarter about x", 4, r3.Vector{X: 1}, 1},
		{"tip it a quarter back about x", 4, r3.Vector{X: 1}, 3},
		{"tip it a quarter about y", 4, r3.Vector{Y: 1}, 1},
		{"tip it a quarter back about y", 4, r3.Vector{Y: 1}, 3},
	}
	spins := []string{"", "turn it a quarter about z", "turn it half round about z", "turn it a quarter back about z"}
	var list []Turn
	for rank := 0; rank <= 5; rank++ {
		for _, tip := range tips {
			for spin, says := range spins {
				r := tip.rank
				if spin > 0 {
					r++
				}
				if r != rank {
					continue
				}
				m := quarterTurns(r3.Vector{Z: 1}, spin).After(quarterTurns(tip.about, tip.steps))
				list = append(list, Turn{Motion: m, Says: joinWords(tip.says, says), Rank: rank})
			}
		}
	}
	return list
}

// quarterTurns turns by whole quarters about an axis, with a matrix of exact integers.
func quarterTurns(axis r3.Vector, n int) geom.Motion {
	m := geom.Rotate(axis, float64(n)*math.Pi/2)
	for i, row := range m.Rotation {
		m.Rotation[i] = r3.Vector{X: math.Round(row.X), Y: math.Round(row.Y), Z: math.Round(row.Z)}
	}
	return m
}

func joinWords(parts ...string) string {
	var said []string
	for _, p := range parts {
		if p != "" {
			said = append(said, p)
		}
	}
	return strings.Join(said, ", then ")
}

// InWords says what a turn, a scale and a move amount to, as an instruction.
func InWords(t Turn, scale float64, move r3.Vector) string {
	parts := []string{t.Says}
	switch {
	case scale > 1:
		parts = append(parts, fmt.Sprintf("scale it by %g (it is drawn in inches)", scale))
	case scale < 1:
		parts = append(parts, fmt.Sprintf("scale it by 1/%g (it is drawn in millimetres)", math.Round(10/scale)/10))
	}
	if s := moveWords(move); s != "" {
		parts = append(parts, s)
	}
	text := joinWords(parts...)
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:] + "."
}

// moveWords leaves out components that would print as zero.
func moveWords(d r3.Vector) string {
	var parts []string
	for _, c := range []struct {
		axis string
		by   float64
	}{{"x", d.X}, {"y", d.Y}, {"z", d.Z}} {
		if text := fmt.Sprintf("%.3f", c.by); text != "0.000" && text != "-0.000" {
			parts = append(parts, fmt.Sprintf("%s mm along %s", text, c.axis))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "move it " + strings.Join(parts, " and ")
}
