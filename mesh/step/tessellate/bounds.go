package tessellate

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// The box of a body is that of its surface. A surface reaches farthest at a vertex, inside an edge
// where the tangent is square to the axis, or inside a face where the tangent plane is. Vertices
// are at hand; from the points of the mesh near the limits the other two are found by descent.
//
// What is left is a face that may reach beyond: no farther than its deviation from its triangles.
// A ruled face ends its rulings on its edges and reaches no farther than they do.

// extent is the box of a face as far as found, and how far it may reach beyond on each side.
type extent struct {
	box     geom.Box
	low, up [3]float64
}

func axisOf(v *r3.Vector, k int) *float64 {
	switch k {
	case 0:
		return &v.X
	case 1:
		return &v.Y
	}
	return &v.Z
}

// faceExtent looks for the box of the face that the worker has just divided.
func (w *worker) faceExtent(s shape.Surface, deviation float64) extent {
	e := extent{box: geom.BoxOf(w.space)}
	switch s.(type) {
	case *shape.Plane, *shape.Cylinder, *shape.Cone, *shape.Extrusion:
		return e
	}
	w.charge(6 * (int64(len(w.space))/scanPerUnit + 2*ascents*w.cost.Evaluate))
	for k := range 3 {
		for _, sign := range [...]float64{-1, 1} {
			edge, top, at := math.Inf(-1), math.Inf(-1), -1
			for i := range w.space {
				x := sign * *axisOf(&w.space[i], k)
				if w.ids[i] >= 0 {
					edge = max(edge, x)
				} else if x > top {
					top, at = x, i
				}
			}
			// What lies within the deviation of the edges may be topped between two points.
			found, beyond := max(edge, top), deviation
			if at >= 0 && top+2*deviation >= edge {
				if x, ok := ascend(s, w.uv[at], k, sign, 2*w.body.chord); ok {
					found, beyond = max(found, x), 0
				}
			}
			if sign < 0 {
				*axisOf(&e.box.Min, k) = min(*axisOf(&e.box.Min, k), -found)
				e.low[k] = beyond
			} else {
				*axisOf(&e.box.Max, k) = max(*axisOf(&e.box.Max, k), found)
				e.up[k] = beyond
			}
		}
	}
	return e
}

// ascents bounds the steps to an extreme point; Newton doubles its digits with each.
const ascents = 12

// ascend finds the extreme value of sign times coordinate k on a surface near uv. It fails where
// that is no simple maximum or lies farther up than most.
func ascend(s shape.Surface, uv r2.Point, k int, sign, most float64) (float64, bool) {
	start := math.Inf(-1)
	for range ascents {
		p, du, dv, duu, duv, dvv := s.Second(uv.X, uv.Y)
		x := sign * *axisOf(&p, k)
		if math.IsInf(start, -1) {
			start = x
		}
		if x-start > most || start-x > most {
			return 0, false
		}
		gu, gv := sign**axisOf(&du, k), sign**axisOf(&dv, k)
		lu, lv := du.Norm(), dv.Norm()
		if math.Abs(gu) <= tol.NearestShare*lu && math.Abs(gv) <= tol.NearestShare*lv {
			return max(x, start), true
		}
		a, b, c := sign**axisOf(&duu, k), sign**axisOf(&duv, k), sign**axisOf(&dvv, k)
		if !(a < 0) || !(a*c-b*b > 0) {
			return 0, false
		}
		det := a*c - b*b
		uv.X -= (c*gu - b*gv) / det
		uv.Y -= (a*gv - b*gu) / det
	}
	return 0, false
}

// roundings is how many units of rounding a coordinate of a surface may have seen: a conversion of
// units, a placement of three products, and the like again for an assembly.
const roundings = 16

// bounds is the box of the body and how far each side may be off.
func (b *body) bounds(mesh geom.Box) (geom.Box, float64) {
	box := mesh
	for _, f := range b.faces {
		if !f.result.extent.box.IsEmpty() && len(f.result.triangles) > 0 {
			box = box.Union(f.result.extent.box)
		}
	}
	whole := true
	for i := range b.edges {
		whole = b.edgeExtent(&b.edges[i], &box) && whole
	}
	off := tol.RoundoffDouble * roundings * box.MaxAbs()
	off = max(off, b.sewnMM)
	if !whole {
		off = max(off, b.chord)
	}
	for i := range b.edges {
		// A vertex off its curve leaves open where the edge ends.
		if miss := b.edges[i].MissMM; miss > off {
			off = miss
		}
	}
	for _, f := range b.faces {
		e := &f.result.extent
		if len(f.result.triangles) == 0 || e.box.IsEmpty() {
			continue
		}
		for k := range 3 {
			off = max(off, *axisOf(&box.Min, k)-(*axisOf(&e.box.Min, k)-e.low[k]),
				*axisOf(&e.box.Max, k)+e.up[k]-*axisOf(&box.Max, k))
		}
	}
	return box, off
}

// mostExtremes bounds the extreme points of one edge: one in a plane square to an axis has as many
// as rounding likes. What is then left reaches no farther than the chord.
const mostExtremes = 64

// edgeExtent extends the box by the extreme points of an edge. They lie between the neighbours of
// points within the chord of the limit, where the tangent's component changes its sign. It tells whether all were looked at.
func (b *body) edgeExtent(e *edge, box *geom.Box) bool {
	if _, straight := e.Curve.(*shape.Line); straight || e.merged || len(e.ts) == 0 {
		return true
	}
	extremes := 0
	at := func(i int) float64 {
		switch {
		case i <= 0:
			return e.T0
		case i > len(e.ts):
			return e.T1
		}
		return e.ts[i-1]
	}
	for i := range e.ts {
		p := b.points[int(e.first)+i]
		for k := range 3 {
			x := *axisOf(&p, k)
			if x-b.chord >= *axisOf(&box.Min, k) && x+b.chord <= *axisOf(&box.Max, k) {
				continue
			}
			lo, hi := at(i), at(i+2)
			slope := func(t float64) float64 {
				_, d, _ := e.Curve.Derivatives(t)
				return *axisOf(&d, k)
			}
			a, c := slope(lo), slope(hi)
			if a*c >= 0 {
				continue
			}
			if extremes++; extremes > mostExtremes {
				return false
			}
			for range 50 {
				m := (lo + hi) / 2
				if s := slope(m); s*a > 0 {
					lo = m
				} else {
					hi = m
				}
			}
			*box = box.AddPoint(e.Curve.Point((lo + hi) / 2))
		}
	}
	return true
}
