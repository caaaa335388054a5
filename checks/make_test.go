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

func subject(t *testing.T, f *rules.Frame, m *mesh.Mesh) *checks.Subject {
	t.Helper()
	s, err := checks.NewSubject(f, exact(m))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// blindHole is a hole of diameter d from the seat, depth deep before a tip of that height; tip 0 is flat.
func blindHole(d, depth, tip float64) *mesh.Mesh {
	return fromBelow(holed(at(10, 5, top-depth-tip), ring(10, 5, d/2, top, 32), ring(10, 5, d/2, top-depth, 32)))
}

const drills = "twist_drill: {diameter: {least: 1 mm, most: 12 mm}, depth_ratio: 10}, gun_drill: {diameter: {least: 3 mm, most: 12 mm}, depth_ratio: 60}, flat_bottoms: refuse"
