package checks

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/tol"
)

var fitEdgeBreak = Check{
	ID:    "fit.edge-break",
	Title: "The edge that enters the pocket first is broken all around",
	Doc: `A sharp lower edge scrapes the wall of the pocket as the insert is let in, raises a burr and jams. Measured: along the
border of the seat, how far it stays back from the side of the insert above it: from the pocket's outline, less the
gap that the insert keeps there. Exact at the corners of the mesh. Judged is the least, or the most where that is
too much; stretches without their break are told with their length. Where the seat is cut away (a slot or a bore open to the side) there is no edge
to break. That the break is a chamfer or a radius is told by its height half way along its width; its angle is not judged. 0.5 to 1.5 mm is
usual on ground inserts (common practice, no source). 0.005 mm is let pass.`,
	Unit: MM,
	Keys: []string{"pocket.edge_break"},
	Mend: `Break the lower edge of the insert all around, as wide as the frame asks for.`,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Pocket.EdgeBreakMM
		if !limit.Set() {
			return nil
		}
		edges := s.lowerEdges(max(3*limit.Most.Value, 3*limit.Least.Value))
		if len(edges) == 0 {
			return nil // fit.seat tells of an insert that rests on nothing
		}
		r := Reading{Measured: true, Uncertainty: 2 * s.SurfaceMM(), Limit: Band{
			Least: limit.Least.Value - tol.FlushMM, HasLeast: limit.Least.Set, Most: limit.Most.Value + tol.FlushMM, HasMost: limit.Most.Set}}
		least := slices.MinFunc(edges, func(a, b lowerEdge) int { return cmp.Compare(a.least, b.least) })
		most := slices.MaxFunc(edges, func(a, b lowerEdge) int { return cmp.Compare(a.most, b.most) })
		worst := least
		r.Value = least.least
		if r.Limit.HasMost && most.most > r.Limit.Most && !(r.Limit.HasLeast && least.least < r.Limit.Least) {
			worst, r.Value = most, most.most
		}
		a, b := s.Part.Mesh.Vertices[worst.a], s.Part.Mesh.Vertices[worst.b]
		r.At, r.Located = a.Add(b).Mul(0.5), true
		r.Says = fmt.Sprintf("The lower edge is broken by %.3f to %.3f mm%s.", least.least, most.most, s.breakForm(most))
		bad, length := 0, 0.0
		stretch := mesh.NewForest(len(s.Part.Mesh.Vertices))
		for _, e := range edges {
			if r.Limit.HasLeast && e.least < r.Limit.Least || r.Limit.HasMost && e.most > r.Limit.Most {
				length += e.length
				stretch.Join(e.a, e.b)
			}
		}
		seen := map[int32]bool{}
		for _, e := range edges {
			if r.Limit.HasLeast && e.least < r.Limit.Least || r.Limit.HasMost && e.most > r.Limit.Most {
				if root := stretch.Root(e.a); !seen[root] {
					seen[root] = true
					bad++
				}
			}
		}
		if bad > 0 {
			_, piece := s.Pocket.Clearance(flat(r.At.X, r.At.Y))
			r.Says += fmt.Sprintf(" Over %.1f mm of it, in %d stretch(es), it is not as the frame asks; the worst is at the %s.", length, bad, sideName(s.Pocket.Pieces[piece].Name))
			if r.Value < r.Limit.Least {
				r.Mend = fmt.Sprintf("Break the lower edge by at least %g mm there.", limit.Least.Value)
			} else {
				r.Mend = fmt.Sprintf("Break the lower edge by no more than %g mm there; what is cut away does not carry.", limit.Most.Value)
			}
		}
		return []Reading{r}
	},
}

// lowerEdge is a piece of the seat's border that runs along the pocket's outline.
type lowerEdge struct {
	a, b int32 // vertices
	// least and most is how far its ends stay back from the insert's side.
	least, most, length float64
}

// lowerEdges are the pieces of the seat's border no further than far from the insert's side. A
// piece that runs away from the side is the border of a slot or bore.
func (s *Subject) lowerEdges(far float64) []lowerEdge {
	m := s.Part.Mesh
	var uses []uint64 // lower vertex, upper vertex
	for _, l := range levelsFact.of(s).down {
		if abs(l.ZMM) > tol.SeatMM+2*s.StorageMM() {
			continue
		}
		for _, t := range l.Triangles {
			tri := m.Triangles[t]
			for k := range 3 {
				p, q := tri[k], tri[(k+1)%3]
				uses = append(uses, uint64(min(p, q))<<32|uint64(max(p, q)))
			}
		}
	}
	slices.Sort(uses)
	clear := s.clearances()
	back := func(v int32, piece int) float64 {
		gap := clear[piece].GapMM
		if !clear[piece].Faced {
			gap = clear[piece].LeastMM
		}
		return s.Pocket.Gap(piece, flat(m.Vertices[v].X, m.Vertices[v].Y)) - gap
	}
	// along is how much a piece may run away from the side, over its length.
	const along = 0.3
	var out []lowerEdge
	for i := 0; i < len(uses); {
		j := i + 1
		for j < len(uses) && uses[j] == uses[i] {
			j++
		}
		if j-i == 1 {
			e := lowerEdge{a: int32(uses[i] >> 32), b: int32(uses[i] & math.MaxUint32)}
			// Both ends are held against the side of the pocket that the middle is nearest to: at a
			// corner the end is as near to the next side.
			mid := m.Vertices[e.a].Add(m.Vertices[e.b]).Mul(0.5)
			_, piece := s.Pocket.Clearance(flat(mid.X, mid.Y))
			x, y := back(e.a, piece), back(e.b, piece)
			e.least, e.most = min(x, y), max(x, y)
			e.length = m.Vertices[e.b].Sub(m.Vertices[e.a]).Norm()
			if e.most <= far && e.most-e.least <= along*e.length {
				out = append(out, e)
			}
		}
		i = j
	}
	return out
}

// breakForm tells a chamfer from a radius by the height of the surface half way along its width:
// half the width for a chamfer of 45 degrees, 1 - sqrt(3)/2 of it for a quarter round.
func (s *Subject) breakForm(e lowerEdge) string {
	if e.most <= tol.FlushMM {
		return ""
	}
	m := s.Part.Mesh
	mid := m.Vertices[e.a].Add(m.Vertices[e.b]).Mul(0.5)
	// Outwards is the way in which the clearance falls.
	d := m.Vertices[e.b].Sub(m.Vertices[e.a]).Normalize()
	out := r3.Vector{X: d.Y, Y: -d.X}
	here, _ := s.Pocket.Clearance(flat(mid.X, mid.Y))
	if there, _ := s.Pocket.Clearance(flat(mid.X+out.X*e.most/2, mid.Y+out.Y*e.most/2)); there > here {
		out = out.Mul(-1)
	}
	from := mid.Add(out.Mul(e.most / 2)).Sub(r3.Vector{Z: e.most})
	hit, ok := s.Tree().First(index.Ray{Origin: from, Direction: r3.Vector{Z: 1}, TMax: 100 * e.most})
	if !ok {
		return ""
	}
	switch share := (hit.T - e.most) / e.most; {
	case share > 0.4 && share < 0.6:
		return ", a chamfer of 45 deg"
	case share > 0.1 && share < 0.2:
		return ", a radius"
	default:
		return fmt.Sprintf(", and half way it is %.2f mm high", hit.T-e.most)
	}
}
