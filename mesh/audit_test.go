package mesh_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

// facts are what an audit counts.
type facts struct {
	Open, NonManifold, Misoriented, Duplicates int
	Balanced                                   bool
	Shells, Solids, InsideOut                  int
}

func factsOf(a *mesh.Audit) facts {
	return facts{a.OpenEdges, a.NonManifoldEdges, a.MisorientedEdges, a.DuplicateTriangles, a.Balanced, len(a.Shells), a.Solids(), a.InsideOut()}
}

func box(lo, hi float64) *meshtest.Solid {
	return meshtest.Box(r3.Vector{X: lo, Y: lo, Z: lo}, r3.Vector{X: hi, Y: hi, Z: hi})
}

func turnedOver(m *mesh.Mesh, triangle int) *mesh.Mesh {
	c := *m
	c.Triangles = slices.Clone(m.Triangles)
	t := c.Triangles[triangle]
	c.Triangles[triangle] = [3]int32{t[0], t[2], t[1]}
	return &c
}

func withTwice(m *mesh.Mesh, triangle int, reversed bool) *mesh.Mesh {
	c := *m
	t := m.Triangles[triangle]
	if reversed {
		t = [3]int32{t[1], t[0], t[2]}
	}
	c.Triangles = append(slices.Clone(m.Triangles), t)
	return &c
}

// Each case's counts follow from the shape: a facet has three edges, and each of them is shared
// with one other facet of a closed surface.
func TestAuditOfKnownFaults(t *testing.T) {
	cube := box(0, 1)
	hollow := meshtest.HollowBox(geom.Box{Max: r3.Vector{X: 9, Y: 9, Z: 9}}, geom.Box{Min: r3.Vector{X: 3, Y: 3, Z: 3}, Max: r3.Vector{X: 6, Y: 6, Z: 6}})
	// Two cells of a checkerboard touch along one upright edge of one cell's height.
	step := []float64{0, 1, 2}
	touching := meshtest.Grid(step, step, []float64{0, 1}, func(i, j, k int) bool { return i == j })
	apart := box(0, 1).With(box(2, 3))
	// A fan: the hub of a cone with more sides than the audit's short-bucket sort takes.
	cone := meshtest.Cone(5, 7, 5000)
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want facts
	}{
		{"cube", cube.Mesh, facts{Balanced: true, Shells: 1, Solids: 1}},
		{"one facet missing", cube.Without(4), facts{Open: 3, Shells: 1}},
		{"one facet turned over", turnedOver(cube.Mesh, 4), facts{Misoriented: 3, Shells: 1}},
		{"one facet twice", withTwice(cube.Mesh, 4, false), facts{NonManifold: 3, Duplicates: 1, Shells: 1}},
		{"one facet twice, the second turned over", withTwice(cube.Mesh, 4, true), facts{NonManifold: 3, Duplicates: 1, Shells: 1}},
		{"two bodies that touch along an edge", touching.Mesh, facts{NonManifold: 1, Balanced: true, Shells: 1, Solids: 1}},
		{"two bodies apart", apart.Mesh, facts{Balanced: true, Shells: 2, Solids: 2}},
		{"inside out", cube.InsideOut().Mesh, facts{Balanced: true, Shells: 1, InsideOut: 1}},
		{"a void", hollow.Mesh, facts{Balanced: true, Shells: 2, Solids: 1, InsideOut: 1}},
		{"one body sound, one open", &mesh.Mesh{Vertices: apart.Mesh.Vertices, Triangles: apart.Mesh.Triangles[:len(apart.Mesh.Triangles)-1]},
			facts{Open: 3, Shells: 2, Solids: 1}},
		{"fan of 5000", cone.Mesh, facts{Balanced: true, Shells: 1, Solids: 1}},
		{"nothing", &mesh.Mesh{}, facts{Balanced: true}},
	} {
		a := mesh.NewAudit(c.m)
		if got := factsOf(a); got != c.want {
			t.Errorf("%s:\n got %+v\nwant %+v", c.name, got, c.want)
		}
		closed := c.want.Balanced && c.want.Open == 0 && c.want.Shells > 0
		if a.Closed() != closed {
			t.Errorf("%s: closed %v, want %v", c.name, a.Closed(), closed)
		}
		triangles := 0
		for _, s := range a.Shells {
			triangles += s.Triangles
		}
		if triangles != len(c.m.Triangles) || len(a.ShellOf) != len(c.m.Triangles) {
			t.Errorf("%s: the shells hold %d of %d triangles", c.name, triangles, len(c.m.Triangles))
		}
	}
}

func TestShellsHaveTheVolumesOfTheirBodies(t *testing.T) {
	hollow := meshtest.HollowBox(geom.Box{Max: r3.Vector{X: 10, Y: 8, Z: 6}}, geom.Box{Min: r3.Vector{X: 2, Y: 2, Z: 2}, Max: r3.Vector{X: 5, Y: 6, Z: 4}})
	shells := mesh.NewAudit(hollow.Mesh).Shells
	if len(shells) != 2 {
		t.Fatalf("%d shells, want 2", len(shells))
	}
	meshtest.WantNear(t, "outer shell", shells[0].VolumeMM3, 480, 1e-9)
	meshtest.WantNear(t, "void", shells[1].VolumeMM3, -24, 1e-9)
	if shells[0].First != 0 || shells[1].First <= shells[0].First {
		t.Errorf("shells begin at %d and %d: they come in the order of their first triangle", shells[0].First, shells[1].First)
	}
	// Far from the origin the same: the volume is summed about the middle of the mesh.
	far := hollow.Moved(geom.Translate(r3.Vector{X: 1e6, Y: -2e6, Z: 3e6}))
	meshtest.WantNear(t, "void, far away", mesh.NewAudit(far.Mesh).Shells[1].VolumeMM3, -24, 1e-6)
}

func TestSpotsSayWhereAndAreBounded(t *testing.T) {
	cube := box(0, 1)
	spots := mesh.NewAudit(cube.Without(0)).Spots
	if len(spots) != 3 {
		t.Fatalf("%d places, want the three edges of the missing facet", len(spots))
	}
	a, b, c := cube.Mesh.Corners(0)
	for _, s := range spots {
		if s.Kind != mesh.OpenEdge || s.Kind.String() != "open edge" {
			t.Errorf("kind %v", s.Kind)
		}
		for _, end := range []r3.Vector{s.A, s.B} {
			if end != a && end != b && end != c {
				t.Errorf("%v is no corner of the missing facet", end)
			}
		}
	}
	// A sheet of loose triangles: every edge is open, and only the first few are kept.
	sheet := &mesh.Mesh{}
	for i := range 20 {
		x := float64(i)
		n := int32(len(sheet.Vertices))
		sheet.Vertices = append(sheet.Vertices, r3.Vector{X: x}, r3.Vector{X: x + 0.5}, r3.Vector{X: x, Y: 1})
		sheet.Triangles = append(sheet.Triangles, [3]int32{n, n + 1, n + 2})
	}
	loose := mesh.NewAudit(sheet)
	if loose.OpenEdges != 60 || len(loose.Shells) != 20 || len(loose.Spots) != mesh.SpotLimit {
		t.Errorf("%d open edges, %d shells, %d places; want 60, 20, %d", loose.OpenEdges, len(loose.Shells), len(loose.Spots), mesh.SpotLimit)
	}
}

// counted is the audit done the plain way, with a map from edges to their uses.
func counted(m *mesh.Mesh) facts {
	type edge [2]int32
	forward, uses := map[edge]int{}, map[edge]int{}
	seen := map[[3]int32]bool{}
	f := facts{Balanced: true}
	for _, t := range m.Triangles {
		for k := range 3 {
			p, q := t[k], t[(k+1)%3]
			e := edge{min(p, q), max(p, q)}
			uses[e]++
			if p < q {
				forward[e]++
			}
		}
		key := t
		slices.Sort(key[:])
		if seen[key] {
			f.Duplicates++
		}
		seen[key] = true
	}
	for e, n := range uses {
		switch {
		case n == 1:
			f.Open++
		case n > 2:
			f.NonManifold++
		case forward[e] != 1:
			f.Misoriented++
		}
		if 2*forward[e] != n {
			f.Balanced = false
		}
	}
	return f
}

func soup(rng *rand.Rand) *mesh.Mesh {
	n := 4 + rng.IntN(12)
	m := &mesh.Mesh{}
	for range n {
		m.Vertices = append(m.Vertices, r3.Vector{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()})
	}
	for range 1 + rng.IntN(80) {
		p := rng.Perm(n)
		m.Triangles = append(m.Triangles, [3]int32{int32(p[0]), int32(p[1]), int32(p[2])})
	}
	return m
}

func TestAuditAgreesWithPlainCountingOnAnySoup(t *testing.T) {
	rng := meshtest.Random(t)
	for range 500 {
		m := soup(rng)
		got, want := factsOf(mesh.NewAudit(m)), counted(m)
		want.Shells, want.Solids, want.InsideOut = got.Shells, got.Solids, got.InsideOut
		if got != want {
			t.Fatalf("triangles %v:\n got %+v\nwant %+v", m.Triangles, got, want)
		}
		// Control: one triangle more must be noticed.
		more := counted(withTwice(m, 0, false))
		more.Shells, more.Solids, more.InsideOut = got.Shells, got.Solids, got.InsideOut
		if got == more {
			t.Fatalf("a triangle that stands twice changes no count of %v", m.Triangles)
		}
	}
}

func TestAuditDoesNotDependOnTheOrderOfTriangles(t *testing.T) {
	rng := meshtest.Random(t)
	for range 100 {
		s := meshtest.RandomSolid(rng)
		before := factsOf(mesh.NewAudit(s.Mesh))
		m := *s.Mesh
		m.Triangles = slices.Clone(s.Mesh.Triangles)
		rng.Shuffle(len(m.Triangles), func(i, j int) { m.Triangles[i], m.Triangles[j] = m.Triangles[j], m.Triangles[i] })
		for i, t := range m.Triangles {
			if rng.IntN(2) == 0 {
				m.Triangles[i] = [3]int32{t[1], t[2], t[0]} // the same facet, begun at another corner
			}
		}
		if after := factsOf(mesh.NewAudit(&m)); after != before {
			t.Fatalf("%s: %+v became %+v", s.Name, before, after)
		}
		if before.Solids != 1 || !before.Balanced {
			t.Fatalf("%s: %+v", s.Name, before)
		}
	}
}
