package measure_test

import (
	"math"
	"runtime"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/tol"
)

func point(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// wantAll holds measures against true ones within the errors they state.
func wantAll(t *testing.T, name string, got, want mesh.Measures) {
	t.Helper()
	meshtest.WantNear(t, name+": volume", got.VolumeMM3, want.VolumeMM3, got.VolumeErrorMM3)
	meshtest.WantNear(t, name+": area", got.AreaMM2, want.AreaMM2, got.AreaErrorMM2)
	meshtest.WantNearVector(t, name+": centroid", got.CentroidMM, want.CentroidMM, got.CentroidErrorMM)
	meshtest.WantNearVector(t, name+": least corner", got.Bounds.Min, want.Bounds.Min, math.Sqrt(3)*got.BoundsErrorMM)
	meshtest.WantNearVector(t, name+": greatest corner", got.Bounds.Max, want.Bounds.Max, math.Sqrt(3)*got.BoundsErrorMM)
}

// handbook are worked examples of Machinery's Handbook, 31st edition (Industrial Press 2020),
// Volumes of Solids, pages 89 to 93, in whatever unit they stand there, taken for millimetres. The
// book multiplies by 3.1416 and rounds; volume and area are held against the formulas evaluated
// in full, and those against what is printed, within half a unit of its last digit or of its pi.
func handbook() []struct {
	name             string
	solid            *meshtest.Solid
	volume, area     float64
	printed, rounded float64 // the book's volume, and by how much its rounding may be off
} {
	const pi = math.Pi
	cap := (125.0*125 + 4*50*50) / (8 * 50) // the sphere's radius from height and chord: 64.0625
	return []struct {
		name             string
		solid            *meshtest.Solid
		volume, area     float64
		printed, rounded float64
	}{
		{"cylinder d 2.5 h 20 (p. 89)", meshtest.Cylinder(1.25, 20, 360), pi / 4 * 2.5 * 2.5 * 20, pi*2.5*20 + pi/2*2.5*2.5, 98.17, 0.005},
		{"cone d 6 h 4 (p. 90)", meshtest.Cone(3, 4, 360), pi / 3 * 9 * 4, pi*3*5 + pi*9, 37.70, 0.005},
		{"hollow cylinder 36 by 28, wall 4 (p. 90)", meshtest.Tube(18, 14, 28, 360), pi * 28 * 4 * 32, 2*pi*28*(18+14) + 2*pi*(18*18-14*14), 11259.5, 0.05},
		{"sphere d 6.5 (p. 91)", meshtest.Sphere(3.25, 360, 180), pi / 6 * 6.5 * 6.5 * 6.5, pi * 6.5 * 6.5, 143.79, 0.005},
		{"spherical segment h 50 chord 125 (p. 91)", meshtest.SphericalCap(cap, 50, 360, 120), pi * 50 * (125.0*125/8 + 50.0*50/6), 2*pi*cap*50 + pi*62.5*62.5, 372247, 1.5},
		{"hollow sphere d 8, wall 1.5 (p. 92)", meshtest.Sphere(4, 360, 180).With(meshtest.Sphere(2.5, 360, 180).InsideOut()), pi / 6 * (512 - 125), pi * (64 + 25), 202.63, 0.005},
		{"torus D 5 d 1.5 (p. 93)", meshtest.Torus(2.5, 0.75, 360, 180), pi * pi / 4 * 5 * 2.25, pi * pi * 5 * 1.5, 27.76, 0.005},
		// From memory, the same book: the frustum of a cone.
		{"cone frustum D 8 d 4 h 5 (from memory)", meshtest.ConeFrustum(4, 2, 5, 360), pi / 12 * 5 * (64 + 32 + 16), pi*(4+2)*math.Hypot(2, 5) + pi*(16+4), 146.61, 0.005},
		{"box 4 by 3 by 5", meshtest.Box(point(1, 2, 3), point(5, 5, 8)), 60, 94, 60, 0},
	}
}

func TestMeasuresAgreeWithTheHandbook(t *testing.T) {
	for _, c := range handbook() {
		if math.Abs(c.volume-c.printed) > c.rounded {
			t.Errorf("%s: the formula gives %.6g, the book prints %g", c.name, c.volume, c.printed)
		}
		got := measure.Integrals(c.solid.Mesh, tol.RoundoffDouble, c.solid.ChordMM)
		meshtest.WantNear(t, c.name+": volume", got.VolumeMM3, c.volume, got.VolumeErrorMM3)
		meshtest.WantNear(t, c.name+": area", got.AreaMM2, c.area, got.AreaErrorMM2)
		// Control: the same body with twice the stated error added to its volume is told apart,
		// and the error is small enough to mean something.
		if off := c.volume + 2*got.VolumeErrorMM3; got.VolumeErrorMM3 > 0 && math.Abs(got.VolumeMM3-off) <= got.VolumeErrorMM3 {
			t.Errorf("%s: a volume off by twice the error passes", c.name)
		}
		if got.VolumeErrorMM3 > 0.002*c.volume {
			t.Errorf("%s: the stated error %.3g of %.6g mm3 is too wide to tell anything", c.name, got.VolumeErrorMM3, c.volume)
		}
	}
}

func TestMeasuresLieWithinTheirStatedErrors(t *testing.T) {
	solids := []*meshtest.Solid{
		meshtest.Box(point(-1, 2, 3), point(4, 5, 7)), meshtest.Cylinder(7, 11, 48), meshtest.ConeFrustum(9, 4, 6, 64), meshtest.ConeFrustum(4, 9, 6, 17),
		meshtest.SphericalCap(10, 3, 40, 9), meshtest.SphericalCap(10, 15, 40, 20), meshtest.Torus(12, 4, 60, 30), meshtest.Sphere(6, 32, 16),
		meshtest.Wedge(6, 10, 4), meshtest.LBlock(point(20, 20, 5), 10, 8),
		meshtest.HollowBox(geom.Box{Max: point(10, 8, 6)}, geom.Box{Min: point(2, 2, 2), Max: point(5, 6, 4)}),
	}
	for _, s := range solids {
		wantAll(t, s.Name+", the smooth body", measure.Integrals(s.Mesh, tol.RoundoffDouble, s.ChordMM), s.True)
		wantAll(t, s.Name+", the polyhedron", measure.Integrals(s.Mesh, tol.RoundoffDouble, 0), s.Faceted)
	}
}

func TestTurnedInsideOutTheVolumeIsNegative(t *testing.T) {
	s := meshtest.Torus(12, 4, 60, 30)
	in, out := measure.Integrals(s.Mesh, tol.RoundoffDouble, 0), measure.Integrals(s.InsideOut().Mesh, tol.RoundoffDouble, 0)
	meshtest.WantNear(t, "volume", out.VolumeMM3, -in.VolumeMM3, in.VolumeErrorMM3)
	meshtest.WantNearVector(t, "centroid", out.CentroidMM, in.CentroidMM, in.CentroidErrorMM)
	if none := measure.Integrals(&mesh.Mesh{}, tol.RoundoffDouble, 0); none.VolumeMM3 != 0 || none.AreaMM2 != 0 {
		t.Errorf("no facets measure %+v", none)
	}
}

// A rigid motion changes no measure by more than the two stated errors together: the one where
// the body was, and the one where it went, whose coordinates are larger.
func TestMotionsChangeNothingBeyondTheStatedErrors(t *testing.T) {
	rng := meshtest.Random(t)
	for range 100 {
		s := meshtest.RandomSolid(rng)
		m := meshtest.RandomMotion(rng, 300)
		before := measure.Integrals(s.Mesh, tol.RoundoffDouble, 0)
		after := measure.Integrals(s.Mesh.Moved(m), tol.RoundoffDouble, 0)
		meshtest.WantNear(t, s.Name+": volume", after.VolumeMM3, before.VolumeMM3, before.VolumeErrorMM3+after.VolumeErrorMM3)
		meshtest.WantNear(t, s.Name+": area", after.AreaMM2, before.AreaMM2, before.AreaErrorMM2+after.AreaErrorMM2)
		meshtest.WantNearVector(t, s.Name+": centroid", after.CentroidMM, m.Point(before.CentroidMM), before.CentroidErrorMM+after.CentroidErrorMM)
		// Control: a body a millionth larger is told from a moved one.
		grown := m
		grown.Scale *= 1 + 1e-6
		if big := measure.Integrals(s.Mesh.Moved(grown), tol.RoundoffDouble, 0); math.Abs(big.VolumeMM3-before.VolumeMM3) <= before.VolumeErrorMM3+after.VolumeErrorMM3 {
			t.Errorf("%s: a body larger by a millionth passes for a moved one", s.Name)
		}
	}
}

// Storing in binary32 moves each vertex by its roundoff, and the stated error covers what that does.
func TestStorageInSTLIsCoveredByTheStatedError(t *testing.T) {
	rng := meshtest.Random(t)
	for range 100 {
		s := meshtest.RandomSolid(rng).Moved(meshtest.RandomMotion(rng, 200))
		stored := *s.Mesh
		stored.Vertices = slices.Clone(s.Mesh.Vertices)
		for i, p := range stored.Vertices {
			stored.Vertices[i] = point(float64(float32(p.X)), float64(float32(p.Y)), float64(float32(p.Z)))
		}
		got := measure.Integrals(&stored, tol.RoundoffSTL, 0)
		meshtest.WantNear(t, s.Name+": volume", got.VolumeMM3, s.Faceted.VolumeMM3, got.VolumeErrorMM3)
		meshtest.WantNear(t, s.Name+": area", got.AreaMM2, s.Faceted.AreaMM2, got.AreaErrorMM2)
		meshtest.WantNearVector(t, s.Name+": centroid", got.CentroidMM, s.Faceted.CentroidMM, got.CentroidErrorMM)
	}
}

func TestMeasuresAreTheSameOnAnyNumberOfCores(t *testing.T) {
	// More triangles than three of the fixed chunks.
	s := meshtest.Sphere(50, 300, 100)
	if n := len(s.Mesh.Triangles); n < 3<<14 {
		t.Fatalf("%d triangles are too few to be shared out", n)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := measure.Integrals(s.Mesh, tol.RoundoffSTL, 0)
	for _, cores := range []int{2, 3, 7} {
		runtime.GOMAXPROCS(cores)
		if got := measure.Integrals(s.Mesh, tol.RoundoffSTL, 0); got != one {
			t.Errorf("on %d cores %+v, on one %+v", cores, got, one)
		}
	}
	// Control: sums in another order differ in their last bits, so equality above is no accident.
	back := *s.Mesh
	back.Triangles = slices.Clone(s.Mesh.Triangles)
	slices.Reverse(back.Triangles)
	if measure.Integrals(&back, tol.RoundoffSTL, 0) == one {
		t.Error("the order of the triangles cannot be told from the sums; the test shows nothing")
	}
}

func TestInParallelDoesEachOnce(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	for _, n := range []int{0, 1, 3, 1000} {
		times := make([]int, n)
		parallel.Each(n, func(i, _ int) { times[i]++ })
		for i, k := range times {
			if k != 1 {
				t.Fatalf("of %d, number %d was done %d times", n, i, k)
			}
		}
	}
}

func TestSummaryAddsPartsUp(t *testing.T) {
	part := func(s *meshtest.Solid) mesh.Part {
		return mesh.Part{Mesh: s.Mesh, Audit: mesh.NewAudit(s.Mesh), Roundoff: tol.RoundoffDouble}
	}
	a, b := meshtest.Box(point(0, 0, 0), point(1, 2, 3)), meshtest.Box(point(10, 0, 0), point(14, 1, 1))
	sum := measure.Summarise(&mesh.Model{Parts: []mesh.Part{part(a), part(b)}})
	meshtest.WantNear(t, "volume", sum.VolumeMM3, 10, sum.VolumeErrorMM3)
	meshtest.WantNear(t, "area", sum.AreaMM2, 22+18, sum.AreaErrorMM2)
	// (6 (0.5, 1, 1.5) + 4 (12, 0.5, 0.5)) / 10
	meshtest.WantNearVector(t, "centroid", sum.CentroidMM, point(5.1, 0.8, 1.1), sum.CentroidErrorMM)
	if sum.Solids != 2 || sum.Shells != 2 || sum.Triangles != 24 || sum.Vertices != 16 || !sum.Closed || sum.ChordKnown {
		t.Errorf("%+v", sum)
	}
	if sum.Bounds != (geom.Box{Max: point(14, 2, 3)}) {
		t.Errorf("bounds %v", sum.Bounds)
	}
	// A sheet beside a solid gives neither volume nor bounds.
	sheet := mesh.Part{Mesh: a.Without(0), Roundoff: tol.RoundoffDouble, Sheet: true}
	sheet.Audit = mesh.NewAudit(sheet.Mesh)
	mixed := measure.Summarise(&mesh.Model{Parts: []mesh.Part{sheet, part(b)}})
	meshtest.WantNear(t, "volume of the solid alone", mixed.VolumeMM3, 4, mixed.VolumeErrorMM3)
	if mixed.SheetParts != 1 || mixed.Solids != 1 || !mixed.Closed || mixed.Bounds != b.Mesh.Bounds() {
		t.Errorf("sheet beside solid: %+v", mixed)
	}
	alone := measure.Summarise(&mesh.Model{Parts: []mesh.Part{sheet}})
	if alone.Solids != 0 || alone.Closed || alone.OpenEdges != 3 || alone.AreaMM2 == 0 {
		t.Errorf("a sheet alone: %+v", alone)
	}
	// A surface that the reader integrated goes before its mesh.
	exact := mesh.Measures{VolumeMM3: 4.25, AreaMM2: 18.5, Bounds: b.Mesh.Bounds()}
	known := part(b)
	known.Exact, known.ChordMM = &exact, 0.1
	if s := measure.Summarise(&mesh.Model{Parts: []mesh.Part{known}}); s.VolumeMM3 != 4.25 || s.AreaMM2 != 18.5 || !s.ChordKnown || s.ChordMM != 0.1 {
		t.Errorf("with exact measures: %+v", s)
	}
}
