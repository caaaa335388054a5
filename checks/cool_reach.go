package checks

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/proximity"
)

var coolReach = Check{
	ID:    "cool.reach",
	Title: "No place of the detail is too far from water",
	Doc: `What lies farthest from the water stays hot the longest: it sets the cycle and is where the part warps. Measured: the
largest distance from a point of the detail to the nearest wall of a waterline, straight through whatever
lies between, and the place; exact on the mesh to a hundredth of a millimetre. That heat goes around holes
and gaps is not seen, nor how much water runs in which line. What distance is let pass, the shop says.`,
	Unit:       MM,
	Keys:       []string{"cooling.reach"},
	Mend:       `Bring a waterline, a baffle or a pin of a metal that conducts well nearer to the place.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Cooling.ReachMM
		if !limit.Set || len(rolesFact.of(s).detail) == 0 {
			return nil
		}
		f := s.CoolingReach()
		if f == nil {
			return []Reading{NotMeasured("", noWater)}
		}
		l := &s.water().lines[f.lineOf(f.Farthest)]
		return []Reading{{
			Measured: true, Value: f.FarthestMM, Uncertainty: coolReachStepMM + s.SurfaceMM() + l.diameterErrorMM/2, Limit: AtMost(limit.Value),
			At: f.Farthest, Located: true,
			Says: fmt.Sprintf("The place of the detail that is farthest from water lies %.2f mm from %s.", f.FarthestMM, l.name()),
		}}
	},
}

// coolReachStepMM is how closely the farthest place is sought.
const coolReachStepMM = 0.01

// CoolingReach is how far each place of the detail lies from water.
type CoolingReach struct {
	// VertexMM is the distance of each vertex of the insert's mesh from the nearest waterline's
	// wall, mm; NaN where no facet of the detail has the vertex. Between the vertices of a facet
	// it lies under the largest of theirs plus the facet's longest edge.
	VertexMM []float32
	// Farthest is the place of the detail farthest from water, FarthestMM its distance.
	Farthest   r3.Vector
	FarthestMM float64

	axes []proximity.Axis
	line []int // the line of each axis
}

var coolingReachFact = fact[*CoolingReach]{findReach}

// CoolingReach is found once; nil where there is no waterline or no detail.
func (s *Subject) CoolingReach() *CoolingReach { return coolingReachFact.of(s) }

func findReach(s *Subject) *CoolingReach {
	w, detail, m := s.water(), rolesFact.of(s).detail, s.Part.Mesh
	f := &CoolingReach{}
	for i := range w.lines {
		for _, a := range w.lines[i].axesOf(s.Surfaces().Bores) {
			f.axes = append(f.axes, a)
			f.line = append(f.line, i)
		}
	}
	if len(f.axes) == 0 || len(detail) == 0 {
		return nil
	}
	f.VertexMM = make([]float32, len(m.Vertices))
	nearest := make([]int32, len(m.Vertices)) // axis of each vertex
	wanted := make([]bool, len(m.Vertices))
	for _, t := range detail {
		for _, v := range m.Triangles[t] {
			wanted[v] = true
		}
	}
	parallel.Chunks(len(m.Vertices), 1<<12, func(_, from, to, _ int) {
		for v := from; v < to; v++ {
			if !wanted[v] {
				f.VertexMM[v] = float32(math.NaN())
				continue
			}
			d, i := f.at(m.Vertices[v])
			f.VertexMM[v], nearest[v] = float32(d), int32(i)
		}
	})
	// The farthest vertex, then whatever lies farther within a facet. The distance from one axis is a
	// convex function, greatest at a corner; only where the corners have unlike nearest axes can a
	// facet hold more within, and there at most what one axis alone allows.
	f.FarthestMM = math.Inf(-1)
	for _, t := range detail {
		for _, v := range m.Triangles[t] {
			if float64(f.VertexMM[v]) > f.FarthestMM {
				f.FarthestMM, f.Farthest = float64(f.VertexMM[v]), m.Vertices[v]
			}
		}
	}
	f.FarthestMM, _ = f.at(f.Farthest)
	for _, t := range detail {
		a, b, c := m.Triangles[t][0], m.Triangles[t][1], m.Triangles[t][2]
		if nearest[a] == nearest[b] && nearest[b] == nearest[c] {
			continue
		}
		p, q, r := m.Corners(int(t))
		// It changes by no more than the way: a facet that cannot reach beyond is passed over.
		low := float64(min(f.VertexMM[a], f.VertexMM[b], f.VertexMM[c]))
		if low+math.Sqrt(max(p.Sub(q).Norm2(), q.Sub(r).Norm2(), r.Sub(p).Norm2())) > f.FarthestMM {
			f.within(p, q, r, mostReachHalvings)
		}
	}
	return f
}

// mostReachHalvings bounds the search in one facet: its sides are halved in turn.
const mostReachHalvings = 40

// within looks for a farther place in a triangle, as long as some axis leaves room for one.
func (f *CoolingReach) within(p, q, r r3.Vector, left int) {
	room := math.Inf(1)
	for i := range f.axes {
		room = min(room, max(f.from(i, p), f.from(i, q), f.from(i, r)))
	}
	if room <= f.FarthestMM+coolReachStepMM || left == 0 {
		return
	}
	pq, qr, rp := q.Sub(p).Norm2(), r.Sub(q).Norm2(), p.Sub(r).Norm2()
	switch {
	case qr > pq && qr >= rp:
		p, q, r = q, r, p
	case rp > pq:
		p, q, r = r, p, q
	}
	mid := p.Add(q).Mul(0.5)
	if d, _ := f.at(mid); d > f.FarthestMM {
		f.FarthestMM, f.Farthest = d, mid
	}
	f.within(p, mid, r, left-1)
	f.within(mid, q, r, left-1)
}

// at is the distance of a place from the nearest wall of a waterline, and its axis.
func (f *CoolingReach) at(p r3.Vector) (float64, int) {
	best, axis := math.Inf(1), 0
	for i := range f.axes {
		if d := f.from(i, p); d < best {
			best, axis = d, i
		}
	}
	return best, axis
}

func (f *CoolingReach) lineOf(p r3.Vector) int {
	_, i := f.at(p)
	return f.line[i]
}

// from is the distance of a place from the wall of one cylinder.
func (f *CoolingReach) from(i int, p r3.Vector) float64 {
	a := &f.axes[i]
	d, e := a.To.Sub(a.From), p.Sub(a.From)
	t := 0.0
	if n := d.Norm2(); n > 0 {
		t = clamp01(e.Dot(d) / n)
	}
	return e.Sub(d.Mul(t)).Norm() - a.RadiusMM
}
