package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// taperedPocket is the nominal block with a pocket whose mouth is a rectangle and whose floor is
// that rectangle with each side drawn in: left, front, right, back. A side's draft is
// atan(in/depth), negative where it is drawn out.
func taperedPocket(mouth geom.Box, depth float64, in [4]float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	top := nominal.Max.Z
	ring := func(x0, y0, x1, y1, z float64) [4]int32 {
		first := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, at(x0, y0, z), at(x1, y0, z), at(x1, y1, z), at(x0, y1, z))
		return [4]int32{first, first + 1, first + 2, first + 3}
	}
	// Quads between two rings, seen from outside where the second lies to the left of the first.
	band := func(a, b [4]int32) {
		for k := range 4 {
			n := (k + 1) % 4
			m.Triangles = append(m.Triangles, [3]int32{a[k], a[n], b[n]}, [3]int32{a[k], b[n], b[k]})
		}
	}
	low := ring(nominal.Min.X, nominal.Min.Y, nominal.Max.X, nominal.Max.Y, 0)
	high := ring(nominal.Min.X, nominal.Min.Y, nominal.Max.X, nominal.Max.Y, top)
	lip := ring(mouth.Min.X, mouth.Min.Y, mouth.Max.X, mouth.Max.Y, top)
	floor := ring(mouth.Min.X+in[0], mouth.Min.Y+in[1], mouth.Max.X-in[2], mouth.Max.Y-in[3], top-depth)
	band(low, high)
	band(high, lip)
	band(lip, floor)
	m.Triangles = append(m.Triangles, [3]int32{low[0], low[2], low[1]}, [3]int32{low[0], low[3], low[2]},
		[3]int32{floor[0], floor[1], floor[2]}, [3]int32{floor[0], floor[2], floor[3]})
	return m
}

var mouth = box(-20, -12, 0, 30, 10, 0)

func inset(degrees, depth float64) float64 { return depth * math.Tan(degrees*math.Pi/180) }

// judged runs one check on a mesh with the rules of base and more.
func judged(t *testing.T, id, more string, p *mesh.Part, change func(*checks.Subject)) []checks.Finding {
	t.Helper()
	s, err := checks.NewSubject(frame(t, more), p)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(s)
	}
	var list []checks.Finding
	c := checks.ByID(id)
	for _, r := range c.Measure(s) {
		list = append(list, checks.Finding{Check: c, Reading: r, Judged: checks.Judge(r)})
	}
	return list
}

func TestDrawDraft(t *testing.T) {
	const depth = 15
	all := func(deg float64) [4]float64 {
		x := inset(deg, depth)
		return [4]float64{x, x, x, x}
	}
	steep := all(2)
	steep[2] = inset(0.3, depth) // the right wall
	for _, c := range []struct {
		name, finish, more string
		in                 [4]float64
		verdict            checks.Verdict
		value, limit       float64
	}{
		{name: "a degree where half is asked", in: all(1), verdict: checks.Pass, value: 0.75, limit: 0.5},
		{name: "exactly the limit", in: all(0.5), verdict: checks.Pass, value: 0.5, limit: 0.5},
		{name: "one wall of 0.3", in: steep, verdict: checks.Fail, value: 0.3, limit: 0.5},
		{name: "a listed finish asks for more", finish: "grain A", in: all(2), verdict: checks.Fail, value: 2, limit: 3},
		{name: "a texture of 0.05 mm asks for 2 deg more", finish: "spark 0.05 mm", in: all(2), verdict: checks.Fail, value: 2, limit: 2.5},
		{name: "the same in micrometres, met", finish: "spark 50 um", in: all(2.6), verdict: checks.Pass, value: 2.6, limit: 2.5},
		{name: "upright walls are another check's", in: all(0), verdict: checks.Pass, value: 0.75, limit: 0.5},
		{name: "overhanging walls are another check's", in: all(-3), verdict: checks.Pass, value: 0.75, limit: 0.5},
	} {
		for _, roundoff := range []float64{tol.RoundoffDouble, tol.RoundoffSTL} {
			more := "draw: {draft: {zero_draft_area: 10000 mm2, by_finish: [{finish: grain A, least: 3 deg}]}}\n"
			f, err := rules.LoadFS(mapFS(strings.Replace(base, uprightWalls, more, 1)), "f.yaml")
			if err != nil {
				t.Fatal(err)
			}
			s, err := checks.NewSubject(f, partOf(taperedPocket(mouth, depth, c.in), roundoff, 0))
			if err != nil {
				t.Fatal(err)
			}
			s.Finish = c.finish
			r := checks.ByID("draw.draft").Measure(s)[0]
			if v := checks.Judge(r).Verdict; v != c.verdict {
				t.Errorf("%s: %v (%s)", c.name, v, r.Says)
			}
			meshtest.WantNear(t, c.name, r.Value, c.value, 1e-4)
			meshtest.WantNear(t, c.name+": limit", r.Limit.Least, c.limit-0.02, 1e-9)
			if c.verdict == checks.Fail && (!r.Located || r.Mend == "") {
				t.Errorf("%s: no place or no mend", c.name)
			}
		}
	}
}

// Facets of a coarse round stand steeper than the cone they stand for: tan(draft) times the cosine
// of half the turn. A cone of exactly the limit must not be rejected for that, and one that is a
// tenth short must be.
func TestDraftOfRoundsIsThatOfTheCone(t *testing.T) {
	for _, c := range []struct {
		sides   int
		degrees float64
		verdict checks.Verdict
	}{
		{24, 0.5, checks.Pass}, {48, 0.5, checks.Pass}, {96, 0.5, checks.Pass}, {24, 0.42, checks.Fail}, {96, 0.42, checks.Fail},
	} {
		turned := meshtest.Revolve("core", []r2.Point{
			{X: 0, Y: 0}, {X: 29.98, Y: 0}, {X: 29.98, Y: 40.03}, {X: 9 + inset(c.degrees, 20), Y: 40.03}, {X: 9, Y: 60.03}, {X: 0, Y: 60.03},
		}, c.sides)
		list := judged(t, "draw.draft", "", exact(turned.Mesh), nil)
		if list[0].Verdict != c.verdict {
			t.Errorf("%d sides, %g deg: %v, %.5f ±%.5f deg (%s)", c.sides, c.degrees, list[0].Verdict, list[0].Value, list[0].Uncertainty, list[0].Says)
		}
		if abs := math.Abs(list[0].Value - c.degrees); abs > list[0].Uncertainty+1e-6 {
			t.Errorf("%d sides: %.5f ±%.5f deg does not hold %g", c.sides, list[0].Value, list[0].Uncertainty, c.degrees)
		}
	}
}

// Pockets of four walls with drafts drawn at random, upright and overhanging ones among them: each
// wall is told by the one check that it is for, with its own number.
func TestDraftsOfRandomPockets(t *testing.T) {
	rng := meshtest.Random(t)
	f, err := rules.LoadFS(mapFS(strings.Replace(base, uprightWalls, "draw: {draft: {least: 1 deg}}", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for range 60 {
		depth := 2 + 20*rng.Float64()
		var deg, in [4]float64
		least, over, upright := 1.5, 0.0, 0
		for k := range deg {
			switch rng.IntN(4) {
			case 0:
				deg[k] = 0
				upright++
			case 1:
				deg[k] = -0.1 - 3*rng.Float64()
				over = max(over, -inset(deg[k], depth))
			default:
				deg[k] = 0.1 + 4*rng.Float64()
				least = min(least, deg[k])
			}
			in[k] = inset(deg[k], depth)
		}
		s, err := checks.NewSubject(f, partOf(taperedPocket(mouth, depth, in), tol.RoundoffSTL, 0))
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("depth %.3f, drafts %.3v", depth, deg)
		draft := checks.ByID("draw.draft").Measure(s)[0]
		meshtest.WantNear(t, name+": least draft", draft.Value, least, draft.Uncertainty+1e-4)
		if v := checks.Judge(draft).Verdict; least < 0.97 && v != checks.Fail || least > 1 && v != checks.Pass {
			t.Errorf("%s: draft %.4f is %v", name, draft.Value, v)
		}
		cut := checks.ByID("draw.undercut").Measure(s)[0]
		if fails := checks.Judge(cut).Verdict == checks.Fail; over > 1.2*tol.FlushMM && !fails || over == 0 && fails {
			t.Errorf("%s: an undercut of %.4f is %v", name, over, checks.Judge(cut).Verdict)
		}
		if over > 0 && abs(cut.Value-over) > over*0.5+1e-6 {
			// Walls that lean over beside one another share their corners, which lie off both lips.
			t.Errorf("%s: undercut %.4f, want about %.4f", name, cut.Value, over)
		}
		zero := checks.ByID("draw.zero-draft").Measure(s)[0]
		if (upright > 0) != (zero.Value > 0) {
			t.Errorf("%s: %d upright walls come to %.2f mm2", name, upright, zero.Value)
		}
	}
}

func TestSpecimensOfDrawDraft(t *testing.T) {
	walls := func(right float64) []checks.Finding {
		x := inset(2, 15)
		return judged(t, "draw.draft", "", exact(taperedPocket(mouth, 15, [4]float64{x, x, inset(right, 15), x})), nil)
	}
	specimens(t, "draw.draft",
		specimen{clean, "0.7 degrees where half a degree is asked", walls(0.7), "", 0.7, 1e-4},
		specimen{defective, "one wall of 0.3 degrees", walls(0.3), "", 0.3, 1e-4},
		specimen{looksWrong, "an upright wall, which is another check's", walls(0), "", 0.75, 1e-4},
	)
}
