package render

import (
	"math"

	"github.com/fogleman/fauxgl"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/parallel"
)

// sides are the directions from which a place is looked at, the usual one first: four from above,
// straight down, four level, four from below, straight up.
var sides = []r3.Vector{
	DefaultToEye,
	{X: -0.42, Y: -0.62, Z: 0.66}, {X: 0.42, Y: 0.62, Z: 0.66}, {X: -0.42, Y: 0.62, Z: 0.66},
	{X: 0.05, Y: -0.15, Z: 1},
	{X: 0.9, Y: -0.3, Z: 0.3}, {X: -0.9, Y: -0.3, Z: 0.3}, {X: 0.3, Y: -0.9, Z: 0.3}, {X: -0.3, Y: 0.9, Z: 0.3},
	{X: 0.42, Y: -0.62, Z: -0.66}, {X: -0.42, Y: -0.62, Z: -0.66}, {X: 0.42, Y: 0.62, Z: -0.66}, {X: -0.42, Y: 0.62, Z: -0.66},
	{X: 0.05, Y: -0.15, Z: -1},
}

// sideSamples is the width of the pictures in which SideOf looks: a cell is then 1/160 of the
// mesh, fine enough to look down a bore of that width.
const sideSamples = 160

// SideOf is the first of the usual directions to the eye from which nothing hides the place, so
// that its mark can be seen; where all hide it (a wall within the metal, a void) it is the one
// from which least lies before it. Depths are compared in a small picture for each direction.
func SideOf(m *mesh.Mesh, at r3.Vector) r3.Vector {
	if m == nil || len(m.Triangles) == 0 || !finite(at) {
		return DefaultToEye
	}
	hidden := make([]float64, len(sides))
	parallel.Each(len(sides), func(i, _ int) {
		c := newCamera(sides[i], m.Vertices, viewFrame{w: sideSamples, h: sideSamples, margin: 1})
		hidden[i] = depthOver(m, &c, at) / c.PixelsPerMM
	})
	best := 0
	for i, d := range hidden {
		// Within a cell the place itself is what is seen.
		if d*float64(sideSamples) < 2*m.Bounds().Diagonal() {
			return sides[i]
		}
		if d < hidden[best] {
			best = i
		}
	}
	return sides[best]
}

// depthOver is how far the surface nearest to the eye lies before a place, in samples.
func depthOver(m *mesh.Mesh, c *Camera, at r3.Vector) float64 {
	v := c.matrix.MulPosition(fauxgl.Vector{X: at.X, Y: at.Y, Z: at.Z})
	row, column := int(math.Floor(v.Y)), int(math.Floor(v.X))
	if row < 0 || column < 0 || row >= sideSamples || column >= sideSamples {
		return 0
	}
	p := project(m, c.matrix, sideSamples, sideSamples)
	defer p.release()
	b := bandPool.Get().(*band)
	defer bandPool.Put(b)
	b.reset(row, 1, sideSamples, true)
	for t := range m.Triangles {
		if first, last, ok := p.rows(t); ok && first <= row && row <= last {
			b.draw(p, int32(t))
		}
	}
	return max(v.Z-float64(b.depth[column]), 0)
}
