package checks

import (
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/roles"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// Surface says what a triangle of an insert is for.
type Surface uint8

// The surfaces of an insert. Detail is what shapes the part; Relief is cut, but for the frame:
// clamp slots, edge breaks, what hangs together with neither detail nor parting face.
const (
	Detail Surface = iota
	Seat
	Side
	Parting
	Bored
	Relief
)

func (k Surface) String() string {
	return [...]string{"the detail", "the seat", "the side", "the parting face", "a bore", "a relief"}[k]
}

// Surfaces tells of every triangle of an insert what it is for, and of its bores.
type Surfaces struct {
	Of []Surface
	// Bores are those of the insert; BoreOf is the index of each triangle's, -1 for none.
	Bores  []Bore
	BoreOf []int32
}

var surfacesFact = fact[*Surfaces]{findSurfaces}

// Surfaces sorts the insert's triangles by what they are for.
//
// Seat, side and parting face are told by place: flat at z = 0, along the pocket's outline, at
// the parting level. Bores are recognised by their form (mesh/roles), and told from round pockets (isRoundPocket). What is left falls into
// pieces that hang together: a piece that meets the parting face is detail, unless it is no wider
// than the edge break that the frame allows, lies in a place that the frame wants open, or runs out
// at the side no deeper than the groove behind a vent; a piece that meets only seat, sides and
// bores is relief. Where the insert has no parting face all of
// what is left is detail: better to ask too much of it than too little.
func (s *Subject) Surfaces() *Surfaces { return surfacesFact.of(s) }

func findSurfaces(s *Subject) *Surfaces {
	m := s.Part.Mesh
	out := &Surfaces{Of: make([]Surface, len(m.Triangles))}
	levels := levelsFact.of(s)
	for _, l := range levels.down {
		if abs(l.ZMM) <= tol.SeatMM+2*s.StorageMM() {
			mark(out.Of, l.Triangles, Seat)
		}
	}
	parting, hasParting := s.partingFace()
	if hasParting {
		mark(out.Of, parting.Triangles, Parting)
	}
	for t := range m.Triangles {
		if out.Of[t] == Detail && s.onSide(t) {
			out.Of[t] = Side
		}
	}
	found := roles.Find(s.Part, func(t int32) bool { return out.Of[t] != Detail })
	s.withoutPockets(found)
	out.BoreOf = found.BoreOf
	for t, r := range found.Of {
		if r == roles.InBore {
			out.Of[t] = Bored
		}
	}
	if hasParting {
		markReliefs(s, out.Of, parting.ZMM)
	}
	out.Bores = purposes(s, found.Bores, out)
	return out
}

func mark(of []Surface, triangles []int32, as Surface) {
	for _, t := range triangles {
		of[t] = as
	}
}

// onSide reports whether a triangle lies along the pocket's outline, upright, no further within
// it than the fit and the stock on the sides allow.
func (s *Subject) onSide(t int) bool {
	within := s.SurfaceMM()
	n := s.Part.Mesh.AreaVector(t)
	if abs(n.Z) > tol.UprightSine*n.Norm() {
		return false
	}
	far := max(s.Frame.Pocket.ClearanceMM.Most.Value, tol.SideMM) + within
	a, b, c := s.Part.Mesh.Corners(t)
	// The middle too: the walls of a groove from side to side have all their corners there.
	for _, p := range [...]r3.Vector{a, b, c, a.Add(b).Add(c).Mul(1.0 / 3)} {
		if d, _ := s.Pocket.Clearance(flat(p.X, p.Y)); d > far {
			return false
		}
	}
	return true
}

// markReliefs turns pieces of Detail into Relief where they are.
func markReliefs(s *Subject, of []Surface, partingZ float64) {
	m := s.Part.Mesh
	pieces := mesh.NewForest(len(m.Vertices))
	for t, tri := range m.Triangles {
		if of[t] == Detail {
			pieces.Join(tri[0], tri[1])
			pieces.Join(tri[0], tri[2])
		}
	}
	// At a piece's root: it meets the parting face, it runs out at the side.
	meets, runsOut := make([]bool, len(m.Vertices)), make([]bool, len(m.Vertices))
	for t, tri := range m.Triangles {
		if of[t] == Parting || of[t] == Side {
			at := meets
			if of[t] == Side {
				at = runsOut
			}
			for _, v := range tri {
				at[pieces.Root(v)] = true
			}
		}
	}
	boxes := map[int32]geom.Box{}
	narrow := map[int32]bool{} // all of it lies within an edge break of the outline
	edge := max(s.Frame.Pocket.EdgeBreakMM.Most.Value, tol.SideMM) + s.SurfaceMM() + s.Frame.Pocket.ClearanceMM.Most.Value
	for t, tri := range m.Triangles {
		if of[t] != Detail {
			continue
		}
		root := pieces.Root(tri[0])
		box, seen := boxes[root]
		if !seen {
			box, narrow[root] = geom.EmptyBox(), true
		}
		a, b, c := m.Corners(t)
		// The middle too: all corners of a groove from side to side lie on the outline.
		for _, p := range [...]r3.Vector{a, b, c, a.Add(b).Add(c).Mul(1.0 / 3)} {
			box = box.AddPoint(p)
			if narrow[root] {
				d, _ := s.Pocket.Clearance(flat(p.X, p.Y))
				narrow[root] = d <= edge
			}
		}
		boxes[root] = box
	}
	open := openPlaces(s)
	for t, tri := range m.Triangles {
		if of[t] != Detail {
			continue
		}
		root := pieces.Root(tri[0])
		vent := runsOut[root] && boxes[root].Min.Z >= partingZ-tol.VentGrooveMM-s.SurfaceMM() && boxes[root].Max.Z <= partingZ+s.SurfaceMM()+tol.LevelMM
		relief := !meets[root] || narrow[root] || vent
		for i := 0; i < len(open) && !relief; i++ {
			relief = open[i].Contains(boxes[root].Min) && open[i].Contains(boxes[root].Max)
		}
		if relief {
			of[t] = Relief
		}
	}
}

// detailBounds is the box around the detail; empty where there is none.
func (s *Subject) detailBounds() geom.Box {
	box := geom.EmptyBox()
	for t, k := range s.Surfaces().Of {
		if k == Detail {
			a, b, c := s.Part.Mesh.Corners(t)
			box = box.AddPoint(a).AddPoint(b).AddPoint(c)
		}
	}
	return box
}

// openPlaces are the boxes around what the frame wants open, grown by what a shop cuts wider.
func openPlaces(s *Subject) []geom.Box {
	var boxes []geom.Box
	for i := range s.Frame.Zones {
		z := &s.Frame.Zones[i]
		if z.Must != rules.Open || !z.Half.HoldsFor(s.Half) {
			continue
		}
		if shape, err := zoneShape(&z.Shape); err == nil { // the zone's own check reports the error
			boxes = append(boxes, shape.Mesh().Bounds().Expand(tol.OpenMarginMM))
		}
	}
	return boxes
}
