package geom_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
)

func TestSegmentDistance(t *testing.T) {
	p := func(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }
	for _, c := range []struct {
		name           string
		p0, p1, q0, q1 r3.Vector
		want           float64
	}{
		{"crossing apart", p(-1, 0, 0), p(1, 0, 0), p(0, -1, 2), p(0, 1, 2), 2},
		{"end to middle", p(1, 0, 0), p(2, 0, 0), p(0, -1, 0), p(0, 1, 0), 1},
		{"end to end", p(0, 0, 0), p(1, 0, 0), p(4, 4, 0), p(5, 5, 0), 5},
		{"parallel", p(0, 0, 0), p(4, 0, 0), p(2, 3, 0), p(9, 3, 0), 3},
		{"in line", p(0, 0, 0), p(1, 0, 0), p(3, 0, 0), p(4, 0, 0), 2},
		{"point and segment", p(2, 2, 0), p(2, 2, 0), p(0, 0, 0), p(5, 0, 0), 2},
		{"segment and point", p(0, 0, 0), p(5, 0, 0), p(2, 2, 0), p(2, 2, 0), 2},
		{"two points", p(0, 0, 0), p(0, 0, 0), p(3, 4, 0), p(3, 4, 0), 5},
	} {
		if got := geom.SegmentDistance(c.p0, c.p1, c.q0, c.q1); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// No pair of points on a grid along both segments is nearer than the one that is given.
func TestNearestOfSegmentsAgainstAGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 0))
	at := func() r3.Vector { return r3.Vector{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()} }
	for range 500 {
		p0, p1, q0, q1 := at(), at(), at(), at()
		got := geom.SegmentDistance(p0, p1, q0, q1)
		least := math.Inf(1)
		const steps = 40
		for i := range steps + 1 {
			for j := range steps + 1 {
				a := p0.Add(p1.Sub(p0).Mul(float64(i) / steps))
				b := q0.Add(q1.Sub(q0).Mul(float64(j) / steps))
				least = min(least, a.Sub(b).Norm())
			}
		}
		// A point of the grid lies within half a step of every point of its segment.
		if slack := (p1.Sub(p0).Norm() + q1.Sub(q0).Norm()) / (2 * steps); got > least+1e-12 || least > got+slack {
			t.Fatalf("%v, the grid has %v", got, least)
		}
	}
}
