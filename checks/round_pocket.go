package checks

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/index"
	"pocketgauge/mesh/roles"
)

// A round pocket that was turned or milled along the draw without draft has the form of a bore: a cylinder with the metal
// around it. What tells them apart is the far end and the size. A drill leaves a cone, or goes through, or comes from the
// seat; a pocket opens towards the other half and has a floor. So it is a pocket, and detail, where it is blind from
// the side of the draw, its floor is flat or has something standing on it or sunk into it, and
//
//   - it is wider than the shop's drills, or
//   - it is less deep than wide, or
//   - its floor is not even: a core stands on it, another hole goes down from it.
//
// What remains ambiguous is a narrow, deep hole with an even flat end, from the side of the draw: a reamed dowel hole as
// well as the cavity of a pin. It is taken for a bore, unless the rules ask for a hole there and settle it. So is a hole
// right through: an ejector's bore as well as a sleeve's cavity.
const (
	// pocketRatio is depth over diameter under which a flat-ended hole is a pocket: less deep than wide.
	pocketRatio = 1
	// floorRays is how many rays ask for the floor in each of two rings.
	floorRays = 16
)

// floorRings are where in the floor is asked, in radii: within the second a fillet at the foot of the wall does not
// reach, within the first neither does a core's or a hole's wall in the middle, mostly.
var floorRings = [2]float64{0.25, 0.6}

// isRoundPocket tells a pocket from a bore; see above.
func (s *Subject) isRoundPocket(b *roles.Bore) bool {
	draw := s.Draw()
	if b.Runs(draw) != roles.Along || !s.IsSolid() || demanded(s, b) != nil || within(openPlaces(s), b) {
		return false
	}
	foot, mouth := b.Mouth, b.Mouth.Add(b.Into.Mul(b.DepthMM))
	if foot.Dot(draw) > mouth.Dot(draw) {
		foot, mouth = mouth, foot
	}
	radius := b.DiameterMM / 2
	if n := len(b.Steps); n > 0 {
		lowest := b.Steps[0]
		if b.Into.Dot(draw) < 0 {
			lowest = b.Steps[n-1]
		}
		radius = lowest.DiameterMM / 2
	}
	tree := s.Tree()
	// Metal all around just beyond the foot, none beyond the mouth.
	const around, beyond = 0.9, 0.25
	if s.metalInRing(foot.Sub(draw.Mul(beyond*radius)), around*radius) <= floorRays/2 || s.metalInRing(mouth.Add(draw.Mul(beyond*radius)), around*radius) > floorRays/2 {
		return false
	}
	f := facetsFact.of(s)
	flat := false
	high, low := math.Inf(-1), math.Inf(1)
	for _, ring := range floorRings {
		level := 0
		for _, p := range ringAround(mouth.Sub(draw.Mul(min(b.DepthMM/2, radius))), draw, ring*radius) {
			hit, ok := tree.First(index.Ray{Origin: p, Direction: draw.Mul(-1), TMax: 2 * s.Measures().Bounds.Diagonal()})
			if !ok {
				low = math.Inf(-1)
				continue
			}
			if f.normal[hit.Triangle].Dot(draw) > flatEndCosine {
				level++
			}
			z := p.Dot(draw) - hit.T
			high, low = max(high, z), min(low, z)
		}
		flat = flat || level > floorRays/2
	}
	if !flat {
		return false
	}
	widestDrill := max(s.Frame.Making.TwistDrill.DiameterMM.Most.Value, s.Frame.Making.GunDrill.DiameterMM.Most.Value)
	uneven := high-low > 2*s.SurfaceMM()+radius/5
	return b.DiameterMM > widestDrill && widestDrill > 0 || b.DepthMM < pocketRatio*b.DiameterMM || uneven
}

// metalInRing counts of floorRays points around the draw those inside the insert.
func (s *Subject) metalInRing(middle r3.Vector, radius float64) int {
	n := 0
	for _, p := range ringAround(middle, s.Draw(), radius) {
		if s.Tree().Inside(p) {
			n++
		}
	}
	return n
}

// ringAround is floorRays points on a circle.
func ringAround(middle, axis r3.Vector, radius float64) []r3.Vector {
	x := axis.Ortho()
	y := axis.Cross(x)
	list := make([]r3.Vector, floorRays)
	for i := range list {
		// Off the seams of half turns and the corners of polygons.
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.37) / floorRays)
		list[i] = middle.Add(x.Mul(radius * c)).Add(y.Mul(radius * s))
	}
	return list
}

// withoutPockets takes the round pockets out of what was found.
func (s *Subject) withoutPockets(found *roles.Roles) {
	kept := found.Bores[:0]
	number := make([]int32, len(found.Bores))
	for i := range found.Bores {
		number[i] = -1
		if b := &found.Bores[i]; !s.isRoundPocket(b) {
			number[i] = int32(len(kept))
			kept = append(kept, *b)
		}
	}
	if len(kept) == len(found.Bores) {
		return
	}
	found.Bores = kept
	for t, b := range found.BoreOf {
		if b < 0 {
			continue
		}
		if found.BoreOf[t] = number[b]; number[b] < 0 {
			found.Of[t] = roles.Detail
		}
	}
}
