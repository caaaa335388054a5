package difference

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

// The cut of a cube of side 10 by x+y+z <= s, closed forms: s^3/6 up to s = 10, then less three
// corner tetrahedra.
func TestClipOfCube(t *testing.T) {
	m := boxMesh(r3.Vector{}, vec(10, 10, 10))
	n := vec(1, 1, 1).Normalize()
	for _, s := range []float64{0.001, 1, 5, 10, 12, 15, 20, 29.999} {
		want := s * s * s / 6
		if s > 10 {
			want -= 3 * math.Pow(s-10, 3) / 6
		}
		if s > 20 {
			want += 3 * math.Pow(s-20, 3) / 6
		}
		c, err := ClipConvex(m, []Plane{{n, s / math.Sqrt(3)}})
		if err != nil {
			t.Fatal(err)
		}
		wantNear(t, "cube under a slant plane", c.Volume, want)
		if c.Volume.ErrorMM3 > 1e-9 {
			t.Errorf("s=%v: error bound %g is no rounding", s, c.Volume.ErrorMM3)
		}
		if math.Abs(want*1.000001-c.Volume.MM3) <= c.Volume.ErrorMM3 {
			t.Errorf("control: a volume a millionth larger passes at s=%v", s)
		}
	}
}

// A sliver of 0.01 mm between two boxes, far from the origin and turned: exact, whatever the
// ratio to the solids.
func TestClipFindsThinOverlap(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for range 100 {
		move := meshtest.RandomMotion(rng, 200)
		a := boxMesh(r3.Vector{}, vec(100, 80, 40)).Moved(move)
		b := boxMesh(vec(99.99, 10, 10), vec(140, 30, 30)).Moved(move)
		r, err := Between(a, b, Options{MostRegions: -1})
		if err != nil {
			t.Fatal(err)
		}
		if !r.Exact {
			t.Fatalf("method %q", r.Method)
		}
		if got, want := r.Both.MM3, 0.01*20*20; math.Abs(got-want) > 1e-8 || r.Both.ErrorMM3 > 1e-7 {
			t.Errorf("overlap %v +- %g, want %v", got, r.Both.ErrorMM3, want)
		}
	}
}

// Cutting any closed mesh by a plane and by its opposite gives two parts that sum to the whole;
// so does cutting a box into eight by three planes.
func TestClipPartsSumToWhole(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		m := randomSolid(rng)
		s, err := newSolid(m, "m")
		if err != nil {
			t.Fatal(err)
		}
		var planes [3]Plane
		for k := range planes {
			n := vec(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()).Normalize()
			if rng.IntN(3) == 0 {
				n = s.AreaVector(rng.IntN(len(m.Triangles))).Normalize() // along a facet
			}
			planes[k] = Plane{n, n.Dot(m.Vertices[rng.IntN(len(m.Vertices))])}
		}
		sum := Quantity{}
		for octant := range 8 {
			var cut []Plane
			for k, p := range planes {
				if octant>>k&1 == 1 {
					p = Plane{p.Normal.Mul(-1), -p.Offset}
				}
				cut = append(cut, p)
			}
			c, err := s.clip(cut)
			if err != nil {
				t.Fatal(err)
			}
			if c.Volume.MM3 < -c.Volume.ErrorMM3 {
				t.Errorf("negative part %v +- %g", c.Volume.MM3, c.Volume.ErrorMM3)
			}
			sum.MM3 += c.Volume.MM3
			sum.ErrorMM3 += c.Volume.ErrorMM3
		}
		sum.ErrorMM3 += s.volume.ErrorMM3
		wantNear(t, "eight parts", sum, s.volume.MM3)
		if sum.ErrorMM3 > 1e-7 {
			t.Errorf("error bound %g of %v mm3 is no rounding", sum.ErrorMM3, s.volume.MM3)
		}
	}
}

// A solid cut at its own faces, or faces of a box round it, is whole.
func TestClipAtCoincidentFaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for range 100 {
		m := randomConvex(rng)
		s, err := newSolid(m, "m")
		if err != nil {
			t.Fatal(err)
		}
		planes, off, ok := s.convexPlanes(1e-6)
		if !ok {
			t.Fatal("a convex solid was not recognised")
		}
		c, err := s.clip(planes)
		if err != nil {
			t.Fatal(err)
		}
		q := c.Volume
		q.ErrorMM3 += s.volume.ErrorMM3 + off*s.area
		wantNear(t, "cut at its own planes", q, s.volume.MM3)
	}
	l, err := newSolid(lShape(5), "l")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, ok := l.convexPlanes(1e-6); ok {
		t.Error("control: an L is not convex")
	}
}

func TestOpenMeshIsAnError(t *testing.T) {
	m := boxMesh(r3.Vector{}, vec(1, 1, 1))
	open := &mesh.Mesh{Vertices: m.Vertices, Triangles: m.Triangles[1:]}
	turned := &mesh.Mesh{Vertices: m.Vertices, Triangles: append([][3]int32{{m.Triangles[0][1], m.Triangles[0][0], m.Triangles[0][2]}}, m.Triangles[1:]...)}
	for _, bad := range []*mesh.Mesh{open, turned, {}, nil} {
		if _, err := Between(m, bad, Options{}); !errors.Is(err, ErrNotClosed) {
			t.Errorf("got %v, want ErrNotClosed", err)
		}
	}
	if _, err := Between(m, m, Options{}); err != nil {
		t.Error(err)
	}
}

// Prisms: an L in a larger box zone, a zone that is an L, a cylinder zone.
func TestZones(t *testing.T) {
	l := []r2.Point{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 10}, {X: 10, Y: 10}, {X: 10, Y: 20}, {X: 0, Y: 20}}
	zone, err := PrismZone(l, geom.Translate(vec(0, 0, 5)), 10)
	if err != nil {
		t.Fatal(err)
	}
	// A bar through the notch and both arms: 0.02 mm of it in the arm.
	a := boxMesh(vec(9.98, 12, 0), vec(30, 14, 8))
	r, err := InZone(a, zone, Options{})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "bar in L", r.Both, 0.02*2*3)
	if len(r.RegionsBoth) != 1 {
		t.Fatalf("%d regions, want 1: %+v", len(r.RegionsBoth), r.RegionsBoth)
	}
	g := r.RegionsBoth[0]
	if math.Abs(g.DepthMM-0.02) > 1e-6 {
		t.Errorf("depth %v, want 0.02", g.DepthMM)
	}
	if want := (geom.Box{Min: vec(9.98, 12, 5), Max: vec(10, 14, 8)}); !near(g.Box, want, g.PitchMM) {
		t.Errorf("box %v, want %v within %g", g.Box, want, g.PitchMM)
	}
	// Two intrusions are two regions, the larger first.
	two := meshtest.Joined(boxMesh(vec(-5, 2, 6), vec(0.5, 4, 8)), boxMesh(vec(15, 3, 6), vec(40, 4, 8)))
	r, err = InZone(two, zone, Options{})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "two bars", r.Both, 0.5*2*2+5*1*2)
	if len(r.RegionsBoth) != 2 || r.RestBoth != 0 {
		t.Fatalf("%d regions, rest %g: %+v", len(r.RegionsBoth), r.RestBoth, r.RegionsBoth)
	}
	for k, want := range []float64{10, 2} {
		wantNear(t, "region", Quantity{r.RegionsBoth[k].VolumeMM3, r.RegionsBoth[k].ErrorMM3 + 1e-4}, want)
	}
	if d := r.RegionsBoth[1].DepthMM; math.Abs(d-0.5) > 1e-6 {
		t.Errorf("depth %v, want 0.5", d)
	}

	cyl, err := CylinderZone(vec(0, 0, 0), vec(0, 0, 30), 5, 72)
	if err != nil {
		t.Fatal(err)
	}
	r, err = InZone(boxMesh(vec(-10, -10, 10), vec(10, 10, 14)), cyl, Options{MostRegions: -1})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "cylinder of the same area", r.Both, math.Pi*25*4)
	// A prism of 72 sides: c - r = r*(pi/72)^2/3, r - c*cos(pi/72) = r*(pi/72)^2/6, to second order.
	if e := cyl.RadialErrorMM(); e > 5*math.Pow(math.Pi/72, 2)/3*1.01 || e < 5*math.Pow(math.Pi/72, 2)/6 {
		t.Errorf("radial error %v", e)
	}
	// The zone wholly in metal: all of it, and one region as large as the zone.
	r, err = InZone(boxMesh(vec(-10, -10, -10), vec(10, 10, 40)), cyl, Options{})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "zone in metal", r.Both, math.Pi*25*30)
	if len(r.RegionsBoth) != 1 || math.Abs(r.RegionsBoth[0].DepthMM-5) > 0.2 {
		t.Errorf("regions %+v, want one of depth 5", r.RegionsBoth)
	}
}

// A half-space agrees with the cut at its plane, for planes near, through and beyond a solid.
func TestHalfSpaceZone(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for range 200 {
		m := randomSolid(rng)
		n := vec(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()).Normalize()
		p := Plane{n, n.Dot(m.Bounds().Center()) + rng.NormFloat64()*5}
		c, err := ClipConvex(m, []Plane{p})
		if err != nil {
			t.Fatal(err)
		}
		z, err := HalfSpaceZone(p, m.Bounds())
		if err != nil {
			if c.Volume.MM3 > c.Volume.ErrorMM3 {
				t.Error(err)
			}
			continue
		}
		r, err := InZone(m, z, Options{MostRegions: -1})
		if err != nil {
			t.Fatal(err)
		}
		q := r.Both
		q.ErrorMM3 += c.Volume.ErrorMM3
		wantNear(t, "half-space", q, c.Volume.MM3)
	}
}

func near(a, b geom.Box, d float64) bool {
	return a.Min.Sub(b.Min).Norm() < 2*d && a.Max.Sub(b.Max).Norm() < 2*d
}

func TestOutlinesThatAreRefused(t *testing.T) {
	for name, p := range map[string][]r2.Point{
		"crossing": {{X: 0, Y: 0}, {X: 10, Y: 10}, {X: 10, Y: 0}, {X: 0, Y: 11}},
		"short":    {{X: 0, Y: 0}, {X: 10, Y: 10}},
		"nan":      {{X: 0, Y: 0}, {X: math.NaN(), Y: 10}, {X: 10, Y: 0}},
	} {
		if _, err := PrismZone(p, geom.Identity(), 1); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func FuzzClip(f *testing.F) {
	f.Add(uint64(1))
	f.Fuzz(func(t *testing.T, seed uint64) {
		rng := rand.New(rand.NewPCG(seed, 1))
		a, b := randomSolid(rng), randomConvex(rng)
		r, err := Between(a, b, Options{MostRegions: -1})
		if err != nil {
			t.Fatal(err)
		}
		if d := r.AOnly.MM3 + r.Both.MM3 - r.VolumeA.MM3; math.Abs(d) > r.AOnly.ErrorMM3+r.Both.ErrorMM3 {
			t.Errorf("seed %d: A loses %g", seed, d)
		}
	})
}
