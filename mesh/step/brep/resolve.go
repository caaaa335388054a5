package brep

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// piece is how many entities one turn takes: few enough that a few long b-splines spread, enough
// that the counter is idle.
const piece = 32

// resolve makes the geometry that going through the topology has put on the lists.
func (r *reader) resolve() {
	parallel.Chunks(len(r.vertices), piece, func(_, from, to, _ int) {
		for k := from; k < to; k++ {
			v := &r.vertices[k]
			b := builder{scale: v.scale}
			v.vertex.Point, v.err = b.point(v.point)
			if v.err == nil && !isFinite(v.vertex.Point) {
				v.err = v.point.Errorf("a coordinate is not a number")
				v.vertex.Point = r3.Vector{}
			}
		}
	})
	parallel.Chunks(len(r.curves), piece, func(_, from, to, _ int) {
		for k := from; k < to; k++ {
			if c := &r.curves[k]; c.err == nil {
				c.curve, c.err = r.newBuilder(c.scale).curve(c.from)
			}
		}
	})
	parallel.Chunks(len(r.surfaces), piece, func(_, from, to, _ int) {
		for k := from; k < to; k++ {
			if s := &r.surfaces[k]; s.err == nil {
				s.surface, s.err = r.newBuilder(s.scale).surface(s.from)
				s.surface, s.turned = canonical(s.surface)
			}
		}
	})
	r.boundFinding()
	parallel.Chunks(len(r.edges), piece, func(_, from, to, _ int) {
		for k := from; k < to; k++ {
			r.cut(&r.edges[k])
		}
	})
	for k := range r.vertices {
		if v := &r.vertices[k]; v.err != nil {
			r.noteAt(v.point, "the point of vertex #%d could not be read and is taken for the origin: %v", v.vertex.ID, v.err)
		}
	}
	for k := range r.edges {
		r.reportEdge(&r.edges[k])
	}
	for k := range r.faces {
		r.fillFace(&r.faces[k])
	}
}

func isFinite(v r3.Vector) bool {
	return v.X-v.X == 0 && v.Y-v.Y == 0 && v.Z-v.Z == 0
}

// boundFinding leaves edges straight where finding their vertices would take too long. Edges are
// charged in file order, whatever the number of cores.
func (r *reader) boundFinding() {
	costs := make([]int64, len(r.curves))
	sum := int64(0)
	for k := range r.edges {
		e := &r.edges[k]
		if e.curve < 0 || r.curves[e.curve].err != nil {
			continue
		}
		c := &costs[e.curve]
		if *c == 0 {
			*c = 2 * shape.CostOfCurve(r.curves[e.curve].curve).Search
		}
		if sum += *c; sum > r.most.finding {
			sum -= *c
			e.edge.Err = e.from.Errorf("too many edges share curves of so many parts").Error()
		}
	}
}

// cut finds where the vertices of an edge lie on its curve.
func (r *reader) cut(entry *edgeEntry) {
	e := entry.edge
	if entry.curve < 0 {
		straighten(e)
		return
	}
	if e.Err != "" {
		straighten(e)
		return
	}
	c := &r.curves[entry.curve]
	if c.err != nil {
		straighten(e)
		e.Err = c.err.Error()
		return
	}
	e.Curve = c.curve
	e.T0, e.T1, e.MissMM = between(c.curve, e.Start, e.End, entry.same)
	if !(e.T0-e.T0 == 0 && e.T1-e.T1 == 0 && e.MissMM-e.MissMM == 0) {
		straighten(e)
		e.Err = entry.from.Errorf("its vertices have no place on its curve").Error()
	}
}

// between gives the parameters of the piece of a curve from start to end, with the curve or
// against it, and how far the vertices lie off the curve.
//
// A line and an open curve have one piece between two points. On a closed curve there are two,
// and the sense tells them apart; a vertex at the seam has two parameters, and whole periods
// are added until the piece has its sense and at most one period. An edge whose ends are one
// vertex is the whole of a closed curve.
func between(c shape.Curve, start, end *Vertex, same bool) (t0, t1, miss float64) {
	sense := 1.0
	if !same {
		sense = -1
	}
	d := c.Domain()
	if t0, t1, miss, ok := atEnds(c, start, end, sense); ok {
		return t0, t1, miss
	}
	t0, miss = c.Parameter(start.Point, 0, false)
	period := c.Period()
	if start == end {
		if period > 0 {
			return t0, t0 + sense*period, miss
		}
		// Not closed by its own account: a loop where both ends of the curve come to the
		// vertex, else an edge of no length.
		if isBounded(d.Lo) && isBounded(d.Hi) {
			lo, hi := c.Point(d.Lo).Sub(start.Point).Norm(), c.Point(d.Hi).Sub(start.Point).Norm()
			if max(lo, hi) <= max(miss, tol.EdgeMissMM) {
				if same {
					return d.Lo, d.Hi, max(lo, hi)
				}
				return d.Hi, d.Lo, max(lo, hi)
			}
		}
		return t0, t0, miss
	}
	t1, miss1 := c.Parameter(end.Point, 0, false)
	miss = max(miss, miss1)
	if period > 0 {
		turn := math.Mod((t1-t0)*sense, period)
		if turn < 0 {
			turn += period
		}
		// Two vertices at one place bound the whole curve, unless it is the piece of no length
		// that their order gives.
		if turn == 0 {
			turn = period
		}
		t1 = t0 + sense*turn
	}
	return t0, t1, miss
}

func isBounded(t float64) bool { return !math.IsInf(t, 0) }

// atEnds is the quick way for the b-spline that runs from one vertex to the other, as most do.
func atEnds(c shape.Curve, start, end *Vertex, sense float64) (t0, t1, miss float64, ok bool) {
	s, isSpline := c.(*shape.BSplineCurve)
	if !isSpline {
		return 0, 0, 0, false
	}
	a, b := s.Ends()
	t := s.Domain()
	t0, t1 = t.Lo, t.Hi
	if sense < 0 {
		a, b = b, a
		t0, t1 = t1, t0
	}
	miss = max(a.Sub(start.Point).Norm(), b.Sub(end.Point).Norm())
	return t0, t1, miss, miss <= s.Closeness()
}

func (r *reader) reportEdge(entry *edgeEntry) {
	e := entry.edge
	switch {
	case e.Err != "":
		r.noteAt(entry.from, "the curve of this edge was not understood and a straight line took its place: %s", e.Err)
	case e.MissMM > max(tol.EdgeMissMM, entry.scale.uncertainty):
		r.noteAt(entry.from, "the vertices of this edge lie %.3g mm off its curve", e.MissMM)
	case e.T0 == e.T1:
		r.noteAt(entry.from, "this edge has no length")
	}
}

// fillFace gives a face its surface.
func (r *reader) fillFace(entry *faceEntry) {
	f := entry.face
	switch {
	case entry.surface >= 0:
		s := &r.surfaces[entry.surface]
		if s.err != nil {
			f.Err = s.err.Error()
		} else {
			f.Surface = s.surface
			f.Forward = f.Forward != s.turned
		}
	case entry.surface == -1 && f.Err == "":
		f.Surface, f.Err = planeOf(entry)
	}
	if f.Err != "" {
		r.noteAt(entry.from, "this face was not understood: %s", f.Err)
	}
}

// planeOf finds the plane of a polygon without a surface: the vector of its area, Newell's sum
// of x[i] x x[i+1] taken about its first corner, is the outward normal whatever its shape. The
// plane goes through the mean of the corners.
func planeOf(entry *faceEntry) (shape.Surface, string) {
	f := entry.face
	var loop *Loop
	var normal r3.Vector
	for k := range f.Loops {
		l := &f.Loops[k]
		if len(l.Uses) == 0 {
			continue
		}
		// The outer polygon is the one of the largest area.
		var n r3.Vector
		o := corner(&l.Uses[0])
		for u := range l.Uses {
			n = n.Add(corner(&l.Uses[u]).Sub(o).Cross(corner(&l.Uses[(u+1)%len(l.Uses)]).Sub(o)))
		}
		if n.Norm2() > normal.Norm2() {
			loop, normal = l, n
		}
	}
	if loop == nil {
		return nil, entry.from.Errorf("a face without a surface and without a polygon that spans a plane").Error()
	}
	var mean r3.Vector
	for u := range loop.Uses {
		mean = mean.Add(corner(&loop.Uses[u]))
	}
	mean = mean.Mul(1 / float64(len(loop.Uses)))
	f.Forward = true
	plane, err := shape.NewPlane(geom.Frame(mean, normal, firstAxis(normal)))
	if err != nil {
		return nil, entry.from.Errorf("%v", err).Error()
	}
	return plane, ""
}

// corner is the vertex that a use starts from.
func corner(u *Use) r3.Vector {
	if u.Forward {
		return u.Edge.Start.Point
	}
	return u.Edge.End.Point
}
