package checks_test

import (
	"math"
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/roles"
	"pocketgauge/rules"
)

// A pocket turned on the draw axis has the form of a bore. Wanted is which of the two it is taken for.
func TestRoundPocketsAndBores(t *testing.T) {
	const sides = 48
	hole := func(d, depth, tip float64) *mesh.Mesh {
		return holed(at(0, 0, top-depth-tip), ring(0, 0, d/2, top, sides), ring(0, 0, d/2, top-depth, sides))
	}
	// A cup with a core of diameter c standing in it, as high as the parting face.
	cup := func(d, depth, c, core float64) *mesh.Mesh {
		return holed(at(0, 0, top-depth+core), ring(0, 0, d/2, top, sides), ring(0, 0, d/2, top-depth, sides), ring(0, 0, c/2, top-depth, sides), ring(0, 0, c/2, top-depth+core, sides))
	}
	through := func(d float64) *mesh.Mesh { return withHoles([3]float64{0, 0, d}) }
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		pocket bool
	}{
		{"a cup", hole(40, 15, 0), true},
		{"a shallow cup of a drill's diameter", hole(20, 12, 0), true},
		{"a deep cup wider than any drill", hole(32, 35, 0), true},
		{"a cup with a core", cup(28, 14, 8, 14), true},
		{"a narrow cup with a core", cup(12, 16, 5, 10), true},
		// Those that look like one and are none.
		{"a drilled hole", hole(8, 20, 4/math.Tan(59*math.Pi/180)), false},
		{"a drilled hole less deep than wide", hole(20, 12, 10/math.Tan(59*math.Pi/180)), false},
		{"drilled at 140 deg", hole(20, 12, 10/math.Tan(70*math.Pi/180)), false},
		{"a reamed hole with a flat end", hole(8, 20, 0), false},
		{"a hole right through", through(24), false},
		{"a screw's hole with a flat end, from the seat", fromBelow(hole(20, 12, 0)), false},
	} {
		p := exact(c.m)
		if !p.Audit.Closed() || p.Audit.Solids() != 1 {
			t.Fatalf("%s: the test's own solid is not sound", c.name)
		}
		// The form alone says bore of each.
		if n := len(roles.Find(p, nil).Bores); n != 1 {
			t.Fatalf("%s: %d bores by form", c.name, n)
		}
		s, err := checks.NewSubject(frame(t, ""), p)
		if err != nil {
			t.Fatal(err)
		}
		got := s.Surfaces()
		if pocket := len(got.Bores) == 0; pocket != c.pocket {
			t.Errorf("%s: taken for a pocket: %v", c.name, pocket)
		}
		detail := 0.0
		for tri, k := range got.Of {
			if (k == checks.Bored) != (got.BoreOf[tri] >= 0) || int(got.BoreOf[tri]) >= len(got.Bores) {
				t.Fatalf("%s: triangle %d is %v of bore %d", c.name, tri, k, got.BoreOf[tri])
			}
			if a, _, _ := c.m.Corners(tri); k == checks.Detail && abs(a.X) < 24 && abs(a.Y) < 24 { // the hole's own, not the block's outline
				detail += c.m.AreaVector(tri).Norm()
			}
		}
		if c.pocket != (detail > 0) {
			t.Errorf("%s: %.1f mm2 of detail", c.name, detail)
		}
	}
}

// A hole that the rules ask for at that place is a hole, whatever its form.
func TestDemandedHoleIsNoPocket(t *testing.T) {
	m := holed(at(0, 0, top-8), ring(0, 0, 5, top, 48), ring(0, 0, 5, top-8, 48))
	f := frame(t, "bores:\n  - {name: guide dowel, kind: dowel, at: [0, 0, 40.03], into: [0, 0, -1], diameter: {least: 9.9, most: 10.1}, depth: {least: 7, most: 9}}\n")
	for _, c := range []struct {
		f     *rules.Frame
		bores int
	}{{f, 1}, {frame(t, ""), 0}} {
		s, err := checks.NewSubject(c.f, exact(m))
		if err != nil {
			t.Fatal(err)
		}
		if n := len(s.Surfaces().Bores); n != c.bores {
			t.Errorf("%d bores, want %d", n, c.bores)
		}
	}
}

// An undrafted cup is told of by its walls now: their area is 2 pi r h in the polygon's sides.
func TestUndraftedCupIsZeroDraft(t *testing.T) {
	const sides = 64
	m := holed(at(0, 0, 25), ring(0, 0, 16, top, sides), ring(0, 0, 16, 25, sides))
	f, err := rules.LoadFS(mapFS(strings.Replace(base, uprightWalls, "", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := checks.NewSubject(f, exact(m))
	if err != nil {
		t.Fatal(err)
	}
	r := checks.ByID("draw.zero-draft").Measure(s)
	if len(r) != 1 || checks.Judge(r[0]).Verdict != checks.Fail {
		t.Fatalf("%+v", r)
	}
	want := 2 * sides * 16 * math.Sin(math.Pi/sides) * (top - 25)
	if abs(r[0].Value-want) > 0.01*want {
		t.Errorf("%g mm2 without draft, want %g", r[0].Value, want)
	}
}
