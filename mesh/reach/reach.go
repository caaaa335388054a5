package reach

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/dexel"
	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// Quantity is a volume and the bound on its error.
type Quantity = difference.Quantity

// Step is what one cutter does after those before it.
type Step struct {
	Cutter  Cutter
	Removed Quantity
	// Left is what of the visible stock is still there.
	Left Quantity
	// Held is what the holder kept this cutter from: stock it would have removed with a longer
	// stick-out.
	Held Quantity
}

// Result is what the cutters reach from one direction.
type Result struct {
	// Stock is blank less insert; Undercut the part of it that lies under metal of the insert
	// as seen from the direction; Residue what the cutters leave of the rest.
	Stock, Undercut, Residue Quantity
	Steps                    []Step
	// Regions are the pieces of the undercut and the residue, largest first, ties by place.
	Regions []Region
	// Rest is volume of either that is in no region: strips under three rays wide.
	Rest Quantity
	// PitchMM is the distance between rays.
	PitchMM float64
	// Surface is the height field of what is left when all cutters are done.
	Surface *HeightField
	// View is the height field of the insert.
	View *HeightField
	// FoldedRays counts rays on which bodies of a mesh overlap or are inside out.
	FoldedRays int

	stock, undercut, residue int64
	removed                  []int64
	perQuantum               float64
}

// HeightField is a surface over a grid: one height for each ray.
type HeightField struct {
	Grid    *dexel.Grid
	heights []int32
}

// At is the point of the surface on ray i of row j, in the model's axes.
func (h *HeightField) At(i, j int) r3.Vector {
	nu, _ := h.Grid.Size()
	return h.Grid.Point(i, j, h.heights[j*nu+i])
}

// Options steer the computation. The zero Options are ready to use.
type Options struct {
	// PitchMM between rays; 0 means a twentieth of the least cutter's diameter, but no less than
	// MostRays allows.
	PitchMM float64
	// MostRays bounds the size of the grid; 0 means DefaultMostRays. A pitch that needs more is
	// an error.
	MostRays int
	// MostRegions bounds the regions described; 0 means DefaultMostRegions.
	MostRegions int
	// NoiseMM is the length along a ray under which InSequence takes stock for noise of the two surfaces,
	// not to be removed.
	NoiseMM float64
}

// Defaults of Options.
const (
	DefaultMostRays    = 1 << 20
	DefaultMostRegions = 64
	// pitchesPerDiameter is how many rays across the least cutter the default pitch gives.
	pitchesPerDiameter = 20
)

// ErrNoCutters is returned when there is nothing to cut with.
var ErrNoCutters = errors.New("reach: no cutters")

// From finds what the cutters, used in order, remove of blank around insert when they come down
// against direction: direction points from the insert to the spindle. Both meshes must be closed.
func From(insert, blank *mesh.Mesh, direction r3.Vector, cutters []Cutter, opt Options) (*Result, error) {
	if len(cutters) == 0 {
		return nil, ErrNoCutters
	}
	for _, c := range cutters {
		if err := c.check(); err != nil {
			return nil, err
		}
	}
	if n := direction.Norm(); !(n > 0) || math.IsInf(n, 0) {
		return nil, fmt.Errorf("reach: %v is no direction", direction)
	}
	s, err := look(insert, blank, view{turn: facing(direction)}, cutters, opt)
	if err != nil {
		return nil, err
	}
	return s.run(cutters, opt)
}

// view is how a scene is looked at.
type view struct {
	// turn carries the direction to z.
	turn geom.Motion
	// window is what of the model must be seen right; nil for all of it.
	window *geom.Box
}

// plane is the turn of the grid about the direction, so that walls along the model's axes do
// not run along its rows: 20/29 and 21/29 would be near 45 degrees, along chamfers; 12/37 and
// 35/37 is 18.9 degrees.
var plane = geom.Motion{
	Rotation: [3]r3.Vector{{X: 35.0 / 37, Y: 12.0 / 37}, {X: -12.0 / 37, Y: 35.0 / 37}, {Z: 1}},
	Scale:    1,
}

// facing is the rotation that carries direction to z.
func facing(direction r3.Vector) geom.Motion {
	d := direction.Normalize()
	// The frame's x is the model axis most square to the direction, so that it does not depend
	// on rounding of the direction.
	ref := r3.Vector{X: 1}
	if math.Abs(d.X) > math.Abs(d.Y) {
		ref = r3.Vector{Y: 1}
	}
	return plane.After(geom.Frame(r3.Vector{}, d, ref).Inverse())
}

// piece is stock on a ray that is seen from the direction.
type piece struct{ low, high int32 }

// scene is the insert and the blank as seen.
type scene struct {
	grid     *dexel.Grid
	nu, nv   int
	floor    int32
	view     []int32 // height of the insert, floor where there is none
	start    []int32 // pieces of ray k are start[k] to start[k+1]
	pieces   []piece
	hidden   []piece // undercut pieces, likewise
	hideEnds []int32
	folded   int
	error    float64 // of sampling, for the whole stock
	pitch    float64
	scratch  [7][]int32
	tower    pyramid
}

// look makes the height field and the stock.
func look(insert, blank *mesh.Mesh, from view, cutters []Cutter, opt Options) (*scene, error) {
	for _, m := range []struct {
		name string
		mesh *mesh.Mesh
	}{{"insert", insert}, {"blank", blank}} {
		if err := difference.CheckClosed(m.mesh, m.name); err != nil {
			return nil, fmt.Errorf("reach: %w", err)
		}
	}
	boxI, boxB := dexel.TurnedBounds(insert, from.turn), dexel.TurnedBounds(blank, from.turn)
	box := boxI.Union(boxB)
	least, most, holder := math.Inf(1), 0.0, 0.0
	for _, c := range cutters {
		least, most = min(least, c.DiameterMM), max(most, c.DiameterMM)
		holder = max(holder, c.HolderDiameterMM)
	}
	pitch := opt.PitchMM
	mostRays := opt.MostRays
	if mostRays == 0 {
		mostRays = DefaultMostRays
	}
	size := box.Size()
	rays := func(p float64) float64 {
		return (size.X + most + 6*p) / p * ((size.Y + most + 6*p) / p)
	}
	if pitch == 0 {
		pitch = least / pitchesPerDiameter
		for rays(pitch) > float64(mostRays) {
			pitch *= 1.1
		}
	}
	if !(pitch > 0) || math.IsInf(pitch, 0) || rays(pitch) > float64(mostRays) {
		return nil, fmt.Errorf("reach: a pitch of %g mm takes %.3g rays; %d are allowed", pitch, rays(pitch), mostRays)
	}
	// A cutter may stand beside the blank by its radius; two pitches more for the wider one.
	margin := most/2 + 3*pitch
	over := widened(box, margin)
	all := over
	if from.window != nil {
		// The surface at the window's rim hangs on tips a radius away, and those on what the cutter
		// and its holder meet around them.
		seen := from.window.Moved(from.turn)
		seen.Min.Z, seen.Max.Z = box.Min.Z, box.Max.Z
		over = over.Intersection(widened(seen, most/2+max(most, holder)/2+3*pitch))
		if over.IsEmpty() {
			return nil, errors.New("reach: nothing of the model lies in the window")
		}
	}
	// The grid is the box rounded up to whole pitches about its middle, so that a view from the other
	// side has the same rays.
	middle := over.Center()
	size = over.Size()
	nu := int(math.Ceil(size.X / pitch))
	nv := int(math.Ceil(size.Y / pitch))
	over.Min.X, over.Max.X = middle.X-float64(nu)*pitch/2, middle.X+float64(nu)*pitch/2
	over.Min.Y, over.Max.Y = middle.Y-float64(nv)*pitch/2, middle.Y+float64(nv)*pitch/2
	frame, err := dexel.NewTurnedFrame(all.Union(over), from.turn)
	if err != nil {
		return nil, err
	}
	si, err := frame.Snap(insert)
	if err != nil {
		return nil, err
	}
	sb, err := frame.Snap(blank)
	if err != nil {
		return nil, err
	}
	grid, err := dexel.NewGrid(frame, dexel.Z, over, nu, nv)
	if err != nil {
		return nil, err
	}
	s := &scene{grid: grid, nu: nu, nv: nv, pitch: pitch}
	for k := range s.scratch {
		s.scratch[k] = make([]int32, nu*nv)
	}
	s.floor = grid.Place(boxB.Min.Z)
	s.scan(sb, si)
	return s, nil
}

// widened is the box with more across the direction of view.
func widened(b geom.Box, by float64) geom.Box {
	b.Min.X -= by
	b.Min.Y -= by
	b.Max.X += by
	b.Max.Y += by
	return b
}

// scan fills the height field and the pieces of stock.
func (s *scene) scan(blank, insert *dexel.Solid) {
	s.view = make([]int32, s.nu*s.nv)
	type part struct {
		ends, hideEnds []int32
		seen, hidden   []piece
	}
	parts := make([]part, s.grid.Bands())
	rows := make([]float64, s.nv)
	tallies := dexel.Scan(s.grid, []*dexel.Solid{blank, insert}, func(band, _ int, of []dexel.Band) {
		p := part{ends: make([]int32, 0, of[0].Rows*s.nu), hideEnds: make([]int32, 0, of[0].Rows*s.nu)}
		var metal, stock [64]dexel.Span
		for j := range of[0].Rows {
			row := int64(0)
			for i := range s.nu {
				solid := dexel.Metal(metal[:0], of[1].Ray(i, j))
				height := s.floor
				if n := len(solid); n > 0 {
					height = max(height, solid[n-1].High)
				}
				s.view[(of[0].Row0+j)*s.nu+i] = height
				for _, x := range dexel.Metal(stock[:0], of[0].Ray(i, j)) {
					low := x.Low
					for _, m := range solid {
						if m.High <= low {
							continue
						}
						if m.Low >= x.High {
							break
						}
						if m.Low > low {
							p.hidden = append(p.hidden, piece{low, m.Low})
							row += int64(m.Low) - int64(low)
						}
						low = m.High
					}
					if low < x.High {
						row += int64(x.High) - int64(low)
						if low >= height || len(solid) == 0 {
							p.seen = append(p.seen, piece{low, x.High})
						} else {
							p.hidden = append(p.hidden, piece{low, x.High})
						}
					}
				}
				p.ends = append(p.ends, int32(len(p.seen)))
				p.hideEnds = append(p.hideEnds, int32(len(p.hidden)))
			}
			rows[of[0].Row0+j] = float64(row)
		}
		parts[band] = p
	})
	s.folded = tallies[0].Folded + tallies[1].Folded
	s.start = make([]int32, 1, s.nu*s.nv+1)
	s.hideEnds = make([]int32, 1, s.nu*s.nv+1)
	for _, p := range parts {
		base, hideBase := int32(len(s.pieces)), int32(len(s.hidden))
		for k := range p.ends {
			s.start = append(s.start, base+p.ends[k])
			s.hideEnds = append(s.hideEnds, hideBase+p.hideEnds[k])
		}
		s.pieces = append(s.pieces, p.seen...)
		s.hidden = append(s.hidden, p.hidden...)
	}
	s.error = difference.RowError(rows) * s.perQuantum()
}

func (s *scene) perQuantum() float64 { return s.grid.QuantumMM() * s.grid.CellMM2() }

// state is the stock between two cutters.
type state struct {
	top  []int32 // stock above this is gone
	free []int32 // lowest that any cutter so far would have reached without its holder
}

func (s *scene) run(cutters []Cutter, opt Options) (*Result, error) {
	per := s.perQuantum()
	r := &Result{PitchMM: s.pitch, FoldedRays: s.folded, perQuantum: per}
	for _, p := range s.pieces {
		r.stock += int64(p.high) - int64(p.low)
	}
	for _, p := range s.hidden {
		r.undercut += int64(p.high) - int64(p.low)
	}
	r.stock += r.undercut

	n := s.nu * s.nv
	now := s.untouched()
	left, outline, share := s.mill(cutters, r, now, nil)
	r.residue = left
	r.Stock = Quantity{MM3: float64(r.stock) * per, ErrorMM3: s.error}
	r.Undercut = Quantity{MM3: float64(r.undercut) * per, ErrorMM3: share(r.undercut)}
	r.Residue = Quantity{MM3: float64(r.residue) * per, ErrorMM3: outline + share(r.residue)}
	r.View = &HeightField{s.grid, s.view}
	final := make([]int32, n)
	for k := range final {
		final[k] = s.view[k]
		if s.start[k+1] > s.start[k] {
			final[k] = max(final[k], min(now.top[k], s.pieces[s.start[k+1]-1].high))
		}
	}
	r.Surface = &HeightField{s.grid, final}
	s.describe(r, now, opt)
	return r, nil
}

// untouched is the stock before the first cutter.
func (s *scene) untouched() state {
	n := s.nu * s.nv
	st := state{make([]int32, n), make([]int32, n)}
	for k := range st.top {
		st.top[k], st.free[k] = math.MaxInt32/2, math.MaxInt32/2
	}
	return st
}

// mill lets the cutters work in turn and adds a step to r for each; after is told of each. It returns
// what of the visible stock is left, how far off the outlines may be, and the share of the error of
// sampling that falls to a part of the stock.
func (s *scene) mill(cutters []Cutter, r *Result, now state, after func(k int)) (left int64, outline float64, share func(int64) float64) {
	per := s.perQuantum()
	left = r.stock - r.undercut
	share = func(q int64) float64 { return s.error * math.Sqrt(float64(q)/float64(max(r.stock, 1))) }
	for k, c := range cutters {
		held, doubt := s.cut(c, now)
		still := s.below(now.top)
		removed := left - still
		r.removed = append(r.removed, removed)
		before := outline
		outline = max(s.outlineMM3(now.top), float64(doubt)*per)
		r.Steps = append(r.Steps, Step{
			Cutter:  c,
			Removed: Quantity{MM3: float64(removed) * per, ErrorMM3: before + outline + share(removed)},
			Left:    Quantity{MM3: float64(still) * per, ErrorMM3: outline + share(still)},
			Held:    Quantity{MM3: float64(held) * per, ErrorMM3: outline + share(held)},
		})
		left = still
		if after != nil {
			after(k)
		}
	}
	return left, outline, share
}

// below is the visible stock under the surface top, in quanta.
func (s *scene) below(top []int32) int64 {
	sums := make([]int64, s.nv)
	parallel.Each(s.nv, func(j, _ int) {
		var sum int64
		for k := j * s.nu; k < (j+1)*s.nu; k++ {
			for _, p := range s.pieces[s.start[k]:s.start[k+1]] {
				sum += max(int64(min(p.high, top[k]))-int64(p.low), 0)
			}
		}
		sums[j] = sum
	})
	var total int64
	for _, v := range sums {
		total += v
	}
	return total
}

// outlineMM3 is what the faces that cutters leave may be off: the area of those faces, seen from
// the side, times the distance that a cutter's outline may fall between rays. A face is where
// one ray has metal that is not the insert's and its neighbour has had metal taken away.
func (s *scene) outlineMM3(top []int32) float64 {
	sums := make([][2]int64, s.nv)
	face := func(k, o int) int64 {
		if s.start[o+1] == s.start[o] || s.start[k+1] == s.start[k] {
			return 0
		}
		high := min(s.standing(k, top[k]), s.pieces[s.start[o+1]-1].high)
		return max(int64(high)-int64(max(s.view[k], s.standing(o, top[o]))), 0)
	}
	parallel.Each(s.nv, func(j, _ int) {
		for i := range s.nu {
			k := j*s.nu + i
			if i+1 < s.nu {
				sums[j][0] += face(k, k+1) + face(k+1, k)
			}
			if j+1 < s.nv {
				sums[j][1] += face(k, k+s.nu) + face(k+s.nu, k)
			}
		}
	})
	var u, v int64
	for _, x := range sums {
		u += x[0]
		v += x[1]
	}
	pu, pv := s.grid.PitchMM()
	// Oblique faces are counted in steps along both directions. Joined as the sides of a right
	// angle these give a flat face exactly, and of a round one the chord of a quarter: pi/sqrt(8)
	// less than the arc.
	area := math.Pi / math.Sqrt(8) * math.Hypot(float64(u)*pv, float64(v)*pu) * s.grid.QuantumMM()
	return outlinePitches * math.Sqrt(pu*pv) * area
}

// outlinePitches is the distance, in pitches, by which a face that a cutter leaves may be off: the
// side of a cell and a quarter. On pockets turned at random, with five rays or more to the radius of
// the cutter, 1 in 200 is off by more than one pitch, in an acute corner.
const outlinePitches = 1.25

// doubtPitches is by how many pitches a cutter is made slimmer and wider to see whether it does
// or does not pass a gap: half the diagonal of a cell.
const doubtPitches = 0.71

// mostHolderRounds bounds the repetition for the holder. Each round lets the cutter be held up
// by stock that the round before left, one holder radius further at most; two or three are
// usual. Stopping early would only leave the holder a little stock to touch.
const mostHolderRounds = 32

// rimPitches is by how many pitches the outline that a cutter sweeps is widened. A tip stands on
// rays only; in a corner, where two walls bound it, the nearest ray it may stand on is 0.42
// pitches from the true place (mean of the corners of square pockets with cutters of 4, 6 and
// 10 mm at 0.08 mm). Along one wall
// there is always a ray nearly in place, and there the widening meets the insert and does
// nothing. The rounded end is not widened, only the rim.
const rimPitches = 0.35

// cut lets one cutter remove what it can, and returns what its holder kept it from, and how much
// more or less it would remove if it were a little slimmer or wider: that is much where it does
// or does not pass a gap by that little.
func (s *scene) cut(c Cutter, st state) (held, doubt int64) {
	pu, pv := s.grid.PitchMM()
	q := s.grid.QuantumMM()
	outer := c.DiameterMM / 2
	cell := math.Sqrt(pu * pv)
	// Footprints of the cutter cut off or widened at the rim: the rounded end stays as it is.
	rim := func(to float64) *shape {
		return newShape(pu, pv, q, to, func(r float64) (float64, bool) {
			h, _ := c.profileMM(min(r, outer))
			return h, r <= to
		})
	}
	doubtful := doubtPitches * cell
	slim, end, wide := rim(max(outer-doubtful, 0)), rim(outer), rim(outer+doubtful)
	sweep, wideSweep := rim(outer+rimPitches*cell), rim(outer+rimPitches*cell+doubtful)
	tip, surface, metal, hold := s.scratch[0], s.scratch[1], s.scratch[2], s.scratch[3]
	slimTip, wideTip := s.scratch[5], s.scratch[6]

	// Only where stock is left is there a surface to know, and only as near to it as the cutter is wide
	// the tips: after the first cutter that is a small part of the grid.
	active := s.active(st.top)
	near := active.near(wideSweep.side)

	// The three tips grow in this order, and the three surfaces fall in the other: each is the
	// seed of the next.
	s.tower.build(s.view, s.nu, s.nv)
	near.fill(slimTip, nil)
	near.fill(tip, nil)
	near.fill(wideTip, nil)
	s.tower.dilate(slim, slimTip, near, nil)
	s.tower.dilate(end, tip, near, slimTip)
	s.tower.dilate(wide, wideTip, near, tip)
	s.erode(wideSweep, wideTip, metal, active, nil)
	s.erode(sweep, tip, surface, active, nil)
	s.erode(sweep, slimTip, hold, active, surface)
	active.fill(metal, st.top)
	active.fill(surface, st.top)
	active.fill(hold, st.top)
	for k := range metal {
		metal[k] = min(st.top[k], metal[k])
		wideTip[k] = min(st.top[k], surface[k])
		hold[k] = min(st.top[k], hold[k])
	}
	most, free, least := s.below(metal), s.below(wideTip), s.below(hold)
	doubt = max(most-free, free-least)
	for k, h := range surface {
		st.free[k] = min(st.free[k], h)
	}
	if c.StickOutMM > 0 {
		s.holdUp(c, sweep, st, active, near)
		for k := range metal {
			metal[k] = min(st.top[k], surface[k])
		}
		held = s.below(metal) - free
	}
	for k, h := range surface {
		st.top[k] = min(st.top[k], h)
	}
	return held, doubt
}

// active marks the tiles in which visible stock is left.
func (s *scene) active(top []int32) *tiles {
	t := newTiles(s.nu, s.nv)
	parallel.Each(t.nv, func(j, _ int) {
		for y := j * tile; y < min((j+1)*tile, s.nv); y++ {
			for x := range s.nu {
				if at := j*t.nu + x/tile; !t.marked[at] {
					k := y*s.nu + x
					// Pieces of a ray ascend: the lowest tells.
					t.marked[at] = s.start[k+1] > s.start[k] && s.pieces[s.start[k]].low < top[k]
				}
			}
		}
	})
	return t
}

// fill sets field to that of other, or beyond all heights for nil, in the tiles that are not marked.
func (t *tiles) fill(field, other []int32) {
	rays := len(field)
	parallel.Each(t.nv, func(j, _ int) {
		wide := t.wide
		for y := j * tile; y < (j+1)*tile && y*wide < rays; y++ {
			for i := range t.nu {
				if t.marked[j*t.nu+i] {
					continue
				}
				from, to := y*wide+i*tile, y*wide+min((i+1)*tile, wide)
				if other != nil {
					copy(field[from:to], other[from:to])
					continue
				}
				for k := from; k < to; k++ {
					field[k] = -lowest
				}
			}
		}
	})
}

// holdUp raises the tips where the holder would touch the insert or stock that is left, until
// nothing moves. Only what lies near a change is done again, and only the tips in near, which reach
// stock in active.
func (s *scene) holdUp(c Cutter, sweep *shape, st state, active, near *tiles) {
	pu, pv := s.grid.PitchMM()
	q := s.grid.QuantumMM()
	radius := c.HolderDiameterMM / 2
	holder := newShape(pu, pv, q, radius, func(r float64) (float64, bool) { return 0, r <= radius })
	stickOut := int32(min(c.StickOutMM/q, -lowest))
	tip, surface, metal, hold := s.scratch[0], s.scratch[1], s.scratch[2], s.scratch[3]
	var changed *tiles // of metal; nil for all
	for range mostHolderRounds {
		// What is in the holder's way: the insert, and stock that is still there.
		risen := newTiles(s.nu, s.nv)
		parallel.Each(risen.nv, func(j, _ int) {
			for y := j * tile; y < min((j+1)*tile, s.nv); y++ {
				for x := range s.nu {
					k := y*s.nu + x
					h := s.standing(k, min(st.top[k], surface[k]))
					if changed == nil || h != metal[k] {
						metal[k] = h
						risen.marked[j*risen.nu+x/tile] = true
					}
				}
			}
		})
		s.tower.build(metal, s.nu, s.nv)
		changed = risen.near(holder.side).and(near)
		s.tower.dilate(holder, hold, changed, nil)
		raised := newTiles(s.nu, s.nv)
		moved := make([]bool, raised.nv)
		parallel.Each(raised.nv, func(j, _ int) {
			for y := j * tile; y < min((j+1)*tile, s.nv); y++ {
				for x := range s.nu {
					k := y*s.nu + x
					if !changed.marked[j*raised.nu+x/tile] {
						continue
					}
					if h := hold[k] - stickOut; h > tip[k] {
						tip[k] = h
						raised.marked[j*raised.nu+x/tile] = true
						moved[j] = true
					}
				}
			}
		})
		if !slices.Contains(moved, true) {
			return
		}
		s.erode(sweep, tip, surface, raised.near(sweep.side).and(active), nil)
	}
}

// standing is the height of the metal on ray k when stock above top is gone.
func (s *scene) standing(k int, top int32) int32 {
	h := s.view[k]
	for i := s.start[k+1] - 1; i >= s.start[k]; i-- {
		if p := s.pieces[i]; p.low < top {
			return max(h, min(p.high, top))
		}
	}
	return h
}

// erode writes into out the minimum over the footprint of field plus profile, and no less than
// the insert: the surface that a cutter leaves whose tip goes down to field. With a set of
// tiles, only those are written. With seed, the result is known to be nowhere above it.
func (s *scene) erode(end *shape, field, out []int32, only *tiles, seed []int32) {
	negated := s.scratch[4]
	for k, h := range field {
		negated[k] = -h
	}
	s.tower.build(negated, s.nu, s.nv)
	if seed != nil {
		// Where the seed was held up by the insert it was no value of the minimum, but out is
		// held up there too.
		for k, h := range seed {
			out[k] = -h
		}
		seed = out
	}
	s.tower.dilate(end, out, only, seed)
	across := s.tower.layer[1].nu
	parallel.Each((s.nv+tile-1)/tile, func(j, _ int) {
		for y := j * tile; y < min((j+1)*tile, s.nv); y++ {
			for x := range s.nu {
				if only == nil || only.marked[j*across+x/tile] {
					k := y*s.nu + x
					out[k] = max(-out[k], s.view[k])
				}
			}
		}
	})
}
