package triangulate

import "github.com/golang/geo/r2"

// Refine calls bad with each triangle inside, and with each that an insertion makes, in a fixed
// order, and inserts the points it answers with, at most limit of them. It returns how many were
// inserted and whether it came to an end: false when the limit cut it short. A point that Insert
// would refuse is passed over and its triangle left as it is.
//
// bad sees indices into Points, which it may call; a point it answered with is numbered
// len(Points()) of that moment if it was taken, so tables beside Points can be filled up at the
// start of each call. It must not call Region, Insert or Refine.
func (w *Workspace) Refine(limit int, bad func(t [3]int32) (r2.Point, bool)) (inserted int, settled bool) {
	if !w.ready {
		return 0, true
	}
	w.queue = w.queue[:0]
	for i := range w.tris {
		if w.tris[i].inside {
			w.enqueue(int32(i))
		}
	}
	w.refine = true
	head := 0
	settled = true
	for ; head < len(w.queue); head++ {
		w.waiting = len(w.queue) - head - 1
		if head >= 1024 && 2*head >= len(w.queue) {
			n := copy(w.queue, w.queue[head:])
			w.queue, head = w.queue[:n], 0
		}
		t := w.queue[head]
		tr := &w.tris[t]
		tr.queued = false
		p, is := bad([3]int32{tr.v[0] - far, tr.v[1] - far, tr.v[2] - far})
		if !is {
			continue
		}
		if inserted >= limit {
			settled = false
			head++
			break
		}
		if _, ok := w.insertFrom(t, p); ok {
			inserted++
		}
	}
	for _, t := range w.queue[head:] {
		w.tris[t].queued = false
	}
	w.queue = w.queue[:0]
	w.refine, w.waiting = false, 0
	return inserted, settled
}

// Waiting is for what Refine calls: about how many triangles it will be called with beyond this one if
// it asks for no more points.
func (w *Workspace) Waiting() int { return w.waiting }

func (w *Workspace) enqueue(t int32) {
	if tr := &w.tris[t]; !tr.queued {
		tr.queued = true
		w.queue = append(w.queue, t)
	}
}
