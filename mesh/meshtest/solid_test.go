package meshtest

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/hschendel/stl"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

func shapes() []*Solid {
	box := func(a, b, c, d, e, f float64) geom.Box { return geom.Box{Min: vec(a, b, c), Max: vec(d, e, f)} }
	return []*Solid{
		Box(vec(-1, 2, 3), vec(4, 5, 7)),
		HollowBox(box(0, 0, 0, 10, 8, 6), box(2, 2, 2, 5, 6, 4)),
		LBlock(vec(20, 20, 5), 10, 8),
		BlockWithPockets(box(-50, -40, 0, 50, 40, 30), box(-20, -20, 20, 20, 20, 40), box(-60, -5, 10, -40, 5, 18), box(0, 0, 15, 30, 10, 40)),
		Cylinder(7, 11, 24), ConeFrustum(9, 4, 6, 32), ConeFrustum(4, 9, 6, 7), Cone(5, 12, 30), Tube(10, 6, 5, 48),
		SphericalCap(10, 3, 40, 9), SphericalCap(10, 15, 40, 20), Sphere(6, 32, 16), Torus(12, 4, 40, 24),
		Prism(Regular(r2.Point{}, 10, 6), nil, 0, 4),
		Prism(Rectangle(r2.Point{X: -30, Y: -20}, r2.Point{X: 30, Y: 20}), [][]r2.Point{
			Regular(r2.Point{X: -15}, 6, 20), Regular(r2.Point{X: 15, Y: 5}, 8, 33), Rectangle(r2.Point{X: -2, Y: -15}, r2.Point{X: 2, Y: 12}),
		}, -3, 9),
		Wedge(6, 10, 4),
	}
}

// direct measures a polyhedron by summing over its facets in the simplest way there is: the second
// method that the closed forms are held against.
func direct(m *mesh.Mesh) mesh.Measures {
	var q mesh.Measures
	var moment r3.Vector
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		v := a.Dot(b.Cross(c)) / 6
		q.VolumeMM3 += v
		moment = moment.Add(a.Add(b).Add(c).Mul(v / 4))
		q.AreaMM2 += m.AreaVector(t).Norm()
	}
	q.CentroidMM = moment.Mul(1 / q.VolumeMM3)
	q.Bounds = m.Bounds()
	return q
}

func wantMeasures(t *testing.T, s *Solid) {
	t.Helper()
	got := direct(s.Mesh)
	WantNear(t, s.Name+": volume", got.VolumeMM3, s.Faceted.VolumeMM3, 1e-11*(1+math.Abs(got.VolumeMM3)))
	WantNear(t, s.Name+": area", got.AreaMM2, s.Faceted.AreaMM2, 1e-11*got.AreaMM2)
	WantNearVector(t, s.Name+": centroid", got.CentroidMM, s.Faceted.CentroidMM, 1e-10*s.Mesh.Bounds().Diagonal())
	if got.Bounds != s.Faceted.Bounds {
		t.Errorf("%s: bounds %v, want %v", s.Name, got.Bounds, s.Faceted.Bounds)
	}
}

func TestT1EveryMeshIsClosedAndTurnedOutwards(t *testing.T) {
	for _, s := range shapes() {
		a := mesh.NewAudit(s.Mesh)
		if !a.Closed() || a.NonManifoldEdges+a.MisorientedEdges+a.DuplicateTriangles != 0 {
			t.Errorf("%s: %d open, %d non-manifold, %d misoriented edges, %d duplicates", s.Name, a.OpenEdges, a.NonManifoldEdges, a.MisorientedEdges, a.DuplicateTriangles)
		}
		if a.Solids() != 1 {
			t.Errorf("%s: %d solids", s.Name, a.Solids())
		}
		seen := map[r3.Vector]bool{}
		for _, v := range s.Mesh.Vertices {
			if seen[v] {
				t.Errorf("%s: vertex %v twice", s.Name, v)
			}
			seen[v] = true
		}
		if open := mesh.NewAudit(s.Without(3)); open.Closed() || open.OpenEdges != 3 {
			t.Errorf("%s without a facet: closed %v, %d open edges", s.Name, open.Closed(), open.OpenEdges)
		}
	}
}

func TestT2FacetedMeasuresAreThoseOfThePolyhedron(t *testing.T) {
	for _, s := range shapes() {
		wantMeasures(t, s)
	}
	rng := Random(t)
	for range 300 {
		wantMeasures(t, RandomSolid(rng).Moved(RandomMotion(rng, 30)))
	}
}

// A refinement by two must bring the faceted measures four times nearer to the true ones: the
// true formula and the faceted one then stand for the same body.
func TestT3FacetedMeasuresApproachTheTrue(t *testing.T) {
	for name, build := range map[string]func(n int) *Solid{
		"cylinder": func(n int) *Solid { return Cylinder(7, 11, n) },
		"frustum":  func(n int) *Solid { return ConeFrustum(9, 4, 6, n) },
		"cap":      func(n int) *Solid { return SphericalCap(10, 3, n, n/4) },
		"sphere":   func(n int) *Solid { return Sphere(6, n, n/2) },
		"torus":    func(n int) *Solid { return Torus(12, 4, n, n) },
	} {
		coarse, fine := build(64), build(128)
		ratio := func(of func(mesh.Measures) float64) float64 {
			return (of(coarse.True) - of(coarse.Faceted)) / (of(fine.True) - of(fine.Faceted))
		}
		WantNear(t, name+": order of the volume", ratio(func(q mesh.Measures) float64 { return q.VolumeMM3 }), 4, 0.1)
		WantNear(t, name+": order of the area", ratio(func(q mesh.Measures) float64 { return q.AreaMM2 }), 4, 0.1)
		WantNearVector(t, name+": centroid", fine.Faceted.CentroidMM, fine.True.CentroidMM, fine.ChordMM)
	}
	// Control: a radius that is off by a hundredth is told apart.
	if got := math.Abs(Sphere(6.01, 128, 64).Faceted.VolumeMM3 - Sphere(6, 128, 64).True.VolumeMM3); got < 3*math.Abs(Sphere(6, 128, 64).Faceted.VolumeMM3-Sphere(6, 128, 64).True.VolumeMM3) {
		t.Errorf("a sphere of another radius is not told apart (%g)", got)
	}
}

func TestVoidsAndPairs(t *testing.T) {
	ball := Sphere(3, 24, 12)
	s := Box(vec(-5, -5, -5), vec(5, 5, 5)).With(ball.InsideOut())
	wantMeasures(t, s)
	a := mesh.NewAudit(s.Mesh)
	if a.InsideOut() != 1 || a.Solids() != 1 || !a.Closed() {
		t.Errorf("box with a void: %d inside out, %d solids, closed %v", a.InsideOut(), a.Solids(), a.Closed())
	}
	WantNear(t, "true volume of box with ball void", s.True.VolumeMM3, 1000-36*math.Pi, 1e-9)
}

type recorder struct {
	testing.TB
	failed int
}

func (r *recorder) Helper()               {}
func (r *recorder) Errorf(string, ...any) { r.failed++ }

func TestWantNearFails(t *testing.T) {
	r := &recorder{TB: t}
	WantNear(r, "equal", 1, 1, 0)
	WantNear(r, "at the tolerance", 1, 1.5, 0.5)
	WantNearVector(r, "equal", vec(1, 2, 3), vec(1, 2, 3), 0)
	if r.failed != 0 {
		t.Fatalf("%d of the equal values failed", r.failed)
	}
	WantNear(r, "apart", 1, 2, 0.5)
	WantNear(r, "no number", math.NaN(), 1, 10)
	WantNear(r, "no number wanted", 1, math.NaN(), 10)
	WantNearVector(r, "apart", vec(1, 2, 3), vec(1, 2, 4), 0.5)
	if r.failed != 4 {
		t.Fatalf("%d of 4 wrong values failed", r.failed)
	}
}

func TestT4SameSeedSameSolids(t *testing.T) {
	a, b, other := Seeded(7), Seeded(7), Seeded(8)
	same := 0
	for range 50 {
		x, y, z := RandomSolid(a), RandomSolid(b), RandomSolid(other)
		if fmt.Sprint(x.Mesh) != fmt.Sprint(y.Mesh) {
			t.Fatalf("%s differs between two runs", x.Name)
		}
		if fmt.Sprint(x.Mesh) == fmt.Sprint(z.Mesh) {
			same++
		}
	}
	if same > 0 {
		t.Errorf("%d solids are the same for another seed", same)
	}
}

func TestBinarySTLIsReadBack(t *testing.T) {
	s := Torus(12, 4, 40, 24)
	name := filepath.Join(t.TempDir(), "torus.stl")
	if err := os.WriteFile(name, BinarySTL("torus", s.Mesh), 0o644); err != nil {
		t.Fatal(err)
	}
	got, err := stl.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Triangles) != len(s.Mesh.Triangles) {
		t.Fatalf("%d facets, want %d", len(got.Triangles), len(s.Mesh.Triangles))
	}
	for i, f := range got.Triangles {
		a, b, c := s.Mesh.Corners(i)
		for k, v := range [3]r3.Vector{a, b, c} {
			p := f.Vertices[k]
			WantNearVector(t, "corner", vec(float64(p[0]), float64(p[1]), float64(p[2])), v, 16*math.Sqrt(3)/(1<<24))
		}
	}
}
