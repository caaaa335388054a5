package tessellate

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// node is a boundary point in the parameter plane, and what leads from it to the next: a part of
// an edge over [ta, tb], or nothing in space (a pole) or an inner cut, where edge is -1.
type node struct {
	uv     r2.Point
	id     int32
	edge   int32
	ta, tb float64
}

// ring is a closed boundary, the face to its left in the parameter plane. turns says how often it
// runs round each period: its last node leads to its first, carried on by so many periods.
type ring struct {
	nodes []node
	turns [2]int
}

// coordinate is u or v of a point.
func coordinate(p *r2.Point, d int) *float64 {
	if d == 0 {
		return &p.X
	}
	return &p.Y
}

// shifted is p moved by whole periods.
func shifted(p, period r2.Point, i, j float64) r2.Point {
	return r2.Point{X: p.X + i*period.X, Y: p.Y + j*period.Y}
}

// probes bounds how often a step along an edge is halved to follow its image round a period.
const probes = 8

// image carries the loop into the parameter plane, continuously: each point takes the period
// nearest to the point before it. worst is the largest distance of a point from the surface.
func (w *worker) image(f *face, l *brep.Loop) (r ring, worst float64) {
	b := w.body
	s := f.surface
	n := len(l.Uses)
	var nodes []node
	for i := range n {
		u := &l.Uses[i]
		forward := u.Forward
		if !f.forward {
			// The face is then to the right in the parameter plane: run backwards.
			u = &l.Uses[n-1-i]
			forward = !u.Forward
		}
		k := b.edgeOf[u.Edge]
		e := &b.edges[k]
		if e.merged {
			continue
		}
		parts := len(e.ts)
		at := func(i int) float64 {
			switch i {
			case 0:
				return e.T0
			case parts + 1:
				return e.T1
			}
			return e.ts[i-1]
		}
		for i := range parts + 1 {
			q := node{edge: k}
			if forward {
				q.ta, q.tb = at(i), at(i+1)
				q.id = e.a
				if i > 0 {
					q.id = e.first + int32(i-1)
				}
			} else {
				q.ta, q.tb = at(parts+1-i), at(parts-i)
				q.id = e.b
				if i > 0 {
					q.id = e.first + int32(parts-i)
				}
			}
			nodes = append(nodes, q)
		}
	}
	if len(nodes) == 0 || !w.may(int64(len(nodes))*w.cost.Find) {
		return ring{}, 0
	}
	poles := s.Poles()
	poleAt := func(p r3.Vector) *shape.Pole {
		for i := range poles {
			if b.isPole(p, poles[i].Point) {
				return &poles[i]
			}
		}
		return nil
	}
	if len(poles) > 0 {
		// Begin away from poles, where a point has its own parameters.
		for i := range nodes {
			if poleAt(b.points[nodes[i].id]) == nil {
				nodes = append(append(make([]node, 0, len(nodes)+4), nodes[i:]...), nodes[:i]...)
				break
			}
		}
	}
	period := s.Period()
	uv, worst := s.Parameters(b.points[nodes[0].id], r2.Point{}, false)
	nodes[0].uv = uv
	r.nodes = append(make([]node, 0, len(nodes)+2), nodes[0])
	follow := func(before *node, to r3.Vector) r2.Point {
		uv, off := w.follow(s, period, before, before.uv, before.ta, before.tb, to, probes)
		worst = max(worst, off)
		return uv
	}
	for i := 1; i <= len(nodes); i++ {
		before := &r.nodes[len(r.nodes)-1]
		if !w.may(0) {
			return ring{}, worst
		}
		if i == len(nodes) {
			end := follow(before, b.points[nodes[0].id])
			if period.X > 0 {
				r.turns[0] = int(math.Round((end.X - uv.X) / period.X))
			}
			if period.Y > 0 {
				r.turns[1] = int(math.Round((end.Y - uv.Y) / period.Y))
			}
			break
		}
		q := nodes[i]
		p := b.points[q.id]
		pole := poleAt(p)
		if pole == nil {
			q.uv = follow(before, p)
			r.nodes = append(r.nodes, q)
			continue
		}
		// The boundary runs into a pole and out again elsewhere: along the side of the
		// parameter rectangle that the pole is. The face lies to the left, hence the side is
		// run along backwards (-u) where it is the upper one, and so on round the rectangle.
		free, fixed := 0, 1
		if !pole.AtV {
			free, fixed = 1, 0
		}
		in := before.uv
		*coordinate(&in, fixed) = pole.Value
		upper := *coordinate(&before.uv, fixed) < pole.Value
		next := nodes[(i+1)%len(nodes)]
		hint := in
		*coordinate(&hint, fixed) = *coordinate(&before.uv, fixed)
		leaves, _ := s.Parameters(b.points[next.id], hint, true)
		if next.edge >= 0 && poleAt(b.points[next.id]) != nil {
			leaves, _ = s.Parameters(b.edges[q.edge].Curve.Point((q.ta+q.tb)/2), hint, true)
		}
		turn := *coordinate(&leaves, free) - *coordinate(&in, free)
		if p := *coordinate(&period, free); p > 0 {
			turn -= p * math.Round(turn/p)
			backwards := upper == pole.AtV
			if backwards && turn > -tol.PoleTurnShare*p {
				turn -= p
			} else if !backwards && turn < tol.PoleTurnShare*p {
				turn += p
			}
		}
		out := in
		*coordinate(&out, free) += turn
		r.nodes = append(r.nodes, node{uv: in, id: q.id, edge: -1})
		q.uv = out
		r.nodes = append(r.nodes, q)
	}
	return r, worst
}

// follow is the image of the end of an edge's part, found by going there in steps of less than a
// quarter of a period.
func (w *worker) follow(s shape.Surface, period r2.Point, before *node, from r2.Point, ta, tb float64, to r3.Vector, depth int) (r2.Point, float64) {
	uv, off := s.Parameters(to, from, true)
	if off > w.body.chord {
		w.charge(w.cost.Search)
	}
	if before.edge < 0 || depth == 0 ||
		!(period.X > 0 && math.Abs(uv.X-from.X) > period.X/4) && !(period.Y > 0 && math.Abs(uv.Y-from.Y) > period.Y/4) {
		return uv, off
	}
	tm := (ta + tb) / 2
	if !w.may(2 * w.cost.Find) {
		return uv, off
	}
	middle, _ := w.follow(s, period, before, from, ta, tm, w.body.edges[before.edge].Curve.Point(tm), depth-1)
	return w.follow(s, period, before, middle, tm, tb, to, depth-1)
}

// area is twice the signed area within a ring that closes in the parameter plane.
func (r *ring) area() float64 {
	sum := 0.0
	o := r.nodes[0].uv
	for i := range r.nodes {
		sum += r.nodes[i].uv.Sub(o).Cross(r.nodes[(i+1)%len(r.nodes)].uv.Sub(o))
	}
	return sum
}

// holds tells by crossings of a ray whether q lies within the rings, counted even-odd.
func holds(rings []ring, q r2.Point) bool {
	in := false
	for k := range rings {
		nodes := rings[k].nodes
		for i := range nodes {
			a, b := nodes[i].uv, nodes[(i+1)%len(nodes)].uv
			if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(b.X-a.X)*(q.Y-a.Y)/(b.Y-a.Y) {
				in = !in
			}
		}
	}
	return in
}

// shift moves a ring by whole periods.
func (r *ring) shift(period r2.Point, i, j float64) {
	if i == 0 && j == 0 {
		return
	}
	for k := range r.nodes {
		r.nodes[k].uv = shifted(r.nodes[k].uv, period, i, j)
	}
}
