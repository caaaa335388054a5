package triangulate

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"

	"pocketgauge/mesh/geom"
)

// Workspace holds one triangulation and the memory for the next. The zero value is ready; one
// goroutine at a time may use it, for as many regions as it likes.
type Workspace struct {
	points  []r2.Point // three far corners, then the caller's, then inserted ones
	at      []int32    // a triangle at each point
	tris    []triangle
	stack   []int32
	cross   [][2]int32
	fresh   [][2]int32
	queue   []int32
	order   []uint64
	odd     []bool
	touches []Touch
	inside  [][3]int32
	listed  bool // inside is up to date
	ready   bool // the last Region succeeded
	refine  bool // changed triangles go on queue
	last    int32
	waiting int
	random  uint32
	// Limit bounds the edges that segments are taken through, each as often as it is looked at, or
	// is 0 for no bound. Where it does not suffice Region gives a *Costly.
	Limit   int
	crossed int
	flipped int
}

// triangle: v counter-clockwise, n[i] across the edge opposite v[i], none beyond the far corners.
type triangle struct {
	v, n   [3]int32
	fixed  uint8 // bit i: the edge opposite v[i] lies on a segment
	odd    uint8 // bit i: on an odd number of them, so it parts inside from outside
	inside bool
	queued bool
}

const (
	none = int32(-1)
	far  = 3 // corners that are not the caller's
)

// Touch says that a segment runs exactly through a point that is not one of its ends, and is a
// chain of edges there.
type Touch struct {
	Segment, Point int
}

// Crossing is the error of two segments, by index, that cross.
type Crossing struct{ A, B int }

func (e *Crossing) Error() string { return fmt.Sprintf("segments %d and %d cross", e.A, e.B) }

// Repeated is the error of two points, by index, at one place; of a segment from a point to
// itself when the two are equal.
type Repeated struct{ A, B int }

func (e *Repeated) Error() string {
	if e.A == e.B {
		return fmt.Sprintf("a segment runs from point %d to itself", e.A)
	}
	return fmt.Sprintf("points %d and %d lie at one place", e.A, e.B)
}

// Open is the error of a point at which an odd number of segments end: they enclose nothing.
type Open struct{ Point int }

func (e *Open) Error() string {
	return fmt.Sprintf("the boundary is open at point %d", e.Point)
}

// Costly is the error of segments that cross more edges than Workspace.Limit.
type Costly struct{ Limit int }

func (e *Costly) Error() string {
	return fmt.Sprintf("the segments run through edges more than %d times", e.Limit)
}

// Unusable is the error of a point that is not finite, or farther out than the exact signs reach.
type Unusable struct {
	Point int
	At    r2.Point
}

func (e *Unusable) Error() string {
	return fmt.Sprintf("point %d at (%g, %g) is outside the plane of numbers", e.Point, e.At.X, e.At.Y)
}

// The exact signs multiply four differences of coordinates, last bits and all. No coordinate is
// taken beyond farthest, and one nearer to zero than nearest is taken for zero: then the last bit
// of such a product is at least 2^-1016 and its first below 2^832, and nothing over- or underflows.
const (
	farthest = 0x1p200
	nearest  = 0x1p-200
)

// usable is p as the signs can take it.
func usable(p r2.Point) (r2.Point, bool) {
	x, y := math.Abs(p.X), math.Abs(p.Y)
	if x < nearest {
		p.X = 0
	}
	if y < nearest {
		p.Y = 0
	}
	return p, x <= farthest && y <= farthest
}

// Region triangulates what the segments enclose by the even-odd rule. Segments are pairs of
// indices into points; the caller keeps both slices, and they may change afterwards. Points on no
// segment become corners when they lie inside. A segment given twice is an edge that parts
// nothing. The error is a *Crossing, *Repeated, *Open, *Unusable or *Costly, or says that a segment names
// no point; then there are no triangles.
func (w *Workspace) Region(points []r2.Point, segments [][2]int32) error {
	w.ready, w.listed, w.refine = false, false, false
	w.inside, w.touches, w.tris = w.inside[:0], w.touches[:0], w.tris[:0]
	w.points, w.at, w.queue = w.points[:0], w.at[:0], w.queue[:0]
	w.random = 1
	w.crossed, w.flipped = 0, 0
	if len(points) == 0 {
		if len(segments) > 0 {
			return fmt.Errorf("segment 0 names point %d of none", segments[0][0])
		}
		w.ready = true
		return nil
	}
	if len(points) > math.MaxInt32/4 {
		return fmt.Errorf("%d points are more than can be numbered", len(points))
	}
	if w.quadrilateral(points, segments) {
		w.ready = true
		return nil
	}
	w.points = w.points[:0]
	if err := w.enclose(points); err != nil {
		return err
	}
	if err := w.closed(len(points), segments); err != nil {
		return err
	}
	if err := w.addPoints(len(points)); err != nil {
		return err
	}
	for i, s := range segments {
		if err := w.addSegment(i, s[0]+far, s[1]+far, segments); err != nil {
			w.tris = w.tris[:0]
			return err
		}
	}
	w.flood()
	w.ready = true
	return nil
}

// swallowed is a share of a coordinate that rounding leaves 13 bits of.
const swallowed = 0x1p-40

// enclose copies the points behind a triangle that holds them all, ten sizes away: nearer ones
// would only make more work for the segments.
func (w *Workspace) enclose(points []r2.Point) error {
	w.points = append(w.points, r2.Point{}, r2.Point{}, r2.Point{})
	lo, hi := points[0], points[0]
	for i, p := range points {
		p, ok := usable(p)
		if !ok {
			return &Unusable{i, points[i]}
		}
		w.points = append(w.points, p)
		lo.X, lo.Y = min(lo.X, p.X), min(lo.Y, p.Y)
		hi.X, hi.Y = max(hi.X, p.X), max(hi.Y, p.Y)
	}
	c := r2.Point{X: lo.X/2 + hi.X/2, Y: lo.Y/2 + hi.Y/2}
	size := max(hi.X-lo.X, hi.Y-lo.Y)
	// A size that rounding swallows beside the place would put the corners among the points.
	size = max(size, math.Abs(c.X)*swallowed, math.Abs(c.Y)*swallowed, nearest)
	w.points[0] = r2.Point{X: c.X - 30*size, Y: c.Y - 10*size}
	w.points[1] = r2.Point{X: c.X + 30*size, Y: c.Y - 10*size}
	w.points[2] = r2.Point{X: c.X, Y: c.Y + 30*size}
	if cap(w.at) < len(w.points) {
		w.at = make([]int32, 0, len(w.points)+len(w.points)/2)
	}
	w.at = w.at[:len(w.points)]
	for i := range w.at {
		w.at[i] = 0
	}
	if need := 2*len(w.points) + 4; cap(w.tris) < need {
		w.tris = make([]triangle, 0, need+need/2)
	}
	w.tris = append(w.tris, triangle{v: [3]int32{0, 1, 2}, n: [3]int32{none, none, none}})
	w.last = 0
	return nil
}

// closed checks that an even number of segments ends at every point: without that, even-odd
// depends on the way round.
func (w *Workspace) closed(n int, segments [][2]int32) error {
	if cap(w.odd) < n {
		w.odd = make([]bool, n+n/2)
	}
	odd := w.odd[:n]
	clear(odd)
	for i, s := range segments {
		for _, e := range s {
			if e < 0 || int(e) >= n {
				return fmt.Errorf("segment %d names point %d of %d", i, e, n)
			}
			odd[e] = !odd[e]
		}
		if s[0] == s[1] {
			return &Repeated{int(s[0]), int(s[1])}
		}
	}
	for i, o := range odd {
		if o {
			return &Open{i}
		}
	}
	return nil
}

// flood marks what the segments enclose, from the far corners inwards.
func (w *Workspace) flood() {
	stack := w.stack[:0]
	start := w.at[0]
	// queued serves as "seen" here and is cleared after.
	w.tris[start].queued = true
	stack = append(stack, start)
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		a := &w.tris[t]
		for i, n := range a.n {
			if n == none {
				continue
			}
			b := &w.tris[n]
			if b.queued {
				continue
			}
			b.queued = true
			b.inside = a.inside != (a.odd>>i&1 == 1)
			stack = append(stack, n)
		}
	}
	for i := range w.tris {
		w.tris[i].queued = false
	}
	w.stack = stack
}

// Triangles are the triangles inside, counter-clockwise, as indices into Points. The slice is
// the workspace's: it is good until the next call of Region, Insert or Refine.
func (w *Workspace) Triangles() [][3]int32 {
	if !w.ready {
		return nil
	}
	if w.listed {
		return w.inside
	}
	w.inside = w.inside[:0]
	for i := range w.tris {
		if t := &w.tris[i]; t.inside {
			w.inside = append(w.inside, [3]int32{t.v[0] - far, t.v[1] - far, t.v[2] - far})
		}
	}
	w.listed = true
	return w.inside
}

// Crossed is how many edges segments were taken through, each as often as it was looked at.
func (w *Workspace) Crossed() int { return w.crossed }

// Flipped is how many edges were flipped since Region began.
func (w *Workspace) Flipped() int { return w.flipped }

// Points are those given to Region and then those inserted. The slice is the workspace's: it is
// good until the next call of Region, Insert or Refine.
func (w *Workspace) Points() []r2.Point {
	if len(w.points) < far {
		return nil
	}
	return w.points[far:]
}

// Touches lists where a segment runs through a point between its ends.
func (w *Workspace) Touches() []Touch { return w.touches }

// crossing names the first earlier segment that meets the segment k between the ends of both.
func (w *Workspace) crossing(k int, segments [][2]int32) *Crossing {
	a, b := w.points[segments[k][0]+far], w.points[segments[k][1]+far]
	for j, s := range segments[:k] {
		c, d := w.points[s[0]+far], w.points[s[1]+far]
		if geom.Orient2D(a, b, c)*geom.Orient2D(a, b, d) < 0 && geom.Orient2D(c, d, a)*geom.Orient2D(c, d, b) < 0 {
			return &Crossing{j, k}
		}
	}
	return &Crossing{k, k}
}
