package checks

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/checks/plate"
	"pocketgauge/mesh/dexel"
	"pocketgauge/mesh/index"
	"pocketgauge/mesh/tol"
)

var steelFloor = Check{
	ID:    "steel.floor",
	Title: "Floors over gaps do not bend under the melt",
	Doc: `Where the back is cut away under the detail, the floor over the gap is a plate that the melt bends at every
shot: the part grows there, ejectors jam, and in the end it cracks. Measured: the metal along upright lines,
a stated step apart; where the uppermost metal has a gap under it and the detail on it, the gap seen from
above is an unsupported span. Its short side is the widest circle in it, its long side what its area leaves.
Its deflection is taken from plate formulas under the highest cavity pressure, at the thickness that nine
tenths of its loaded part exceed: a rectangle by Roark, Table 11.4, cases 8a (edges fixed) and 1a (simply
supported), a disc by Table 11.2, cases 10b and 10a. The floor's edges go on into the steel around, so that
the truth lies between the two; the uncertainty spans them, and where the detail covers only a part of the
span also what its load, gathered in the middle, does at most. Gaps narrower than
three steps are passed over. The formulas hold for plates no thicker than a quarter of the span; for thicker ones the shear of a strip of that span is added, always, which bounds it.
Beyond half its thickness a plate stiffens, and they say too much. A floor that ends in the open at the
insert's side is taken for a cantilever, which bounds it too. A floor that is too thin already is
steel.wall's finding. Judged only where a cavity pressure is stated, of the resin or the press. The limit is
about the gap at which thin-flowing resins flash (common practice, no source).`,
	Unit:       MM,
	Keys:       []string{"steel.floor_deflection", "press.cavity_pressure.most", "resins.cavity_pressure.most", "steels.modulus"},
	Mend:       `Make the floor thicker, the gap under it narrower, or set a pillar under it.`,
	NeedsSolid: true,
	Measure: func(s *Subject) []Reading {
		limit := s.Frame.Steel.FloorDeflectionMM
		q, from := s.meltPressure()
		if !limit.Set || !q.Set || len(rolesFact.of(s).detail) == 0 {
			return nil
		}
		steel, why := s.plateSteel()
		if why != "" {
			return []Reading{NotMeasured("", why)}
		}
		f := floorsFact.of(s)
		if f.err != nil {
			return []Reading{NotMeasured("", f.err.Error())}
		}
		r := Reading{Measured: true, Limit: AtMost(limit.Value), Says: fmt.Sprintf("No detail lies over a gap in the back, seen on lines %.2g mm apart.", floorStepMM(s))}
		var worst float64
		for _, span := range f.value {
			least, most := span.deflection(steel, q.Value)
			if most <= worst {
				continue
			}
			worst = most
			r.Value, r.Uncertainty = (least+most)/2, (most-least)/2
			r.At, r.Located = span.middle, true
			r.Says = fmt.Sprintf("The floor over a gap of %s, %.2f mm thick, bends by %.4f to %.4f mm under %g MPa (%s).", span.words(), span.thicknessMM, least, most, q.Value, from)
			switch {
			case !plate.Thin(span.thicknessMM, span.shortMM):
				r.Says += " It is thicker than a quarter of the span: most of this is shear, as a bound."
			case !plate.Small(most, span.thicknessMM):
				r.Says += " Beyond half its thickness a plate stiffens: it bends less than that, and far too much."
			}
		}
		return []Reading{r}
	},
}

// floorSpan is a gap under the detail, seen from above.
type floorSpan struct {
	// shortMM is the width of the widest circle in it, or, where it is open at the insert's side, how
	// far it overhangs; known to stepMM either way.
	shortMM, areaMM2, stepMM float64
	// loadedMM2 is the area that detail lies on, thicknessMM what nine tenths of it exceed.
	loadedMM2, thicknessMM float64
	middle                 r3.Vector
	open                   bool
}

// gathered is by how much more a square plate bends at most where its load is not spread but gathered in
// the middle: 0.00560 over 0.00126, all edges fixed (Timoshenko and Woinowsky-Krieger, Theory of
// Plates and Shells, tables 35 and 37; from memory).
const gathered = 4.44

// share is the share of the pressure which, over the whole span, bends it no less than the full
// one does over its loaded part.
func (f *floorSpan) share() float64 {
	long := max(f.shortMM, f.areaMM2/f.shortMM)
	return min(1, gathered*long/f.shortMM*f.loadedMM2/f.areaMM2)
}

// discShare is the area over the square of the width below which a span is round: halfway between
// a disc's pi/4 and a square's 1.
const discShare = (math.Pi/4 + 1) / 2

func (f *floorSpan) round() bool { return f.areaMM2 < discShare*f.shortMM*f.shortMM }

func (f *floorSpan) words() string {
	switch {
	case f.open:
		return fmt.Sprintf("%.1f mm, open at the side", f.shortMM)
	case f.round():
		return fmt.Sprintf("diameter %.1f mm", f.shortMM)
	}
	return fmt.Sprintf("%.1f by %.1f mm", f.shortMM, f.areaMM2/f.shortMM)
}

// deflection is between what a fixed edge and what a hinged one gives, the width as much less and
// more as it may be.
func (f *floorSpan) deflection(steel plate.Steel, q float64) (least, most float64) {
	give := func(width, q float64, held plate.Held) float64 {
		switch {
		case f.open:
			return plate.Wall{Steel: steel, HeightMM: width, ThicknessMM: f.thicknessMM}.CantileverMM(q)
		case f.round():
			d := plate.Disc{Steel: steel, RadiusMM: width / 2, ThicknessMM: f.thicknessMM}
			return d.BendingMM(q, held) + d.ShearMM(q)
		}
		r := plate.Rectangle{Steel: steel, LongMM: max(width, f.areaMM2/width), ShortMM: width, ThicknessMM: f.thicknessMM}
		return r.BendingMM(q, held) + r.ShearMM(q)
	}
	return give(max(f.shortMM-f.stepMM, f.stepMM), q*f.loadedMM2/f.areaMM2, plate.Fixed), give(f.shortMM+f.stepMM, q*f.share(), plate.Hinged)
}

// floorStep is the distance of the upright lines, and mostFloorLines how many lie along a side at
// most: wider inserts are looked at as coarsely.
const (
	floorStep      = 0.25
	mostFloorLines = 1200
)

func floorStepMM(s *Subject) float64 {
	size := s.Measures().Bounds.Size()
	return max(floorStep, max(size.X, size.Y)/mostFloorLines)
}

var floorsFact = fact[found[[]floorSpan]]{func(s *Subject) found[[]floorSpan] { return foundOf(findFloors(s)) }}

func findFloors(s *Subject) ([]floorSpan, error) {
	size, step := s.Measures().Bounds.Size(), floorStepMM(s)
	field, err := dexel.FieldOf(s.Part.Mesh, dexel.Z, int(math.Ceil(size.X/step)), int(math.Ceil(size.Y/step)))
	if err != nil {
		return nil, fmt.Errorf("lines through the insert: %w", err)
	}
	g := floorGrid{s: s, field: field}
	g.nu, g.nv = field.Grid.Size()
	u, v := field.Grid.PitchMM()
	g.step, g.cell = max(u, v), u*v
	g.classify()
	return g.spans(), nil
}

// floorGrid is the insert seen from above, cell by cell.
type floorGrid struct {
	s          *Subject
	field      *dexel.Field
	nu, nv     int
	step, cell float64
	kind       []cellKind
	low, high  []int32 // of the uppermost metal of a gap's cell
	group      []int32 // of a gap's cells, from 1; 0 for none
}

// cellKind is what is seen on one upright line.
type cellKind uint8

const (
	borne   cellKind = iota // the uppermost metal rests on the seat
	overGap                 // it has a gap under it
	bare                    // there is none, within the insert
	beyond                  // nor any insert
)

func (g *floorGrid) classify() {
	n := g.nu * g.nv
	g.kind, g.low, g.high, g.group = make([]cellKind, n), make([]int32, n), make([]int32, n), make([]int32, n)
	grid := g.field.Grid
	seat := tol.SeatMM + 2*g.s.StorageMM() + grid.QuantumMM()
	var spans []dexel.Span
	for j := range g.nv {
		for i := range g.nu {
			k := j*g.nu + i
			spans = g.field.Spans(spans[:0], i, j)
			if len(spans) == 0 {
				p := grid.Point(i, j, 0)
				g.kind[k] = beyond
				if d, _ := g.s.Pocket.Clearance(flat(p.X, p.Y)); d > tol.SideMM {
					g.kind[k] = bare
				}
				continue
			}
			if top := spans[len(spans)-1]; grid.Along(top.Low) > seat {
				g.kind[k], g.low[k], g.high[k] = overGap, top.Low, top.High
			}
		}
	}
}

// steepest is how steeply the ceiling of one gap may rise from line to line: a round ceiling is
// steeper in the last three hundredths of its radius only. Gaps at other heights are others.
const steepest = 4

// around calls do for the four neighbours of a cell; those beyond the grid are -1.
func (g *floorGrid) around(k int32, do func(o int32)) {
	i, j := int(k)%g.nu, int(k)/g.nu
	for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		if x, y := i+d[0], j+d[1]; x < 0 || y < 0 || x >= g.nu || y >= g.nv {
			do(-1)
		} else {
			do(int32(y*g.nu + x))
		}
	}
}

// spread gathers the cells that hang together with first through cells that are one with theirs.
func (g *floorGrid) spread(first int32, queue []int32, one func(k, o int32) bool) []int32 {
	queue = append(queue[:0], first)
	for at := 0; at < len(queue); at++ {
		g.around(queue[at], func(o int32) {
			if o >= 0 && g.group[o] == 0 && one(queue[at], o) {
				g.group[o] = g.group[first]
				queue = append(queue, o)
			}
		})
	}
	return queue
}

// spans are the gaps under detail, in the order of their first cells.
func (g *floorGrid) spans() []floorSpan {
	rise := int32(steepest * g.step / g.field.Grid.QuantumMM())
	var members [][]int32
	next := func(first int32) { g.group[first] = int32(len(members)) + 1 }
	for k := range int32(len(g.kind)) {
		if g.kind[k] == overGap && g.group[k] == 0 {
			next(k)
			members = append(members, g.spread(k, nil, func(k, o int32) bool {
				return g.kind[o] == overGap && g.low[o]-g.low[k] <= rise && g.low[k]-g.low[o] <= rise
			}))
		}
	}
	gaps := len(members)
	// Holes through the floor of one gap are part of its plate: pins go through, or a sprue.
	for k := range int32(len(g.kind)) {
		if g.kind[k] != bare || g.group[k] != 0 {
			continue
		}
		next(k)
		hole := g.spread(k, nil, func(_, o int32) bool { return g.kind[o] == bare })
		members = append(members, nil)
		in, alone := int32(0), true
		for _, m := range hole {
			g.around(m, func(o int32) {
				switch {
				case o >= 0 && g.kind[o] == bare:
				case o < 0 || g.kind[o] != overGap || in != 0 && g.group[o] != in:
					alone = false
				default:
					in = g.group[o]
				}
			})
		}
		if !alone || in == 0 {
			continue
		}
		for _, m := range hole {
			g.group[m] = in
		}
		members[in-1] = append(members[in-1], hole...)
	}
	var out []floorSpan
	for n := range gaps {
		if span, ok := g.span(int32(n)+1, members[n]); ok {
			out = append(out, span)
		}
	}
	return out
}

// thinShare is the share of the loaded floor that may be thinner than what it is taken for: the rim of a
// conical hole runs out to nothing and bears nothing.
const thinShare = 0.1

// fewestLines is how many lines wide a gap must be to be told from what lies between them.
const fewestLines = 3

func (g *floorGrid) span(group int32, members []int32) (floorSpan, bool) {
	grid := g.field.Grid
	f := floorSpan{stepMM: 1.5 * g.step, areaMM2: float64(len(members)) * g.cell}
	var thick []int32
	thinnest := int32(-1)
	for _, k := range members {
		if g.kind[k] == overGap && g.loaded(k) {
			thick = append(thick, g.high[k]-g.low[k])
			if thinnest < 0 || g.high[k]-g.low[k] < g.high[thinnest]-g.low[thinnest] {
				thinnest = k
			}
		}
		g.around(k, func(o int32) { f.open = f.open || o < 0 || g.kind[o] == beyond })
	}
	if len(thick) == 0 || g.isThinWall(thinnest) {
		return f, false
	}
	slices.Sort(thick)
	f.loadedMM2 = float64(len(thick)) * g.cell
	f.thicknessMM = float64(thick[int(thinShare*float64(len(thick)))]) * grid.QuantumMM()
	far, widest := g.farthest(group, members)
	// Twice the way to the nearest cell that bears is as many cells as the gap is wide, or one more; and
	// its edges lie anywhere between the last cells within and the first beyond.
	f.shortMM = max(2*far-g.step/2, g.step)
	if f.open {
		f.shortMM = far
	}
	if f.shortMM < fewestLines*g.step {
		return f, false // the rim of a conical hole, or nothing at all
	}
	f.middle = grid.Point(int(widest)%g.nu, int(widest)/g.nu, g.high[widest])
	return f, true
}

// loaded reports whether the metal over the gap ends in the detail.
func (g *floorGrid) loaded(k int32) bool {
	t := g.facet(k, g.high[k])
	return t >= 0 && g.s.Surfaces().Of[t] == Detail
}

// facet is the triangle that a line crosses at a place, -1 for none.
func (g *floorGrid) facet(k, at int32) int32 {
	p := g.field.Grid.Point(int(k)%g.nu, int(k)/g.nu, at)
	back := 2*g.field.Grid.QuantumMM() + g.s.StorageMM()
	hit, ok := g.s.Tree().First(index.Ray{Origin: p.Add(r3.Vector{Z: back}), Direction: r3.Vector{Z: -1}, TMax: 4 * back})
	if !ok {
		return -1
	}
	return hit.Triangle
}

// isThinWall reports whether the floor is so thin there that steel.wall says so.
func (g *floorGrid) isThinWall(k int32) bool {
	top, under := g.facet(k, g.high[k]), g.facet(k, g.low[k])
	if top < 0 || under < 0 {
		return false
	}
	wall := &g.s.Frame.Steel.Wall
	limit := wall.AnyMM
	if p := rolesFact.of(g.s).pairOf(top, under); p != noRolePair && p.asked(wall) {
		limit = *p.limit(wall)
	}
	return limit.Set && float64(g.high[k]-g.low[k])*g.field.Grid.QuantumMM() < limit.Value
}

// farthest is the cell of a gap that is farthest from any cell that bears, mm, and how far (Felzenszwalb and
// Huttenlocher, Distance transforms of sampled functions, Theory of Computing 8, 2012: the lower envelope of
// parabolas, first along columns, then along rows). Beyond the insert nothing bears.
func (g *floorGrid) farthest(group int32, members []int32) (float64, int32) {
	i0, j0, i1, j1 := g.nu, g.nv, 0, 0
	for _, k := range members {
		i, j := int(k)%g.nu, int(k)/g.nu
		i0, j0, i1, j1 = min(i0, i-1), min(j0, j-1), max(i1, i+1), max(j1, j+1)
	}
	i0, j0, i1, j1 = max(i0, 0), max(j0, 0), min(i1, g.nu-1), min(j1, g.nv-1)
	w, h := i1-i0+1, j1-j0+1
	far := make([]float64, w*h)
	longest := float64(w*w + h*h)
	line := make([]float64, max(w, h))
	e := envelope{make([]int, len(line)), make([]float64, len(line)+1), make([]float64, len(line))}
	for i := range w {
		for j := range h {
			k := (j+j0)*g.nu + i + i0
			line[j] = 0
			if g.group[k] == group || g.kind[k] == beyond {
				line[j] = longest
			}
		}
		for j, d := range e.of(line[:h]) {
			far[j*w+i] = d
		}
	}
	for j := range h {
		copy(line, far[j*w:(j+1)*w])
		copy(far[j*w:(j+1)*w], e.of(line[:w]))
	}
	best := members[0]
	at := func(k int32) float64 { return far[(int(k)/g.nu-j0)*w+int(k)%g.nu-i0] }
	for _, k := range members {
		if g.kind[k] == overGap && (at(k) > at(best) || g.kind[best] != overGap) {
			best = k
		}
	}
	widest := 0.0
	for _, k := range members {
		widest = max(widest, at(k))
	}
	return math.Sqrt(widest) * g.step, best
}

// envelope holds the parabolas of one line that are lowest somewhere.
type envelope struct {
	at    []int
	from  []float64
	lower []float64
}

// of is the least of f(j) + (i-j)^2 for every i.
func (e *envelope) of(f []float64) []float64 {
	k := 0
	e.at[0], e.from[0], e.from[1] = 0, math.Inf(-1), math.Inf(1)
	for q := 1; q < len(f); q++ {
		cross := func(p int) float64 { return (f[q] + float64(q*q) - f[p] - float64(p*p)) / float64(2*(q-p)) }
		x := cross(e.at[k])
		for x <= e.from[k] {
			k--
			x = cross(e.at[k])
		}
		k++
		e.at[k], e.from[k], e.from[k+1] = q, x, math.Inf(1)
	}
	k = 0
	for i := range f {
		for e.from[k+1] < float64(i) {
			k++
		}
		d := float64(i - e.at[k])
		e.lower[i] = d*d + f[e.at[k]]
	}
	return e.lower[:len(f)]
}
