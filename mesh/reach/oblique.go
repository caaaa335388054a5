package reach

import (
	"math"

	"pocketgauge/mesh/dexel"
)

// oblique is a ray of one grid as another sees it: where its place 0 lies, and what a quantum along it
// moves. Two points tell it, so that the many points tried on a ray need no turning each; both are known to
// half a quantum, and so is what lies between them.
type oblique struct{ i, j, w, di, dj, dw float64 }

// obliqueQuanta is how far apart the two points are: a power of two, so that dividing by it loses nothing,
// of about the size of an insert.
const obliqueQuanta = 1 << 20

func obliquely(from, to *dexel.Grid, i, j int) oblique {
	i0, j0, w0 := to.Locate(from.Point(i, j, 0))
	i1, j1, w1 := to.Locate(from.Point(i, j, obliqueQuanta))
	const per = 1.0 / obliqueQuanta
	return oblique{i0, j0, float64(w0), (i1 - i0) * per, (j1 - j0) * per, (float64(w1) - float64(w0)) * per}
}

// at is the place of the ray at w, as Locate gives it.
func (o *oblique) at(w int32) (i, j float64, place int32) {
	t := float64(w)
	return o.i + t*o.di, o.j + t*o.dj, int32(math.Round(o.w + t*o.dw))
}
