package takeoff

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/reach"
)

// sharpTurn is the turn between two walls from which their inner corner is burned out: 60 degrees. A
// blunter one keeps less than a hundredth of the square of the cutter's radius.
const sharpTurn = math.Pi / 3

// alongAngle is how far from a set-up's direction an inner edge may run and still be a corner of its
// walls: ten degrees, as for walls.
const alongAngle = 10 * math.Pi / 180

// leastCornerMM: a corner less deep, of a vent or where the detail stands proud, is let be.
const leastCornerMM = 0.1

// cornerArea is the cross-section that a round cutter leaves in a corner of which the two walls turn by
// the angle: the kite between the tangent points less the sector, r^2 (tan(turn/2) - turn/2). For a
// square corner that is r^2 (1 - pi/4).
func cornerArea(radius, turn float64) float64 {
	return radius * radius * (math.Tan(turn/2) - turn/2)
}

// sharpCorners finds the inner corners between walls of the detail that the thinnest cutter leaves round,
// each a region of its own. They are hardly wider than the rays stand apart: their volume is that of the
// formula and not of a count.
func sharpCorners(s *checks.Subject, q *reach.Sequence, directions []r3.Vector, thinnest reach.Cutter) []Burn {
	m := s.Part.Mesh
	of := s.Surfaces().Of
	first := make(map[[2]int32]int32)
	type edge struct {
		a, b int32
		area float64
	}
	var edges []edge
	joined := mesh.NewForest(len(m.Vertices))
	radius := thinnest.DiameterMM / 2
	cosine := math.Cos(sharpTurn)
	for t, tri := range m.Triangles {
		if of[t] != checks.Detail {
			continue
		}
		for k := range 3 {
			a, b := tri[k], tri[(k+1)%3]
			key := [2]int32{min(a, b), max(a, b)}
			o, seen := first[key]
			if !seen {
				first[key] = int32(t)
				continue
			}
			n, p := m.AreaVector(t).Normalize(), m.AreaVector(int(o)).Normalize()
			if n.Dot(p) > cosine || outer(m, t, int(o), key) {
				continue
			}
			along := m.Vertices[b].Sub(m.Vertices[a])
			long := along.Norm()
			// A place in the corner, off both walls, tells from where it was cut, if at all.
			off := n.Add(p).Normalize().Mul(max(2*q.PitchMM, radius))
			f := q.At(m.Vertices[a].Add(along.Mul(0.5)).Add(off))
			if !f.Stock || f.Left || f.SetUp < 0 {
				continue
			}
			if math.Abs(along.Dot(directions[f.SetUp])) < math.Cos(alongAngle)*long {
				continue
			}
			edges = append(edges, edge{a, b, cornerArea(radius, math.Acos(min(max(n.Dot(p), -1), 1)))})
			joined.Join(a, b)
		}
	}
	byRoot := map[int32]int{}
	var list []Burn
	var boxes []geom.Box
	for _, e := range edges {
		root := joined.Root(e.a)
		at, ok := byRoot[root]
		if !ok {
			at = len(list)
			byRoot[root] = at
			list = append(list, Burn{Kind: cornerKind, RadiusMM: radius})
			boxes = append(boxes, geom.EmptyBox())
		}
		b := &list[at]
		p, r := m.Vertices[e.a], m.Vertices[e.b]
		long := r.Sub(p).Norm()
		b.VolumeMM3.Value += e.area * long
		// A corner that leans has less height than length, and its ends stand where the surface does.
		b.VolumeMM3.Error += e.area * (long*(1-math.Cos(alongAngle)) + 2*s.SurfaceMM())
		b.DepthMM += long
		boxes[at] = boxes[at].AddPoint(p).AddPoint(r)
	}
	kept := list[:0:0]
	for i, b := range list {
		b.At, b.SizeMM = boxes[i].Center(), boxes[i].Expand(radius).Size()
		b.box = boxes[i].Expand(radius)
		if b.DepthMM >= leastCornerMM {
			kept = append(kept, b)
		}
	}
	sort(kept)
	return kept
}
