package measure

import (
	"cmp"
	"slices"

	"pocketgauge/mesh"
)

// Level is a height at which the surface has horizontal area that faces one way.
type Level struct {
	ZMM     float64
	AreaMM2 float64
	// Triangles are those at this level, ascending.
	Triangles []int32
}

// Levels groups the horizontal triangles that face up (or down) by height, lowest first.
//
// A triangle is horizontal where its corners' heights differ by no more than within, and two
// triangles share a level where their heights do: within is what storing the coordinates and
// the mesh's chord leave open.
func Levels(m *mesh.Mesh, up bool, within float64) []Level {
	type plate struct {
		z, area float64
		t       int32
	}
	var plates []plate
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		if max(a.Z, b.Z, c.Z)-min(a.Z, b.Z, c.Z) > within {
			continue
		}
		n := m.AreaVector(t).Z
		if (n > 0) != up || n == 0 {
			continue
		}
		plates = append(plates, plate{(a.Z + b.Z + c.Z) / 3, max(n, -n), int32(t)})
	}
	slices.SortFunc(plates, func(p, q plate) int {
		return cmp.Or(cmp.Compare(p.z, q.z), cmp.Compare(p.t, q.t))
	})
	var levels []Level
	for _, p := range plates {
		last := len(levels) - 1
		if last < 0 || p.z-levels[last].ZMM > within {
			levels = append(levels, Level{ZMM: p.z})
			last++
		}
		levels[last].AreaMM2 += p.area
		levels[last].Triangles = append(levels[last].Triangles, p.t)
	}
	for i := range levels {
		slices.Sort(levels[i].Triangles)
	}
	return levels
}

// Largest is the level of most area at or above z; ok is false where there is none. Of equal
// areas the higher level wins.
func Largest(levels []Level, z float64) (Level, bool) {
	best, ok := Level{}, false
	for _, l := range levels {
		if l.ZMM >= z && (!ok || l.AreaMM2 >= best.AreaMM2) {
			best, ok = l, true
		}
	}
	return best, ok
}
