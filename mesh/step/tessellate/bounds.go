package tessellate

import (
	"pocketgauge/mesh/geom"
)

func (b *body) bounds(box geom.Box) (geom.Box, float64) { return box, b.chord }
