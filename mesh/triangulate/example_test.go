package triangulate_test

import (
	"fmt"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/triangulate"
)

// A plate of 4 by 3 with a square hole of 1 by 1, then cut finer until no triangle is above 1.
func ExampleWorkspace() {
	points := []r2.Point{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 3}, {X: 0, Y: 3}, {X: 1, Y: 1}, {X: 2, Y: 1}, {X: 2, Y: 2}, {X: 1, Y: 2}}
	segments := [][2]int32{{0, 1}, {1, 2}, {2, 3}, {3, 0}, {4, 5}, {5, 6}, {6, 7}, {7, 4}}
	var w triangulate.Workspace
	if err := w.Region(points, segments); err != nil {
		fmt.Println(err)
		return
	}
	area := func(t [3]int32) float64 {
		p := w.Points()
		return p[t[1]].Sub(p[t[0]]).Cross(p[t[2]].Sub(p[t[0]])) / 2
	}
	fmt.Println(len(w.Triangles()), "triangles")
	_, settled := w.Refine(100, func(t [3]int32) (r2.Point, bool) {
		p := w.Points()
		return p[t[0]].Add(p[t[1]]).Add(p[t[2]]).Mul(1.0 / 3), area(t) > 1
	})
	sum, most := 0.0, 0.0
	for _, t := range w.Triangles() {
		sum += area(t)
		most = max(most, area(t))
	}
	fmt.Printf("area %.6f, none above 1: %v, settled: %v\n", sum, most <= 1, settled)
	err := w.Region(points[:4], [][2]int32{{0, 2}, {2, 1}, {1, 3}, {3, 0}})
	fmt.Println(err)
	// Output:
	// 8 triangles
	// area 11.000000, none above 1: true, settled: true
	// segments 0 and 2 cross
}
