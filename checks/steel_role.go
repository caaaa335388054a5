package checks

import (
	"fmt"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/proximity"
	"pocketgauge/rules"
)

// rolePair is two kinds of surface between which the rules ask for a wall of its own.
type rolePair uint8

const (
	detailSide rolePair = iota
	detailBack
	detailBore
	detailWaterline
	boreBore
	boreSide
	rolePairs
	noRolePair = rolePairs
)

func (p rolePair) String() string {
	return [...]string{"detail to side", "detail to back", "detail to bore", "detail to waterline", "bore to bore", "bore to side"}[p]
}

// limit is what the rules ask of the pair; not set, or of nothing, it asks nothing.
func (p rolePair) limit(w *rules.Walls) *rules.Limit {
	return [...]*rules.Limit{&w.DetailSideMM, &w.DetailBackMM, &w.DetailBoreMM, &w.DetailWaterlineMM, &w.BoreBoreMM, &w.BoreSideMM}[p]
}

func (p rolePair) asked(w *rules.Walls) bool { l := p.limit(w); return l.Set && l.Value > 0 }

// mend is how metal is usually won for the pair.
func (p rolePair) mend(missing float64) string {
	return fmt.Sprintf([...]string{
		"Move the detail %.3f mm away from the side, or take a wider insert.",
		"Raise the detail by %.3f mm, or take a higher blank.",
		"Move the bore %.3f mm away from the detail, or end it sooner.",
		"Move the waterline %.3f mm away from the detail.",
		"Move the bores %.3f mm apart, or end one sooner.",
		"Move the bore %.3f mm away from the side, or end it sooner.",
	}[p], missing)
}

// roleFacets are the facets of an insert by what walls are told apart by.
type roleFacets struct {
	surfaces           *Surfaces
	detail, side, back []int32
	// isBack tells the triangles of back: the seat, and what was cut into the back and looks down.
	isBack []bool
	bores  boreContacts
}

var rolesFact = fact[*roleFacets]{findRoles}

func findRoles(s *Subject) *roleFacets {
	surfaces, m := s.Surfaces(), s.Part.Mesh
	out := &roleFacets{surfaces: surfaces, isBack: make([]bool, len(m.Triangles))}
	cuts := mesh.NewForest(len(m.Vertices))
	for t, tri := range m.Triangles {
		if k := surfaces.Of[t]; k == Relief || k == Seat {
			cuts.Join(tri[0], tri[1])
			cuts.Join(tri[0], tri[2])
		}
	}
	fromBack := make([]bool, len(m.Vertices)) // at a root: its reliefs hang with the seat
	for t, tri := range m.Triangles {
		if surfaces.Of[t] == Seat {
			fromBack[cuts.Root(tri[0])] = true
		}
	}
	for t, tri := range m.Triangles {
		switch surfaces.Of[t] {
		case Detail:
			out.detail = append(out.detail, int32(t))
		case Side:
			out.side = append(out.side, int32(t))
		case Relief:
			n := m.AreaVector(t)
			out.isBack[t] = fromBack[cuts.Root(tri[0])] && n.Z < -backSine*n.Norm()
		case Seat:
			out.isBack[t] = true
		}
		if out.isBack[t] {
			out.back = append(out.back, int32(t))
		}
	}
	out.bores = findContacts(s)
	return out
}

// backSine: what looks down within 45 degrees is back, what is steeper the wall of a cut into it.
const backSine = 0.7071

// boreContacts say where bores run into each other and into the detail.
type boreContacts struct {
	// meets lists for each bore those that it runs into, ascending.
	meets [][]int32
	// inDetail and inSide are the points of each bore's mouths there, outside those anywhere
	// but in the detail.
	inDetail, inSide, outside [][]r3.Vector
}

// findContacts takes two bores for meeting where they share a vertex: in a closed mesh that is
// where their walls cut each other.
func findContacts(s *Subject) boreContacts {
	surfaces, m := s.Surfaces(), s.Part.Mesh
	n := len(surfaces.Bores)
	out := boreContacts{meets: make([][]int32, n)}
	owner := make([]int32, len(m.Vertices)) // one more than the first bore that has the vertex
	met := map[[2]int32]bool{}
	for i := range surfaces.Bores {
		for _, t := range surfaces.Bores[i].Triangles {
			for _, v := range m.Triangles[t] {
				switch o := owner[v] - 1; {
				case o < 0:
					owner[v] = int32(i) + 1
				case o != int32(i):
					met[[2]int32{o, int32(i)}] = true
				}
			}
		}
	}
	for a := range int32(n) {
		for b := range int32(n) {
			if met[[2]int32{a, b}] || met[[2]int32{b, a}] {
				out.meets[a] = append(out.meets[a], b)
			}
		}
	}
	mouths := func(in func(Surface) bool) [][]r3.Vector {
		rims := make([][]r3.Vector, n)
		taken := make([]bool, len(m.Vertices))
		for t, tri := range m.Triangles {
			if !in(surfaces.Of[t]) {
				continue
			}
			for _, v := range tri {
				if o := owner[v] - 1; o >= 0 && !taken[v] {
					taken[v] = true
					rims[o] = append(rims[o], m.Vertices[v])
				}
			}
		}
		return rims
	}
	out.inDetail = mouths(func(k Surface) bool { return k == Detail })
	out.inSide = mouths(func(k Surface) bool { return k == Side })
	out.outside = mouths(func(k Surface) bool { return k != Detail && k != Bored })
	return out
}

func (c *boreContacts) meet(a, b int32) bool {
	for _, o := range c.meets[a] {
		if o == b {
			return true
		}
	}
	return false
}

// pairOf is the pair that two triangles belong to, noRolePair for none.
func (r *roleFacets) pairOf(a, b int32) rolePair {
	surfaces := r.surfaces
	if surfaces.Of[a] > surfaces.Of[b] {
		a, b = b, a // detail before side before bore
	}
	ka, kb := surfaces.Of[a], surfaces.Of[b]
	switch {
	case ka == Detail && kb == Side:
		return detailSide
	case ka == Detail && r.isBack[b]:
		return detailBack
	case ka == Detail && kb == Bored:
		return r.detailTo(surfaces.BoreOf[b])
	case ka == Bored && kb == Bored && surfaces.BoreOf[a] != surfaces.BoreOf[b]:
		return boreBore
	case ka == Side && kb == Bored:
		return boreSide
	}
	return noRolePair
}

func (r *roleFacets) detailTo(bore int32) rolePair {
	if r.surfaces.Bores[bore].Purpose == Waterline {
		return detailWaterline
	}
	return detailBore
}

// roleWall is the thinnest wall of a pair.
type roleWall struct {
	proximity.Wall
	errorMM float64
	// boreA and boreB are the bores at its ends, -1 for none.
	boreA, boreB int32
}

// cornerReach times its length is how near to a rim a wall may come and still be one. Where a
// bore opens in the detail or the side the metal between them runs out to the rim; at a wedge of 45 degrees
// a wall at x from the rim is x/sqrt(2) long. A blunter wedge is a corner and no wall, a sharper one
// is steel.feather's.
const cornerReach = 1.4143

func atRim(w *proximity.Wall, rim []r3.Vector) bool {
	far := cornerReach * w.LengthMM
	for _, p := range rim {
		if w.A.Sub(p).Norm2() <= far*far || w.B.Sub(p).Norm2() <= far*far {
			return true
		}
	}
	return false
}

// thinnestOf is the thinnest wall of a pair up to reach; measurable is false where the insert has
// no such surfaces.
func (s *Subject) thinnestOf(p rolePair, reach float64) (w roleWall, found, measurable bool) {
	r := rolesFact.of(s)
	surfaces, m := s.Surfaces(), s.Part.Mesh
	take := func(o proximity.Wall, ok bool, errorMM float64, a, b int32) {
		if ok && (!found || o.LengthMM < w.LengthMM) {
			w, found = roleWall{o, errorMM, a, b}, true
		}
	}
	facets := func(a, b []int32, accept proximity.Accept) {
		o, ok := proximity.Least(m, a, b, reach, accept)
		if !ok {
			return
		}
		take(o, ok, s.errorOf(int(o.TriangleA))+s.errorOf(int(o.TriangleB)), surfaces.BoreOf[o.TriangleA], surfaces.BoreOf[o.TriangleB])
	}
	// fromBores looks at bores facet by facet for their ends and as cylinders for their walls.
	fromBores := func(those func(i int32) bool, to []int32, rims [][]r3.Vector) {
		var all []int32
		for i := range surfaces.Bores {
			if !those(int32(i)) {
				continue
			}
			measurable = measurable || len(to) > 0
			all = append(all, surfaces.Bores[i].Triangles...)
			for _, step := range surfaces.Bores[i].Steps {
				axis := stepAxis(&surfaces.Bores[i], step.FromMM, step.ToMM, step.DiameterMM)
				o, ok := proximity.LeastToAxis(m, axis, to, reach, func(o *proximity.Wall) bool { return !atRim(o, rims[i]) })
				if ok {
					take(o, ok, step.DiameterErrorMM/2+s.StorageMM()+s.errorOf(int(o.TriangleB)), int32(i), -1)
				}
			}
		}
		facets(all, to, func(o *proximity.Wall) bool { return !atRim(o, rims[surfaces.BoreOf[o.TriangleA]]) })
	}
	switch p {
	case detailSide, detailBack:
		other := r.side
		if p == detailBack {
			other = r.back
		}
		facets(r.detail, other, nil)
		return w, found, len(r.detail) > 0 && len(other) > 0
	case detailBore, detailWaterline:
		fromBores(func(i int32) bool { return r.detailTo(i) == p }, r.detail, r.bores.inDetail)
		return w, found, measurable
	case boreSide:
		fromBores(func(int32) bool { return true }, r.side, r.bores.inSide)
		return w, found, measurable
	}
	for i := range surfaces.Bores {
		a := &surfaces.Bores[i]
		for j := i + 1; j < len(surfaces.Bores); j++ {
			b := &surfaces.Bores[j]
			measurable = true
			if r.bores.meet(int32(i), int32(j)) || geom.SegmentDistance(a.Mouth, endOf(a), b.Mouth, endOf(b)) > reach+a.widest()+b.widest() {
				continue
			}
			facets(a.Triangles, b.Triangles, nil)
			for _, sa := range a.Steps {
				for _, sb := range b.Steps {
					o, ok := proximity.BetweenAxes(stepAxis(a, sa.FromMM, sa.ToMM, sa.DiameterMM), stepAxis(b, sb.FromMM, sb.ToMM, sb.DiameterMM))
					take(o, ok && o.LengthMM <= reach, (sa.DiameterErrorMM+sb.DiameterErrorMM)/2+2*s.StorageMM(), int32(i), int32(j))
				}
			}
		}
	}
	return w, found, measurable
}

func stepAxis(b *Bore, from, to, diameter float64) proximity.Axis {
	return proximity.Axis{From: b.Mouth.Add(b.Into.Mul(from)), To: b.Mouth.Add(b.Into.Mul(to)), RadiusMM: diameter / 2}
}

// endOf is where a bore's full diameter ends.
func endOf(b *Bore) r3.Vector { return b.Mouth.Add(b.Into.Mul(b.DepthMM)) }

// widest is the diameter of the bore's widest step: more than its tip reaches beyond its end.
func (b *Bore) widest() float64 {
	d := b.DiameterMM
	for _, s := range b.Steps {
		d = max(d, s.DiameterMM)
	}
	return d
}

// roleReading is the reading of one pair.
func (s *Subject) roleReading(p rolePair) (Reading, bool) {
	limit := p.limit(&s.Frame.Steel.Wall).Value
	if i := s.leak(p); i >= 0 {
		rim := rolesFact.of(s).bores.inDetail[i]
		return Reading{
			Of: p.String(), Measured: true, Limit: AtLeast(limit), At: rim[0], Located: true,
			Says: fmt.Sprintf("%s opens in the detail.", upperFirst(s.Surfaces().Bores[i].name())),
			Mend: "End the waterline sooner or move it: water would run into the cavity. Where it is no water, name the hole in the rules file, under bores.",
		}, true
	}
	reach := wallSearch * limit
	w, found, measurable := s.thinnestOf(p, reach)
	if !measurable {
		return Reading{}, false
	}
	r := Reading{Of: p.String(), Measured: true, Value: reach, Uncertainty: 2 * s.SurfaceMM(), Limit: AtLeast(limit), Beyond: true}
	if !found {
		r.Says = fmt.Sprintf("No wall from %v is thinner than %g mm.", p, reach)
		return r, true
	}
	r.Value, r.Uncertainty, r.Beyond = w.LengthMM, w.errorMM, false
	r.At, r.Located = w.A.Add(w.B).Mul(0.5), true
	r.Says = fmt.Sprintf("The thinnest wall from %v is %.3f mm, between %s and %s.", p, w.LengthMM, s.endName(w.boreA, w.TriangleA), s.endName(w.boreB, w.TriangleB))
	if missing := limit - w.LengthMM; missing > 0 {
		r.Mend = p.mend(missing)
	}
	return r, true
}

// leak is a waterline that opens in the detail, -1 for none.
func (s *Subject) leak(p rolePair) int {
	if p == detailWaterline {
		for i, rim := range rolesFact.of(s).bores.inDetail {
			if len(rim) > 0 && s.Surfaces().Bores[i].Purpose == Waterline {
				return i
			}
		}
	}
	return -1
}

func upperFirst(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// endName names the end of a wall: its bore, else its facet.
func (s *Subject) endName(bore, triangle int32) string {
	if bore >= 0 {
		return s.Surfaces().Bores[bore].name()
	}
	return s.SurfaceName(triangle)
}
