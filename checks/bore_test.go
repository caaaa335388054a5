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

// A slot cut across half of a thread's length leaves half of its wall where it crosses: the hole is a
// prism, so the share is known.
func TestBoreCutInto(t *testing.T) {
	f, err := rules.LoadFS(mapFS(base+strings.Replace(threadAsked, ", depth: {least: 14, most: 18}", "", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	const sides = 48
	through := func(cut bool) *checks.Subject {
		// From the seat through; a quarter of the upper half's wall is cut away.
		bottom, upper := ring(10, 5, 3.4, 0, sides), ring(10, 5, 3.4, top, sides)
		m := boredThrough(bottom, upper)
		if cut {
			// A gap in the wall: drop the facets of a quarter of the round, and close them by a box-like
			// recess drawn outwards.
			m = boredThrough(bottom, upper, 0, sides/4)
		}
		p := exact(m)
		if !p.Audit.Closed() || p.Audit.Solids() != 1 {
			t.Fatal("the test's own solid is not sound")
		}
		return subject(t, f, m)
	}
	whole := checks.ByID("bore.whole").Measure(through(false))
	if len(whole) != 1 || checks.Judge(whole[0]).Verdict != checks.Pass {
		t.Fatalf("a whole bore: %+v", whole)
	}
	meshtest.WantNear(t, "a whole wall", whole[0].Value, 100, 0.01)
	cut := checks.ByID("bore.whole").Measure(through(true))
	if len(cut) != 1 || checks.Judge(cut[0]).Verdict != checks.Fail {
		t.Fatalf("a bore that is cut into: %+v", cut)
	}
	// A quarter of the round over half of the height.
	meshtest.WantNear(t, "a wall cut into", cut[0].Value, 100*(1-0.25*0.5), 0.2)
	// The rules may ask less of a hole.
	f, err = rules.LoadFS(mapFS(base+strings.Replace(threadAsked, "depth: {least: 14, most: 18}", "whole: 80 %", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if r := checks.ByID("bore.whole").Measure(through(true)); len(r) != 1 || checks.Judge(r[0]).Verdict != checks.Pass {
		t.Errorf("80 %% asked: %+v", r)
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

func TestBoreThatShouldGoThrough(t *testing.T) {
	f, err := rules.LoadFS(mapFS(base+strings.Replace(threadAsked, ", depth: {least: 14, most: 18}", "", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r := checks.ByID("bore.depth").Measure(subject(t, f, drilledFromSeat(10, 5, 6.8, 16)))[0]
	if checks.Judge(r).Verdict != checks.Fail || !strings.Contains(r.Says, "should go through") {
		t.Errorf("a blind hole: %s", r.Says)
	}
	meshtest.WantNear(t, "what it would take", r.Limit.Least, top, 1e-6)
	for _, r := range checks.ByID("bore.depth").Measure(subject(t, f, boredThrough(ring(10, 5, 3.4, 0, 48), ring(10, 5, 3.4, top, 48)))) {
		if checks.Judge(r).Verdict != checks.Pass || !strings.Contains(r.Says, "goes through") {
			t.Errorf("a hole that goes through: %s", r.Says)
		}
	}
}
