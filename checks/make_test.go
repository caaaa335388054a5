package checks_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// holed is the nominal block with a hole from above: loops of like many points from the mouth
// down, and a tip that closes the last; a tip at its height makes a flat end.
func holed(tip r3.Vector, loops ...[]r3.Vector) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := int32(len(loops[0]))
	outer := func(z float64) []r3.Vector {
		var l []r3.Vector
		for _, p := range loops[0] {
			// From the tip's axis out to the block's outline.
			d := r3.Vector{X: p.X - tip.X, Y: p.Y - tip.Y}
			far := math.Inf(1)
			if d.X != 0 {
				far = min(far, (math.Copysign(nominal.Max.X, d.X)-tip.X)/d.X)
			}
			if d.Y != 0 {
				far = min(far, (math.Copysign(nominal.Max.Y, d.Y)-tip.Y)/d.Y)
			}
			l = append(l, at(tip.X+d.X*far, tip.Y+d.Y*far, z))
		}
		return l
	}
	all := append([][]r3.Vector{outer(0), outer(nominal.Max.Z)}, loops...)
	for _, l := range all {
		m.Vertices = append(m.Vertices, l...)
	}
	for k := range int32(len(all) - 1) {
		for i := range n {
			a, b := k*n+i, k*n+(i+1)%n
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + n}, [3]int32{a, b + n, a + n})
		}
	}
	last, end := int32(len(all)-1)*n, int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, tip, at(tip.X, tip.Y, 0))
	for i := range n {
		j := (i + 1) % n
		m.Triangles = append(m.Triangles, [3]int32{last + i, last + j, end}, [3]int32{j, i, end + 1})
	}
	return m
}

func ring(x, y, radius, z float64, sides int) []r3.Vector {
	var l []r3.Vector
	for k := range sides {
		s, c := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / float64(sides))
		l = append(l, at(x+radius*c, y+radius*s, z))
	}
	return l
}

// roundedSquare is a square of half side h with corners of radius r, each of n chords.
func roundedSquare(h, r, z float64, n int) []r3.Vector {
	var l []r3.Vector
	for q := range 4 {
		for k := 0; k <= n; k++ {
			s, c := math.Sincos(math.Pi / 2 * (float64(q) + float64(k)/float64(n)))
			middle := r2.Point{X: h - r, Y: h - r}
			if q == 1 || q == 2 {
				middle.X = -middle.X
			}
			if q == 2 || q == 3 {
				middle.Y = -middle.Y
			}
			l = append(l, at(middle.X+r*c, middle.Y+r*s, z))
		}
	}
	return l
}

// fromBelow turns a block over, so that a hole from above is one from the seat.
func fromBelow(m *mesh.Mesh) *mesh.Mesh {
	turn := geom.Identity()
	turn.Rotation[1].Y, turn.Rotation[2].Z = -1, -1
	turn.Translation.Z = nominal.Max.Z
	return m.Moved(turn)
}

func making(t *testing.T, keys string) *rules.Frame {
	t.Helper()
	f, err := rules.LoadFS(mapFS(base+"making: {"+keys+"}\n"), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

type made struct {
	name, keys    string
	m             *mesh.Mesh
	verdict       checks.Verdict
	value, within float64
	says          string
	chord         float64 // how far the mesh stands off the round that it stands for
}

func wantMade(t *testing.T, id string, list []made) {
	t.Helper()
	for _, c := range list {
		p := partOf(c.m, tol.RoundoffDouble, c.chord)
		if !p.Audit.Closed() || p.Audit.Solids() != 1 {
			t.Fatalf("%s: the test's own solid is not sound", c.name)
		}
		s, err := checks.NewSubject(making(t, c.keys), p)
		if err != nil {
			t.Fatal(err)
		}
		r := checks.ByID(id).Measure(s)[0]
		if v := checks.Judge(r).Verdict; v != c.verdict || !strings.Contains(r.Says, c.says) {
			t.Errorf("%s: %v, %g ±%g, %s", c.name, v, r.Value, r.Uncertainty, r.Says)
		}
		meshtest.WantNear(t, c.name, r.Value, c.value, c.within)
		if c.within > 1e-9 && abs(r.Value-c.value) > r.Uncertainty {
			t.Errorf("%s: %g ±%g does not hold %g", c.name, r.Value, r.Uncertainty, c.value)
		}
	}
}

const top = 40.03

func TestMakeCutter(t *testing.T) {
	square := func(r float64, chords int) *mesh.Mesh {
		return holed(at(0, 0, 30), roundedSquare(8, r, top, chords), roundedSquare(8, r, 30, chords))
	}
	slotted := func(width float64) *mesh.Mesh {
		return meshtest.BlockWithPockets(nominal, box(-10, 0, 34, 10, width, 50)).Mesh
	}
	wantMade(t, "make.cutter", []made{
		{"corners of 0.6", "sharp_corners: refuse", square(0.6, 6), checks.Pass, 1.2, 0.02, "radius of 0.6", 0},
		{"corners of 0.6 in two chords", "sharp_corners: refuse", square(0.6, 2), checks.Pass, 1.2, 0.1, "radius of 0.6", 0},
		{"corners of 0.6 in one chord", "sharp_corners: refuse", square(0.6, 1), checks.Pass, 1.2, 0.2, "", 0},
		{"corners of 0.4", "sharp_corners: refuse", square(0.4, 6), checks.Fail, 0.8, 0.02, "4 small inner corner(s), 40.1 mm high", 0},
		{"corners of 0.4, allowed", "sharp_corners: allow", square(0.4, 6), checks.Pass, 0.8, 0.02, "left for spark erosion", 0},
		{"corners of 0.4, a smaller cutter", "sharp_corners: refuse, smallest_cutter: 0.6 mm", square(0.4, 6), checks.Pass, 0.8, 0.02, "", 0},
		{"wide corners", "sharp_corners: refuse", square(5, 12), checks.Pass, 1.5, 1e-9, "gets into every corner", 0},
		{"sharp corners", "sharp_corners: refuse", slotted(4), checks.Fail, 0, 1e-9, "4 sharp", 0},
		{"a slot of 0.7", "sharp_corners: allow", slotted(0.7), checks.Pass, 0, 1e-9, "Slots under the smallest cutter", 0},
		// Outer corners are no concern of a cutter's size.
		{"a sharp core", "sharp_corners: refuse", meshtest.Grid([]float64{-49.98, -10, 10, 49.98}, []float64{-29.98, -8, 8, 29.98}, []float64{0, top, 55}, func(i, j, k int) bool { return k == 0 || i == 1 && j == 1 }).Mesh,
			checks.Pass, 1.5, 1e-9, "gets into every corner", 0},
	})
	// The slot's own width, without the sharp corners at its ends: a round slot.
	round := holed(at(0, 0, 34), roundedSquare(8, 0.3, top, 8), roundedSquare(8, 0.3, 34, 8))
	for i, p := range round.Vertices {
		if p.Z > 33 && p.X*p.X+p.Y*p.Y < 200 { // draw the square out to a slot 16 long and 0.6 wide
			p.Y = math.Copysign(max(abs(p.Y)-7.7, 0), p.Y)
			round.Vertices[i] = p
		}
	}
	wantMade(t, "make.cutter", []made{{"a slot of 0.6 with round ends", "sharp_corners: refuse", round, checks.Fail, 0.6, 0.02, "", 0.3 * (1 - math.Cos(math.Pi/32))}})
}

func TestMakeReach(t *testing.T) {
	slotted := func(width, depth float64) *mesh.Mesh {
		return meshtest.BlockWithPockets(nominal, box(-10, 0, top-depth, 10, width, 50)).Mesh
	}
	wantMade(t, "make.reach", []made{
		{"2 wide and 10 deep", "reach_ratio: 6", slotted(2, 10), checks.Pass, 5, 1e-9, "2.000 mm wide is 10.00 mm deep", 0},
		{"2 wide and 13 deep", "reach_ratio: 6", slotted(2, 13), checks.Fail, 6.5, 1e-9, "2.000 mm wide is 13.00 mm deep", 0},
		{"corners of 1 and 13 high", "reach_ratio: 6", holed(at(0, 0, top-13), roundedSquare(8, 1, top, 8), roundedSquare(8, 1, top-13, 8)), checks.Fail, 6.5, 0.05, "13.00 mm high", 0},
		{"what is eroded is not cut", "reach_ratio: 6", slotted(0.8, 13), checks.Pass, 0, 1e-9, "No place", 0},
		// A step half way: beside the lower slot the upper one is five times as wide.
		{"a slot at the bottom of a wide pocket", "reach_ratio: 6", meshtest.BlockWithPockets(nominal, box(-10, -5, 30, 10, 7, 50), box(-10, 0, 22, 10, 2, 50)).Mesh, checks.Pass, 4, 1e-9, "8.00 mm deep", 0},
	})
}

func TestMakeBottomRadius(t *testing.T) {
	// A round pocket whose foot is a quarter round of radius r in chords.
	foot := func(r float64, chords int) *mesh.Mesh {
		loops := [][]r3.Vector{ring(0, 0, 12, top, 48)}
		for k := 0; k <= chords; k++ {
			s, c := math.Sincos(math.Pi / 2 * float64(k) / float64(chords))
			loops = append(loops, ring(0, 0, 12-r*(1-c), 30+r*(1-s), 48))
		}
		return holed(at(0, 0, 30), loops...)
	}
	off := 12 * (1 - math.Cos(math.Pi/48))
	wantMade(t, "make.bottom-radius", []made{
		{"half a millimetre", "bottom_radius: 0.4 mm", foot(0.5, 8), checks.Pass, 0.5, 0.005, "", off},
		{"0.3", "bottom_radius: 0.4 mm", foot(0.3, 8), checks.Fail, 0.3, 0.005, "1 corner(s) are under", off},
		{"sharp", "bottom_radius: 0.5 mm", cleanSolid().Mesh, checks.Fail, 0, 1e-9, "sharp", 0},
	})
	// Where the rules ask for none there is no finding, on an open surface either.
	for _, m := range []*mesh.Mesh{cleanSolid().Mesh, cleanSolid().Without(7)} {
		list, _ := run(t, making(t, "reach_ratio: 6"), exact(m))
		for _, f := range list {
			if id := f.Check.ID; id == "make.bottom-radius" || id == "make.flat-bottom" || strings.HasPrefix(id, "bore.") {
				t.Errorf("nothing is asked and %s is %v", id, f.Verdict)
			}
		}
	}
}

func subject(t *testing.T, f *rules.Frame, m *mesh.Mesh) *checks.Subject {
	t.Helper()
	s, err := checks.NewSubject(f, exact(m))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestMakeDrillAndFlatBottom(t *testing.T) {
	hole := func(d, depth, tip float64) *mesh.Mesh {
		return fromBelow(holed(at(10, 5, top-depth-tip), ring(10, 5, d/2, top, 32), ring(10, 5, d/2, top-depth, 32)))
	}
	const drills = "twist_drill: {diameter: {least: 1 mm, most: 12 mm}, depth_ratio: 10}, gun_drill: {diameter: {least: 3 mm, most: 12 mm}, depth_ratio: 60}, flat_bottoms: refuse"
	wantMade(t, "make.drill", []made{
		{"4 mm, 30 deep", drills, hole(4, 30, 1.2), checks.Pass, 7.5, 1e-6, "screw hole of diameter 4.00 mm is 30.0 mm deep, 7.5 diameters, for a twist drill", 0},
		{"2.5 mm, 30 deep", drills, hole(2.5, 30, 0.7), checks.Fail, 12, 1e-6, "for a twist drill", 0},
		{"3 mm, 36 deep", drills, hole(3, 36, 0.9), checks.Pass, 12, 1e-6, "for a gun drill", 0},
		{"a wide hole is milled", drills, hole(20, 12, 0), checks.Pass, 0, 1e-9, "1 wider or thinner", 0},
	})
	wantMade(t, "make.flat-bottom", []made{
		{"a cone of 118 deg", drills, hole(4, 30, 2/math.Tan(59*math.Pi/180)), checks.Pass, 0, 0, "No blind bore", 0},
		{"a cone of 140 deg", drills, hole(4, 30, 2/math.Tan(70*math.Pi/180)), checks.Pass, 0, 0, "No blind bore", 0},
		{"a flat end", drills, hole(4, 30, 0), checks.Fail, 1, 0, "30.0 mm deep, has a flat end", 0},
	})
}
