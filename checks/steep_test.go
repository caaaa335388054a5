package checks_test

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

// lain turns a prism along z into one along y: its outline is then that of the section in x and z.
func lain(outline []r2.Point) *mesh.Mesh {
	// (x, y, z) to (x, -z, y): a quarter about x, exact.
	m := geom.Motion{Rotation: [3]r3.Vector{{X: 1}, {Z: -1}, {Y: 1}}, Scale: 1}
	return meshtest.Prism(outline, nil, nominal.Min.Y, nominal.Max.Y).Mesh.Moved(m)
}

// A trough along y between faces that lean out by 5 degrees, 10 wide at its floor and 15.03 deep.
func wedgePocket() *mesh.Mesh {
	lean := 15.03 * math.Tan(5*math.Pi/180)
	return lain([]r2.Point{
		{X: nominal.Min.X, Y: 0}, {X: nominal.Max.X, Y: 0}, {X: nominal.Max.X, Y: nominalTop},
		{X: 5 + lean, Y: nominalTop}, {X: 5, Y: 25}, {X: -5, Y: 25}, {X: -5 - lean, Y: nominalTop}, {X: nominal.Min.X, Y: nominalTop},
	})
}

// A ridge that stands in that trough, 1 mm off its floor and clear of its left side, and its right
// side by shift beyond the trough's. On the moving half, turned about y, right is left.
func steepBlock(shift float64) *mesh.Mesh {
	slope := math.Tan(5 * math.Pi / 180)
	lean := 14.03 * slope
	low := 5 + slope + shift
	return lain([]r2.Point{
		{X: nominal.Min.X, Y: 0}, {X: nominal.Max.X, Y: 0}, {X: nominal.Max.X, Y: nominalTop},
		{X: 2, Y: nominalTop}, {X: 2 - slope, Y: nominalTop + 14.03}, {X: -low, Y: nominalTop + 14.03}, {X: -low - lean, Y: nominalTop}, {X: nominal.Min.X, Y: nominalTop},
	})
}
