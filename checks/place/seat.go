package place

import (
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/measure"
)

// Stand is how a model stands in the pocket: the height of its seat, and the box of what of it
// lies in the pocket.
type Stand struct {
	SeatMM float64
	Within geom.Box
}

// StandOf finds the seat of a model that stands upright, and what of it a pocket of the given depth holds.
//
// The seat is not the lowest point: a pin or a foot may reach through the frame's floor. It is the level
// of most downward area no further up than half the depth; the lowest point where there is none.
// What stands above the pocket (a flange, a core) is no part of what the outline is matched with.
func StandOf(m *mesh.Mesh, depthMM, within float64) Stand {
	box := m.Bounds()
	st := Stand{SeatMM: box.Min.Z}
	most := 0.0
	for _, l := range measure.Levels(m, false, within) {
		if l.ZMM <= box.Min.Z+depthMM/2 && l.AreaMM2 > most {
			most, st.SeatMM = l.AreaMM2, l.ZMM
		}
	}
	st.Within = slab(m, st.SeatMM, st.SeatMM+depthMM)
	if st.Within.IsEmpty() {
		st.Within = box
	}
	return st
}

// slab is the box of the surface between two heights.
func slab(m *mesh.Mesh, low, high float64) geom.Box {
	box := geom.EmptyBox()
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		if max(a.Z, b.Z, c.Z) < low || min(a.Z, b.Z, c.Z) > high {
			continue
		}
		for _, e := range [...][2]r3.Vector{{a, b}, {b, c}, {c, a}} {
			p, q := e[0], e[1]
			if p.Z >= low && p.Z <= high {
				box = box.AddPoint(p)
			}
			for _, z := range [...]float64{low, high} {
				if (p.Z < z) != (q.Z < z) {
					box = box.AddPoint(p.Add(q.Sub(p).Mul((z - p.Z) / (q.Z - p.Z))))
				}
			}
		}
	}
	return box
}

// Move is how far the model must go so that it rests on z = 0 with the middle of what the pocket
// holds over (x, y).
func (st Stand) Move(x, y float64) r3.Vector {
	c := st.Within.Center()
	return r3.Vector{X: x - c.X, Y: y - c.Y, Z: -st.SeatMM}
}
