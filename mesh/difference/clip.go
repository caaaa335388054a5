package difference

import (
	"fmt"
	"math"
	"runtime"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// Plane bounds a half-space: the points with Normal.p <= Offset are inside. Normal has length 1.
type Plane struct {
	Normal r3.Vector
	Offset float64
}

// above is the signed distance from the plane, positive outside.
func (p Plane) above(q r3.Vector) float64 { return p.Normal.Dot(q) - p.Offset }

// MostPlanes is how many planes a convex body may have to be cut at.
const MostPlanes = 512

// Clip is the part of a solid within a set of half-spaces.
type Clip struct {
	Volume Quantity
	// AreaMM2 is that of the solid's own surface inside; the cuts are not in it.
	AreaMM2 float64
	// Surface is the box of the solid's own surface inside, empty if there is none.
	Surface geom.Box
	// DepthMM is the largest distance from the planes of any vertex inside, and Deepest the
	// vertex; DepthMM is 0 when none is inside.
	DepthMM float64
	Deepest r3.Vector
	// inside marks the triangles of which some part is inside.
	inside []bool
}

// ClipConvex cuts the closed mesh m at the planes and measures what lies inside all of them.
//
// The surface is treated as a chain, a sum of oriented triangles, and cut plane by plane. A
// triangle that crosses plane k leaves an edge from p to q on it; the cut is closed by the
// oriented triangle (c, q, p) for one fixed point c of the plane. These fans overlap and some
// run backwards, but together they close the chain exactly, because every cut edge end is
// computed from the same two numbers by both triangles that meet there. Cutting is linear, so
// the fans are themselves cut at the later planes, and each triangle can be followed on its
// own. The divergence theorem over all that is left gives the volume. No loops are traced and
// no case is degenerate: a vertex on a plane counts as inside, for all triangles around it.
func ClipConvex(m *mesh.Mesh, planes []Plane) (*Clip, error) {
	s, err := newSolid(m, "the solid to cut")
	if err != nil {
		return nil, err
	}
	return s.clip(planes)
}

func (s *solid) clip(planes []Plane) (*Clip, error) {
	if len(planes) == 0 || len(planes) > MostPlanes {
		return nil, fmt.Errorf("cutting at %d planes; 1 to %d are possible", len(planes), MostPlanes)
	}
	for i, p := range planes {
		if n := p.Normal.Norm(); !(math.Abs(n-1) < 0.001) || !(math.Abs(p.Offset) < math.MaxFloat32) {
			return nil, fmt.Errorf("plane %d has normal %v and offset %g: not a plane of unit normal", i, p.Normal, p.Offset)
		}
	}
	planes = spreadOut(planes)
	c := &cutter{solid: s, planes: planes, anchors: make([]r3.Vector, len(planes)), first: make([]uint16, len(s.Vertices))}
	c.origin = c.settle()
	nv := (len(s.Vertices) + chunk - 1) / chunk
	type deepest struct {
		depth float64
		at    int
	}
	deep := make([]deepest, nv)
	parallel.Each(nv, func(k, _ int) {
		best := deepest{at: -1}
		for i := k * chunk; i < min((k+1)*chunk, len(s.Vertices)); i++ {
			depth := math.Inf(1)
			for j, p := range planes {
				d := p.above(s.Vertices[i])
				if d > 0 {
					c.first[i] = uint16(j + 1)
					depth = -1
					break
				}
				depth = min(depth, -d)
			}
			if depth > best.depth {
				best = deepest{depth, i}
			}
		}
		deep[k] = best
	})
	n := (len(s.Triangles) + chunk - 1) / chunk
	out := &Clip{Surface: geom.EmptyBox(), inside: make([]bool, len(s.Triangles))}
	parts := make([]clipSum, n)
	walks := make([]walk, runtime.GOMAXPROCS(0))
	parallel.Each(n, func(k, worker int) {
		w := &walks[worker]
		w.cutter, w.clipSum = c, clipSum{box: geom.EmptyBox()}
		for t := k * chunk; t < min((k+1)*chunk, len(s.Triangles)); t++ {
			out.inside[t] = w.triangle(s.Triangles[t])
		}
		parts[k] = w.clipSum
	})
	var sum clipSum
	sum.box = geom.EmptyBox()
	for _, p := range parts {
		sum.volume6 += p.volume6
		sum.terms += p.terms
		sum.lever += p.lever
		sum.own += p.own
		sum.area += p.area
		sum.box = sum.box.Union(p.box)
		sum.spent = max(sum.spent, p.spent)
	}
	if sum.spent > mostFans {
		return nil, fmt.Errorf("cutting at %d planes: a facet fell into more than %d pieces", len(planes), mostFans)
	}
	for _, d := range deep {
		if d.depth > out.DepthMM {
			out.DepthMM, out.Deepest = d.depth, s.Vertices[d.at]
		}
	}
	reach := s.box
	for _, a := range c.anchors {
		reach = reach.AddPoint(a)
	}
	out.Volume = Quantity{sum.volume6 / 6, roundingMM3(reach, sum.area, sum.terms/6, sum.lever/6, n)}
	out.AreaMM2 = sum.own
	out.Surface = sum.box
	return out, nil
}

// spreadOut orders the planes so that each faces as far away as can be from those before it. The
// first few then cut away nearly all, and the others little corners, each with few fans. In the
// order round a cylinder fans are cut again at many more planes: at 72 to 360 sides that takes
// 1.5 to 4 times as long.
func spreadOut(planes []Plane) []Plane {
	out := make([]Plane, 0, len(planes))
	nearest := make([]float64, len(planes)) // the largest cosine with any plane taken, 2 once taken
	for i := range nearest {
		nearest[i] = -1
	}
	for range planes {
		next := 0
		for i := range planes {
			if nearest[i] < nearest[next] {
				next = i
			}
		}
		out = append(out, planes[next])
		for i := range planes {
			nearest[i] = max(nearest[i], planes[i].Normal.Dot(planes[next].Normal))
		}
		nearest[next] = 2
	}
	return out
}

type cutter struct {
	*solid
	planes  []Plane
	anchors []r3.Vector
	origin  r3.Vector
	// first is, for each vertex, one more than the first plane it is outside of, 0 if inside.
	first []uint16
}

// settle moves the anchors onto their planes, and near the body that the planes bound: a few
// rounds of dropping their mean onto every plane that it is outside of find a point inside or
// near it. Only the size of the rounding depends on this. The mean is the origin of the sum.
func (c *cutter) settle() r3.Vector {
	p := c.box.Center()
	for range 16 {
		for _, pl := range c.planes {
			if d := pl.above(p); d > 0 {
				p = p.Sub(pl.Normal.Mul(d))
			}
		}
	}
	for k, pl := range c.planes {
		c.anchors[k] = p.Sub(pl.Normal.Mul(pl.above(p)))
	}
	return p
}

// clipSum adds up pieces of a cut surface.
type clipSum struct {
	volume6, terms float64 // six times the volume, and the sum of the magnitudes in it
	lever          float64 // see roundingMM3
	own, area      float64 // area of the solid's surface inside; of all pieces
	box            geom.Box
	spent          int // most pieces of one triangle
}

// mostFans bounds the pieces one triangle may fall into, and so the time of a hostile input.
const mostFans = 1 << 16

// walk follows triangles through the planes.
type walk struct {
	*cutter
	clipSum
	fans  int
	arena []r3.Vector
	far   []float64
}

// triangle adds what is left of triangle t and of the fans it gives rise to, and reports
// whether some of its own surface is inside.
func (w *walk) triangle(t [3]int32) bool {
	f0, f1, f2 := w.first[t[0]], w.first[t[1]], w.first[t[2]]
	a, b, c := w.Vertices[t[0]], w.Vertices[t[1]], w.Vertices[t[2]]
	if f0|f1|f2 == 0 {
		w.add([]r3.Vector{a, b, c}, true)
		return true
	}
	if f0 == f1 && f1 == f2 && f0 == 1 {
		return false // all outside the first plane: cut away before any fan
	}
	w.fans = 0
	w.arena = append(w.arena[:0], a, b, c)
	inside := w.cut(w.arena[0:3:3], 0, true)
	w.spent = max(w.spent, w.fans)
	return inside
}

// cut takes the polygon through planes k and up. own tells the solid's surface from a fan.
func (w *walk) cut(poly []r3.Vector, k int, own bool) bool {
	if w.fans++; w.fans > mostFans {
		return false
	}
	for ; k < len(w.planes); k++ {
		pl := w.planes[k]
		out := 0
		w.far = w.far[:0]
		for _, p := range poly {
			d := pl.above(p)
			w.far = append(w.far, d)
			if d > 0 {
				out++
			}
		}
		if out == 0 {
			continue
		}
		if out == len(poly) {
			return false
		}
		// The piece inside, with an edge from leave to enter for each run outside.
		at := len(w.arena)
		var leave r3.Vector
		var open bool
		var edges [2][2]r3.Vector
		spill := [][2]r3.Vector(nil)
		ne := 0
		n := len(poly)
		start := 0
		for w.far[start] > 0 {
			start++
		}
		for step := range n {
			i, j := (start+step)%n, (start+step+1)%n
			p, q := poly[i], poly[j]
			di, dj := w.far[i], w.far[j]
			if di <= 0 {
				w.arena = append(w.arena, p)
			}
			switch {
			case di <= 0 && dj > 0:
				leave, open = meet(p, q, di, dj), true
				w.arena = append(w.arena, leave)
			case di > 0 && dj <= 0:
				enter := meet(q, p, dj, di)
				w.arena = append(w.arena, enter)
				if open {
					if ne < len(edges) {
						edges[ne] = [2]r3.Vector{leave, enter}
					} else {
						spill = append(spill, [2]r3.Vector{leave, enter})
					}
					ne++
					open = false
				}
			}
		}
		piece := w.arena[at:len(w.arena):len(w.arena)]
		for e := range ne {
			edge := edges[min(e, 1)]
			if e >= len(edges) {
				edge = spill[e-len(edges)]
			}
			if edge[0] != edge[1] {
				mark := len(w.arena)
				w.arena = append(w.arena, w.anchors[k], edge[1], edge[0])
				w.cut(w.arena[mark:mark+3:mark+3], k+1, false)
				w.arena = w.arena[:mark]
			}
		}
		poly = piece
	}
	w.add(poly, own)
	return own
}

// meet is where the edge from in to out crosses the plane. Both triangles at the edge call it
// with the same arguments whatever way they run, so they get the same bits.
func meet(in, out r3.Vector, dIn, dOut float64) r3.Vector {
	t := dIn / (dIn - dOut)
	// The conversions keep a compiler from fusing the product into the sum in one place and not
	// in another.
	return r3.Vector{
		X: in.X + float64(t*(out.X-in.X)),
		Y: in.Y + float64(t*(out.Y-in.Y)),
		Z: in.Z + float64(t*(out.Z-in.Z)),
	}
}

// add sums a polygon inside all planes as a fan from its first corner.
func (w *walk) add(poly []r3.Vector, own bool) {
	a := poly[0].Sub(w.origin)
	for i := 2; i < len(poly); i++ {
		b, c := poly[i-1].Sub(w.origin), poly[i].Sub(w.origin)
		nrm := b.Sub(a).Cross(c.Sub(a))
		v := a.Dot(nrm)
		w.volume6 += v
		w.terms += math.Abs(v)
		w.lever += span(a) * span(b.Sub(a)) * span(c.Sub(a))
		area := nrm.Norm() / 2
		w.area += area
		if own {
			w.own += area
		}
	}
	if own {
		for _, p := range poly {
			w.box = w.box.AddPoint(p)
		}
	}
}
