package reach

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// SetUp is a direction from which cutters come, in order; Direction points from the insert to the
// spindle.
type SetUp struct {
	Direction r3.Vector
	Cutters   []Cutter
}

// Drill is a hole that is made before any cutter comes: the stock in a cylinder of the diameter from
// the mouth From to the end To. With Point the stock beyond the end goes too, as far as a radius: what
// the drill's point leaves.
type Drill struct {
	From, To   r3.Vector
	DiameterMM float64
	Point      bool
}

// Sequence is what several set-ups remove one after the other.
//
// All stock is kept on the rays of the first set-up, in whole quanta, each stretch of which has one
// fate: a drill's, a cutter's, or left. What one has taken the next does not find: so the counts add
// up to the stock's exactly.
type Sequence struct {
	Stock Quantity
	// Drilled are by drill, Cut by set-up and cutter. Cylinders are the drills' cylinders, points and
	// all, summed over the same rays: what Drilled is of them does not hang on where the rays fall.
	Drilled, Cylinders []Quantity
	Cut                [][]Quantity
	// Left is what neither took, Regions its connected pieces, largest first, and Rest what of it
	// is in none: strips under three rays wide.
	Left    Quantity
	Regions []Region
	Rest    Quantity
	PitchMM float64
	// FoldedRays counts rays on which bodies of a mesh overlap or are inside out.
	FoldedRays int

	base      *scene
	direction r3.Vector // of the first set-up
	start     []int32   // stretches of ray k are start[k] to start[k+1]
	stretch   []stretch
	fates     []fate
	quanta    []int64 // by fate
}

// stretch is stock on a ray with one fate.
type stretch struct {
	low, high int32
	fate      int16
	// kind is why it is left, where it is.
	kind Kind
}

// fate is who takes a stretch: fate 0 is left, the drills follow, then the cutters by set-up.
type fate struct{ drill, setUp, cutter int }

// Fate is what becomes of stock at a place.
type Fate struct {
	// Stock is false where there is none: in the insert, or beyond the blank.
	Stock bool
	// Left is set where it stays.
	Left bool
	// Drill is the index of the drill that takes it, -1 for none; else SetUp and Cutter are.
	Drill, SetUp, Cutter int
}

// mostFates keeps fates in 16 bits.
const mostFates = math.MaxInt16

// InSequence finds what drills and then the set-ups, in order, remove of blank around insert.
//
// A set-up is passed over, and its cuts are zero, where nothing that is left and wider than two rays
// is to be seen from it. From the second on cutters are asked only for what is left, and what they
// remove is found by trying points on the rays of the first, a pitch apart; a set-up straight against
// the first has the same rays, and its cuts are found as exactly as those of the first.
func InSequence(insert, blank *mesh.Mesh, drills []Drill, setUps []SetUp, opt Options) (*Sequence, error) {
	var all []Cutter
	fates := 1 + len(drills)
	for _, u := range setUps {
		if len(u.Cutters) == 0 {
			return nil, ErrNoCutters
		}
		if n := u.Direction.Norm(); !(n > 0) || math.IsInf(n, 0) {
			return nil, fmt.Errorf("reach: %v is no direction", u.Direction)
		}
		for _, c := range u.Cutters {
			if err := c.check(); err != nil {
				return nil, err
			}
		}
		all = append(all, u.Cutters...)
		fates += len(u.Cutters)
	}
	if len(setUps) == 0 {
		return nil, ErrNoCutters
	}
	if fates > mostFates {
		return nil, fmt.Errorf("reach: %d drills and cutters; %d are possible", fates, mostFates)
	}
	turn := facing(setUps[0].Direction)
	s, err := look(insert, blank, view{turn: turn}, all, opt)
	if err != nil {
		return nil, err
	}
	// All set-ups share the pitch, so that a view from the other side has the same rays.
	opt.PitchMM = s.pitch
	q := &Sequence{PitchMM: s.pitch, FoldedRays: s.folded, base: s, direction: setUps[0].Direction, fates: []fate{{-1, -1, -1}}}
	for i := range drills {
		q.fates = append(q.fates, fate{i, -1, -1})
	}
	q.begin(opt.NoiseMM)
	q.drill(drills)
	q.Cut = make([][]Quantity, len(setUps))
	for i, u := range setUps {
		q.Cut[i] = make([]Quantity, len(u.Cutters))
		var err error
		switch {
		case i == 0:
			q.first(u.Cutters)
		case u.Direction.Normalize().Add(setUps[0].Direction.Normalize()) == (r3.Vector{}):
			err = q.against(i, u, insert, blank, all, opt)
		default:
			err = q.across(i, u, insert, blank, opt)
		}
		if err != nil {
			return nil, err
		}
	}
	q.count(drills, setUps)
	q.describe(opt)
	return q, nil
}

// begin puts all stock of the scene that is more than noise on the rays, as left.
func (q *Sequence) begin(noiseMM float64) {
	s := q.base
	noise := int32(min(noiseMM/s.grid.QuantumMM(), math.MaxInt32))
	q.start = make([]int32, 1, len(s.start))
	q.stretch = make([]stretch, 0, len(s.pieces)+len(s.hidden))
	for k := range s.nu * s.nv {
		// What is hidden lies under what is seen.
		for _, p := range s.hidden[s.hideEnds[k]:s.hideEnds[k+1]] {
			if p.high-p.low > noise {
				q.stretch = append(q.stretch, stretch{p.low, p.high, 0, Undercut})
			}
		}
		for _, p := range s.pieces[s.start[k]:s.start[k+1]] {
			if p.high-p.low > noise {
				q.stretch = append(q.stretch, stretch{p.low, p.high, 0, Narrow})
			}
		}
		q.start = append(q.start, int32(len(q.stretch)))
	}
}

// splitRows is how many rows one worker divides at a time: fixed, so that the order is.
const splitRows = 16

// split hands every stretch that is left to divide, which appends what becomes of it, in order.
func (q *Sequence) split(divide func(dst []stretch, i, j int, x stretch) []stretch) {
	nu, nv := q.base.nu, q.base.nv
	type part struct {
		ends    []int32
		stretch []stretch
	}
	parts := make([]part, (nv+splitRows-1)/splitRows)
	parallel.Each(len(parts), func(n, _ int) {
		j0, j1 := n*splitRows, min((n+1)*splitRows, nv)
		p := part{
			ends:    make([]int32, 0, (j1-j0)*nu),
			stretch: make([]stretch, 0, int(q.start[j1*nu]-q.start[j0*nu])*5/4+8),
		}
		for j := j0; j < j1; j++ {
			for i := range nu {
				k := j*nu + i
				for _, x := range q.stretch[q.start[k]:q.start[k+1]] {
					if x.fate != 0 {
						p.stretch = append(p.stretch, x)
						continue
					}
					p.stretch = divide(p.stretch, i, j, x)
				}
				p.ends = append(p.ends, int32(len(p.stretch)))
			}
		}
		parts[n] = p
	})
	total := 0
	for _, p := range parts {
		total += len(p.stretch)
	}
	q.stretch = make([]stretch, 0, total)
	q.start = q.start[:1]
	for _, p := range parts {
		base := int32(len(q.stretch))
		for _, e := range p.ends {
			q.start = append(q.start, base+e)
		}
		q.stretch = append(q.stretch, p.stretch...)
	}
}

// drill gives the stock in each cylinder to its drill.
func (q *Sequence) drill(drills []Drill) {
	s := q.base
	if len(drills) == 0 {
		s.keepLeft(q)
		return
	}
	g := s.grid
	up := g.Point(0, 0, 1<<20).Sub(g.Point(0, 0, 0)).Normalize()
	type cylinder struct {
		from, axis   r3.Vector
		long, radius float64
		iLow, iHigh  int
		jLow, jHigh  int
	}
	list := make([]cylinder, len(drills))
	for n, d := range drills {
		axis := d.To.Sub(d.From)
		c := cylinder{from: d.From, axis: axis.Normalize(), long: axis.Norm(), radius: d.DiameterMM / 2}
		if d.Point {
			c.long += c.radius
		}
		iLow, jLow, iHigh, jHigh := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
		for _, p := range [...]r3.Vector{c.from, c.from.Add(c.axis.Mul(c.long))} {
			i, j, _ := g.Locate(p)
			iLow, iHigh = min(iLow, i), max(iHigh, i)
			jLow, jHigh = min(jLow, j), max(jHigh, j)
		}
		pu, pv := g.PitchMM()
		hold := func(x float64, n int) int { return int(min(max(x, 0), float64(n))) }
		c.iLow, c.iHigh = hold(math.Floor(iLow-c.radius/pu), s.nu-1), hold(math.Ceil(iHigh+c.radius/pu), s.nu-1)
		c.jLow, c.jHigh = hold(math.Floor(jLow-c.radius/pv), s.nv-1), hold(math.Ceil(jHigh+c.radius/pv), s.nv-1)
		list[n] = c
	}
	quantum := g.QuantumMM()
	q.split(func(dst []stretch, i, j int, x stretch) []stretch {
		rest := []stretch{x}
		for n := range list {
			c := &list[n]
			if i < c.iLow || i > c.iHigh || j < c.jLow || j > c.jHigh {
				continue
			}
			// The ray p + t up within the cylinder: between its two ends, and within its radius.
			p := g.Point(i, j, 0)
			a, b, in := throughCylinder(p.Sub(c.from), up, c.axis, c.long, c.radius)
			if !in {
				continue
			}
			low, high := clampQuanta(a/quantum), clampQuanta(b/quantum)
			var kept []stretch
			for _, y := range rest {
				l, h := max(y.low, low), min(y.high, high)
				if y.fate != 0 || l >= h {
					kept = append(kept, y)
					continue
				}
				if y.low < l {
					kept = append(kept, stretch{y.low, l, 0, y.kind})
				}
				kept = append(kept, stretch{l, h, int16(1 + n), y.kind})
				if h < y.high {
					kept = append(kept, stretch{h, y.high, 0, y.kind})
				}
			}
			rest = kept
		}
		return append(dst, rest...)
	})
	q.Cylinders = make([]Quantity, len(list))
	parallel.Each(len(list), func(n, _ int) {
		c := &list[n]
		sum := 0.0
		for j := c.jLow; j <= c.jHigh; j++ {
			for i := c.iLow; i <= c.iHigh; i++ {
				if a, b, in := throughCylinder(g.Point(i, j, 0).Sub(c.from), up, c.axis, c.long, c.radius); in {
					sum += b - a
				}
			}
		}
		q.Cylinders[n].MM3 = sum * g.CellMM2()
	})
	// What is drilled, cutters need not remove nor holders pass.
	s.keepLeft(q)
}

// clampQuanta rounds a place to quanta that a ray can have.
func clampQuanta(x float64) int32 {
	return int32(math.Round(min(max(x, lowest/2), -lowest/2)))
}

// throughCylinder is where the line p + t d, with d of length 1, runs within a cylinder of the radius
// about the axis from the origin, as long as given.
func throughCylinder(p, d, axis r3.Vector, long, radius float64) (from, to float64, in bool) {
	from, to = math.Inf(-1), math.Inf(1)
	da, pa := d.Dot(axis), p.Dot(axis)
	// Between the ends: 0 <= pa + t da <= long.
	if da == 0 {
		if pa < 0 || pa > long {
			return 0, 0, false
		}
	} else {
		a, b := -pa/da, (long-pa)/da
		from, to = min(a, b), max(a, b)
	}
	// Within the radius: |p' + t d'| <= radius, across the axis.
	dp, pp := d.Sub(axis.Mul(da)), p.Sub(axis.Mul(pa))
	a, b, c := dp.Norm2(), dp.Dot(pp), pp.Norm2()-radius*radius
	if a <= 0x1p-40 { // along the axis: a micrometre off it over a metre
		return from, to, c <= 0 && from < to
	}
	disc := b*b - a*c
	if disc <= 0 {
		return 0, 0, false
	}
	root := math.Sqrt(disc)
	from, to = max(from, (-b-root)/a), min(to, (-b+root)/a)
	return from, to, from < to
}

// keepLeft leaves in the scene of the first set-up only what is left.
func (s *scene) keepLeft(q *Sequence) {
	s.pieces = s.pieces[:0]
	s.start = s.start[:1]
	for k := range s.nu * s.nv {
		for _, x := range q.stretch[q.start[k]:q.start[k+1]] {
			if x.fate == 0 && x.kind != Undercut {
				s.pieces = append(s.pieces, piece{x.low, x.high})
			}
		}
		s.start = append(s.start, int32(len(s.pieces)))
	}
}

// work lets the cutters of a set-up mill what the scene holds, and returns the surfaces after each and
// the one that they would have reached without holders.
func (q *Sequence) work(setUp int, s *scene, cutters []Cutter) (tops [][]int32, free []int32) {
	r := &Result{perQuantum: s.perQuantum()}
	for _, p := range s.pieces {
		r.stock += int64(p.high) - int64(p.low)
	}
	now := s.untouched()
	s.mill(cutters, r, now, func(int) { tops = append(tops, slices.Clone(now.top)) })
	for k, step := range r.Steps {
		q.Cut[setUp][k].ErrorMM3 = step.Removed.ErrorMM3
	}
	for k := range cutters {
		q.fates = append(q.fates, fate{-1, setUp, k})
	}
	return tops, now.free
}

// first mills from the direction of the rays.
func (q *Sequence) first(cutters []Cutter) {
	s := q.base
	at := int16(len(q.fates))
	tops, free := q.work(0, s, cutters)
	q.split(func(dst []stretch, i, j int, x stretch) []stretch {
		if x.kind == Undercut {
			return append(dst, x)
		}
		k := j*s.nu + i
		// From the top down: above tops[0] goes with the first cutter, and so on.
		parts := make([]stretch, 0, 8)
		high, taken := x.high, false
		for c := range tops {
			if t := max(tops[c][k], x.low); t < high {
				parts = append(parts, stretch{t, high, at + int16(c), x.kind})
				high, taken = t, true
			}
		}
		if x.low < high {
			kind := Narrow
			switch {
			case free[k] < high:
				kind = Deep
			case taken:
				kind = Corner
			}
			dst = append(dst, stretch{x.low, high, 0, kind})
		}
		slices.Reverse(parts)
		return append(dst, parts...)
	})
}

// over turns a view upside down, about the x axis of its grid.
var over = geom.Motion{Rotation: [3]r3.Vector{{X: 1}, {Y: -1}, {Z: -1}}, Scale: 1}

// mirrorQuanta is by how many quanta a place may be off when it was taken to the other side's frame.
const mirrorQuanta = 2

// against mills against the direction of the rays.
func (q *Sequence) against(n int, u SetUp, insert, blank *mesh.Mesh, all []Cutter, opt Options) error {
	base := q.base
	s, err := look(insert, blank, view{turn: over.After(facing(q.direction))}, all, opt)
	if err != nil {
		return err
	}
	if s.nu != base.nu || s.nv != base.nv {
		return fmt.Errorf("reach: a view from the other side has %d x %d rays and not %d x %d", s.nu, s.nv, base.nu, base.nv)
	}
	// Row j of one is row nv-1-j of the other, and heights change their sign.
	mirror := func(w int32) int32 { return base.grid.Place(-s.grid.Along(w)) }
	other := func(k int) int { i, j := k%s.nu, k/s.nu; return (s.nv-1-j)*s.nu + i }
	var pieces []piece
	start := make([]int32, 1, len(s.start))
	for k := range s.nu * s.nv {
		o := other(k)
		view := mirror(s.view[k])
		// In rising order here is falling order there.
		for m := q.start[o+1] - 1; m >= q.start[o]; m-- {
			if x := q.stretch[m]; x.fate == 0 && x.high <= view+mirrorQuanta {
				pieces = append(pieces, piece{s.grid.Place(-base.grid.Along(x.high)), s.grid.Place(-base.grid.Along(x.low))})
			}
		}
		start = append(start, int32(len(pieces)))
	}
	s.pieces, s.start = pieces, start
	if !s.worthwhile() {
		return nil
	}
	at := int16(len(q.fates))
	tops, free := q.work(n, s, u.Cutters)
	q.split(func(dst []stretch, i, j int, x stretch) []stretch {
		k := other(j*s.nu + i)
		if x.high > mirror(s.view[k])+mirrorQuanta {
			return append(dst, x)
		}
		low, taken := x.low, false
		for c := range tops {
			if t := min(mirror(max(tops[c][k], s.floor)), x.high); tops[c][k] < math.MaxInt32/4 && t > low {
				dst = append(dst, stretch{low, t, at + int16(c), x.kind})
				low, taken = t, true
			}
		}
		if low < x.high {
			if x.kind == Undercut || taken {
				x.kind = leftKind(taken, free[k] < math.MaxInt32/4 && mirror(max(free[k], s.floor)) > low)
			}
			dst = append(dst, stretch{low, x.high, 0, x.kind})
		}
		return dst
	})
	return nil
}

// leftKind says why seen stock is left.
func leftKind(taken, reachable bool) Kind {
	switch {
	case reachable:
		return Deep
	case taken:
		return Corner
	}
	return Narrow
}

// worthwhile reports whether the scene holds stock that is wider than two rays.
func (s *scene) worthwhile() bool {
	least := int32(s.pitch / s.grid.QuantumMM())
	thick := func(k int) bool {
		for _, p := range s.pieces[s.start[k]:s.start[k+1]] {
			if p.high-p.low > least {
				return true
			}
		}
		return false
	}
	for j := 1; j+1 < s.nv; j++ {
		for i := 1; i+1 < s.nu; i++ {
			k := j*s.nu + i
			if s.start[k+1] == s.start[k] || !thick(k) {
				continue
			}
			all := true
			for _, d := range [...]int{-s.nu - 1, -s.nu, -s.nu + 1, -1, 1, s.nu - 1, s.nu, s.nu + 1} {
				if !thick(k + d) {
					all = false
					break
				}
			}
			if all {
				return true
			}
		}
	}
	return false
}

// leftBox is the box around all stretches that are left and lie among others.
func (q *Sequence) leftBox() geom.Box {
	s := q.base
	box := geom.EmptyBox()
	least := int32(s.pitch / s.grid.QuantumMM())
	left := func(k int) (low, high int32, ok bool) {
		for _, x := range q.stretch[q.start[k]:q.start[k+1]] {
			if x.fate == 0 && x.high-x.low > least {
				if !ok {
					low = x.low
				}
				high, ok = x.high, true
			}
		}
		return low, high, ok
	}
	for j := 1; j+1 < s.nv; j++ {
		for i := 1; i+1 < s.nu; i++ {
			k := j*s.nu + i
			low, high, ok := left(k)
			if !ok {
				continue
			}
			_, _, a := left(k - 1)
			_, _, b := left(k + 1)
			_, _, c := left(k - s.nu)
			_, _, d := left(k + s.nu)
			if a && b && c && d {
				box = box.AddPoint(s.grid.Point(i, j, low)).AddPoint(s.grid.Point(i, j, high))
			}
		}
	}
	return box
}

// across mills from a direction that is not that of the rays.
func (q *Sequence) across(n int, u SetUp, insert, blank *mesh.Mesh, opt Options) error {
	window := q.leftBox()
	if window.IsEmpty() {
		return nil
	}
	window = window.Expand(2 * q.PitchMM)
	s, err := look(insert, blank, view{turn: facing(u.Direction), window: &window}, u.Cutters, opt)
	if err != nil {
		return err
	}
	s.keepWhere(q)
	if !s.worthwhile() {
		return nil
	}
	at := int16(len(q.fates))
	tops, free := q.work(n, s, u.Cutters)
	base := q.base
	step := int32(max(q.PitchMM/base.grid.QuantumMM(), 1))
	q.split(func(dst []stretch, i, j int, x stretch) []stretch {
		length := x.high - x.low
		parts := (length + step - 1) / step
		from := len(dst)
		ray := obliquely(base.grid, s.grid, i, j)
		for m := range parts {
			low := x.low + int32(int64(length)*int64(m)/int64(parts))
			high := x.low + int32(int64(length)*int64(m+1)/int64(parts))
			fate, kind := s.fateOf(&ray, low+(high-low)/2, tops, free)
			y := stretch{low, high, 0, x.kind}
			switch {
			case fate >= 0:
				y.fate = at + int16(fate)
			case kind != Undercut:
				y.kind = kind
			}
			if l := len(dst) - 1; l >= from && dst[l].fate == y.fate && dst[l].kind == y.kind {
				dst[l].high = high
			} else {
				dst = append(dst, y)
			}
		}
		return dst
	})
	return nil
}

// fateOf is the index of the first cutter that takes the point of the ray, -1 for none, and why it is left then:
// Undercut where it is not seen. The insert's own surface is known from the rays on which the point
// lies; here the four rays around it may each vouch that a cutter has passed.
func (s *scene) fateOf(ray *oblique, at int32, tops [][]int32, free []int32) (int, Kind) {
	x, y, w := ray.at(at)
	i0, j0 := int(math.Floor(x)), int(math.Floor(y))
	seen, reachable := false, false
	best := len(tops)
	for d := range 4 {
		i, j := i0+d&1, j0+d>>1
		if i < 0 || j < 0 || i >= s.nu || j >= s.nv {
			continue
		}
		k := j*s.nu + i
		if s.view[k] > w {
			continue
		}
		seen = true
		reachable = reachable || free[k] <= w
		for c := 0; c < best; c++ {
			if tops[c][k] <= w {
				best = c
			}
		}
	}
	switch {
	case best < len(tops):
		return best, Undercut
	case !seen:
		return -1, Undercut
	}
	return -1, leftKind(false, reachable)
}

// keepWhere leaves in the scene the visible stock that is left in the sequence, tried a pitch apart.
func (s *scene) keepWhere(q *Sequence) {
	step := int32(max(s.pitch/s.grid.QuantumMM(), 1))
	type part struct {
		ends   []int32
		pieces []piece
	}
	rows := make([]part, s.nv)
	parallel.Each(s.nv, func(j, _ int) {
		p := &rows[j]
		for i := range s.nu {
			k := j*s.nu + i
			if s.start[k] == s.start[k+1] {
				p.ends = append(p.ends, int32(len(p.pieces)))
				continue
			}
			ray := obliquely(s.grid, q.base.grid, i, j)
			for _, x := range s.pieces[s.start[k]:s.start[k+1]] {
				length := x.high - x.low
				parts := (length + step - 1) / step
				for m := range parts {
					low := x.low + int32(int64(length)*int64(m)/int64(parts))
					high := x.low + int32(int64(length)*int64(m+1)/int64(parts))
					o, w := q.nearest(ray.at(low + (high-low)/2))
					if o < 0 || q.at(o, w) != 0 {
						continue
					}
					if l := len(p.pieces) - 1; l >= 0 && (len(p.ends) == 0 || int(p.ends[len(p.ends)-1]) <= l) && p.pieces[l].high == low {
						p.pieces[l].high = high
					} else {
						p.pieces = append(p.pieces, piece{low, high})
					}
				}
			}
			p.ends = append(p.ends, int32(len(p.pieces)))
		}
	})
	s.pieces, s.start = nil, s.start[:1]
	for _, p := range rows {
		base := int32(len(s.pieces))
		for _, e := range p.ends {
			s.start = append(s.start, base+e)
		}
		s.pieces = append(s.pieces, p.pieces...)
	}
}

// ray is the index of the ray nearest to a point, -1 beyond the grid, and the place along it.
func (q *Sequence) ray(p r3.Vector) (k int, w int32) {
	return q.nearest(q.base.grid.Locate(p))
}

// nearest is the ray nearest to a place between rays.
func (q *Sequence) nearest(x, y float64, along int32) (k int, w int32) {
	s := q.base
	w = along
	i, j := int(math.Round(x)), int(math.Round(y))
	if i < 0 || j < 0 || i >= s.nu || j >= s.nv {
		return -1, w
	}
	return j*s.nu + i, w
}

// at is the fate at place w of ray k, -1 where there is no stock.
func (q *Sequence) at(k int, w int32) int16 {
	list := q.stretch[q.start[k]:q.start[k+1]]
	n := 0
	for n < len(list) && list[n].high <= w { // a few, as a rule
		n++
	}
	if n == len(list) || list[n].low > w {
		return -1
	}
	return list[n].fate
}

// At is what becomes of the stock on the ray nearest to a point, at the point's place along it.
func (q *Sequence) At(p r3.Vector) Fate {
	k, w := q.ray(p)
	if k < 0 {
		return Fate{Drill: -1, SetUp: -1, Cutter: -1}
	}
	n := q.at(k, w)
	if n < 0 {
		return Fate{Drill: -1, SetUp: -1, Cutter: -1}
	}
	f := q.fates[n]
	return Fate{Stock: true, Left: n == 0, Drill: f.drill, SetUp: f.setUp, Cutter: f.cutter}
}

// count adds up the quanta of each fate.
func (q *Sequence) count(drills []Drill, setUps []SetUp) {
	s := q.base
	rows := make([][]int64, s.nv)
	parallel.Each(s.nv, func(j, _ int) {
		sums := make([]int64, len(q.fates))
		for _, x := range q.stretch[q.start[j*s.nu]:q.start[(j+1)*s.nu]] {
			sums[x.fate] += int64(x.high) - int64(x.low)
		}
		rows[j] = sums
	})
	q.quanta = make([]int64, len(q.fates))
	var total int64
	for _, r := range rows {
		for n, v := range r {
			q.quanta[n] += v
			total += v
		}
	}
	per := s.perQuantum()
	share := func(v int64) float64 { return s.error * math.Sqrt(float64(v)/float64(max(total, 1))) }
	q.Stock = Quantity{MM3: float64(total) * per, ErrorMM3: s.error}
	q.Drilled = make([]Quantity, len(drills))
	uncertain := 0.0
	for n, f := range q.fates {
		v := Quantity{MM3: float64(q.quanta[n]) * per, ErrorMM3: share(q.quanta[n])}
		switch {
		case n == 0:
			q.Left = v
		case f.drill >= 0:
			q.Drilled[f.drill] = v
		default:
			c := &q.Cut[f.setUp][f.cutter]
			c.MM3 = v.MM3
			// No cut is off by more than all there was to cut.
			c.ErrorMM3 = min(c.ErrorMM3, q.Stock.MM3) + v.ErrorMM3
			if f.cutter == len(setUps[f.setUp].Cutters)-1 {
				uncertain += c.ErrorMM3
			}
		}
	}
	q.Left.ErrorMM3 += uncertain
}

// left is a stretch that is left, with whatever of its class it touches on its ray.
type left struct {
	low, high int32
	kind      Kind
	region    int32 // from 1
	core      bool
}

// describe finds the regions of what is left. Stretches on neighbouring rays hang together where they
// overlap, undercuts with undercuts and the rest with the rest; unlike those of a single view, which
// lie between the insert and one surface, two may lie over each other on a ray. As there, a stretch that
// has no neighbour on one of the eight rays around it is rind: it belongs to the region that it
// touches, and to none alone.
func (q *Sequence) describe(opt Options) {
	most := opt.MostRegions
	if most == 0 {
		most = DefaultMostRegions
	}
	s := q.base
	noise := int32(min(s.pitch/16/s.grid.QuantumMM(), math.MaxInt32))
	per := s.perQuantum()
	rest := int64(0)
	var nodes []left
	start := make([]int32, 1, len(q.start))
	for k := range s.nu * s.nv {
		from := len(nodes)
		var longest int32 // of the stretches in the last node
		for _, x := range q.stretch[q.start[k]:q.start[k+1]] {
			if x.fate != 0 {
				continue
			}
			l := len(nodes) - 1
			if l >= from && nodes[l].high == x.low && (nodes[l].kind == Undercut) == (x.kind == Undercut) {
				nodes[l].high = x.high
				if x.high-x.low > longest {
					nodes[l].kind, longest = x.kind, x.high-x.low
				}
				continue
			}
			nodes = append(nodes, left{low: x.low, high: x.high, kind: x.kind})
			longest = x.high - x.low
		}
		kept := from
		for _, n := range nodes[from:] {
			if n.high-n.low <= noise {
				rest += int64(n.high) - int64(n.low)
				continue
			}
			nodes[kept] = n
			kept++
		}
		nodes = nodes[:kept]
		start = append(start, int32(kept))
	}
	around := [...]int{-s.nu - 1, -s.nu, -s.nu + 1, -1, 1, s.nu - 1, s.nu, s.nu + 1}
	// touching calls do for every node on ray o that hangs together with n.
	touching := func(n *left, o int, do func(m int32)) {
		if o < 0 || o >= s.nu*s.nv {
			return
		}
		for m := start[o]; m < start[o+1]; m++ {
			x := &nodes[m]
			if x.low < n.high && n.low < x.high && (x.kind == Undercut) == (n.kind == Undercut) {
				do(m)
			}
		}
	}
	ray := make([]int32, len(nodes))
	for k := range s.nu * s.nv {
		for m := start[k]; m < start[k+1]; m++ {
			ray[m] = int32(k)
			if i := k % s.nu; i == 0 || i == s.nu-1 {
				continue
			}
			nodes[m].core = true
			for _, d := range around {
				meets := false
				touching(&nodes[m], k+d, func(int32) { meets = true })
				nodes[m].core = nodes[m].core && meets
			}
		}
	}
	var regions []Region
	var queue []int32
	for first := range nodes {
		if !nodes[first].core || nodes[first].region != 0 {
			continue
		}
		id := int32(len(regions) + 1)
		r := Region{Box: geom.EmptyBox()}
		var quanta, rind int64
		var by [regionKinds]int64
		put := func(m int32) {
			n := &nodes[m]
			n.region = id
			long := int64(n.high) - int64(n.low)
			quanta += long
			by[n.kind] += long
			if !n.core {
				rind += long
			}
			i, j := int(ray[m])%s.nu, int(ray[m])/s.nu
			r.Box = r.Box.AddPoint(s.grid.Point(i, j, n.low)).AddPoint(s.grid.Point(i, j, n.high))
			if h := float64(long) * s.grid.QuantumMM(); h > r.HeightMM {
				r.HeightMM, r.Point = h, s.grid.Point(i, j, n.low+(n.high-n.low)/2)
			}
			if n.core {
				queue = append(queue, m)
			}
		}
		put(int32(first))
		for len(queue) > 0 {
			at := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, d := range around {
				touching(&nodes[at], int(ray[at])+d, func(m int32) {
					if nodes[m].region == 0 {
						put(m)
					}
				})
			}
		}
		for kind, v := range by {
			if v > by[r.Kind] {
				r.Kind = Kind(kind)
			}
		}
		r.Box = r.Box.Expand(s.pitch / 2)
		r.Volume = Quantity{MM3: float64(quanta) * per, ErrorMM3: float64(rind) * per}
		regions = append(regions, r)
	}
	for m := range nodes {
		if nodes[m].region == 0 {
			rest += int64(nodes[m].high) - int64(nodes[m].low)
		}
	}
	sortRegions(regions)
	if len(regions) > most {
		for _, x := range regions[most:] {
			rest += int64(math.Round(x.Volume.MM3 / per))
		}
		regions = regions[:most]
	}
	q.Regions = regions
	q.Rest = Quantity{MM3: float64(rest) * per, ErrorMM3: q.Left.ErrorMM3}
}
