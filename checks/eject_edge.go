package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh/tol"
)

var ejectEdge = Check{
	ID:    "eject.edge",
	Title: "Every ejector pin keeps its distance from the edges of the detail",
	Doc: `Metal left thin between a pin's bore and the edge of a core or a groove breaks out, and a bore that
crosses an edge leaves a pin that must be cut to shape. Measured: from the wall of each pin's bore, seen
along the draw, to the nearest edge where the face that the pin comes out on falls away by more than 30
degrees; nothing where the bore crosses it. Edges of other bores are eject.spacing's. Only what lies within
a tenth of a millimetre of the height of the pin's end is seen as its face.
1.5 mm is usual (common practice, no source).`,
	Unit: MM,
	Keys: []string{"ejection.edge_distance"},
	Mend: `Move the pin away from the edge, or take a thinner one.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Ejection.EdgeDistanceMM
		if !limit.Set || len(s.Pins()) == 0 {
			return nil
		}
		edges := s.fallingEdges()
		far := edgeSearch * limit.Value
		r, pin := worstPin(s, AtLeast(limit.Value), true, func(p *Pin) (float64, float64) {
			least := far
			for _, e := range edges {
				if max(e.a.Z, e.b.Z) < p.Top.Z-tol.PinFaceMM || min(e.a.Z, e.b.Z) > p.Top.Z+tol.PinFaceMM {
					continue
				}
				least = min(least, segmentDistance(p.Plan(), flat(e.a.X, e.a.Y), flat(e.b.X, e.b.Y))-p.DiameterMM/2)
			}
			return max(least, 0), s.placeError(p) + s.SurfaceMM()
		})
		if r.Value >= far {
			r.Says = fmt.Sprintf("No edge of the detail is within %.3g mm of a pin.", far)
			return []Reading{r}
		}
		r.Says = fmt.Sprintf("Between the bore of a pin of diameter %.3g mm and the edge of the detail there is %.2f mm.", pin.DiameterMM, r.Value)
		if r.Value <= r.Uncertainty {
			r.Says = fmt.Sprintf("The bore of a pin of diameter %.3g mm crosses an edge of the detail.", pin.DiameterMM)
		}
		return []Reading{r}
	},
}

// edgeSearch is how many times the limit edges are looked for, so that a passing insert shows how
// near it came.
const edgeSearch = 3

type edge struct{ a, b r3.Vector }

// fallingEdges are the edges at which a face that looks along the draw falls away steeply, those of
// bores left out.
func (s *Subject) fallingEdges() []edge {
	m := s.Part.Mesh
	surfaces := s.Surfaces()
	draw := s.Draw()
	pins := s.Pins()
	lowest := inf
	for i := range pins {
		lowest = min(lowest, pins[i].Top.Z-tol.PinFaceMM)
	}
	const steep = 0.8660254037844386 // the cosine of 30 degrees
	level := func(t int32) bool {
		n := m.AreaVector(int(t))
		return n.Dot(draw) > steep*n.Norm()
	}
	type side struct{ a, b int32 }
	open := map[side]int32{}
	for t, tri := range m.Triangles {
		if surfaces.BoreOf[t] >= 0 || max(m.Vertices[tri[0]].Z, m.Vertices[tri[1]].Z, m.Vertices[tri[2]].Z) < lowest || !level(int32(t)) {
			continue
		}
		for i := range 3 {
			open[side{tri[i], tri[(i+1)%3]}] = int32(t)
		}
	}
	var list []edge
	for t, tri := range m.Triangles {
		if surfaces.BoreOf[t] >= 0 || max(m.Vertices[tri[0]].Z, m.Vertices[tri[1]].Z, m.Vertices[tri[2]].Z) < lowest || level(int32(t)) {
			continue
		}
		for i := range 3 {
			a, b := tri[i], tri[(i+1)%3]
			flatOne, ok := open[side{b, a}]
			if !ok {
				continue
			}
			// Falls away: the third corner lies below the plane of the level face.
			n := m.AreaVector(int(flatOne))
			if n.Dot(m.Vertices[tri[(i+2)%3]].Sub(m.Vertices[a])) < 0 {
				list = append(list, edge{m.Vertices[a], m.Vertices[b]})
			}
		}
	}
	return list
}

func segmentDistance(p, a, b r2.Point) float64 {
	d := b.Sub(a)
	t := 0.0
	if l := d.Dot(d); l > 0 {
		t = clamp01(p.Sub(a).Dot(d) / l)
	}
	q := p.Sub(a.Add(d.Mul(t)))
	return math.Hypot(q.X, q.Y)
}
