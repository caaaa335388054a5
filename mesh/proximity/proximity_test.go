package proximity_test

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/proximity"
)

func at(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// facets are those all of whose corners the place holds.
func facets(m *mesh.Mesh, holds func(p r3.Vector) bool) []int32 {
	var out []int32
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		if holds(a) && holds(b) && holds(c) {
			out = append(out, int32(t))
		}
	}
	return out
}

// A block with a pocket: its walls are differences of coordinates.
func TestWallsOfAPocket(t *testing.T) {
	block := geom.Box{Min: at(-50, -30, 0), Max: at(50, 30, 40)}
	pocket := geom.Box{Min: at(-20, -12, 25), Max: at(43, 10, 60)}
	m := meshtest.BlockWithPockets(block, pocket).Mesh
	inner := facets(m, func(p r3.Vector) bool { return pocket.Contains(p) })
	side := facets(m, func(p r3.Vector) bool { return p.X == 50 })
	seat := facets(m, func(p r3.Vector) bool { return p.Z == 0 })
	top := facets(m, func(p r3.Vector) bool { return p.Z == 40 })
	for _, c := range []struct {
		name  string
		b     []int32
		reach float64
		want  float64
		found bool
	}{
		{"pocket to side", side, 20, 7, true},
		{"pocket to seat", seat, 40, 25, true},
		{"a reach just short", side, 6.999, 0, false},
		{"a reach just long enough", side, 7, 7, true},
		// The pocket's walls meet the top squarely: they touch it and do not face it.
		{"pocket to the top that it opens in", top, 100, 0, false},
	} {
		w, ok := proximity.Least(m, inner, c.b, c.reach, nil)
		if ok != c.found || ok && math.Abs(w.LengthMM-c.want) > 1e-12 {
			t.Errorf("%s: %v, %.15g; want %v, %g", c.name, ok, w.LengthMM, c.found, c.want)
		}
		if ok {
			meshtest.WantNear(t, c.name+": its ends", w.A.Sub(w.B).Norm(), w.LengthMM, 1e-12)
			if !pocket.Contains(w.A) {
				t.Errorf("%s: A %v is not on the pocket", c.name, w.A)
			}
			// Asked the other way round it is the same wall.
			back, ok := proximity.Least(m, c.b, inner, c.reach, nil)
			if !ok || back.LengthMM != w.LengthMM || !pocket.Contains(back.B) {
				t.Errorf("%s, turned round: %v, %+v", c.name, ok, back)
			}
		}
	}
	// What is not accepted does not count.
	if w, ok := proximity.Least(m, inner, side, 20, func(w *proximity.Wall) bool { return false }); ok {
		t.Errorf("a refused wall of %g is given", w.LengthMM)
	}
}

// Two bores of unlike height and direction against the distances of their facets, found by a
// search of all pairs at points laid densely over both; the dense search can only be too high.
func TestLeastAgainstADenseSearch(t *testing.T) {
	r := meshtest.Random(t)
	for n := range 6 {
		sides := 12 + 4*n
		a := meshtest.Cylinder(3+r.Float64(), 20, sides).Moved(geom.Rotate(at(r.NormFloat64(), r.NormFloat64(), 1).Normalize(), 6*r.Float64()))
		b := meshtest.Cylinder(2+r.Float64(), 14, sides+2).Moved(geom.Translate(at(24+6*r.Float64(), 4*r.NormFloat64(), 3*r.NormFloat64()))).Moved(geom.Rotate(at(0, r.NormFloat64(), 1).Normalize(), 0.3*r.Float64()))
		// Inside out they are voids, with metal between them.
		both := a.InsideOut().With(b.InsideOut()).Mesh
		from, to := facets(both, func(p r3.Vector) bool { return true }), []int32{}
		count := len(a.Mesh.Triangles)
		from, to = from[:count], append(to, from[count:]...)
		w, ok := proximity.Least(both, from, to, 100, nil)
		if !ok {
			t.Fatalf("case %d: nothing is found", n)
		}
		dense := func(list []int32) []r3.Vector {
			var out []r3.Vector
			const k = 12
			for _, f := range list {
				p, q, s := both.Corners(int(f))
				for i := range k + 1 {
					for j := range k + 1 - i {
						u, v := float64(i)/k, float64(j)/k
						out = append(out, p.Mul(1-u-v).Add(q.Mul(u)).Add(s.Mul(v)))
					}
				}
			}
			return out
		}
		best := math.Inf(1)
		qs := dense(to)
		for _, p := range dense(from) {
			for _, q := range qs {
				best = min(best, p.Sub(q).Norm2())
			}
		}
		best = math.Sqrt(best)
		if w.LengthMM > best+1e-9 || best-w.LengthMM > 0.5 {
			t.Errorf("case %d: %.6f, a dense search has %.6f", n, w.LengthMM, best)
		}
	}
}

// A round bore in a block: the wall to a side is the distance of its axis less the radius, which
// no chord of its facets shows.
func TestBoreIsTakenForACylinder(t *testing.T) {
	const x, radius = 7.0, 2.5
	ring := meshtest.Regular(r2.Point{X: x}, radius, 16)
	m := meshtest.Prism(meshtest.Rectangle(r2.Point{X: -12, Y: -10}, r2.Point{X: 12, Y: 10}), [][]r2.Point{ring}, 0, 20).Mesh
	side := facets(m, func(p r3.Vector) bool { return p.X == 12 })
	top := facets(m, func(p r3.Vector) bool { return p.Z == 20 })
	axis := proximity.Axis{From: at(x, 0, 0), To: at(x, 0, 20), RadiusMM: radius}
	w, ok := proximity.LeastToAxis(m, axis, side, 10, nil)
	if !ok {
		t.Fatal("no wall is found")
	}
	meshtest.WantNear(t, "bore to side", w.LengthMM, 12-x-radius, 1e-12)
	if w, ok = proximity.LeastToAxis(m, axis, top, 10, nil); ok {
		t.Errorf("a bore and the face that it opens in are taken for a wall of %g", w.LengthMM)
	}
	if _, ok = proximity.LeastToAxis(m, axis, side, 12-x-radius-1e-6, nil); ok {
		t.Error("a wall beyond the reach is found")
	}

	// Two lines square to each other, nearest at their middles: 9 - 2 - 3.
	a := proximity.Axis{From: at(-20, 0, 0), To: at(20, 0, 0), RadiusMM: 2}
	b := proximity.Axis{From: at(3, -20, 9), To: at(3, 20, 9), RadiusMM: 3}
	w, ok = proximity.BetweenAxes(a, b)
	if !ok {
		t.Fatal("no wall between the axes")
	}
	meshtest.WantNear(t, "between axes", w.LengthMM, 4, 1e-12)
	meshtest.WantNearVector(t, "its end on the first", w.A, at(3, 0, 2), 1e-12)
	// Beside each other's ends the wall runs from rim to rim, which no axis tells.
	b.From = at(30, -20, 9)
	b.To = at(30, 20, 9)
	if w, ok = proximity.BetweenAxes(a, b); ok {
		t.Errorf("a slanted wall of %g from rim to rim is given", w.LengthMM)
	}
	// They run into each other.
	b.From, b.To = at(3, -20, 4), at(3, 20, 4)
	if _, ok = proximity.BetweenAxes(a, b); ok {
		t.Error("bores that meet have a wall between them")
	}
}
