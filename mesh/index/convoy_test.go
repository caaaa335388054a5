package index

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/meshtest"
)

// awkwardRays run through corners and along edges and axes, from far away, past the mesh, over
// short stretches and from all over.
func awkwardRays(t testing.TB, tree *Tree, seed uint64, n int) []Ray {
	rng := seeded(t, seed)
	m := tree.Mesh()
	axes := [6]r3.Vector{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}
	rays := make([]Ray, n)
	for i := range rays {
		r := &rays[i]
		tri := m.Triangles[rng.IntN(len(m.Triangles))]
		corner, next := m.Vertices[tri[0]], m.Vertices[tri[1]]
		*r = Ray{randomDirection(rng).Mul(30), randomDirection(rng), 0, math.Inf(1)}
		switch i % 7 {
		case 0: // at a corner
			r.Direction = corner.Sub(r.Origin)
		case 1: // from a corner along an edge
			r.Origin, r.Direction = corner, next.Sub(corner)
		case 2: // along an axis through a corner
			d := axes[rng.IntN(6)]
			r.Origin, r.Direction = corner.Sub(d.Mul(50)), d
		case 3: // from far away
			r.Origin = r.Origin.Mul(1e6)
			r.Direction = corner.Sub(r.Origin)
		case 4: // a short stretch, some before the origin
			r.TMin, r.TMax = rng.Float64()*60-30, rng.Float64()*60-10
		case 5: // past the mesh
			r.Origin.X += 1e3
		}
	}
	return rays
}

// TestConvoyAnswersAsOneByOne: rays that share their way get what each gets alone, to the last
// bit, with the wide node tests and the plain ones; where two triangles are one place, the same of
// the two.
func TestConvoyAnswersAsOneByOne(t *testing.T) {
	rng := seeded(t, 31)
	ball := sphere(10, 30, 15)
	tree := Build(meshtest.Joined(ball, ball, meshtest.Inverted(sphere(6, 20, 11)), soup(rng, 500)))
	rays := awkwardRays(t, tree, 32, 3500)
	want := make([]Hit, len(rays))
	hits := 0
	for i, r := range rays {
		want[i], _ = tree.First(r)
		if want[i].Triangle >= 0 {
			hits++
		}
	}
	if hits < len(rays)/3 || hits > len(rays)*9/10 {
		t.Fatalf("%d of %d rays hit: not the mixture meant", hits, len(rays))
	}
	check := func(name string) {
		for _, size := range []int{1, 2, convoySize - 1, convoySize} {
			c := new(convoy)
			got := make([]Hit, size)
			for from := 0; from+size <= len(rays); from += size {
				c.first(tree, rays[from:from+size], got)
				for k, g := range got {
					if g != want[from+k] {
						t.Fatalf("%s, %d at a time: ray %+v hits %+v, alone %+v", name, size, rays[from+k], g, want[from+k])
					}
				}
			}
		}
		for i, g := range tree.FirstBatch(rays, nil) {
			if g != want[i] {
				t.Fatalf("%s, batch: ray %+v hits %+v, alone %+v", name, rays[i], g, want[i])
			}
		}
	}
	check("wide")
	plainly(func() { check("plain") })
	for _, h := range Build(soup(rng, 0)).FirstBatch(rays[:3], nil) {
		if h != NoHit {
			t.Fatalf("a ray hits %+v of an empty mesh", h)
		}
	}
}
