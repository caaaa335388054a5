package difference

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

// The deepest point of a box's metal in a box zone, in closed form: each coordinate by itself goes as near
// the middle of the zone as the metal lets it.
func deepestInBox(zone, metal geom.Box) float64 {
	depth := math.Inf(1)
	for k := range 3 {
		low, high := component(zone.Min, k), component(zone.Max, k)
		x := min(max((low+high)/2, component(metal.Min, k)), component(metal.Max, k))
		depth = min(depth, max(0, min(x-low, high-x)))
	}
	return depth
}

// What Intrusion proves is so, wherever the box lies and however it is turned; and it proves something
// wherever there is metal.
func TestProvenDepthIsReached(t *testing.T) {
	rng := meshtest.Random(t)
	some := func() float64 { return 20 * rng.Float64() }
	overstated := 0
	for range 300 {
		zone := geom.Box{Min: vec(5, 5, 5), Max: vec(15, 11, 8)}
		metal := geom.EmptyBox().AddPoint(vec(some(), some(), some())).AddPoint(vec(some(), some(), some()))
		m := meshtest.RandomMotion(rng, 50)
		z, err := PrismZone([]r2.Point{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 6}, {X: 0, Y: 6}}, m.After(geom.Translate(zone.Min)), 3)
		if err != nil {
			t.Fatal(err)
		}
		v, depth, err := Intrusion(boxMesh(metal.Min, metal.Max).Moved(m), z)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		if both := zone.Intersection(metal); !both.IsEmpty() {
			want = both.VolumeMM3()
		}
		wantNear(t, "volume", v, want)
		deepest := deepestInBox(zone, metal)
		if depth > deepest+1e-9 {
			t.Errorf("%v in %v: %g mm are said to be reached, and %g are", metal, zone, depth, deepest)
		}
		if want > 1 && depth <= 0 {
			t.Errorf("%v in %v: %g mm3 prove no depth", metal, zone, want)
		}
		if 8*depth > deepest && deepest > 0 {
			overstated++
		}
	}
	// Control: a bound eight times as bold would be wrong in places.
	if overstated == 0 {
		t.Error("an eighth of the depth is never proven")
	}
}

// In a zone of two pieces the seam between them is no boundary, and parts of them lie nearer to the plane of a side
// than to the side.
func TestProvenDepthInAnAngle(t *testing.T) {
	rng := meshtest.Random(t)
	l := []r2.Point{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 10}, {X: 10, Y: 10}, {X: 10, Y: 20}, {X: 0, Y: 20}}
	z, err := PrismZone(l, geom.Identity(), 10)
	if err != nil {
		t.Fatal(err)
	}
	some := func() float64 { return 24*rng.Float64() - 2 }
	for range 40 {
		metal := geom.EmptyBox().AddPoint(vec(some(), some(), some())).AddPoint(vec(some(), some(), some()))
		_, depth, err := Intrusion(boxMesh(metal.Min, metal.Max), z)
		if err != nil {
			t.Fatal(err)
		}
		const n = 24
		deepest, size := 0.0, metal.Size()
		for k := range (n + 1) * (n + 1) * (n + 1) {
			p := r3.Vector{X: float64(k % (n + 1)), Y: float64(k / (n + 1) % (n + 1)), Z: float64(k / (n + 1) / (n + 1))}
			deepest = max(deepest, z.depth(metal.Min.Add(vec(p.X*size.X/n, p.Y*size.Y/n, p.Z*size.Z/n))))
		}
		if slack := size.Norm() / n; depth > deepest+slack {
			t.Errorf("%v: %g mm are said to be reached, and no more than %g are", metal, depth, deepest+slack)
		}
	}
}
