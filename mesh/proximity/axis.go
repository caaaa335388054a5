package proximity

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// Axis is one diameter of a bore.
type Axis struct {
	From, To r3.Vector
	RadiusMM float64
}

// squareSine is how far a wall out of a round bore may be from square to its axis. At its nearest
// it is square, but for rounding, unless it ends at the rim, where the bore is no cylinder any more.
const squareSine = 0.01

// LeastToAxis is the thinnest wall of at most reach between the round wall of a bore and the
// facets given, false where there is none. The wall's A lies on the bore, its TriangleA is -1.
func LeastToAxis(m *mesh.Mesh, bore Axis, facets []int32, reach float64, accept Accept) (Wall, bool) {
	along := bore.To.Sub(bore.From)
	if !(along.Norm() > 0) || !(reach >= 0) {
		return Wall{}, false
	}
	along = along.Normalize()
	best := newBound(reach)
	end := corners{bore.From, bore.To, bore.To}
	around := end.box()
	boreReach := max(bore.From.Norm(), bore.To.Norm()) + bore.RadiusMM
	const run = 4096
	found := make([]Wall, (len(facets)+run-1)/run)
	parallel.Chunks(len(facets), run, func(k, from, to, _ int) {
		thinnest := Wall{LengthMM: math.Inf(1)}
		for _, t := range facets[from:to] {
			c := cornersOf(m, t)
			if b := c.box(); b.gap(&around)-bore.RadiusMM > best.value()+slack(boreReach+b.reach()) {
				continue
			}
			centre, radius := c.ball()
			slack := slack(boreReach + centre.Norm() + radius) // of what is looked at here
			near, _ := geom.NearestOfSegments(bore.From, bore.To, centre, centre)
			if centre.Sub(near).Norm()-radius-bore.RadiusMM > best.value()+slack {
				continue
			}
			look := func(x, y r3.Vector) {
				d := y.Sub(x)
				far := d.Norm()
				length := far - bore.RadiusMM
				if !(length > slack) || length > best.value() {
					return
				}
				d = d.Mul(1 / far)
				if math.Abs(d.Dot(along)) > squareSine || !faces(m, t, d.Mul(-1)) {
					return
				}
				w := Wall{x.Add(d.Mul(bore.RadiusMM)), y, -1, t, length}
				if !w.thinner(&thinnest) || accept != nil && !accept(&w) {
					return
				}
				thinnest = w
				best.lower(length)
			}
			look(bore.From, foot(bore.From, &c))
			look(bore.To, foot(bore.To, &c))
			for i := range 3 {
				look(geom.NearestOfSegments(bore.From, bore.To, c[i], c[(i+1)%3]))
			}
		}
		found[k] = thinnest
	})
	thinnest := Wall{LengthMM: math.Inf(1)}
	for i := range found {
		if found[i].thinner(&thinnest) {
			thinnest = found[i]
		}
	}
	return thinnest, !math.IsInf(thinnest.LengthMM, 1)
}

// BetweenAxes is the wall between the round walls of two bores, false where it is not square to
// both: where it ends at a rim, which is Least's to find.
func BetweenAxes(a, b Axis) (Wall, bool) {
	x, y := geom.NearestOfSegments(a.From, a.To, b.From, b.To)
	d := y.Sub(x)
	far := d.Norm()
	length := far - a.RadiusMM - b.RadiusMM
	if !(length > 0) {
		return Wall{}, false
	}
	d = d.Mul(1 / far)
	if math.Abs(d.Dot(a.To.Sub(a.From).Normalize())) > squareSine || math.Abs(d.Dot(b.To.Sub(b.From).Normalize())) > squareSine {
		return Wall{}, false
	}
	return Wall{x.Add(d.Mul(a.RadiusMM)), y.Sub(d.Mul(b.RadiusMM)), -1, -1, length}, true
}
