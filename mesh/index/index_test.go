package index

import (
	"math"
	"reflect"
	"runtime"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

// everyTriangle answers First by asking each triangle, with no hierarchy.
func everyTriangle(t *Tree, r Ray) Hit {
	var b boxRay
	var s shear
	best := NoHit
	wide := *t
	wide.box = wide.box.Expand(1e3)
	if !wide.prepare(&r, &b, &s) {
		return best
	}
	for k := range t.tri {
		if T, leaves, ok := t.crossing(&s, int32(k)); ok && (T < best.T || T == best.T && t.tri[k].id < best.Triangle) {
			best = Hit{T, t.tri[k].id, leaves}
		}
	}
	return best
}

// planeHit is Moeller and Trumbore's test ("Fast, Minimum Storage Ray/Triangle Intersection",
// JGT 1997), which shares nothing with crossing.
func planeHit(m *mesh.Mesh, r Ray) float64 {
	best := math.Inf(1)
	for k := range m.Triangles {
		a, b, c := m.Corners(k)
		e, f := b.Sub(a), c.Sub(a)
		p := r.Direction.Cross(f)
		det := e.Dot(p)
		if det == 0 {
			continue
		}
		s := r.Origin.Sub(a)
		u := s.Dot(p) / det
		q := s.Cross(e)
		v := r.Direction.Dot(q) / det
		t := f.Dot(q) / det
		if u >= 0 && v >= 0 && u+v <= 1 && t >= r.TMin && t <= r.TMax && t < best {
			best = t
		}
	}
	return best
}

func TestFirstIsThatOfAllTriangles(t *testing.T) {
	rng := seeded(t, 7)
	for _, n := range []int{1, 3, 5, 40, 3000} {
		m := soup(rng, n)
		tree := Build(m)
		hits := 0
		for i := range 400 {
			o := r3.Vector{X: rng.Float64() * 50, Y: rng.Float64() * 20, Z: rng.Float64() * 5}
			if i%4 == 0 {
				o = o.Add(randomDirection(rng).Mul(1e4))
			}
			d := m.Vertices[rng.IntN(len(m.Vertices))].Add(randomDirection(rng)).Sub(o)
			if i%5 == 0 {
				d = r3.Vector{X: float64(i%2*2 - 1)}
			}
			r := Ray{o, d, 0, math.Inf(1)}
			got, ok := tree.First(r)
			want := everyTriangle(tree, r)
			if got != want || ok != (want.Triangle >= 0) {
				t.Fatalf("%d triangles, ray %v: %v, all triangles say %v", n, r, got, want)
			}
			if p := planeHit(m, r); math.Abs(p-got.T) > 1e-9*math.Max(1, got.T) && !(math.IsInf(p, 1) && math.IsInf(got.T, 1)) {
				t.Fatalf("%d triangles, ray %v: T %v, by the plane test %v", n, r, got.T, p)
			}
			if tree.Any(r) != ok {
				t.Fatalf("Any differs from First on %v", r)
			}
			if ok {
				hits++
				if all := tree.All(r, nil); all[0] != got {
					t.Fatalf("All starts with %v, First is %v", all[0], got)
				}
				if leaves := m.AreaVector(int(got.Triangle)).Dot(d) > 0; leaves != got.Leaves {
					t.Fatalf("ray %v leaves %v, normal says %v", r, got.Leaves, leaves)
				}
			}
		}
		if n > 1000 && hits < 200 {
			t.Fatalf("only %d of 400 rays hit: the test has lost its teeth", hits)
		}
	}
}

func TestNearestIsThatOfAllTriangles(t *testing.T) {
	rng := seeded(t, 8)
	for _, n := range []int{1, 5, 3000} {
		m := soup(rng, n)
		tree := Build(m)
		for i := range 300 {
			p := r3.Vector{X: rng.Float64() * 50, Y: rng.Float64() * 20, Z: rng.Float64() * 5}
			if i%4 == 0 {
				p = p.Add(randomDirection(rng).Mul(1e5))
			}
			want := math.Inf(1)
			for k := range m.Triangles {
				want = math.Min(want, sampledDistance(m, k, p))
			}
			got, ok := tree.Nearest(p, math.Inf(1))
			if !ok || math.Abs(got.Distance-want) > 1e-9*math.Max(1, want) {
				t.Fatalf("nearest of %v: %v, want %v", p, got.Distance, want)
			}
			if d := got.Point.Sub(p).Norm(); math.Abs(d-got.Distance) > 1e-9*math.Max(1, want) {
				t.Fatalf("foot %v lies %v away, said %v", got.Point, d, got.Distance)
			}
			if _, ok := tree.Nearest(p, want*0.999); ok {
				t.Fatalf("found within %v what lies at %v", want*0.999, want)
			}
			if f, ok := tree.Nearest(p, want*1.001); !ok || f.Distance != got.Distance {
				t.Fatalf("lost within %v what lies at %v", want*1.001, want)
			}
		}
	}
}

// sampledDistance is the distance of a triangle by its plane, edges and corners taken one by
// one: clumsier than footOnTriangle and independent of it.
func sampledDistance(m *mesh.Mesh, k int, p r3.Vector) float64 {
	a, b, c := m.Corners(k)
	best := math.Inf(1)
	n := m.AreaVector(k).Normalize()
	q := p.Sub(n.Mul(p.Sub(a).Dot(n)))
	in := n != (r3.Vector{})
	for _, e := range [][2]r3.Vector{{a, b}, {b, c}, {c, a}} {
		d := e[1].Sub(e[0])
		s := 0.0
		if d != (r3.Vector{}) {
			s = math.Max(0, math.Min(1, p.Sub(e[0]).Dot(d)/d.Norm2()))
		}
		best = math.Min(best, e[0].Add(d.Mul(s)).Sub(p).Norm())
		in = in && d.Cross(q.Sub(e[0])).Dot(n) >= 0
	}
	if in {
		best = math.Min(best, math.Abs(p.Sub(a).Dot(n)))
	}
	return best
}

// TestRaysThroughCornersAndEdges is X1: whatever a ray is aimed at, it enters a closed mesh as
// often as it leaves it, and from inside it leaves once more.
func TestRaysThroughCornersAndEdges(t *testing.T) {
	rng := seeded(t, 9)
	hollow := meshtest.Joined(sphere(10, 24, 13), meshtest.Inverted(sphere(7, 17, 9)), box(r3.Vector{X: -2, Y: -2, Z: -2}, r3.Vector{X: 2, Y: 2, Z: 2}))
	solids := map[string]*mesh.Mesh{
		"box": box(r3.Vector{X: -1, Y: -2, Z: -3}, r3.Vector{X: 1, Y: 2, Z: 3}), "sphere": sphere(10, 24, 13), "hollow": hollow,
		"turned": hollow.Moved(meshtest.RandomMotion(rng, 40)),
	}
	for name, m := range solids {
		tree := Build(m)
		targets := append([]r3.Vector(nil), m.Vertices...)
		for k := range m.Triangles {
			a, b, c := m.Corners(k)
			targets = append(targets, a.Add(b).Mul(0.5), b.Add(c).Mul(0.5), a.Add(b).Add(c).Mul(1.0/3))
		}
		var origins, dirs []r3.Vector
		for range 6 {
			origins = append(origins, m.Bounds().Center().Add(randomDirection(rng).Mul(40)), m.Vertices[rng.IntN(len(m.Vertices))].Add(r3.Vector{X: 64}))
		}
		dirs = append(dirs, r3.Vector{X: 1}, r3.Vector{Y: 1}, r3.Vector{Z: -1}, r3.Vector{X: 1, Y: 1}, r3.Vector{X: 1, Y: -1, Z: 1})
		rays := []Ray{}
		for _, p := range targets {
			for _, o := range origins {
				rays = append(rays, Ray{o, p.Sub(o), 0, math.Inf(1)})
			}
			for _, d := range dirs {
				rays = append(rays, Ray{p.Sub(d.Mul(100)), d, 0, math.Inf(1)})
			}
		}
		var hits []Hit
		crossed, tied := 0, 0
		for _, r := range rays {
			hits = tree.All(r, hits[:0])
			in := 0
			for _, h := range hits {
				if h.Leaves {
					in--
				} else {
					in++
				}
				if in < 0 || in > 2 {
					// Order at one T is by triangle, so a passing dip is allowed there only.
					tied++
				}
			}
			if in != 0 {
				t.Fatalf("%s: ray %v enters %d times more than it leaves: %v", name, r, in, hits)
			}
			crossed += len(hits)
		}
		if crossed < len(rays) {
			t.Fatalf("%s: %d crossings of %d rays: the rays miss their targets", name, crossed, len(rays))
		}
		if tied*20 > len(rays) {
			t.Fatalf("%s: %d of %d rays out of order", name, tied, len(rays))
		}
	}
}

// The control of the test above: with one triangle gone, the balance is broken for some rays.
func TestOpenMeshIsNotBalanced(t *testing.T) {
	m := sphere(10, 24, 13)
	a, b, c := m.Corners(0)
	m.Triangles = m.Triangles[1:]
	tree := Build(m)
	broken := 0
	rng := seeded(t, 10)
	for range 100 {
		x, y := rng.Float64()/2, rng.Float64()/2
		p := a.Add(b.Sub(a).Mul(x)).Add(c.Sub(a).Mul(y))
		o := randomDirection(rng).Mul(40)
		if hits := tree.All(Ray{o, p.Sub(o), 0, math.Inf(1)}, nil); len(hits)%2 == 1 {
			broken++
		}
	}
	if broken != 100 {
		t.Fatalf("%d of 100 rays through the hole are unbalanced", broken)
	}
}

func TestInside(t *testing.T) {
	rng := seeded(t, 11)
	m := meshtest.Joined(sphere(10, 96, 49), meshtest.Inverted(sphere(7, 96, 49)))
	sag := 10 * (1 - math.Cos(math.Pi/48)) * 2 // both directions of the grid
	motion := meshtest.RandomMotion(rng, 40)
	tree := Build(m.Moved(motion))
	n := 0
	for range 5000 {
		p := r3.Vector{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5, Z: rng.Float64() - 0.5}.Mul(24)
		d := math.Max(p.Norm()-10, 7-p.Norm())
		if math.Abs(d) < sag {
			continue
		}
		got := tree.Signed(motion.Point(p))
		if math.Abs(got-d) > sag || tree.Inside(motion.Point(p)) != (d < 0) {
			t.Fatalf("distance at radius %v is %v, want %v", p.Norm(), got, d)
		}
		n++
	}
	if n < 4000 {
		t.Fatal("too few points away from the surface")
	}
	if w := Build(meshtest.Joined(sphere(5, 16, 9), sphere(6, 16, 9))).Winding(r3.Vector{}); w != 2 {
		t.Fatalf("two bodies over one another wind %d times", w)
	}
	if Build(meshtest.Inverted(sphere(5, 16, 9))).Inside(r3.Vector{}) {
		t.Fatal("a body turned inside out has no inside")
	}
}

func TestTreeAndBatchesDoNotDependOnCores(t *testing.T) {
	rng := seeded(t, 12)
	m := meshtest.Joined(sphere(50, 400, 201), soup(rng, 20000))
	rays := make([]Ray, 20000)
	points := make([]r3.Vector, len(rays))
	for i := range rays {
		points[i] = r3.Vector{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5, Z: rng.Float64() - 0.5}.Mul(120)
		rays[i] = Ray{points[i], randomDirection(rng), 0, math.Inf(1)}
	}
	var first *Tree
	var hits []Hit
	var feet []Foot
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, cores := range []int{1, 2, 3, 5} {
		runtime.GOMAXPROCS(cores)
		tree := Build(m)
		h := tree.FirstBatch(rays, nil)
		f := tree.NearestBatch(points, math.Inf(1), nil)
		if first == nil {
			first, hits, feet = tree, h, f
			for i, r := range rays {
				if one, _ := tree.First(r); one != h[i] {
					t.Fatalf("ray %d: alone %v, in a batch %v", i, one, h[i])
				}
				if one, _ := tree.Nearest(points[i], math.Inf(1)); one != f[i] {
					t.Fatalf("point %d: alone %v, in a batch %v", i, one, f[i])
				}
			}
			continue
		}
		if !reflect.DeepEqual(first.nodes, tree.nodes) || !reflect.DeepEqual(first.tri, tree.tri) {
			t.Fatalf("the tree of %d cores differs from that of one", cores)
		}
		if !reflect.DeepEqual(hits, h) || !reflect.DeepEqual(feet, f) {
			t.Fatalf("answers of %d cores differ", cores)
		}
	}
}

// TestHostileShapes: depth and time stay bounded where the heuristic has nothing to go by.
func TestHostileShapes(t *testing.T) {
	same := &mesh.Mesh{Vertices: []r3.Vector{{}, {X: 1}, {Y: 1}}}
	for range 100000 {
		same.Triangles = append(same.Triangles, [3]int32{0, 1, 2})
	}
	// Each triangle is twice as far out as the one before: every split peels off one.
	peel := &mesh.Mesh{}
	x := 1e-12
	for i := range 90 {
		peel.Vertices = append(peel.Vertices, r3.Vector{X: x}, r3.Vector{X: x * 1.1}, r3.Vector{X: x, Y: x})
		peel.Triangles = append(peel.Triangles, [3]int32{int32(3 * i), int32(3*i + 1), int32(3*i + 2)})
		x *= 2
	}
	for name, m := range map[string]*mesh.Mesh{"same": same, "peel": peel} {
		tree := Build(m)
		if f, ok := tree.Nearest(r3.Vector{X: -1}, math.Inf(1)); !ok || f.Distance > 1.01 {
			t.Errorf("%s: %v", name, f)
		}
		tree.First(Ray{r3.Vector{X: 0.1, Y: 0.1, Z: -5}, r3.Vector{Z: 1}, 0, math.Inf(1)})
	}
	if _, ok := Build(&mesh.Mesh{}).First(Ray{Direction: r3.Vector{X: 1}, TMax: 1}); ok {
		t.Error("nothing was hit")
	}
	if _, ok := Build(&mesh.Mesh{}).Nearest(r3.Vector{}, 1); ok {
		t.Error("nothing is near")
	}
}

func TestPlainNodeTestsAgree(t *testing.T) {
	if !hasWide() {
		t.Skip("this machine has only the plain node tests")
	}
	rng := seeded(t, 13)
	m := soup(rng, 3000)
	tree := Build(m)
	var d1, d2 [width]float32
	for i := range 2000 {
		n := &tree.nodes[rng.IntN(len(tree.nodes))]
		r := Ray{m.Vertices[rng.IntN(len(m.Vertices))], randomDirection(rng), 0, math.Inf(1)}
		if i%3 == 0 {
			r.Direction = r3.Vector{Y: -1}
		}
		var b boxRay
		var s shear
		if !tree.prepare(&r, &b, &s) {
			continue
		}
		// The fused product differs in the last digit, so only clear cases must agree.
		got, want := rayNode(n, &b, 1e9, &d1), rayNodePlain(n, &b, 1e9, &d2)
		if got != want {
			t.Fatalf("mask %b, plain %b", got, want)
		}
		p := [3]float32{float32(rng.NormFloat64() * 20), float32(rng.NormFloat64() * 20), float32(rng.NormFloat64() * 20)}
		got, want = pointNode(n, &p, 100, &d1), pointNodePlain(n, &p, 100, &d2)
		if got != want {
			t.Fatalf("mask %b, plain %b", got, want)
		}
		for k := range width {
			if math.Abs(float64(d1[k]-d2[k])) > 1e-5*float64(d2[k]) {
				t.Fatalf("squared distances %v, plain %v", d1, d2)
			}
		}
	}
}

// TestBallIsThatOfNearestPoints: one walk gives the ball that repeated nearest-point queries do,
// and nothing lies inside it.
func TestBallIsThatOfNearestPoints(t *testing.T) {
	rng := seeded(t, 14)
	m := meshtest.Joined(sphere(10, 40, 21), meshtest.Inverted(sphere(7, 40, 21).Moved(meshtest.RandomMotion(rng, 40))), box(r3.Vector{X: -30, Y: -30, Z: -30}, r3.Vector{X: 30, Y: 30, Z: 30}))
	tree := Build(m)
	const share, floor = 1e-4, 1e-5
	shrunk := 0
	for k := range m.Triangles {
		a, b, c := m.Corners(k)
		p := a.Mul(0.2).Add(b.Mul(0.3)).Add(c.Mul(0.5))
		n := m.AreaVector(k).Normalize().Mul(float64(k%2*2 - 1))
		radius := 1 + 20*rng.Float64()
		got, touch, triangle := tree.Ball(p, n, radius, share, floor, int32(rng.IntN(len(m.Triangles)+1)-1))
		want := radius
		for range 500 {
			f, ok := tree.Nearest(p.Add(n.Mul(want)), want*(1-share)-floor)
			if !ok {
				break
			}
			w := f.Point.Sub(p)
			if w.Dot(n) <= 0 {
				break
			}
			want = w.Norm2() / (2 * w.Dot(n))
		}
		tolerance := 1e-9
		if triangle >= 0 {
			c := p.Add(n.Mul(got))
			cos := p.Sub(c).Dot(touch.Sub(c)) / (got * got)
			tolerance += 2 * (share*radius + floor) / (1 - cos)
		}
		if math.Abs(got-want) > tolerance {
			t.Fatalf("ball at %v: radius %v, by queries %v", p, got, want)
		}
		if f, ok := tree.Nearest(p.Add(n.Mul(got)), got*(1-share)-floor); ok {
			t.Fatalf("%v lies inside the ball of %v at %v", f.Point, got, p)
		}
		if triangle >= 0 {
			shrunk++
			if d := touch.Sub(p.Add(n.Mul(got))).Norm(); math.Abs(d-got) > 1e-9 {
				t.Fatalf("the ball of %v rests on a point %v from its centre", got, d)
			}
		}
	}
	if shrunk < len(m.Triangles)/2 {
		t.Fatalf("only %d balls of %d shrank", shrunk, len(m.Triangles))
	}
}
