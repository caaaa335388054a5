package checks_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

const threadAsked = `bores:
  - {name: lifting thread, kind: thread, at: [10, 5, 0], into: [0, 0, 1], diameter: {least: 6.6, most: 7}, depth: {least: 14, most: 18}, position: 0.1}
`

// drilledFromSeat has one hole from the seat, with a cone of 118 degrees.
func drilledFromSeat(x, y, diameter, depth float64) *mesh.Mesh {
	tip := diameter / 2 / math.Tan(59*math.Pi/180)
	// The block is turned over about x, so y changes its sign.
	return fromBelow(holed(at(x, -y, top-depth-tip), ring(x, -y, diameter/2, top, 48), ring(x, -y, diameter/2, top-depth, 48)))
}

func TestDemandedBores(t *testing.T) {
	f, err := rules.LoadFS(mapFS(base+threadAsked), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		fails string
		value float64
		says  string
	}{
		{"as asked", drilledFromSeat(10, 5, 6.8, 16), "", 0, ""},
		{"missing", drilledFromSeat(-30, 5, 6.8, 16), "bore.present", 0, "lacks"},
		{"not drilled at all", meshtest.Box(nominal.Min, nominal.Max).Mesh, "bore.present", 0, "lacks"},
		{"0.3 aside", drilledFromSeat(10, 5.3, 6.8, 16), "bore.position", 0.3, "stands 0.300 mm off"},
		{"drilled for the thread itself", drilledFromSeat(10, 5, 8, 16), "bore.diameter", 8, "diameter of 8.000 mm"},
		{"too shallow", drilledFromSeat(10, 5, 6.8, 10), "bore.depth", 10, "10.00 mm deep"},
		{"too deep", drilledFromSeat(10, 5, 6.8, 20), "bore.depth", 20, "20.00 mm deep"},
		{"at the edge of its place", drilledFromSeat(10.09, 5, 6.8, 16), "", 0, ""},
	} {
		p := exact(c.m)
		if !p.Audit.Closed() || p.Audit.Solids() != 1 {
			t.Fatalf("%s: the test's own solid is not sound", c.name)
		}
		s, err := checks.NewSubject(f, p)
		if err != nil {
			t.Fatal(err)
		}
		for _, id := range []string{"bore.present", "bore.position", "bore.diameter", "bore.depth", "bore.whole"} {
			for _, r := range checks.ByID(id).Measure(s) {
				v := checks.Judge(r).Verdict
				switch {
				case id == c.fails:
					if v != checks.Fail || !strings.Contains(r.Says, c.says) || r.Of != "lifting thread" || !r.Located {
						t.Errorf("%s: %s is %v: %s", c.name, id, v, r.Says)
					}
					meshtest.WantNear(t, c.name, r.Value, c.value, 1e-6)
				case v != checks.Pass:
					t.Errorf("%s: %s is %v (%g ±%g): %s", c.name, id, v, r.Value, r.Uncertainty, r.Says)
				}
			}
		}
	}
}

// boredThrough is the nominal block with a hole through it; where from and to are given, the wall
// between these sides is drawn outwards by 2 mm over the upper half.
func boredThrough(bottom, upper []r3.Vector, recess ...int) *mesh.Mesh {
	n := len(bottom)
	outer := func(z float64) []r3.Vector {
		var l []r3.Vector
		for _, p := range bottom {
			d := r3.Vector{X: p.X - 10, Y: p.Y - 5}
			far := min((math.Copysign(nominal.Max.X, d.X)-10)/d.X, (math.Copysign(nominal.Max.Y, d.Y)-5)/d.Y)
			l = append(l, at(10+d.X*far, 5+d.Y*far, z))
		}
		return l
	}
	out := func(l []r3.Vector, z float64) []r3.Vector {
		var o []r3.Vector
		for i, p := range l {
			if len(recess) == 2 && i > recess[0] && i < recess[1] {
				d := r3.Vector{X: p.X - 10, Y: p.Y - 5}.Normalize()
				p = p.Add(d.Mul(2))
			}
			p.Z = z
			o = append(o, p)
		}
		return o
	}
	half := top / 2
	loops := [][]r3.Vector{outer(0), outer(top), out(upper, top), out(upper, half)}
	level := func(l []r3.Vector) []r3.Vector {
		var o []r3.Vector
		for _, p := range l {
			p.Z = half
			o = append(o, p)
		}
		return o
	}
	loops = append(loops, level(bottom), bottom)
	m := &mesh.Mesh{}
	index := map[r3.Vector]int32{}
	vertex := func(p r3.Vector) int32 {
		v, ok := index[p]
		if !ok {
			v = int32(len(m.Vertices))
			index[p] = v
			m.Vertices = append(m.Vertices, p)
		}
		return v
	}
	put := func(a, b, c int32) {
		if a != b && b != c && c != a {
			m.Triangles = append(m.Triangles, [3]int32{a, b, c})
		}
	}
	for k := range loops {
		next := loops[(k+1)%len(loops)]
		for i := range n {
			j := (i + 1) % n
			a, b, c, d := vertex(loops[k][i]), vertex(loops[k][j]), vertex(next[j]), vertex(next[i])
			put(a, b, c)
			put(a, c, d)
		}
	}
	return m
}
