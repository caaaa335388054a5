package proximity

import (
	"math"
	"sync/atomic"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/parallel"
)

// Accept says whether a wall counts. It is asked from several goroutines, and only of walls
// thinner than the thinnest so far. A wall given to Least's lies with A on the first kind.
type Accept func(w *Wall) bool

// bound is the length of the thinnest wall found so far, shared by all workers. It only spares
// work: what is found does not depend on who lowers it first.
type bound struct{ bits atomic.Uint64 }

func newBound(reach float64) *bound {
	b := &bound{}
	b.bits.Store(math.Float64bits(reach))
	return b
}

func (b *bound) value() float64 { return math.Float64frombits(b.bits.Load()) }

func (b *bound) lower(to float64) {
	for {
		old := b.bits.Load()
		// Floats that are not negative are in the order of their bits.
		if math.Float64bits(to) >= old || b.bits.CompareAndSwap(old, math.Float64bits(to)) {
			return
		}
	}
}

const (
	// chunk facets are one piece of work.
	chunk = 256
	// scouts are looked at first, evenly spread: a bound near the final one spares most pairs.
	scouts = 1024
)

// Least is the thinnest wall of at most reach between a facet of a and a facet of b, false where
// there is none. accept may be nil.
func Least(m *mesh.Mesh, a, b []int32, reach float64, accept Accept) (Wall, bool) {
	if len(a) == 0 || len(b) == 0 || !(reach >= 0) {
		return Wall{}, false
	}
	swapped := len(a) < len(b)
	if swapped {
		// Walk over the many, search among the few: the few are the large ones.
		a, b = b, a
	}
	s := search{m: m, tree: index.Build(part(m, b)), b: b, swapped: swapped, accept: accept, best: newBound(reach)}
	s.slack, s.box = slack(m.Bounds().MaxAbs()), s.tree.Bounds()
	s.findNormals()
	stride := (len(a) + scouts - 1) / scouts
	s.over((len(a)+stride-1)/stride, func(i int) int32 { return a[i*stride] })
	return s.over(len(a), func(i int) int32 { return a[i] })
}

type search struct {
	m       *mesh.Mesh
	tree    *index.Tree // of the facets of b alone, numbered as in b
	b       []int32
	swapped bool
	accept  Accept
	best    *bound
	slack   float64
	box     geom.Box // of the facets of b
	// normals are those of b, of length 1, zero for a facet without area. All lie within a cone about mean;
	// what is not turned against it by at least cone, as a cosine, is opposed to none of them.
	normals []r3.Vector
	mean    r3.Vector
	cone    float64
}

// findNormals sets normals, mean and cone: most of a seat or a parting face looks one way, and most of
// what is near to it does not look the other.
func (s *search) findNormals() {
	s.normals = make([]r3.Vector, len(s.b))
	for k, t := range s.b {
		n := s.m.AreaVector(int(t))
		s.mean = s.mean.Add(n)
		s.normals[k] = n.Normalize()
	}
	s.mean = s.mean.Normalize()
	widest := 1.0
	for _, n := range s.normals {
		if n != (r3.Vector{}) {
			widest = min(widest, n.Dot(s.mean))
		}
	}
	// The widest angle of a normal with the mean, and that within which normals are opposed. Two degrees more
	// cover rounding.
	const spare = math.Pi / 90
	s.cone = math.Cos(min(math.Acos(max(widest, -1))+math.Acos(opposed)+spare, math.Pi))
}

// over is the thinnest wall from n facets to those of b.
func (s *search) over(n int, facet func(i int) int32) (Wall, bool) {
	found := make([]Wall, (n+chunk-1)/chunk)
	parallel.Chunks(n, chunk, func(k, from, to, _ int) {
		w := walker{search: s, thinnest: Wall{LengthMM: math.Inf(1)}}
		for i := from; i < to; i++ {
			w.from(facet(i))
		}
		found[k] = w.thinnest
	})
	thinnest := Wall{LengthMM: math.Inf(1)}
	for i := range found {
		if found[i].thinner(&thinnest) {
			thinnest = found[i]
		}
	}
	return thinnest, !math.IsInf(thinnest.LengthMM, 1)
}

type walker struct {
	*search
	thinnest Wall
	near     []int32
}

func (w *walker) from(a int32) {
	p := cornersOf(w.m, a)
	centre, radius := p.ball()
	limit := w.best.value() + w.slack
	if !w.box.Expand(limit + radius).Contains(centre) {
		return
	}
	normal := w.m.AreaVector(int(a)).Normalize()
	if -normal.Dot(w.mean) < w.cone || normal == (r3.Vector{}) {
		return
	}
	if _, ok := w.tree.Nearest(centre, limit+radius); !ok {
		return
	}
	w.near = w.tree.Within(centre, limit+radius, w.near[:0])
	for _, k := range w.near {
		b := w.b[k]
		if a == b || -normal.Dot(w.normals[k]) < opposed {
			continue
		}
		q := cornersOf(w.m, b)
		if boxGap(&p, &q) > w.best.value()+w.slack {
			continue
		}
		nearest(&p, &q, func(x, y r3.Vector) { w.look(x, y, a, b, normal, w.normals[k]) })
	}
}

// look takes the line from x on facet a to y on facet b, with their normals, if it is the thinnest wall yet.
func (w *walker) look(x, y r3.Vector, a, b int32, na, nb r3.Vector) {
	d := y.Sub(x)
	best := w.best.value()
	square := d.Norm2()
	if square > (best+w.slack)*(best+w.slack) {
		return
	}
	length := math.Sqrt(square)
	if length > best || !(length > w.slack) || -na.Dot(d) < facing*length || nb.Dot(d) < facing*length {
		return
	}
	wall := Wall{x, y, a, b, length}
	if w.swapped {
		wall = Wall{y, x, b, a, length}
	}
	if !wall.thinner(&w.thinnest) || w.accept != nil && !w.accept(&wall) {
		return
	}
	w.thinnest = wall
	w.best.lower(length)
}

// part is the mesh of some facets alone.
func part(m *mesh.Mesh, facets []int32) *mesh.Mesh {
	out := &mesh.Mesh{Triangles: make([][3]int32, len(facets))}
	number := make([]int32, len(m.Vertices)) // one more than the number in out; 0 for not yet
	for i, t := range facets {
		for k, v := range m.Triangles[t] {
			if number[v] == 0 {
				out.Vertices = append(out.Vertices, m.Vertices[v])
				number[v] = int32(len(out.Vertices))
			}
			out.Triangles[i][k] = number[v] - 1
		}
	}
	return out
}
