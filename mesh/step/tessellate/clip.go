package tessellate

import (
	"math"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/step/shape"
)

// mostClipped bounds the corners of a boundary that is clipped: it takes their square in time.
const mostClipped = 4000

const looksPerCorner = 32

// clip cuts a boundary that crosses or touches itself into triangles corner by corner: the
// triangulation then is as wrong as the boundary and no more, and its signed areas add up to the
// boundary's. Holes are joined to the rest by a line that is run along both ways. It returns nil
// where there are too many corners.
func (w *worker) clip(rings []ring) [][3]int32 {
	// The rings as point numbers, in the order in which gatherBoundary named them.
	lists := w.ringNumbers(rings)
	total := 0
	outer := -1
	most := 0.0
	for i, l := range lists {
		total += len(l)
		if a := math.Abs(w.areaOf(l)); len(l) > 2 && a >= most {
			outer, most = i, a
		}
	}
	if outer < 0 || total > mostClipped {
		return nil
	}
	joined := lists[outer]
	for i, l := range lists {
		if i == outer || len(l) < 2 {
			continue
		}
		if !w.may(int64(len(joined) * len(l) / scanPerUnit)) {
			return nil
		}
		bestA, bestB, least := 0, 0, math.Inf(1)
		for a, p := range joined {
			for b, q := range l {
				if d := w.flat[p].Sub(w.flat[q]).Norm(); d < least {
					bestA, bestB, least = a, b, d
				}
			}
		}
		next := append([]int32(nil), joined[:bestA+1]...)
		for k := range len(l) + 1 {
			next = append(next, l[(bestB+k)%len(l)])
		}
		joined = append(next, joined[bestA:]...)
	}
	sign := 1.0
	if w.areaOf(joined) < 0 {
		sign = -1
	}
	corner := func(a, b, c int32) float64 {
		return sign * w.flat[b].Sub(w.flat[a]).Cross(w.flat[c].Sub(w.flat[a]))
	}
	var plan [][3]int32
	poly := append([]int32(nil), joined...)
	at := 0
	// Looking for free corners may take the cube of their number; after a while it is given up.
	looks := looksPerCorner * len(poly)
	for len(poly) > 3 {
		n := len(poly)
		if !w.may(0) {
			return nil
		}
		pick, best := -1, math.Inf(-1)
		for k := range n {
			i := (at + k) % n
			a, b, c := poly[(i+n-1)%n], poly[i], poly[(i+1)%n]
			area := corner(a, b, c)
			// The roundest corner serves where none is free.
			if q := area / max(w.flat[c].Sub(w.flat[a]).Norm(), math.SmallestNonzeroFloat64); q > best {
				best, pick = q, i
			}
			if area > 0 && looks > 0 {
				looks--
			} else {
				continue
			}
			w.charge(int64(2 * n / scanPerUnit))
			if w.free(poly, a, b, c, corner) {
				pick = i
				break
			}
		}
		if looks <= 0 {
			w.charge(int64(n / scanPerUnit))
		}
		a, b, c := poly[(pick+n-1)%n], poly[pick], poly[(pick+1)%n]
		plan = append(plan, [3]int32{a, b, c})
		poly = append(poly[:pick], poly[pick+1:]...)
		// Go on two corners further: fans of slivers are avoided.
		at = (pick + 1) % len(poly)
	}
	plan = append(plan, [3]int32{poly[0], poly[1], poly[2]})
	if sign < 0 {
		// Triangles come as the region has them, counter-clockwise.
		for i := range plan {
			plan[i][1], plan[i][2] = plan[i][2], plan[i][1]
		}
	}
	return plan
}

// free tells whether no other corner lies in a triangle.
func (w *worker) free(poly []int32, a, b, c int32, corner func(a, b, c int32) float64) bool {
	for _, p := range poly {
		if p == a || p == b || p == c {
			continue
		}
		if corner(a, b, p) >= 0 && corner(b, c, p) >= 0 && corner(c, a, p) >= 0 {
			return false
		}
	}
	return true
}

func (w *worker) areaOf(l []int32) float64 {
	sum := 0.0
	var o r2.Point
	for i := range l {
		p, q := w.flat[l[i]], w.flat[l[(i+1)%len(l)]]
		if i == 0 {
			o = p
		}
		sum += p.Sub(o).Cross(q.Sub(o))
	}
	return sum
}

// ringNumbers are the rings in numbers of boundary points; a slit's are left out with it.
func (w *worker) ringNumbers(rings []ring) [][]int32 {
	near := w.near()
	var lists [][]int32
	for i := range rings {
		var l []int32
		for k := range rings[i].nodes {
			n := &rings[i].nodes[k]
			if !w.may(int64(len(w.uv) / scanPerUnit)) {
				return nil
			}
			for j := range w.uv {
				if d := w.uv[j].Sub(n.uv); w.ids[j] == n.id && math.Abs(d.X)+math.Abs(d.Y) <= near {
					if len(l) == 0 || l[len(l)-1] != int32(j) {
						l = append(l, int32(j))
					}
					break
				}
			}
		}
		for len(l) > 1 && l[0] == l[len(l)-1] {
			l = l[:len(l)-1]
		}
		lists = append(lists, l)
	}
	return lists
}

// bisections bounds the passes over the triangles of a clipped boundary.
const bisections = 24

// pairUnits is what it takes to find the neighbours of a triangle.
const pairUnits = 40

// bisect halves inner edges of a clipped boundary's triangles where the surface stands off too far,
// both triangles at once. Without a Delaunay triangulation that is all that can be done.
func (w *worker) bisect(s shape.Surface, plan [][3]int32, allowed float64) [][3]int32 {
	limit := w.innerLimit()
	for range bisections {
		if !w.may(pairUnits * int64(len(plan))) {
			break
		}
		beside := make(map[[2]int32]int32, 3*len(plan))
		for i, t := range plan {
			for k := range 3 {
				beside[[2]int32{t[k], t[(k+1)%3]}] = int32(i)
			}
		}
		taken := make([]bool, len(plan))
		n := len(plan)
		for i := range n {
			if taken[i] || len(w.uv) >= limit || !w.may(6*w.cost.Evaluate) {
				continue
			}
			worst, edge := allowed, -1
			for k := range 3 {
				a, b := plan[i][k], plan[i][(k+1)%3]
				j, inner := beside[[2]int32{b, a}]
				if !inner || taken[j] {
					continue
				}
				if d := offSurface(s, w.uv[a].Add(w.uv[b]).Mul(0.5), w.space[a].Add(w.space[b]).Mul(0.5)); d > worst {
					worst, edge = d, k
				}
			}
			if edge < 0 {
				continue
			}
			a, b, c := plan[i][edge], plan[i][(edge+1)%3], plan[i][(edge+2)%3]
			j := beside[[2]int32{b, a}]
			var d int32
			for _, v := range plan[j] {
				if v != a && v != b {
					d = v
				}
			}
			m := int32(len(w.uv))
			w.took(s, w.uv[a].Add(w.uv[b]).Mul(0.5))
			taken[i], taken[j] = true, true
			plan[i], plan[j] = [3]int32{a, m, c}, [3]int32{b, m, d}
			plan = append(plan, [3]int32{m, b, c}, [3]int32{m, a, d})
		}
		if len(plan) == n {
			break
		}
	}
	return plan
}
