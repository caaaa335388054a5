package triangulate

import (
	"github.com/golang/geo/r2"

	"pocketgauge/mesh/geom"
)

// quadrilateral answers at once where the region is one triangle or one convex quadrilateral
// given in order, which most faces of a part are. It needs no far corners: what the boundary
// bounds has nothing beyond.
func (w *Workspace) quadrilateral(points []r2.Point, segments [][2]int32) bool {
	n := len(points)
	if n != 3 && n != 4 || len(segments) != n {
		return false
	}
	for i, s := range segments {
		if s[0] != int32(i) || s[1] != int32((i+1)%n) {
			return false
		}
	}
	w.points = append(w.points[:0], r2.Point{}, r2.Point{}, r2.Point{})
	for _, p := range points {
		p, ok := usable(p)
		if !ok {
			return false
		}
		w.points = append(w.points, p)
	}
	// Four turns to one side are less than two full turns together, so they are one, and the
	// quadrilateral is convex and does not cross itself.
	q := w.points[far:]
	turn := geom.Orient2D(q[0], q[1], q[2])
	if turn == 0 {
		return false
	}
	for i := 1; i < n && n == 4; i++ {
		if geom.Orient2D(q[i], q[(i+1)%n], q[(i+2)%n]) != turn {
			return false
		}
	}
	c := [4]int32{far, far + 1, far + 2, far + 3}
	if turn < 0 {
		c[0], c[2] = c[2], c[0]
	}
	w.at = append(w.at[:0], none, none, none, 0, 0, 0)
	w.last = 0
	if n == 3 {
		w.tris = append(w.tris[:0], triangle{v: [3]int32{c[0], c[1], c[2]}, n: [3]int32{none, none, none}, fixed: 7, odd: 7, inside: true})
		return true
	}
	if geom.InCircle(w.points[c[0]], w.points[c[1]], w.points[c[2]], w.points[c[3]]) > 0 {
		c = [4]int32{c[1], c[2], c[3], c[0]}
	}
	// The diagonal is c0-c2: opposite corner 1 of the first triangle, corner 2 of the second.
	w.tris = append(w.tris[:0],
		triangle{v: [3]int32{c[0], c[1], c[2]}, n: [3]int32{none, 1, none}, fixed: 5, odd: 5, inside: true},
		triangle{v: [3]int32{c[0], c[2], c[3]}, n: [3]int32{none, none, 0}, fixed: 3, odd: 3, inside: true})
	w.at = append(w.at, 0)
	w.at[c[3]] = 1
	w.at[c[1]] = 0
	return true
}
