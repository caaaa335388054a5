package takeoff

import (
	"math"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/tol"
)

// The kinds of surface to finish, in the order in which they are listed.
const (
	Floor    = "floor"
	Wall     = "wall"
	FreeForm = "free-form"
)

// wallSine: a face that leans less than ten degrees from the draw is a wall, finished around at
// constant height; no usual draft is more (common practice, no source). All between wall and floor
// is finished by following the form.
var wallSine = math.Sin(10 * math.Pi / 180)

// finishOf adds up the surface to finish by kind and finish: detail with the finish that the workspace
// names for it, parting face and reliefs without one. It also gives the projected area of the detail:
// the flux of the draw through the detail, which counts what stands above and below another part of
// it once with either sign.
//
// Facets of a round face have less area than the face. What they have less in all is known where the
// reader integrated the surface itself, and it is the error of each figure, in proportion.
func (t *Takeoff) finishOf(s *checks.Subject, e extent) ([]FinishArea, Figure) {
	kinds := [...]string{Floor, Wall, FreeForm}
	// Each kind first with the finish of the detail, then without one; group 0 is no surface to finish.
	var areas, doubts [1 + 2*len(kinds)]float64
	draw := s.Draw()
	m := s.Part.Mesh
	surfaces := s.Surfaces()
	total, projected, back, detail := 0.0, 0.0, 0.0, 0.0
	groups := make([]uint8, len(m.Triangles))
	for i := range m.Triangles {
		n := m.AreaVector(i)
		area := n.Norm()
		total += area
		of := surfaces.Of[i]
		if of != checks.Detail && of != checks.Parting && of != checks.Relief || e.of(i) == 0 {
			continue
		}
		// From here on only what is asked for counts.
		share := e.of(i)
		n, area = n.Mul(share), area*share
		along := n.Dot(draw)
		if of == checks.Detail {
			detail += area
			projected += along
			back += max(-along, 0)
		}
		k := 2
		switch {
		// The sine of the angle to the draw itself; a cross product keeps it where it is small.
		case n.Cross(draw).Norm() <= tol.UprightSine*area && along > 0:
			k = 0
		case math.Abs(along) <= wallSine*area:
			k = 1
		}
		g := 2 + 2*k
		if of == checks.Detail && s.Finish != "" {
			g--
		}
		groups[i] = uint8(g)
		areas[g] += area
		doubts[g] += e.doubt(m, i)
	}
	reached := t.reached(s, e, groups, len(areas))
	short := 0.0
	if total > 0 {
		q := s.Measures()
		short = (math.Abs(q.AreaMM2-total) + q.AreaErrorMM2) / total
	}
	// Moving every vertex by the storing error changes an area by no more than its edges allow; three
	// edges of a triangle are bounded by the whole surface's own error, already in it.
	var list []FinishArea
	for g := 1; g < len(areas); g++ {
		if a := areas[g]; a > 0 {
			name := ""
			if g%2 == 1 {
				name = s.Finish
			}
			list = append(list, FinishArea{kinds[(g-1)/2], name, Figure{a, a*short + doubts[g]}, reached[g]})
		}
	}
	// What faces away from the draw is under an undercut: there the flux says less than is seen.
	return list, Figure{max(projected, 0), back + detail*short}
}

// brokenTurn is the turn between two faces from which their outer edge is broken: 60 degrees, between
// the 45 of an edge that has its chamfer already and the 90 of one that has none.
const brokenTurn = math.Pi / 3

// edgesOf adds up the outer edges to break: sharper than brokenTurn, and not of the detail, whose
// edges are shut-offs or belong to the part. An edge between two bores is out of reach.
func edgesOf(s *checks.Subject, e extent) Figure {
	m := s.Part.Mesh
	of := s.Surfaces().Of
	type side struct{ triangle int32 }
	first := make(map[[2]int32]side, len(m.Triangles)*3/2)
	length, chords, count := 0.0, 0.0, 0
	cosine := math.Cos(brokenTurn)
	curved := func(t int32) bool {
		f := int(m.FaceOf(int(t)))
		return f >= len(s.Part.Faces) || s.Part.Faces[f].Kind != mesh.Plane
	}
	for t, tri := range m.Triangles {
		for k := range 3 {
			a, b := tri[k], tri[(k+1)%3]
			key := [2]int32{min(a, b), max(a, b)}
			other, seen := first[key]
			if !seen {
				first[key] = side{int32(t)}
				continue
			}
			x, y := of[t], of[other.triangle]
			if e.of(t) < 0.5 && e.of(int(other.triangle)) < 0.5 {
				continue
			}
			if x == checks.Detail || y == checks.Detail || x == checks.Bored && y == checks.Bored {
				continue
			}
			n, o := m.AreaVector(t), m.AreaVector(int(other.triangle))
			if n.Dot(o) > cosine*n.Norm()*o.Norm() {
				continue
			}
			// Convex: the other triangle's far corner lies behind this one's plane.
			if !outer(m, t, int(other.triangle), key) {
				continue
			}
			c := m.Vertices[a].Sub(m.Vertices[b]).Norm()
			length += c
			count++
			// An arc over a chord c of height h is at most 8 h^2 / (3 c) longer, to second order.
			if h := s.Part.ChordMM; h > 0 && c > 0 && curved(int32(t)) && curved(other.triangle) {
				chords += min(8*h*h/(3*c), c)
			}
		}
	}
	return Figure{length, chords + float64(2*count)*s.StorageMM()}
}

func outer(m *mesh.Mesh, t, other int, edge [2]int32) bool {
	for _, v := range m.Triangles[other] {
		if v != edge[0] && v != edge[1] {
			return m.Vertices[v].Sub(m.Vertices[edge[0]]).Dot(m.AreaVector(t)) < 0
		}
	}
	return false
}
