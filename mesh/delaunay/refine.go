package delaunay

import "github.com/golang/geo/r2"

// Len is the number of triangles, inside and outside.
func (w *Workspace) Len() int { return len(w.triangles) }

// Inside says whether triangle t belongs to the region.
func (w *Workspace) Inside(t int) bool { return w.triangles[t].inside }

// Corners are the point indices of triangle t, counter-clockwise. They mean something only for a
// triangle inside.
func (w *Workspace) Corners(t int) [3]int32 {
	c := w.triangles[t].corner
	return [3]int32{c[0] - hull, c[1] - hull, c[2] - hull}
}

// Fixed says whether the edge of t opposite to corner k is a constraint.
func (w *Workspace) Fixed(t, k int) bool { return w.triangles[t].fixed>>k&1 != 0 }

// Next is the triangle across the edge of t opposite to corner k, or -1.
func (w *Workspace) Next(t, k int) int { return int(w.triangles[t].next[k]) }

// Points is the number of points, given and added.
func (w *Workspace) Points() int { return len(w.points) - hull }

// Point is a point by its index.
func (w *Workspace) Point(p int32) r2.Point { return w.points[p+hull] }

// Same is the point that stands for p: another of the same place, or p.
func (w *Workspace) Same(p int32) int32 { return w.same[p+hull] - hull }

// Add inserts a point near triangle t and returns its index. It is refused, with -1, if it does
// not lie strictly inside the region as seen from t, lies on a constraint or at another point.
// Triangles that change are reported by [Workspace.TakeChanged].
func (w *Workspace) Add(p r2.Point, t int) int32 {
	at, k, how, ok := w.find(p, int32(t), true)
	if !ok || how == atCorner || !w.triangles[at].inside {
		return -1
	}
	if how == onEdge && w.triangles[at].fixed>>k&1 != 0 {
		return -1
	}
	i := int32(len(w.points))
	w.points = append(w.points, p)
	w.of = append(w.of, none)
	w.same = append(w.same, i)
	w.place(i, at, k, how)
	return i - hull
}

// TakeChanged appends to list the triangles that changed since it was last called, each once, in
// an order that depends on the input only.
func (w *Workspace) TakeChanged(list []int32) []int32 {
	for _, t := range w.changed {
		w.triangles[t].queued = false
	}
	list = append(list, w.changed...)
	w.changed = w.changed[:0]
	return list
}
