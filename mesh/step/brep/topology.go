package brep

import (
	"errors"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/shape"
)

// Topology is gone through once, in file order and on one core: it is a few look-ups for each
// edge. What costs time, making curves and surfaces and finding where vertices lie on them, is
// only put on lists here and done over all cores afterwards (resolve.go). The lists are in the
// order of first use, whatever the number of cores.

// vertexEntry is a vertex whose point is yet to be read.
type vertexEntry struct {
	vertex *Vertex
	point  part21.Instance
	scale  *scale
	err    error
}

// curveEntry is a curve yet to be made, shared by the edges that name its instance.
type curveEntry struct {
	from  part21.Instance
	scale *scale
	curve shape.Curve
	err   error
}

// surfaceEntry is the same for a surface.
type surfaceEntry struct {
	from    part21.Instance
	scale   *scale
	surface shape.Surface
	turned  bool // the surface's normal is opposite to that of the file's
	err     error
}

// edgeEntry is an edge to be cut out of its curve; curve is -1 where it has none.
type edgeEntry struct {
	edge  *Edge
	from  part21.Instance
	curve int32
	same  bool // runs along its curve
	scale *scale
}

// faceEntry is a face whose surface is to be filled in; surface is -1 for a face without one,
// whose plane is found from its corners.
type faceEntry struct {
	face    *Face
	from    part21.Instance
	surface int32
}

// arena hands out pieces of large slices, which keeps the number of allocations small and
// neighbours together. Pieces double, so that a small file does not pay for a large one.
type arena[T any] struct {
	free []T
	size int
}

const (
	arenaFirst = 32
	arenaLast  = 1024
)

func (a *arena[T]) refill() {
	a.size = min(max(2*a.size, arenaFirst), arenaLast)
	a.free = make([]T, a.size)
}

func (a *arena[T]) one() *T {
	if len(a.free) == 0 {
		a.refill()
	}
	p := &a.free[0]
	a.free = a.free[1:]
	return p
}

// list is an empty slice with room for n.
func (a *arena[T]) list(n int) []T {
	if n > len(a.free) {
		if n > arenaFirst {
			return make([]T, 0, n)
		}
		a.refill()
	}
	l := a.free[:0:n]
	a.free = a.free[n:]
	return l
}

// vertex is the vertex of a VERTEX_POINT.
func (r *reader) vertex(i part21.Instance, s *scale) (*Vertex, error) {
	if i.Type() != typeVertexPoint {
		return nil, notUnderstood(i, "vertex")
	}
	if k := r.slot[i.Index()]; k > 0 {
		return r.vertices[k-1].vertex, nil
	}
	p := i.Only().Params()
	p.Skip()
	point := p.Instance()
	if err := p.Err(); err != nil {
		return nil, err
	}
	v := r.vertexArena.one()
	v.ID = i.Name()
	r.vertices = append(r.vertices, vertexEntry{vertex: v, point: point, scale: s})
	r.slot[i.Index()] = int32(len(r.vertices))
	return v, nil
}

// edge is the edge of an EDGE_CURVE and its like.
func (r *reader) edge(i part21.Instance, s *scale, depth int) (*Edge, error) {
	t := i.Type()
	if t != typeEdgeCurve && t != typeEdge && t != typeSubedge {
		return nil, notUnderstood(i, "edge")
	}
	if k := r.slot[i.Index()]; k > 0 {
		return r.edges[k-1].edge, nil
	}
	if depth > depthLimit {
		return nil, i.Errorf("%v", errDeep)
	}
	p := i.Only().Params()
	p.Skip()
	start, end := p.Instance(), p.Instance()
	entry := edgeEntry{from: i, curve: -1, same: true, scale: s}
	switch t {
	case typeEdgeCurve:
		curve := p.Instance()
		entry.same = p.Bool()
		if p.Err() == nil {
			entry.curve = r.curveOf(curve, s)
		}
	case typeSubedge:
		// A piece of the parent's curve between other vertices.
		parent := p.Instance()
		if p.Err() == nil {
			if _, err := r.edge(parent, s, depth+1); err != nil {
				return nil, err
			}
			of := r.edges[r.slot[parent.Index()]-1]
			entry.curve, entry.same = of.curve, of.same
		}
	}
	if err := p.Err(); err != nil {
		return nil, err
	}
	a, err := r.vertex(start, s)
	if err != nil {
		return nil, err
	}
	b, err := r.vertex(end, s)
	if err != nil {
		return nil, err
	}
	entry.edge = r.edgeArena.one()
	*entry.edge = Edge{ID: i.Name(), Start: a, End: b}
	r.edges = append(r.edges, entry)
	r.slot[i.Index()] = int32(len(r.edges))
	return entry.edge, nil
}

var errShared = errors.New("the file shares its topology among too many bodies or faces")

// visit counts what reading i costs, if it has been read before.
func (r *reader) visit(i part21.Instance, cost int) error {
	if r.slot[i.Index()] == 0 {
		r.slot[i.Index()] = 1
		return nil
	}
	if r.revisits += 1 + cost; r.revisits > r.most.revisits {
		return i.Errorf("%v", errShared)
	}
	return nil
}

// isCurve guards the one slot an instance has: what a curve or a surface is taken for must not
// be something else elsewhere.
func isCurve(i part21.Instance) bool {
	t := i.Type()
	if t >= typeLine && t <= typeDegeneratePcurve {
		return true
	}
	return t == part21.NoType && i.Is(typeBSplineCurve)
}

// curveOf puts a curve on the list, once.
func (r *reader) curveOf(i part21.Instance, s *scale) int32 {
	if !isCurve(i) {
		r.curves = append(r.curves, curveEntry{err: notUnderstood(i, "curve")})
		return int32(len(r.curves) - 1)
	}
	if k := r.slot[i.Index()]; k > 0 {
		return k - 1
	}
	r.curves = append(r.curves, curveEntry{from: i, scale: s})
	r.slot[i.Index()] = int32(len(r.curves))
	return int32(len(r.curves) - 1)
}

func isSurface(i part21.Instance) bool {
	t := i.Type()
	if t >= typePlane && t <= typeOffsetSurface {
		return true
	}
	return t == part21.NoType && i.Is(typeBSplineSurface)
}

// surfaceOf puts a surface on the list, once.
func (r *reader) surfaceOf(i part21.Instance, s *scale) int32 {
	if !isSurface(i) {
		r.surfaces = append(r.surfaces, surfaceEntry{err: notUnderstood(i, "surface")})
		return int32(len(r.surfaces) - 1)
	}
	if k := r.slot[i.Index()]; k > 0 {
		return k - 1
	}
	r.surfaces = append(r.surfaces, surfaceEntry{from: i, scale: s})
	r.slot[i.Index()] = int32(len(r.surfaces))
	return int32(len(r.surfaces) - 1)
}

// face reads a face and its loops. turned says whether a flag above it turns it over. What
// cannot be read is in the face's Err.
func (r *reader) face(i part21.Instance, s *scale, turned bool, polygons *polygonEdges) *Face {
	f := r.faceArena.one()
	f.ID = i.Name()
	entry := faceEntry{face: f, from: i, surface: -1}
	if err := r.readFace(i, s, turned, polygons, f, &entry, 0); err != nil {
		f.Err = err.Error()
		entry.surface = noSurface
	}
	r.faces = append(r.faces, entry)
	return f
}

// noSurface marks a face whose surface is not to be looked for.
const noSurface = -2

func (r *reader) readFace(i part21.Instance, s *scale, turned bool, polygons *polygonEdges, f *Face, entry *faceEntry, depth int) error {
	if depth > depthLimit {
		return i.Errorf("%v", errDeep)
	}
	if !i.Complex() {
		p := i.Only().Params()
		switch i.Type() {
		case typeOrientedFace:
			for range 2 {
				p.Skip() // name and the derived bounds
			}
			inner := p.Instance()
			same := p.Bool()
			if err := p.Err(); err != nil {
				return err
			}
			return r.readFace(inner, s, turned == same, polygons, f, entry, depth+1)
		case typeAdvancedFace, typeFaceSurface, typeFace, typeSubface:
			if err := r.visit(i, 0); err != nil {
				return err
			}
			p.Skip()
			bounds := p.List()
			same := true
			switch i.Type() {
			case typeAdvancedFace, typeFaceSurface:
				surface := p.Instance()
				same = p.Bool()
				if p.Err() == nil {
					entry.surface = r.surfaceOf(surface, s)
				}
			case typeSubface:
				parent := p.Instance()
				if p.Err() == nil {
					var whole Face
					if err := r.readFace(parent, s, false, polygons, &whole, entry, depth+1); err != nil {
						return err
					}
					same = whole.Forward
				}
			}
			if err := p.Err(); err != nil {
				return err
			}
			f.Forward = same != turned
			return r.bounds(&bounds, s, turned, polygons, f)
		}
	}
	return notUnderstood(i, "face")
}

func (r *reader) bounds(bounds *part21.Cursor, s *scale, turned bool, polygons *polygonEdges, f *Face) error {
	counting := *bounds
	n := 0
	for counting.More() {
		counting.Skip()
		n++
	}
	f.Loops = r.loopArena.list(n)
	for bounds.More() {
		i := bounds.Instance()
		if t := i.Type(); bounds.Err() == nil && t != typeFaceBound && t != typeFaceOuterBound {
			return notUnderstood(i, "bound of a face")
		}
		if bounds.Err() != nil {
			break
		}
		p := i.Only().Params()
		p.Skip()
		loop := p.Instance()
		same := p.Bool()
		if err := p.Err(); err != nil {
			return err
		}
		l := Loop{Outer: i.Type() == typeFaceOuterBound}
		if err := r.readLoop(loop, s, same == turned, polygons, &l); err != nil {
			return err
		}
		if l.Vertex != nil || len(l.Uses) > 0 {
			f.Loops = append(f.Loops, l)
		}
	}
	if err := bounds.Err(); err != nil {
		return err
	}
	return nil
}

// readLoop reads a loop, backwards where asked to.
func (r *reader) readLoop(i part21.Instance, s *scale, backwards bool, polygons *polygonEdges, l *Loop) error {
	p := i.Only().Params()
	p.Skip()
	switch i.Type() {
	case typeVertexLoop:
		v := p.Instance()
		if err := p.Err(); err != nil {
			return err
		}
		vertex, err := r.vertex(v, s)
		l.Vertex = vertex
		return err
	case typeEdgeLoop:
		edges := p.List()
		counting := edges
		n := 0
		for counting.More() {
			counting.Skip()
			n++
		}
		if err := r.visit(i, n); err != nil {
			return err
		}
		l.Uses = r.useArena.list(n)
		for edges.More() {
			u, err := r.use(edges.Instance(), s, 0)
			if err != nil {
				return err
			}
			l.Uses = append(l.Uses, u)
		}
		p.Take(&edges)
	case typePolyLoop:
		if err := r.polygon(i, &p, s, polygons, l); err != nil {
			return err
		}
	default:
		return notUnderstood(i, "loop")
	}
	if err := p.Err(); err != nil {
		return err
	}
	if backwards {
		for a, b := 0, len(l.Uses)-1; a <= b; a, b = a+1, b-1 {
			l.Uses[a], l.Uses[b] = l.Uses[b], l.Uses[a]
			l.Uses[a].Forward = !l.Uses[a].Forward
			if a != b {
				l.Uses[b].Forward = !l.Uses[b].Forward
			}
		}
	}
	return nil
}

// use reads an ORIENTED_EDGE.
func (r *reader) use(i part21.Instance, s *scale, depth int) (Use, error) {
	if i.File() == nil {
		// The cursor has an error, which its owner reports.
		return Use{}, nil
	}
	if i.Type() != typeOrientedEdge {
		e, err := r.edge(i, s, depth)
		return Use{Edge: e, Forward: true}, err
	}
	if depth > depthLimit {
		return Use{}, i.Errorf("%v", errDeep)
	}
	p := i.Only().Params()
	for range 3 {
		p.Skip() // name and the derived vertices
	}
	element := p.Instance()
	same := p.Bool()
	if err := p.Err(); err != nil {
		return Use{}, err
	}
	u, err := r.use(element, s, depth+1)
	u.Forward = u.Forward == same
	return u, err
}

// polygonEdges finds the edge between two corners of a faceted shell. Writers give each polygon
// its own points as often as shared ones, so corners are told apart by their coordinates.
type polygonEdges struct {
	corners map[r3.Vector]*Vertex
	edges   map[[2]*Vertex]*Edge
}

func newPolygonEdges() *polygonEdges {
	return &polygonEdges{map[r3.Vector]*Vertex{}, map[[2]*Vertex]*Edge{}}
}

// polygon reads a POLY_LOOP.
func (r *reader) polygon(i part21.Instance, p *part21.Cursor, s *scale, polygons *polygonEdges, l *Loop) error {
	b := builder{scale: s}
	points := p.List()
	counting := points
	n := 0
	for counting.More() {
		counting.Skip()
		n++
	}
	if err := r.visit(i, n); err != nil {
		return err
	}
	corners := make([]*Vertex, 0, n)
	for points.More() {
		from := points.Instance()
		if points.Err() != nil {
			break
		}
		at, err := b.point(from)
		if err != nil {
			return err
		}
		v := polygons.corners[at]
		if v == nil {
			v = r.vertexArena.one()
			v.ID, v.Point = from.Name(), at
			polygons.corners[at] = v
		}
		// A corner given twice running makes no edge.
		if n := len(corners); n == 0 || corners[n-1] != v {
			corners = append(corners, v)
		}
	}
	p.Take(&points)
	for len(corners) > 1 && corners[0] == corners[len(corners)-1] {
		corners = corners[:len(corners)-1]
	}
	if len(corners) < 3 {
		if p.Err() != nil {
			return nil // reported by the caller
		}
		return i.Errorf("a polygon of %d corners", len(corners))
	}
	l.Uses = r.useArena.list(len(corners))
	for k, a := range corners {
		c := corners[(k+1)%len(corners)]
		if e := polygons.edges[[2]*Vertex{a, c}]; e != nil {
			l.Uses = append(l.Uses, Use{Edge: e, Forward: true})
			continue
		}
		if e := polygons.edges[[2]*Vertex{c, a}]; e != nil {
			l.Uses = append(l.Uses, Use{Edge: e})
			continue
		}
		e := r.edgeArena.one()
		*e = Edge{ID: i.Name(), Start: a, End: c}
		polygons.edges[[2]*Vertex{a, c}] = e
		straighten(e)
		l.Uses = append(l.Uses, Use{Edge: e, Forward: true})
	}
	return nil
}

// straighten makes an edge the straight line between its vertices. Between two vertices at one
// place, or farther apart than numbers go, the line has an arbitrary direction and the edge no
// length.
func straighten(e *Edge) {
	d := e.End.Point.Sub(e.Start.Point)
	e.T0, e.T1, e.MissMM = 0, 1, 0
	line, err := shape.NewLine(e.Start.Point, d)
	if err != nil {
		line, _ = shape.NewLine(e.Start.Point, r3.Vector{X: 1})
		e.T1 = 0
	}
	e.Curve = line
}

// shell reads the faces of a shell in its orientation.
func (r *reader) shell(i part21.Instance, s *scale) (Shell, error) {
	sh := Shell{ID: i.Name()}
	for depth := 0; ; depth++ {
		if depth > depthLimit {
			return sh, i.Errorf("%v", errDeep)
		}
		p := i.Only().Params()
		switch i.Type() {
		case typeOrientedClosedShell, typeOrientedOpenShell:
			p.Skip()
			p.Skip() // the derived faces
			i = p.Instance()
			if !p.Bool() {
				sh.Reversed = !sh.Reversed
			}
			if err := p.Err(); err != nil {
				return sh, err
			}
			continue
		case typeClosedShell, typeOpenShell, typeConnectedFaceSet:
			p.Skip()
			faces := p.List()
			polygons := newPolygonEdges()
			for faces.More() {
				f := faces.Instance()
				if r.revisits > r.most.revisits {
					return sh, i.Errorf("%v", errShared)
				}
				if faces.Err() == nil {
					sh.Faces = append(sh.Faces, r.face(f, s, sh.Reversed, polygons))
				}
			}
			p.Take(&faces)
			if err := p.Err(); err != nil {
				return sh, err
			}
			return sh, nil
		}
		return sh, notUnderstood(i, "shell")
	}
}
