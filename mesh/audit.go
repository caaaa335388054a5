package mesh

import (
	"slices"

	"github.com/golang/geo/r3"
)

// Audit says whether a mesh bounds a solid, and where it does not.
//
// Every undirected edge is looked at once. On a closed, oriented 2-manifold each is used by
// exactly two triangles, once each way. An edge used once is open. One used more than twice is
// non-manifold. One used twice the same way is misoriented: the two triangles disagree about
// which side the metal is on.
type Audit struct {
	OpenEdges        int
	NonManifoldEdges int
	MisorientedEdges int
	// Balanced is set when every edge is run along as often one way as the other. That alone
	// makes the signed volume independent of the origin and the parity of a ray well defined,
	// even where two bodies touch along a non-manifold edge.
	Balanced bool
	// DuplicateTriangles counts triangles over the same three vertices as an earlier one.
	DuplicateTriangles int
	Shells             []Shell
	// ShellOf holds the shell of each triangle.
	ShellOf []int32
	// Spots are places where the surface is not sound, at most SpotLimit of each kind, in
	// order of the vertices they lie at.
	Spots []Spot
}

// SpotLimit is how many places of each kind an Audit keeps: enough to show a person where to
// look, small against any mesh.
const SpotLimit = 16

// SpotKind is what is wrong at a place.
type SpotKind uint8

// The kinds of unsound places.
const (
	OpenEdge SpotKind = iota
	NonManifoldEdge
	MisorientedEdge
)

func (k SpotKind) String() string {
	return [...]string{"open edge", "edge of more than two facets", "edge whose facets face opposite ways"}[k]
}

// Spot is an edge that is not sound.
type Spot struct {
	Kind SpotKind
	A, B r3.Vector
}

// Shell is a set of triangles connected over edges.
type Shell struct {
	Triangles int
	// First is the shell's lowest triangle index; shells are ordered by it.
	First int
	// Closed is set when every edge of the shell is balanced.
	Closed bool
	// VolumeMM3 is signed: negative for a shell whose normals point inwards, the wall of a void
	// or a body turned inside out. It means little unless Closed.
	VolumeMM3 float64
}

// Closed reports whether the mesh is a closed surface that bounds a volume.
func (a *Audit) Closed() bool { return len(a.Shells) > 0 && a.Balanced && a.OpenEdges == 0 }

// Solids counts the closed shells that are turned outwards.
func (a *Audit) Solids() int {
	n := 0
	for _, s := range a.Shells {
		if s.Closed && s.VolumeMM3 > 0 {
			n++
		}
	}
	return n
}

// InsideOut counts closed shells with negative volume.
func (a *Audit) InsideOut() int {
	n := 0
	for _, s := range a.Shells {
		if s.Closed && s.VolumeMM3 < 0 {
			n++
		}
	}
	return n
}

// halfEdge is one use of an edge, kept in the bucket of its lower vertex. far packs the upper
// vertex and, in the lowest bit, whether the use runs from lower to upper.
// Eight bytes a use: readers refuse more than 2^30 vertices, so that the bit has room.
type halfEdge struct {
	far      uint32
	triangle int32
}

// NewAudit examines m in time and memory linear in its triangles.
//
// Uses are counted into buckets by their lower vertex (a counting sort), and each bucket, six
// uses long on average, is sorted by insertion. That beats a hash of edges by avoiding its
// cache misses: one bucket is one or two cache lines.
func NewAudit(m *Mesh) *Audit {
	a := &Audit{Balanced: true}
	nv, nt := len(m.Vertices), len(m.Triangles)
	start := make([]int32, nv+1)
	for _, t := range m.Triangles {
		start[min(t[0], t[1])]++
		start[min(t[1], t[2])]++
		start[min(t[2], t[0])]++
	}
	sum := int32(0)
	for v := range start {
		n := start[v]
		start[v] = sum
		sum += n
	}
	uses := make([]halfEdge, 3*nt)
	for i, t := range m.Triangles {
		for k := range 3 {
			p, q := t[k], t[(k+1)%3]
			h := halfEdge{far: uint32(q)<<1 | 1, triangle: int32(i)}
			if p > q {
				p, h.far = q, uint32(p)<<1
			}
			uses[start[p]] = h
			start[p]++
		}
	}
	// start[v] now holds the end of bucket v.

	shell := NewForest(nt)
	lopsided := make([]int32, 0)
	spots := [3][]Spot{}
	begin := int32(0)
	for v := range nv {
		bucket := uses[begin:start[v]]
		begin = start[v]
		sortUses(bucket)
		for i := 0; i < len(bucket); {
			far := bucket[i].far >> 1
			forward, j := 0, i
			for ; j < len(bucket) && bucket[j].far>>1 == far; j++ {
				forward += int(bucket[j].far & 1)
				if j > i {
					shell.Join(bucket[i].triangle, bucket[j].triangle)
				}
			}
			n := j - i
			kind := SpotKind(255)
			switch {
			case n == 1:
				a.OpenEdges++
				kind = OpenEdge
			case n > 2:
				a.NonManifoldEdges++
				kind = NonManifoldEdge
			case forward != 1:
				a.MisorientedEdges++
				kind = MisorientedEdge
			}
			if 2*forward != n {
				a.Balanced = false
				lopsided = append(lopsided, bucket[i].triangle)
			}
			if kind != 255 && len(spots[kind]) < SpotLimit {
				spots[kind] = append(spots[kind], Spot{kind, m.Vertices[v], m.Vertices[far]})
			}
			i = j
		}
	}
	for _, s := range spots {
		a.Spots = append(a.Spots, s...)
	}
	a.gatherShells(m, shell, lopsided)
	a.DuplicateTriangles = countDuplicates(m, uses, start)
	return a
}

// sortUses orders a bucket by far vertex. Buckets are short but for the hub of a large fan.
func sortUses(b []halfEdge) {
	const shortBucket = 32 // insertion sort wins below; measured on even and on fan meshes
	if len(b) > shortBucket {
		slices.SortStableFunc(b, func(x, y halfEdge) int {
			switch {
			case x.far < y.far:
				return -1
			case x.far > y.far:
				return 1
			}
			return 0
		})
		return
	}
	for i := 1; i < len(b); i++ {
		h := b[i]
		j := i - 1
		for j >= 0 && b[j].far > h.far {
			b[j+1] = b[j]
			j--
		}
		b[j+1] = h
	}
}

func (a *Audit) gatherShells(m *Mesh, shell Forest, lopsided []int32) {
	a.ShellOf = make([]int32, len(m.Triangles))
	number := make([]int32, len(m.Triangles))
	centre := r3.Vector{}
	if len(m.Vertices) > 0 {
		centre = m.Bounds().Center()
	}
	for t := range m.Triangles {
		root := shell.Root(int32(t))
		if number[root] == 0 {
			a.Shells = append(a.Shells, Shell{First: t, Closed: true})
			number[root] = int32(len(a.Shells))
		}
		s := number[root] - 1
		a.ShellOf[t] = s
		sh := &a.Shells[s]
		sh.Triangles++
		p, q, r := m.Corners(t)
		// The volume is summed about the centre of the whole mesh: for a model far from the
		// origin that keeps the terms, and so the rounding, in proportion to its size.
		sh.VolumeMM3 += p.Sub(centre).Dot(q.Sub(centre).Cross(r.Sub(centre))) / 6
	}
	for _, t := range lopsided {
		a.Shells[a.ShellOf[t]].Closed = false
	}
}

// countDuplicates finds triangles that repeat an earlier one's three vertices in any order.
// Two such triangles share their edge at their lowest vertex, so only bucket mates compare.
func countDuplicates(m *Mesh, uses []halfEdge, end []int32) int {
	n := 0
	begin := int32(0)
	for v := range m.Vertices {
		bucket := uses[begin:end[v]]
		begin = end[v]
		for i := 0; i < len(bucket); {
			j := i + 1
			for j < len(bucket) && bucket[j].far>>1 == bucket[i].far>>1 {
				j++
			}
			if j-i > 1 {
				n += duplicatesAround(m, int32(v), int32(bucket[i].far>>1), bucket[i:j])
			}
			i = j
		}
	}
	return n
}

// duplicatesAround counts, among the triangles of one edge, those whose third vertex has been
// seen, counting a triangle only at the edge of its two lowest vertices.
func duplicatesAround(m *Mesh, low, high int32, mates []halfEdge) int {
	if len(mates) == 2 && apex(m, mates[0].triangle, low, high) != apex(m, mates[1].triangle, low, high) {
		return 0
	}
	n := 0
	seen := make(map[int32]bool, len(mates))
	for _, h := range mates {
		third := apex(m, h.triangle, low, high)
		if third < high {
			continue
		}
		if seen[third] {
			n++
		}
		seen[third] = true
	}
	return n
}

func apex(m *Mesh, t, low, high int32) int32 {
	for _, v := range m.Triangles[t] {
		if v != low && v != high {
			return v
		}
	}
	return -1
}
