package difference

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/tol"
)

// chunk is how many triangles one partial sum takes: fixed, so that sums are the same on any
// number of cores, and short, so that their rounding is small.
const chunk = 1 << 12

// solid is a closed mesh with what every route needs of it.
type solid struct {
	*mesh.Mesh
	box    geom.Box
	volume Quantity
	area   float64
	// turned is set when all facets were turned round: the mesh came inside out.
	turned bool
}

// ErrNotClosed is wrapped by the error for a mesh that bounds no volume.
var ErrNotClosed = errors.New("the surface is not closed")

// newSolid checks that m is closed and measures it. name is for messages.
//
// Closed means that every edge is run along as often one way as the other. That is tested by a
// sum over all directed edges of a 64-bit mix of the edge, taken with the edge's sense: it is
// zero when all edges balance, and for edges that do not it is zero with probability 2^-64.
// This takes one pass and no memory; only a mesh that fails is audited edge by edge.
func newSolid(m *mesh.Mesh, name string) (*solid, error) {
	if m == nil || len(m.Triangles) == 0 {
		return nil, fmt.Errorf("%s has no triangles: %w", name, ErrNotClosed)
	}
	s := &solid{Mesh: m, box: m.Bounds()}
	if reach := s.box.MaxAbs(); !(reach < math.MaxFloat32) {
		return nil, fmt.Errorf("%s reaches %g mm, beyond any model", name, reach)
	}
	centre := s.box.Center()
	n := (len(m.Triangles) + chunk - 1) / chunk
	type part struct {
		balance                     uint64
		volume6, terms, lever, area float64
	}
	parts := make([]part, n)
	parallel.Each(n, func(k, _ int) {
		var p part
		for _, t := range m.Triangles[k*chunk : min((k+1)*chunk, len(m.Triangles))] {
			p.balance += edgeMark(t[0], t[1]) + edgeMark(t[1], t[2]) + edgeMark(t[2], t[0])
			a, b, c := m.Vertices[t[0]].Sub(centre), m.Vertices[t[1]].Sub(centre), m.Vertices[t[2]].Sub(centre)
			nrm := b.Sub(a).Cross(c.Sub(a))
			v := a.Dot(nrm)
			p.volume6 += v
			p.terms += math.Abs(v)
			p.lever += span(a) * span(b.Sub(a)) * span(c.Sub(a))
			p.area += nrm.Norm() / 2
		}
		parts[k] = p
	})
	var sum part
	for _, p := range parts {
		sum.balance += p.balance
		sum.volume6 += p.volume6
		sum.terms += p.terms
		sum.lever += p.lever
		sum.area += p.area
	}
	if sum.balance != 0 {
		audit := mesh.NewAudit(m)
		where := ""
		if len(audit.Spots) > 0 {
			where = fmt.Sprintf("; first at %v: %v", audit.Spots[0].A, audit.Spots[0].Kind)
		}
		return nil, fmt.Errorf("%s: %d open and %d misoriented edges%s: %w", name, audit.OpenEdges, audit.MisorientedEdges, where, ErrNotClosed)
	}
	if math.IsNaN(sum.volume6) {
		return nil, fmt.Errorf("%s has a vertex that is not a number", name)
	}
	if sum.volume6 < 0 {
		// A closed surface with its metal outside is a body whose exporter ran its facets the wrong
		// way round. The body is what is meant.
		turned := &mesh.Mesh{Vertices: m.Vertices, Triangles: make([][3]int32, len(m.Triangles)), Faces: m.Faces}
		for i, t := range m.Triangles {
			turned.Triangles[i] = [3]int32{t[0], t[2], t[1]}
		}
		s.Mesh, s.turned, sum.volume6 = turned, true, -sum.volume6
	}
	s.area = sum.area
	s.volume = Quantity{sum.volume6 / 6, roundingMM3(s.box, sum.area, sum.terms/6, sum.lever/6, n)}
	return s, nil
}

// roundingMM3 bounds the rounding of a volume summed in n chunks: each vertex is moved by a few
// roundoffs of the largest coordinate when it is taken from the centre or lies on a cut (first
// term, over the area of the surface); partial sums round once a triangle (second term); and a
// triple product rounds in proportion to its three lengths, which for a needle are far more
// than the product itself (third term, of the sum of those lengths' products).
func roundingMM3(box geom.Box, area, terms, lever float64, n int) float64 {
	const perVertex = 16  // lerp 3, plane distance 4, three coordinates, doubled for the second order
	const perProduct = 12 // operations in one triple product
	u := tol.RoundoffDouble
	return u * (perVertex*box.MaxAbs()*area + float64(chunk+n)*terms + perProduct*lever)
}

// span is the sum of the magnitudes of the components: no less than the length, and cheaper.
func span(v r3.Vector) float64 { return math.Abs(v.X) + math.Abs(v.Y) + math.Abs(v.Z) }

// edgeMark is plus or minus a mix of the edge's two vertices by the sense in which it is run.
func edgeMark(p, q int32) uint64 {
	if p < q {
		return mix(uint64(p)<<32 | uint64(uint32(q)))
	}
	return -mix(uint64(q)<<32 | uint64(uint32(p)))
}

// mix is the finalizer of SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

func component(p r3.Vector, k int) float64 {
	switch k {
	case 0:
		return p.X
	case 1:
		return p.Y
	}
	return p.Z
}

// CheckClosed is an error that wraps ErrNotClosed if m bounds no volume, nil if it does. name
// is what the message calls it.
func CheckClosed(m *mesh.Mesh, name string) error {
	_, err := newSolid(m, name)
	return err
}
