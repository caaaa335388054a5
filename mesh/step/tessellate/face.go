package tessellate

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
	"pocketgauge/mesh/triangulate"
)

// worker turns faces into triangles, one at a time, and keeps its memory.
type worker struct {
	body  *body
	inner []r3.Vector // points of the face's own
	plan  triangulate.Workspace

	uv         []r2.Point // of the boundary points that differ, then of inner ones
	flat       []r2.Point // the same in the metric of the triangulation
	ids        []int32    // body points, or ^k
	segments   [][2]int32
	along      []int32 // the edge of a segment, or -1
	after      []int32 // the segment that leaves a point
	many       []bool  // more than one does
	space      []r3.Vector
	first      map[int32][]int32
	grid       grid
	stretching []float64
	box        r2.Rect
	box0       r2.Point
	nx, ny     int
	// most is the work that the face may take, spent what it took so far, and cost that of its
	// surface; owed is what measuring its triangles will take, which no face is spared.
	most, spent int64
	owed        int64
	flipped     int  // edges that plan may have flipped, with what was paid for
	undone      bool // something, for want of work
	cost        shape.Cost
	// What a face has become: its rings in the parameter plane and the triangles there.
	rings []ring
	cover [][3]int32
}

func (w *worker) chord() float64 { return tol.ChordShare * w.body.chord }

// face turns one face into triangles by about so much work at most. last forbids asking for finer
// edges.
func (w *worker) face(f *face, last bool, most int64) result {
	w.inner = nil
	w.cost, w.rings, w.cover = f.cost, nil, nil
	if w.most, w.spent, w.owed, w.undone = most, 0, 0, false; f.surface == nil {
		return w.closing(f, "this face has no surface that was understood: it was closed with flat triangles")
	}
	r, err := w.onSurface(f, last)
	if err == nil && !r.sums.finite() {
		err = errNumbers
	}
	if err != nil {
		return w.closing(f, fmt.Sprintf("this face could not be divided on its surface (%v): it was closed with flat triangles", err))
	}
	return r
}

var errNumbers = errors.New("its surface has points that are no numbers")

// touching is the error of a boundary that touches itself between points.
type touching struct{ at triangulate.Touch }

func (e *touching) Error() string {
	return fmt.Sprintf("segment %d of its boundary runs through a point of it", e.at.Segment)
}

// finer lists the edges whose finer division may help: chords of two curves that run close
// together cross where the curves do not.
func (w *worker) finer(err error) []int32 {
	var segments []int
	switch e := err.(type) {
	case *triangulate.Crossing:
		segments = []int{e.A, e.B}
	case *touching:
		segments = []int{e.at.Segment}
	default:
		return nil
	}
	var list []int32
	for _, s := range segments {
		k := w.along[s]
		if k < 0 {
			continue
		}
		if _, straight := w.body.edges[k].Curve.(*shape.Line); !straight {
			list = append(list, k)
		}
	}
	return list
}

func (w *worker) onSurface(f *face, last bool) (result, error) {
	var rings []ring
	off := 0.0
	for l := range f.Loops {
		if len(f.Loops[l].Uses) == 0 {
			continue
		}
		r, d := w.image(f, &f.Loops[l])
		off = max(off, d)
		if len(r.nodes) > 1 {
			rings = append(rings, r)
		}
		if w.undone {
			return result{}, errWork
		}
	}
	if len(rings) == 0 && hasEdges(f.Face) {
		return result{}, nil // all of its edges have no length
	}
	if !w.may(0) || w.most < leastEvaluations*w.cost.Evaluate {
		w.undone = true
		return result{}, errWork
	}
	rings, turned, err := w.open(f, rings)
	if err != nil {
		return result{}, err
	}
	_, flat := f.surface.(*shape.Plane)
	w.gatherBoundary(rings)
	if w.undone {
		return result{}, errWork
	}
	if len(w.segments) < 3 {
		return result{}, nil
	}
	var m metric
	if flat {
		m = metric{su: 1, sv: 1}
	} else {
		m = w.measureGrid(f.surface)
	}
	w.flat = w.flat[:0]
	for _, p := range w.uv {
		w.flat = append(w.flat, m.to(p))
	}
	var r result
	w.space = w.space[:0]
	for _, id := range w.ids {
		if id >= 0 {
			w.space = append(w.space, w.body.points[id])
		} else {
			w.space = append(w.space, w.inner[^id])
		}
	}
	var plan [][3]int32
	err = w.region(w.flat)
	if err == errWork {
		return result{}, err
	}
	if t := w.plan.Touches(); err == nil && len(t) > 0 {
		err = &touching{t[0]}
	}
	deviation := 0.0
	boundary := len(w.uv)
	if !flat {
		w.owed = int64(boundary) * (w.measureCost() + w.lookCost())
		if w.spent+w.owed > mostOver*w.most {
			w.undone = true
			return result{}, errWork
		}
	}
	if err != nil {
		if !last {
			if finer := w.finer(err); len(finer) > 0 {
				return result{finer: finer}, nil
			}
		}
		if plan = w.clip(rings); plan == nil {
			return result{}, err
		}
		r.note = fmt.Sprintf("the boundary of this face crosses or touches itself (%v): its triangles may fold there", err)
		if !flat {
			plan = w.bisect(f.surface, plan, tol.RefineShare*w.body.chord+off)
			if w.undone {
				deviation = w.deviationOfCut(f.surface, plan)
			} else {
				deviation = w.deviation(f.surface, plan)
			}
			w.keepInner(boundary)
		}
	} else {
		if !flat {
			w.fill(f.surface, &m)
			deviation = w.refine(f.surface, &m, tol.RefineShare*w.body.chord+off)
			w.keepInner(boundary)
		}
		plan = w.plan.Triangles()
	}
	forward := f.forward != turned
	r.triangles = make([][3]int32, 0, len(plan))
	for _, t := range plan {
		a, b, c := w.ids[t[0]], w.ids[t[1]], w.ids[t[2]]
		if a == b || b == c || c == a {
			continue // at a pole
		}
		if !forward {
			b, c = c, b
		}
		r.triangles = append(r.triangles, [3]int32{a, b, c})
	}
	r.inner = w.inner
	r.deviation = deviation
	if off > max(w.body.chord, w.body.from.UncertaintyMM) {
		if r.note != "" {
			r.note += "; "
		}
		r.note += fmt.Sprintf("the edges of this face lie up to %.3g mm off its surface", off)
		r.deviation = max(r.deviation, off)
	}
	r.extent = w.faceExtent(f.surface, r.deviation)
	w.rings, w.cover = rings, plan
	w.integrate(f.surface, forward, &r.sums)
	// Where edges lie off the surface the faces leave a gap of that width: what it lacks of the
	// integrals is its area times the reach of the body.
	round := 0.0
	for _, s := range w.segments {
		round += w.space[s[0]].Sub(w.space[s[1]]).Norm()
	}
	r.sums.gap(off*round, w.body.box.Diagonal()/2)
	return r, nil
}

// keepInner makes points of the face's own of all beyond the boundary's.
func (w *worker) keepInner(boundary int) {
	for i := boundary; i < len(w.uv); i++ {
		w.ids = append(w.ids, ^int32(len(w.inner)))
		w.inner = append(w.inner, w.space[i])
	}
}

// gatherBoundary numbers the boundary points that differ and lists the segments between them. Two
// runs along the same segment enclose nothing and are left out: a slit.
func (w *worker) gatherBoundary(rings []ring) {
	w.uv, w.ids, w.segments, w.along = w.uv[:0], w.ids[:0], w.segments[:0], w.along[:0]
	w.after, w.many = w.after[:0], w.many[:0]
	if w.first == nil {
		w.first = map[int32][]int32{}
	}
	clear(w.first)
	w.box = r2.EmptyRect()
	for i := range rings {
		for k := range rings[i].nodes {
			w.box = w.box.AddPoint(rings[i].nodes[k].uv)
		}
	}
	near := w.near()
	repeats := false
	number := func(n *node) int32 {
		known := w.first[n.id]
		if n := len(known) / scanPerUnit; n > 0 && !w.may(int64(n)) {
			known = nil // the face will be closed otherwise
		}
		for _, k := range known {
			if d := w.uv[k].Sub(n.uv); math.Abs(d.X)+math.Abs(d.Y) <= near {
				repeats = true
				return k
			}
		}
		k := int32(len(w.uv))
		w.uv = append(w.uv, n.uv)
		w.ids = append(w.ids, n.id)
		w.after = append(w.after, -1)
		w.many = append(w.many, false)
		w.first[n.id] = append(w.first[n.id], k)
		return k
	}
	for i := range rings {
		nodes := rings[i].nodes
		start := number(&nodes[0])
		a := start
		for k := 1; k <= len(nodes); k++ {
			b := start
			if k < len(nodes) {
				b = number(&nodes[k])
			}
			if a != b {
				w.segments = append(w.segments, [2]int32{a, b})
				w.along = append(w.along, nodes[k-1].edge)
			}
			a = b
		}
	}
	if repeats {
		w.cancelSlits()
	}
	for i, s := range w.segments {
		if w.after[s[0]] >= 0 {
			w.many[s[0]] = true
		}
		w.after[s[0]] = int32(i)
	}
}

// near is the distance under which two parameter points of one vertex are one.
func (w *worker) near() float64 {
	return tol.SameParameterShare * (w.box.X.Length() + w.box.Y.Length())
}

func (w *worker) cancelSlits() {
	count := map[[2]int32]int{}
	for _, s := range w.segments {
		count[[2]int32{min(s[0], s[1]), max(s[0], s[1])}]++
	}
	kept, along := w.segments[:0], w.along[:0]
	for i, s := range w.segments {
		key := [2]int32{min(s[0], s[1]), max(s[0], s[1])}
		if n := count[key]; n%2 == 0 {
			continue
		}
		count[key] = 0
		kept, along = append(kept, s), append(along, w.along[i])
	}
	w.segments, w.along = kept, along
	// What is on no segment any more is no corner.
	used := make([]int32, len(w.uv))
	for i := range used {
		used[i] = -1
	}
	n := int32(0)
	for i := range w.segments {
		for e := range 2 {
			k := w.segments[i][e]
			if used[k] < 0 {
				used[k] = 0
			}
		}
	}
	for k, u := range used {
		if u == 0 {
			w.uv[n], w.ids[n] = w.uv[k], w.ids[k]
			used[k] = n
			n++
		}
	}
	w.uv, w.ids, w.after, w.many = w.uv[:n], w.ids[:n], w.after[:n], w.many[:n]
	for i := range w.segments {
		w.segments[i][0], w.segments[i][1] = used[w.segments[i][0]], used[w.segments[i][1]]
	}
}

// onBoundary tells whether two points are the ends of a boundary segment.
func (w *worker) onBoundary(a, b int32) bool {
	if int(a) >= len(w.after) || int(b) >= len(w.after) {
		return false
	}
	for range 2 {
		if w.many[a] {
			w.charge(int64(len(w.segments) / scanPerUnit))
			for _, s := range w.segments {
				if s == [2]int32{a, b} || s == [2]int32{b, a} {
					return true
				}
			}
			return false
		}
		if k := w.after[a]; k >= 0 && w.segments[k][1] == b {
			return true
		}
		a, b = b, a
	}
	return false
}

// innerBudget bounds the inner points of all faces of a body together, and leastInner is every
// face's share at least: the work for a file grows with its length and not with the radii in it.
const (
	innerBudget = 1 << 22
	leastInner  = 1 << 14
)

func (w *worker) innerLimit() int { return max(innerBudget/len(w.body.faces), leastInner) }

// refine adds points until the surface stands off every triangle by no more than it may, looked
// at over the middles of its inner edges and its centroid, and returns the largest deviation
// left. Deviation is taken along the surface's normal: a slip along the surface is none.
func (w *worker) refine(s shape.Surface, m *metric, allowed float64) float64 {
	worst := 0.0
	var asked r2.Point
	limit, look := w.innerLimit(), w.lookCost()
	// What waits to be looked at is counted apart from what is owed.
	w.owed = w.owed / (w.measureCost() + look) * w.measureCost()
	looked := func(t [3]int32) (r2.Point, bool) {
		worst = max(worst, w.deviationAt(s, t))
		return r2.Point{}, false
	}
	w.plan.Refine(math.MaxInt, func(t [3]int32) (r2.Point, bool) {
		if len(w.plan.Points()) > len(w.uv) {
			w.took(s, asked)
			w.owed -= 2 * look
		}
		w.charge(look)
		if waiting := int64(w.plan.Waiting()+newTriangles) * look; w.spent+w.owed+waiting > w.most {
			w.undone = true
			return looked(t)
		}
		if len(w.plan.Points()) >= limit {
			return looked(t)
		}
		least, place, at := allowed, r2.Point{}, false
		left := 0.0
		for i := range 3 {
			a, b := t[i], t[(i+1)%3]
			edge := w.onBoundary(a, b)
			uv := w.uv[a].Add(w.uv[b]).Mul(0.5)
			d := offSurface(s, uv, w.space[a].Add(w.space[b]).Mul(0.5))
			if edge {
				continue
			}
			if d > least {
				least, place, at = d, uv, true
			}
			left = max(left, d)
		}
		if !at {
			uv := w.uv[t[0]].Add(w.uv[t[1]]).Add(w.uv[t[2]]).Mul(1.0 / 3)
			d := offSurface(s, uv, w.space[t[0]].Add(w.space[t[1]]).Add(w.space[t[2]]).Mul(1.0/3))
			if d > least {
				place, at = uv, true
			}
			left = max(left, d)
		}
		if !at && left > least/2 {
			// Where the curvature changes its sign the middles are not the farthest.
			for i := range 3 {
				a, b, c := t[i], t[(i+1)%3], t[(i+2)%3]
				uv := w.uv[a].Mul(0.5).Add(w.uv[b].Add(w.uv[c]).Mul(0.25))
				d := offSurface(s, uv, w.space[a].Mul(0.5).Add(w.space[b].Add(w.space[c]).Mul(0.25)))
				if d > least {
					place, at = uv, true
					break
				}
				left = max(left, d)
			}
		}
		if !at {
			worst = max(worst, left)
		}
		if at {
			w.charge(insertUnits + w.cost.Evaluate)
		}
		asked = place
		return m.to(place), at
	})
	if len(w.plan.Points()) > len(w.uv) {
		w.took(s, asked)
		w.owed -= 2 * look
	}
	return worst
}

// took extends the tables by a point that was inserted.
func (w *worker) took(s shape.Surface, uv r2.Point) {
	w.chargeFlips(1)
	w.uv = append(w.uv, uv)
	w.space = append(w.space, s.Point(uv.X, uv.Y))
	w.owed += 2 * (w.measureCost() + w.lookCost())
}

// lookUnits is what looking at a triangle takes beside the evaluation of its surface at
// lookEvaluations places; an insertion makes about newTriangles that will be looked at.
const (
	lookUnits       = 6
	lookEvaluations = 8
	newTriangles    = 6
)

func (w *worker) lookCost() int64 { return lookUnits + lookEvaluations*w.cost.Evaluate }

// region triangulates the boundary in the plane of points within the work that is left.
func (w *worker) region(points []r2.Point) error {
	w.plan.Limit = int(max((w.most-w.spent)/crossingUnits, leastCrossings))
	err := w.plan.Region(points, w.segments)
	w.flipped = 0
	defer w.chargeFlips(len(points))
	if _, costly := err.(*triangulate.Costly); costly {
		w.undone = true
		return errWork
	}
	w.charge(insertUnits*int64(len(points)) + crossingUnits*int64(w.plan.Crossed()))
	return err
}

// A segment is taken through an edge in crossingUnits; leastCrossings may be had in any case.
const (
	crossingUnits  = 2
	leastCrossings = 1 << 10
)

// deviationOfCut is the largest deviation over triangles whose refinement was cut short.
func (w *worker) deviationOfCut(s shape.Surface, plan [][3]int32) float64 {
	worst := 0.0
	w.charge(int64(len(plan)) * w.lookCost())
	for _, t := range plan {
		worst = max(worst, w.deviationAt(s, t))
	}
	return worst
}

// deviationAt is the largest deviation over a triangle, looked at where refine would have.
func (w *worker) deviationAt(s shape.Surface, t [3]int32) float64 {
	worst := 0.0
	for _, m := range [...][3]float64{{1. / 3, 1. / 3, 1. / 3}, {0.5, 0.5, 0}, {0, 0.5, 0.5}, {0.5, 0, 0.5}, {0.5, 0.25, 0.25}, {0.25, 0.5, 0.25}, {0.25, 0.25, 0.5}} {
		uv := w.uv[t[0]].Mul(m[0]).Add(w.uv[t[1]].Mul(m[1])).Add(w.uv[t[2]].Mul(m[2]))
		p := w.space[t[0]].Mul(m[0]).Add(w.space[t[1]].Mul(m[1])).Add(w.space[t[2]].Mul(m[2]))
		d := offSurface(s, uv, p)
		if d > w.body.chord {
			// One step to the foot is not enough where triangles are large; the surface is
			// in any case no farther than its point of the same parameters.
			d = p.Sub(s.Point(uv.X, uv.Y)).Norm()
		}
		worst = max(worst, d)
	}
	return worst
}

// deviation is the largest at the centroids of triangles.
func (w *worker) deviation(s shape.Surface, plan [][3]int32) float64 {
	worst := 0.0
	for _, t := range plan {
		uv := w.uv[t[0]].Add(w.uv[t[1]]).Add(w.uv[t[2]]).Mul(1.0 / 3)
		worst = max(worst, offSurface(s, uv, w.space[t[0]].Add(w.space[t[1]]).Add(w.space[t[2]]).Mul(1.0/3)))
	}
	return worst
}

// offSurface is the distance of a flat point from the surface near uv.
//
// The flat point and S(uv) differ along the surface as well: by the sagitta of a long edge on a
// surface that bends within its tangent plane, as a torus does at its top. One step to the foot
// of the perpendicular takes that slip out; the first guess would be off by half its square over
// the radius.
func offSurface(s shape.Surface, uv r2.Point, p r3.Vector) float64 {
	q, du, dv := s.First(uv.X, uv.Y)
	d := p.Sub(q)
	n := du.Cross(dv)
	n2 := n.Norm2()
	if !(n2 > tol.AxesSine*du.Norm2()*dv.Norm2()) {
		return d.Norm()
	}
	off := math.Abs(d.Dot(n)) / math.Sqrt(n2)
	if slip2 := d.Norm2() - off*off; slip2 <= off*off {
		return off
	}
	// d = a du + b dv + c n, by Cramer's rule.
	a, b := d.Cross(dv).Dot(n)/n2, du.Cross(d).Dot(n)/n2
	q, du, dv = s.First(uv.X+a, uv.Y+b)
	n = du.Cross(dv)
	if l := n.Norm(); l > 0 {
		return math.Abs(p.Sub(q).Dot(n)) / l
	}
	return off
}

// closing covers a face without looking at its surface. Each boundary point is used, each boundary
// edge once, so that the shell closes all the same.
func (w *worker) closing(f *face, note string) result {
	w.inner = nil
	r := result{note: note, closing: true}
	type loop []int32
	var loops []loop
	for l := range f.Loops {
		var ids loop
		uses := f.Loops[l].Uses
		for i := range uses {
			e := &w.body.edges[w.body.edgeOf[uses[i].Edge]]
			if e.merged {
				continue
			}
			n := len(e.ts)
			if uses[i].Forward {
				ids = append(ids, e.a)
				for k := range n {
					ids = append(ids, e.first+int32(k))
				}
			} else {
				ids = append(ids, e.b)
				for k := n - 1; k >= 0; k-- {
					ids = append(ids, e.first+int32(k))
				}
			}
		}
		if len(ids) > 2 {
			loops = append(loops, ids)
		}
	}
	if len(loops) == 0 {
		if !hasEdges(f.Face) {
			r.note = note + "; it has no edges, so that nothing stands for it"
		}
		return r
	}
	point := func(id int32) r3.Vector { return w.body.points[id] }
	var normal r3.Vector
	for _, ids := range loops {
		o := point(ids[0])
		for i := range ids {
			normal = normal.Add(point(ids[i]).Sub(o).Cross(point(ids[(i+1)%len(ids)]).Sub(o)))
		}
	}
	flat := false
	if normal.Norm() > 0 {
		z := normal.Normalize()
		x := z.Ortho()
		y := z.Cross(x)
		var rings []ring
		for _, ids := range loops {
			var g ring
			for _, id := range ids {
				p := point(id)
				g.nodes = append(g.nodes, node{uv: r2.Point{X: p.Dot(x), Y: p.Dot(y)}, id: id, edge: -1})
			}
			rings = append(rings, g)
		}
		w.gatherBoundary(rings)
		if len(w.segments) >= 3 && w.region(w.uv) == nil && len(w.plan.Touches()) == 0 {
			for _, t := range w.plan.Triangles() {
				a, b, c := w.ids[t[0]], w.ids[t[1]], w.ids[t[2]]
				if a != b && b != c && c != a {
					r.triangles = append(r.triangles, [3]int32{a, b, c})
				}
			}
			flat = true
		}
	}
	if !flat {
		for _, ids := range loops {
			var c r3.Vector
			for _, id := range ids {
				c = c.Add(point(id))
			}
			centre := ^int32(len(r.inner))
			r.inner = append(r.inner, c.Mul(1/float64(len(ids))))
			for i, id := range ids {
				if next := ids[(i+1)%len(ids)]; next != id {
					r.triangles = append(r.triangles, [3]int32{id, next, centre})
				}
			}
		}
	}
	at := func(id int32) r3.Vector {
		if id >= 0 {
			return point(id)
		}
		return r.inner[^id]
	}
	o := w.body.origin()
	for _, t := range r.triangles {
		r.sums.flat(at(t[0]).Sub(o), at(t[1]).Sub(o), at(t[2]).Sub(o))
	}
	if f.surface != nil {
		// The distance that the flat triangles are known to stand off by.
		for _, t := range r.triangles {
			if !w.may(w.cost.Search) {
				r.deviation = w.body.box.Diagonal()
				break
			}
			c := at(t[0]).Add(at(t[1])).Add(at(t[2]))
			if _, d := f.surface.Parameters(c.Mul(1.0/3), r2.Point{}, false); d-d == 0 {
				r.deviation = max(r.deviation, d)
			} else {
				r.deviation = w.body.box.Diagonal()
			}
		}
	}
	w.space = w.space[:0]
	for _, ids := range loops {
		for _, id := range ids {
			w.space = append(w.space, point(id))
		}
	}
	r.extent.box = geom.BoxOf(append(w.space, r.inner...))
	for k := range 3 {
		r.extent.low[k], r.extent.up[k] = r.deviation, r.deviation
	}
	round := 0.0
	for _, t := range r.triangles {
		for k := range 3 {
			round += at(t[k]).Sub(at(t[(k+1)%3])).Norm()
		}
	}
	r.sums.deviation(r.deviation, round)
	return r
}
