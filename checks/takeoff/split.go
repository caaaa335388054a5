package takeoff

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/mesh/reach"
)

// rays is how many rays the split is counted on, about: a pitch of 0.3 mm on an insert of 164 by 116.
const rays = 250_000

// raysPerCutter: finer than so many rays across the thinnest cutter nothing is gained.
const raysPerCutter = 20

// plan is how the stock goes, place by place.
type plan struct {
	sequence *reach.Sequence
	holes    []hole
	// drills of the sequence: slabs of a blank that is a model, then cylinders and points of holes.
	slabs  int
	owner  []int // of each further drill, the hole
	setUps []namedSetUp
	loaded [][]int // by set-up and cutter, the cutter that does its work
}

type namedSetUp struct {
	name string
	reach.SetUp
}

// setUpsOf are the directions to mill from, in order.
func setUpsOf(s *checks.Subject, cutters []reach.Cutter) []namedSetUp {
	up := s.Draw()
	// Left is against x where the draw is upright; else the nearest to it that is square to the draw.
	x := r3.Vector{X: 1}
	if math.Abs(up.X) > math.Abs(up.Z) {
		x = r3.Vector{Z: -1}
	}
	x = x.Sub(up.Mul(x.Dot(up))).Normalize()
	y := up.Cross(x)
	var list []namedSetUp
	for _, d := range []struct {
		name   string
		toward r3.Vector
	}{{"top", up}, {"back", up.Mul(-1)}, {"left", x.Mul(-1)}, {"right", x}, {"front", y.Mul(-1)}, {"rear", y}} {
		list = append(list, namedSetUp{d.name, reach.SetUp{Direction: d.toward, Cutters: cutters}})
	}
	return list
}

// split divides the stock by how it goes.
func (t *Takeoff) split(s *checks.Subject, e extent) error {
	core, err := coreOf(s, e)
	if err != nil {
		return err
	}
	cutters, from := cuttersOf(&s.Frame.Making)
	if len(cutters) == 0 {
		return reach.ErrNoCutters
	}
	t.CuttersFrom, t.Holders = from, holdersOf(&s.Frame.Making)
	p := &plan{holes: holesOf(s), slabs: len(core.slabs), setUps: setUpsOf(s, cutters)}
	drills := core.slabs
	for i, h := range p.holes {
		start, end := h.mouth.Add(h.into.Mul(h.fromMM)), h.mouth.Add(h.into.Mul(h.toMM))
		drills = append(drills, reach.Drill{From: start, To: end, DiameterMM: h.diameterMM + 2*h.errorMM})
		p.owner = append(p.owner, i)
		if h.point {
			drills = append(drills, reach.Drill{From: end, To: end.Add(h.into.Mul(h.diameterMM / 2)), DiameterMM: h.diameterMM + 2*h.errorMM})
			p.owner = append(p.owner, i)
		}
	}
	var setUps []reach.SetUp
	for _, u := range p.setUps {
		setUps = append(setUps, u.SetUp)
	}
	size := core.mesh.Bounds().Size()
	wide := cutters[0].DiameterMM
	pitch := math.Sqrt((size.X + wide) * (size.Y + wide) / rays)
	thinnest := cutters[len(cutters)-1]
	pitch = max(pitch, thinnest.DiameterMM/raysPerCutter)
	const mostRegions = 1024
	q, err := reach.InSequence(s.Part.Mesh, core.mesh, drills, setUps, reach.Options{PitchMM: pitch, MostRegions: mostRegions, NoiseMM: e.noiseMM})
	if err != nil {
		return err
	}
	p.sequence, t.plan, t.PitchMM = q, p, q.PitchMM

	faced := core.faced
	for n := range core.slabs {
		faced.Value += q.Drilled[n].MM3
		faced.Error += q.Drilled[n].ErrorMM3
	}
	p.measureHoles(q)
	t.Drilled = groupHoles(slices.DeleteFunc(slices.Clone(p.holes), func(h hole) bool { return h.volume.Value <= h.volume.Error }))
	// What is worth no clamping of its own.
	var bench Figure
	for i, u := range p.setUps {
		up := SetUp{Name: u.name, Toward: u.Direction}
		if v := total(q.Cut[i]); i > 0 && v.Value <= s.Frame.Making.LeastSetUpMM3.Value {
			bench.Value += v.Value
			bench.Error += v.Error
			p.loaded = append(p.loaded, slices.Repeat([]int{-1}, len(cutters)))
			continue
		}
		p.loaded = append(p.loaded, loaded(q.Cut[i], cutters, i == 0))
		for k, c := range cutters {
			if p.loaded[i][k] != k {
				continue
			}
			cut := Cut{Cutter: c.Name, DiameterMM: c.DiameterMM, CornerRadiusMM: c.CornerRadiusMM, Rest: len(up.Cuts) > 0}
			for n, v := range q.Cut[i] {
				if p.loaded[i][n] == k {
					cut.RemovedMM3.Value += v.MM3
					cut.RemovedMM3.Error += v.ErrorMM3
				}
			}
			up.Cuts = append(up.Cuts, cut)
		}
		if len(up.Cuts) > 0 {
			t.SetUps = append(t.SetUps, up)
		}
	}
	strips := t.burns(s, q, thinnest, setUps)
	strips.Value += bench.Value
	strips.Error += bench.Error

	// Everything but what was faced and has a closed form was counted, and is settled.
	var parts []*Figure
	for i := range t.SetUps {
		for k := range t.SetUps[i].Cuts {
			parts = append(parts, &t.SetUps[i].Cuts[k].RemovedMM3)
		}
	}
	for i := range t.Drilled {
		parts = append(parts, &t.Drilled[i].RemovedMM3)
	}
	for i := range t.Burns {
		parts = append(parts, &t.Burns[i].VolumeMM3)
	}
	parts = append(parts, &strips)
	all := t.RemoveMM3
	if len(core.slabs) > 0 {
		parts = append(parts, &faced)
	} else {
		all.Value -= faced.Value
		all.Error += faced.Error
	}
	t.RemainderMM3 = settle(parts, all)
	if len(core.slabs) == 0 {
		parts = append(parts, &faced)
	}
	whole(parts, t.RemoveMM3.Value)
	rounded := mm3(quanta(t.RemoveMM3.Value))
	t.RemoveMM3.Error += math.Abs(rounded - t.RemoveMM3.Value)
	t.RemoveMM3.Value = rounded
	t.FacedMM3 = faced
	var burned, left int64
	for _, b := range t.Burns {
		n, error := &burned, &t.BurnMM3.Error
		if b.Left != "" {
			n, error = &left, &t.LeftMM3.Error
		}
		*n += quanta(b.VolumeMM3.Value)
		*error += b.VolumeMM3.Error
	}
	t.BurnMM3.Value = mm3(burned)
	t.LeftMM3.Value = mm3(left + quanta(strips.Value))
	t.LeftMM3.Error += strips.Error
	return nil
}

// total adds what a set-up's cutters remove.
func total(cuts []reach.Quantity) (f Figure) {
	for _, c := range cuts {
		f.Value += c.MM3
		f.Error += c.ErrorMM3
	}
	return f
}

// leastCutMM3: for less than this no cutter is loaded, the next one takes it: a few seconds of its own
// work, against a change of tools (common practice, no source).
const leastCutMM3 = 10

// leastCubes: nor for less than two cubes as wide as the next cutter, which clears that in about half a
// minute, for what a cutter clears grows with the cube of its diameter (common practice, no source).
const leastCubes = 2

// loaded is, for each cutter of a set-up, the one that does its work: itself; the next where it would do
// too little, for a thinner one reaches all that it does; the one before where there is no next, for no
// cutter is loaded for a crumb; or -1 where nobody removes anything.
//
// From the sides and the back no cutter is loaded for what may be nothing but the count's error: what the
// thinner ones find in the corners of a slot there goes with the one before.
func loaded(cuts []reach.Quantity, cutters []reach.Cutter, first bool) []int {
	by := make([]int, len(cuts))
	last := -1
	for k, c := range cuts {
		if c.MM3 > 0 {
			last = k
		}
	}
	least := func(k int) float64 {
		if k == last {
			return leastCutMM3
		}
		d := cutters[k+1].DiameterMM
		return max(leastCutMM3, leastCubes*d*d*d)
	}
	type share struct {
		from, to int // the cutters whose work it is, to not among them
		MM3      float64
		ErrorMM3 float64
	}
	var shares []share
	from := 0
	var sum reach.Quantity
	for k, c := range cuts {
		by[k] = -1
		sum.MM3 += c.MM3
		sum.ErrorMM3 += c.ErrorMM3
		if k > last || k < last && sum.MM3 < least(k) {
			continue
		}
		shares = append(shares, share{from, k + 1, sum.MM3, sum.ErrorMM3})
		from, sum = k+1, reach.Quantity{}
	}
	for n := len(shares) - 1; n >= 0; n-- {
		x := shares[n]
		crumb := x.to == last+1 && x.MM3 < leastCutMM3
		if doubtful := !first && x.MM3 <= x.ErrorMM3; n > 0 && (crumb || doubtful) {
			b := &shares[n-1]
			one := b.to - 1
			for k := x.from; k < x.to; k++ {
				by[k] = one
			}
			// Cutters already moved to this share's go on to the one before.
			for k := range by {
				if by[k] == x.to-1 {
					by[k] = one
				}
			}
			b.MM3 += x.MM3
			b.ErrorMM3 += x.ErrorMM3
			continue
		}
		for k := x.from; k < x.to; k++ {
			by[k] = x.to - 1
		}
	}
	return by
}

// measureHoles gives each hole what of its closed form was there to drill: less where bores cross, or
// where a cutter's pocket is in the way only in the count. The share is counted, and hangs little on
// where the rays fall, for both counts are on the same.
func (p *plan) measureHoles(q *reach.Sequence) {
	type tally struct {
		share, error float64
		point        Figure
		seen         bool
	}
	of := make([]tally, len(p.holes))
	cell := q.PitchMM * q.PitchMM
	for n, h := range p.owner {
		v, all := q.Drilled[p.slabs+n], q.Cylinders[p.slabs+n]
		t := &of[h]
		if t.seen { // the point follows its cylinder
			t.point = Figure{v.MM3, min(v.MM3, v.ErrorMM3+q.PitchMM*math.Pi*p.holes[h].diameterMM*p.holes[h].diameterMM/4)}
			continue
		}
		t.seen = true
		if all.MM3 > 0 {
			// What is missing is missing on whole rays, known to one around its edge.
			missing := max(all.MM3-v.MM3, 0)
			t.share = v.MM3 / all.MM3
			t.error = math.Sqrt(missing*cell*(p.holes[h].toMM-p.holes[h].fromMM)) / all.MM3
		}
	}
	for i := range p.holes {
		h := &p.holes[i]
		v := h.volume
		h.volume = Figure{v.Value*of[i].share + of[i].point.Value, v.Error + v.Value*of[i].error + of[i].point.Error}
	}
}

// The kinds of burns.
const (
	cornerKind   = "corner"
	slotKind     = "slot"
	deepKind     = "deep"
	undercutKind = "undercut"
)

// kindOf names the kind of a region. One that no cutter entered is a slot, unless two of its three sides
// are no more than the thinnest cutter's radius, as far as rays tell: so little a corner leaves.
func kindOf(r *reach.Region, thinnest reach.Cutter, pitch float64) string {
	size := r.Box.Size()
	sides := []float64{size.X, size.Y, size.Z}
	slices.Sort(sides)
	switch k := r.Kind; {
	case k == reach.Narrow && sides[1] <= thinnest.DiameterMM/2+3*pitch:
		return cornerKind
	case k == reach.Undercut:
		return undercutKind
	case k == reach.Deep:
		return deepKind
	case k == reach.Corner:
		return cornerKind
	}
	return slotKind
}

// burns lists the regions left, and returns what is left in none. A region of which no more is certain
// than a cube of two pitches is no region, but noise of the rays.
func (t *Takeoff) burns(s *checks.Subject, q *reach.Sequence, thinnest reach.Cutter, setUps []reach.SetUp) Figure {
	certain := math.Pow(2*q.PitchMM, 3)
	strips := Figure{q.Rest.MM3, q.Rest.ErrorMM3}
	var directions []r3.Vector
	for _, u := range setUps {
		directions = append(directions, u.Direction.Normalize())
	}
	corners := sharpCorners(s, q, directions, thinnest)
	for i := range q.Regions {
		r := &q.Regions[i]
		known := r.Volume.MM3-r.Volume.ErrorMM3 < certain
		kind := kindOf(r, thinnest, q.PitchMM)
		near := r.Box.Expand(2 * q.PitchMM)
		for _, c := range corners {
			// The count of a corner of known form adds nothing to its formula.
			known = known || kind == cornerKind && near.Contains(c.At) && r.Volume.MM3-r.Volume.ErrorMM3 <= c.VolumeMM3.Value
		}
		if known {
			strips.Value += r.Volume.MM3
			continue
		}
		t.Burns = append(t.Burns, Burn{
			Kind: kind, VolumeMM3: Figure{r.Volume.MM3, r.Volume.ErrorMM3}, DepthMM: r.HeightMM, At: r.Point, SizeMM: r.Box.Size(), box: r.Box,
		})
	}
	for _, c := range corners {
		inside := false
		for _, r := range q.Regions {
			// In a larger region it is counted with that.
			inside = inside || r.Box.Contains(c.At) && r.Volume.MM3-r.Volume.ErrorMM3 > c.VolumeMM3.Value
		}
		if !inside {
			// It lies among the strips, as far as rays found it.
			strips.Value = max(strips.Value-c.VolumeMM3.Value, 0)
			t.Burns = append(t.Burns, c)
		}
	}
	sort(t.Burns)
	t.leave(s)
	t.serve(s.Draw(), s.Frame.Making.ElectrodeBlankMM.Value)
	return strips
}
