package thickness

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// smoothCos joins facets over an edge that turns by at most 30 degrees into one smooth patch: a
// round of twelve sides is one.
var smoothCos = math.Cos(30 * math.Pi / 180)

// findNeighbours fills across. Facets without area take no part.
func (f *Field) findNeighbours() {
	f.across = mesh.Neighbours(f.tree.Mesh(), func(t int32) bool { return f.normal[t] == (r3.Vector{}) })
}

// findPatches numbers the smooth patches by their first facet.
func (f *Field) findPatches() {
	f.patch = make([]int32, len(f.across))
	for i := range f.patch {
		f.patch[i] = int32(i)
	}
	root := func(i int32) int32 {
		for f.patch[i] != i {
			f.patch[i] = f.patch[f.patch[i]]
			i = f.patch[i]
		}
		return i
	}
	for i := range f.across {
		for _, o := range f.across[i] {
			if o <= int32(i) || f.normal[i].Dot(f.normal[o]) < smoothCos {
				continue
			}
			if a, b := root(int32(i)), root(o); a != b {
				f.patch[max(a, b)] = min(a, b)
			}
		}
	}
	for i := range f.patch {
		f.patch[i] = root(int32(i))
	}
}
