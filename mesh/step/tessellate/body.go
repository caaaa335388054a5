package tessellate

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"sort"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/shape"
	"pocketgauge/mesh/tol"
)

// body is one brep.Body on its way to triangles. Its points are the vertices first, then the
// inner points of each edge in turn; faces add their own behind them.
type body struct {
	from   *brep.Body
	faces  []*face
	edges  []edge
	edgeOf map[*brep.Edge]int32
	points []r3.Vector
	chord  float64 // allowed
	angle  float64
	box    geom.Box
	notes  []mesh.Note
	budget *budget
	sewnMM float64 // the most that sewn edges are known to lie apart
}

// edge is a brep.Edge and its division.
type edge struct {
	*brep.Edge
	a, b   int32 // points at Start and End
	first  int32 // of count inner points
	ts     []float64
	finer  uint8   // the allowed chord is divided by 4 this often
	merged bool    // of no length: both ends are one point
	stale  bool    // to be divided
	faces  []int32 // that use it
	stops  []float64
	// find is the work of finding the nearest point on the curve, part that of one part of the
	// division: its evaluation, and its image on each surface.
	find, part int64
	sewn       bool    // to another, which is given up
	deviation  float64 // where the division had to be coarser than asked for
}

// face is a brep.Face with what it was turned into.
type face struct {
	*brep.Face
	shell   int
	surface shape.Surface // without trims
	forward bool          // of surface
	cost    shape.Cost    // of surface
	result  result
}

// result is what a face was turned into. Triangles name points of the body, or where negative,
// as ^k, point k of inner.
type result struct {
	triangles [][3]int32
	inner     []r3.Vector
	sums      integrals
	extent    extent
	deviation float64 // largest seen
	note      string
	finer     []int32 // divide these edges finer and try again
	closing   bool    // not the surface, but something that closes
	cut       bool    // for want of work
}

func newBody(from *brep.Body, opt Options, budget *budget) *body {
	b := &body{from: from, edgeOf: map[*brep.Edge]int32{}, angle: float64(opt.Angle), budget: budget}
	vertexOf := map[*brep.Vertex]int32{}
	vertex := func(v *brep.Vertex) int32 {
		k, ok := vertexOf[v]
		if !ok {
			k = int32(len(b.points))
			b.points = append(b.points, v.Point)
			vertexOf[v] = k
		}
		return k
	}
	for s := range from.Shells {
		for _, f := range from.Shells[s].Faces {
			g := &face{Face: f, shell: s, surface: f.Surface, forward: f.Forward}
			for {
				// A face is bounded by its edges; trims matter only where there are none.
				t, trimmed := g.surface.(*shape.TrimmedSurface)
				if !trimmed || !hasEdges(f) {
					break
				}
				g.surface = t.Basis
				g.forward = g.forward == (t.SenseU*t.SenseV > 0)
			}
			if g.surface != nil {
				g.cost = shape.CostOfSurface(g.surface)
			}
			index := int32(len(b.faces))
			b.faces = append(b.faces, g)
			for l := range f.Loops {
				if v := f.Loops[l].Vertex; v != nil {
					vertex(v)
				}
				for u := range f.Loops[l].Uses {
					e := f.Loops[l].Uses[u].Edge
					k, ok := b.edgeOf[e]
					if !ok {
						k = int32(len(b.edges))
						b.edgeOf[e] = k
						cost := shape.CostOfCurve(e.Curve)
						b.edges = append(b.edges, edge{Edge: e, a: vertex(e.Start), b: vertex(e.End), faces: append(make([]int32, 0, 2), index),
							find: cost.Find, part: partEvaluations * cost.Evaluate})
					} else if g := b.edges[k].faces; g[len(g)-1] != index {
						b.edges[k].faces = append(g, index)
					}
					b.edges[k].part += insertUnits + g.cost.Find
				}
			}
		}
	}
	b.box = geom.BoxOf(b.points)
	for i := range b.edges {
		e := &b.edges[i]
		for k := 1; k < 4; k++ {
			b.box = b.box.AddPoint(e.Curve.Point(e.T0 + (e.T1-e.T0)*float64(k)/4))
		}
	}
	for _, f := range b.faces {
		if hasEdges(f.Face) || f.surface == nil {
			continue
		}
		d := f.surface.Domain()
		if !bounded(d.X) || !bounded(d.Y) {
			continue
		}
		for i := range 5 {
			for j := range 5 {
				b.box = b.box.AddPoint(f.surface.Point(d.X.Lo+d.X.Length()*float64(i)/4, d.Y.Lo+d.Y.Length()*float64(j)/4))
			}
		}
	}
	b.chord = opt.ChordMM
	if d := b.box.Diagonal(); d > 0 {
		b.chord = max(min(b.chord, tol.ChordPerDiagonal*d), tol.FinestChordPerDiagonal*d)
	}
	b.mergeShort()
	b.sew()
	b.budget.left -= bodyUnits
	return b
}

func finite(v r3.Vector) bool { return v.X-v.X == 0 && v.Y-v.Y == 0 && v.Z-v.Z == 0 }

func hasEdges(f *brep.Face) bool {
	for l := range f.Loops {
		if len(f.Loops[l].Uses) > 0 {
			return true
		}
	}
	return false
}

// mergeShort makes the two ends of an edge of no length one point.
func (b *body) mergeShort() {
	var parent []int32
	find := func(k int32) int32 {
		for parent[k] != k {
			parent[k] = parent[parent[k]]
			k = parent[k]
		}
		return k
	}
	for i := range b.edges {
		e := &b.edges[i]
		if b.points[e.a].Sub(b.points[e.b]).Norm() > tol.JoinMM {
			continue
		}
		middle := e.Curve.Point((e.T0 + e.T1) / 2)
		quarter := e.Curve.Point(e.T0 + (e.T1-e.T0)/4)
		if e.T0 != e.T1 && max(middle.Sub(b.points[e.a]).Norm(), quarter.Sub(b.points[e.a]).Norm()) > tol.JoinMM {
			continue
		}
		e.merged = true
		if e.a == e.b {
			continue
		}
		if parent == nil {
			parent = make([]int32, len(b.points))
			for k := range parent {
				parent[k] = int32(k)
			}
		}
		p, q := find(e.a), find(e.b)
		parent[max(p, q)] = min(p, q)
	}
	if parent == nil {
		return
	}
	for i := range b.edges {
		b.edges[i].a, b.edges[i].b = find(b.edges[i].a), find(b.edges[i].b)
	}
}

// divideEdges divides the edges that are stale and sets their points behind those there are. Points
// of an earlier division stay behind unused and are dropped in the end.
func (b *body) divideEdges() {
	var todo []int32
	for i := range b.edges {
		if e := &b.edges[i]; e.stale && !e.merged {
			todo = append(todo, int32(i))
		}
	}
	weight := func(i int32) int64 { return b.edges[i].part }
	cut, share := b.budget.spend(todo, edgeEighths, weight, 64, func(_ int, i int32, most int64) (int64, bool) {
		return b.divideEdge(&b.edges[i], most)
	})
	for _, i := range cut {
		b.budget.left -= b.divideCoarsely(&b.edges[i], int64(share*float64(weight(i))))
	}
	n := len(b.points)
	for i := range b.edges {
		if e := &b.edges[i]; e.stale {
			e.first = int32(n)
			n += len(e.ts)
		}
	}
	b.points = append(b.points, make([]r3.Vector, n-len(b.points))...)
	parallel.Chunks(len(b.edges), 64, func(_, from, to, _ int) {
		for i := from; i < to; i++ {
			e := &b.edges[i]
			if !e.stale {
				continue
			}
			e.stale = false
			for k, t := range e.ts {
				b.points[int(e.first)+k] = e.Curve.Point(t)
			}
		}
	})
}

// An edge is evaluated partEvaluations times for each part of its division; leastParts may be had
// whatever that costs, and in divideCoarsely the chord grows coarser step by step.
const (
	partEvaluations = 8
	leastParts      = 4
	coarserChord    = 64.0
	coarserAngle    = 8.0
	coarserSteps    = 4
)

// Edges may take half of what is left, faces most of it.
const (
	edgeEighths = 4
	faceEighths = 7
)

// divideEdge divides an edge with no more than most units of work and tells what it took.
func (b *body) divideEdge(e *edge, most int64) (spent int64, short bool) {
	stops, spent, ok := b.atPoles(e, most)
	if !ok {
		return spent, true
	}
	parts := int(min(max((most-spent)/e.part, leastParts), mostParts))
	e.ts, short = divide(e.Edge, e.a == e.b, stops, b.edgeChord(e), b.angle, parts, e.ts[:0])
	b.dropInfinite(e)
	e.deviation = 0
	if short && parts == mostParts {
		e.deviation, short = b.edgeDeviation(e), false
	}
	return spent + int64(len(e.ts)+1)*e.part, short
}

func (b *body) edgeChord(e *edge) float64 {
	return tol.ChordShare * b.chord / float64(int(1)<<(2*e.finer))
}

func (b *body) dropInfinite(e *edge) {
	e.ts = slices.DeleteFunc(e.ts, func(t float64) bool { return !finite(e.Curve.Point(t)) })
}

// divideCoarsely divides an edge for which there is not enough work, evenly and as finely as there
// is, and measures how far its chords stand off.
func (b *body) divideCoarsely(e *edge, most int64) (spent int64) {
	stops, spent, _ := b.atPoles(e, most)
	parts := int(min(max((most-spent)/e.part, leastParts), mostParts))
	chord, angle := b.edgeChord(e), b.angle
	for range coarserSteps {
		chord, angle = chord*coarserChord, angle*coarserAngle
		short := false
		e.ts, short = divide(e.Edge, e.a == e.b, stops, chord, angle, parts, e.ts[:0])
		spent += int64(len(e.ts)+1) * e.part
		if !short {
			break
		}
	}
	b.dropInfinite(e)
	e.deviation = b.edgeDeviation(e)
	return spent
}

// edgeDeviation is the farthest that the curve is seen to stand off the chords of its division.
func (b *body) edgeDeviation(e *edge) float64 {
	const looks = 8
	worst := 0.0
	from, start := e.T0, e.Curve.Point(e.T0)
	for i := 0; i <= len(e.ts); i++ {
		to := e.T1
		if i < len(e.ts) {
			to = e.ts[i]
		}
		end := e.Curve.Point(to)
		for k := 1; k < looks; k++ {
			worst = max(worst, fromSegment(e.Curve.Point(from+(to-from)*float64(k)/looks), start, end))
		}
		from, start = to, end
	}
	return worst
}

// atPoles are the parameters at which an edge passes through a pole of one of its faces, in
// the edge's direction: there the image in the parameter plane jumps. ok is false where looking
// for them takes more than most.
func (b *body) atPoles(e *edge, most int64) (_ []float64, spent int64, ok bool) {
	if e.stops != nil {
		return e.stops, 0, true
	}
	for _, k := range e.faces {
		if s := b.faces[k].surface; s != nil {
			spent += 1 + e.find*int64(len(s.Poles()))
		}
	}
	if spent > most {
		return nil, 0, false
	}
	var stops []float64
	for _, k := range e.faces {
		if b.faces[k].surface == nil {
			continue
		}
		for _, pole := range b.faces[k].surface.Poles() {
			if b.isPole(b.points[e.a], pole.Point) || b.isPole(b.points[e.b], pole.Point) {
				continue
			}
			t, distance := e.Curve.Parameter(pole.Point, (e.T0+e.T1)/2, true)
			if distance > tol.AtPoleMM {
				continue
			}
			if p := e.Curve.Period(); p > 0 {
				t -= p * math.Floor((t-min(e.T0, e.T1))/p)
			}
			if t > min(e.T0, e.T1) && t < max(e.T0, e.T1) {
				stops = append(stops, t)
			}
		}
	}
	sort.Float64s(stops)
	if e.T1 < e.T0 {
		for i, j := 0, len(stops)-1; i < j; i, j = i+1, j-1 {
			stops[i], stops[j] = stops[j], stops[i]
		}
	}
	stops = mergeAlong(stops, nil, e.T0, e.T1)
	if stops == nil {
		stops = []float64{}
	}
	e.stops = stops
	return stops, spent, true
}

func (b *body) isPole(p, pole r3.Vector) bool { return p.Sub(pole).Norm() <= tol.AtPoleMM }

// finest bounds how often edges are divided finer where their chords cross.
const finest = 2

// tessellate turns the faces into triangles. Where chords of edges cross, these edges are divided
// finer, and the faces on them once more.
func (b *body) tessellate() {
	todo := make([]bool, len(b.faces))
	for i := range todo {
		todo[i] = true
	}
	for i := range b.edges {
		b.edges[i].stale = true
	}
	workers := make([]*worker, runtime.GOMAXPROCS(0))
	for round := 0; ; round++ {
		b.divideEdges()
		last := round == finest
		var list []int32
		for i := range todo {
			if todo[i] {
				list = append(list, int32(i))
			}
		}
		weight := func(i int32) int64 { return lookUnits + b.faces[i].cost.Evaluate }
		cut, _ := b.budget.spend(list, faceEighths, weight, 4, func(who int, i int32, most int64) (int64, bool) {
			w := workers[who]
			if w == nil {
				w = &worker{body: b}
				workers[who] = w
			}
			b.faces[i].result = w.face(b.faces[i], last, most)
			return w.spent, w.undone
		})
		for _, i := range cut {
			b.faces[i].result.cut = true
		}
		again := false
		for i, f := range b.faces {
			if !todo[i] {
				continue
			}
			for _, k := range f.result.finer {
				again = true
				b.edges[k].finer = uint8(round + 1)
				b.edges[k].stale = true
			}
		}
		if !again || last {
			return
		}
		clear(todo)
		for i := range b.edges {
			if e := &b.edges[i]; e.stale {
				for _, f := range e.faces {
					todo[f] = true
				}
			}
		}
	}
}

// part gathers the triangles of all faces.
func (b *body) part() mesh.Part {
	shells := make([]integrals, len(b.from.Shells))
	turned := make([]bool, len(b.from.Shells))
	closed := b.closedShells()
	for _, f := range b.faces {
		shells[f.shell].add(&f.result.sums)
	}
	for s := range shells {
		// A closed shell has its metal inside, a void outside, whatever its flags say.
		if closed[s] && shells[s].volume != 0 && (shells[s].volume < 0) != b.from.Shells[s].Void {
			turned[s] = true
			shells[s].turn()
		}
	}
	nTriangles, nInner := 0, 0
	for _, f := range b.faces {
		nTriangles += len(f.result.triangles)
		nInner += len(f.result.inner)
	}
	m := &mesh.Mesh{
		Vertices:  make([]r3.Vector, len(b.points), len(b.points)+nInner),
		Triangles: make([][3]int32, 0, nTriangles),
		Faces:     make([]int32, 0, nTriangles),
	}
	copy(m.Vertices, b.points)
	p := mesh.Part{Mesh: m, ChordMM: b.chord, Roundoff: tol.RoundoffDouble, Sheet: b.from.Sheet, Faces: make([]mesh.Face, len(b.faces))}
	for i, f := range b.faces {
		base := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, f.result.inner...)
		for _, t := range f.result.triangles {
			for k := range t {
				if t[k] < 0 {
					t[k] = base + ^t[k]
				}
			}
			if turned[f.shell] {
				t[1], t[2] = t[2], t[1]
			}
			m.Triangles = append(m.Triangles, t)
			m.Faces = append(m.Faces, int32(i))
		}
		p.Faces[i] = describe(f, turned[f.shell])
		p.ChordMM = max(p.ChordMM, f.result.deviation)
		if f.result.cut && !f.result.closing {
			if f.result.note != "" {
				f.result.note += "; "
			}
			f.result.note += fmt.Sprintf("this face asks for more work than a file of this length may have: it was left coarse, up to %.3g mm off its surface", max(f.result.deviation, b.chord))
		}
		if f.result.note != "" {
			b.notes = append(b.notes, mesh.Note{Place: fmt.Sprintf("#%d", f.ID), Says: f.result.note})
		}
	}
	for i := range b.edges {
		if e := &b.edges[i]; e.deviation > 0 {
			p.ChordMM = max(p.ChordMM, e.deviation)
			if e.deviation > b.chord {
				b.notes = append(b.notes, mesh.Note{Place: fmt.Sprintf("#%d", e.ID), Says: fmt.Sprintf("this edge asks for more points than it may have: its chords stand up to %.3g mm off it", e.deviation)})
			}
		}
	}
	for s := range turned {
		if turned[s] {
			b.notes = append(b.notes, mesh.Note{Place: fmt.Sprintf("#%d", b.from.Shells[s].ID), Says: "this shell faces the wrong way and was turned over"})
		}
	}
	dropUnused(m)
	p.Audit = mesh.NewAudit(m)
	p.Exact = b.measures(shells, m)
	return p
}

// closedShells tells which shells use each of their edges as often one way as the other.
func (b *body) closedShells() []bool {
	closed := make([]bool, len(b.from.Shells))
	balance := make([]int32, len(b.edges))
	last := 0
	for s := range b.from.Shells {
		closed[s] = true
		// Faces are in the order of shells.
		first := last
		for last < len(b.faces) && b.faces[last].shell == s {
			last++
		}
		count := func(check bool) {
			for _, f := range b.faces[first:last] {
				for l := range f.Loops {
					for u := range f.Loops[l].Uses {
						use := &f.Loops[l].Uses[u]
						k := b.edgeOf[use.Edge]
						switch {
						case check:
							closed[s] = closed[s] && balance[k] == 0
							balance[k] = 0
						case b.edges[k].merged:
						case use.Forward:
							balance[k]++
						default:
							balance[k]--
						}
					}
				}
			}
		}
		count(false)
		count(true)
	}
	return closed
}

// dropUnused takes out vertices that no triangle names, such as that of a vertex loop.
func dropUnused(m *mesh.Mesh) {
	used := make([]int32, len(m.Vertices))
	for _, t := range m.Triangles {
		used[t[0]], used[t[1]], used[t[2]] = 1, 1, 1
	}
	n := int32(0)
	for i, u := range used {
		if u != 0 {
			m.Vertices[n] = m.Vertices[i]
			used[i] = n
			n++
		}
	}
	if int(n) == len(m.Vertices) {
		return
	}
	m.Vertices = m.Vertices[:n]
	for i := range m.Triangles {
		for k := range 3 {
			m.Triangles[i][k] = used[m.Triangles[i][k]]
		}
	}
}

// describe says what a face is.
func describe(f *face, turned bool) mesh.Face {
	var d mesh.Face
	forward := f.forward != turned
	if f.surface != nil && !f.result.closing {
		d = f.surface.Face()
		switch d.Kind {
		case mesh.Plane:
			if !forward {
				d.Axis = d.Axis.Mul(-1)
			}
		case mesh.Cylinder, mesh.Cone, mesh.Sphere, mesh.Torus:
			d.Inner = !forward
		}
	}
	d.Label = fmt.Sprintf("#%d", f.ID)
	return d
}
