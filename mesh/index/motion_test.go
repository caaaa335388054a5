package index

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/meshtest"
)

// TestMotionsChangeNoAnswer: a hundred rigid motions of a mesh and of what is asked of it change
// T, distances and radii by no more than the rounding of moved coordinates, and inside stays
// inside.
func TestMotionsChangeNoAnswer(t *testing.T) {
	rng := meshtest.Random(t)
	// A hollow sphere in a block, with a sphere that stands free beside it: nothing is symmetrical.
	m := meshtest.Joined(box(r3.Vector{X: -12, Y: -14, Z: -11}, r3.Vector{X: 13, Y: 15, Z: 12}), meshtest.Inverted(sphere(7, 24, 13)), sphere(3, 16, 9).Moved(meshtest.RandomMotion(rng, 40)))
	at := Build(m)
	const queries, ballShare, ballFloor = 60, 1e-4, 1e-5
	// off counts answers that differ by more than they may when the query is moved by miss beside
	// the motion.
	off := func(miss float64) int {
		bad := 0
		for range 100 {
			motion := meshtest.RandomMotion(rng, 200)
			moved := Build(m.Moved(motion))
			// A moved coordinate is a sum of four products: eight roundings at its size, and a distance
			// has two ends. Rays that graze a facet amplify that and are left out below.
			allowed := 64 * 0x1p-53 * moved.Bounds().MaxAbs()
			for range queries {
				p := r3.Vector{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5, Z: rng.Float64() - 0.5}.Mul(40)
				d := randomDirection(rng)
				q, e := motion.Point(p).Add(r3.Vector{X: miss}), motion.Direction(d)
				a, _ := at.Nearest(p, math.Inf(1))
				b, _ := moved.Nearest(q, math.Inf(1))
				if math.Abs(a.Distance-b.Distance) > allowed {
					bad++
				}
				if a.Distance > allowed && at.Inside(p) != moved.Inside(q) {
					bad++
				}
				h, _ := at.First(Ray{p, d, 0, math.Inf(1)})
				g, _ := moved.First(Ray{q, e, 0, math.Inf(1)})
				if h.Triangle >= 0 && h.Triangle == g.Triangle {
					steep := math.Abs(m.AreaVector(int(h.Triangle)).Normalize().Dot(d))
					if steep > 0.01 && math.Abs(h.T-g.T) > allowed*4/steep {
						bad++
					}
				} else if (h.Triangle >= 0) != (g.Triangle >= 0) {
					bad++
				}
				k := rng.IntN(len(m.Triangles))
				u, v, w := m.Corners(k)
				foot := u.Mul(0.3).Add(v.Mul(0.3)).Add(w.Mul(0.4))
				n := m.AreaVector(k).Normalize().Mul(-1)
				r, touch, _ := at.Ball(foot, n, 9, ballShare, ballFloor, -1)
				s, other, _ := moved.Ball(motion.Point(foot).Add(r3.Vector{X: miss}), motion.Direction(n), 9, ballShare, ballFloor, -1)
				// What Ball leaves open, for either of the two: they may rest on different points.
				cosine := func(foot, n, touch r3.Vector, radius float64) float64 {
					c := foot.Add(n.Mul(radius))
					return foot.Sub(c).Dot(touch.Sub(c)) / (radius * radius)
				}
				cos := max(cosine(foot, n, touch, r), cosine(motion.Point(foot), motion.Direction(n), other, s))
				if math.Abs(r-s) > 2*(ballShare*9+ballFloor)/math.Max(1-cos, 1e-3)+allowed {
					bad++
				}
			}
		}
		return bad
	}
	if n := off(0); n > 0 {
		t.Errorf("%d answers changed by more than rounding", n)
	}
	if off(1e-9) == 0 {
		t.Error("a motion off by a millionth of a micrometre changes nothing: the test has lost its teeth")
	}
}

// TestBatchesInAnyOrder: a batch gives each ray and point what it gets alone, whether requests lie
// in order, and are taken as they come, or do not, and are sorted.
func TestBatchesInAnyOrder(t *testing.T) {
	rng := meshtest.Random(t)
	m := meshtest.Joined(sphere(50, 900, 9), soup(rng, 3000))
	tree := Build(m)
	rays := inwardRays(m)
	mixed := slices.Clone(rays)
	rng.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
	ordered := 0
	for name, batch := range map[string][]Ray{"in order": rays[:12000], "in one place": slices.Repeat(rays[:1], 3000), "mixed": mixed, "few": mixed[:3], "none": nil} {
		points := make([]r3.Vector, len(batch))
		for i := range batch {
			points[i] = batch[i].Origin
		}
		if orderly(len(points), func(i int) uint32 { return cell(&tree.box, tree.cellScale(), points[i]) }) {
			ordered++
		}
		hits := tree.FirstBatch(batch, nil)
		feet := tree.NearestBatch(points, 5, nil)
		for i := range batch {
			if one, _ := tree.First(batch[i]); one != hits[i] {
				t.Fatalf("%s, ray %d: alone %v, in a batch %v", name, i, one, hits[i])
			}
			if one, _ := tree.Nearest(points[i], 5); one != feet[i] {
				t.Fatalf("%s, point %d: alone %v, in a batch %v", name, i, one, feet[i])
			}
		}
	}
	if ordered == 0 || ordered == 5 {
		t.Errorf("%d of 5 batches were taken as they come: the test has lost its teeth", ordered)
	}
}
