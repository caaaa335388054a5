package cavity

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/dexel"
	"pocketgauge/mesh/geom"
)

// Options steer the search. GapMM must be set; the rest may be zero.
type Options struct {
	// GapMM is the widest gap that holds the melt back.
	GapMM float64
	// FilmMM is the widest gap between flat faces that is a gap and no wall of a part; 0 means
	// DefaultFilmMM.
	FilmMM float64
	// FlushMM: faces no further apart bear on each other.
	FlushMM float64
	// PitchMM is the distance between rays; 0 means the finest that MostRays rays allow, not
	// under FinestPitchMM.
	PitchMM float64
	// MostRays bounds the rays; 0 means DefaultMostRays.
	MostRays int
}

// Defaults of Options.
const (
	// DefaultFilmMM: no part is moulded this thin on purpose (common practice, no source).
	DefaultFilmMM   = 0.25
	FinestPitchMM   = 0.15
	DefaultMostRays = 1 << 21
)

// SigmaFactor turns the estimated standard deviation of sampling into the stated error: 99.9 %
// of a normal distribution lie within 3.3.
const SigmaFactor = 3.3

// LeakProminence is how many times as wide as the gap a basin must be to be a cavity of its own
// and no part of an open groove. A vent is hundredths of a millimetre deep and what it vents
// at least some tenths, so anything from 2 to 10 would do.
const LeakProminence = 2

// Kind says what a solid is.
type Kind uint8

// The kinds of solids.
const (
	Part   Kind = iota // what is moulded
	Runner             // what feeds it
)

// Solid is a piece of closed room.
type Solid struct {
	Kind Kind
	// Body numbers the connected pieces: a runner and the parts it feeds are one body.
	Body                      int
	VolumeMM3, VolumeErrorMM3 float64
	// AreaMM2 is the area seen along z.
	AreaMM2, AreaErrorMM2 float64
	Box                   geom.Box
	// Middle is the centre of the area seen along z, at half the height there.
	Middle r3.Vector
	// Gates are the indexes of the gates that the body is fed by. FlowMM is the way from there
	// through the runner, 0 for a part that holds the gate itself.
	Gates               []int
	FlowMM, FlowErrorMM float64
}

// Gate is a hole through the fixed half by which a body of room is reached.
type Gate struct {
	At      r3.Vector
	AreaMM2 float64
}

// Gap is a place where the halves stand apart by more than the greatest gap and not enough to be
// a part.
type Gap struct {
	// WidthMM is the widest of it, square to the faces.
	WidthMM, AreaMM2 float64
	At               r3.Vector
	// Leak is set where the gap leads from a solid to the outside; else it lies within the
	// outline of a solid.
	Leak bool
}

// Clash is a piece of room claimed by both halves.
type Clash struct {
	VolumeMM3, VolumeErrorMM3 float64
	// AlongMM is the greatest overlap along z. On slanted faces it is more than the depth:
	// Middles are points half way through overlaps nearly as long as the longest, spread over the
	// piece, from which the nearest faces of either half give the depth.
	AlongMM float64
	Middles []r3.Vector
}

// Room is what lies between two halves.
type Room struct {
	PitchMM float64
	Rays    int
	// Solids are the closed pieces, parts and runners, in the order in which the rays meet them.
	Solids  []Solid
	Gates   []Gate
	Gaps    []Gap
	Clashes []Clash
	// ContactMM2 is where the faces bear on each other.
	ContactMM2, ContactErrorMM2 float64
	// TightestMM is the widest gap at the edge of a solid that still counts as closed.
	TightestMM float64
	TightestAt r3.Vector
	// FoldedRays and OddRays say how many rays found a mesh that overlaps itself or is open.
	FoldedRays, OddRays int

	grid      *dexel.Grid
	nu, nv    int
	state     []state
	low, high []int32
	of        []int32 // the solid of each ray, -1 for none
	holes     []hole
}

// state says which halves a ray meets.
type state uint8

const (
	metalBelow state = 1 << iota
	metalAbove
	outside  // connected to the border of the grid through rays that miss a half
	hasGap   // low and high are set
	stopped  // was open at one end and is stopped level with its rim
	inside   = metalBelow | metalAbove
	noMetal  = state(0)
	noSolid  = int32(-1)
	mostMids = 64
)

// turned is the rotation of the grid about z against the model: the angle of the right triangle
// with sides 7, 24 and 25, 16.26 degrees.
var turned = geom.Motion{
	Rotation: [3]r3.Vector{{X: 24.0 / 25, Y: -7.0 / 25}, {X: 7.0 / 25, Y: 24.0 / 25}, {Z: 1}},
	Scale:    1,
}

// Between finds the room between two closed meshes.
func Between(fixed, moving *mesh.Mesh, opt Options) (*Room, error) {
	if !(opt.GapMM > 0) {
		return nil, fmt.Errorf("cavity: a greatest gap of %g mm; it must be more than nothing", opt.GapMM)
	}
	if opt.FilmMM == 0 {
		opt.FilmMM = DefaultFilmMM
	}
	if opt.MostRays == 0 {
		opt.MostRays = DefaultMostRays
	}
	box := dexel.TurnedBounds(fixed, turned).Union(dexel.TurnedBounds(moving, turned))
	if box.IsEmpty() {
		return nil, fmt.Errorf("cavity: a half has no metal")
	}
	size := box.Size()
	pitch := opt.PitchMM
	if pitch == 0 {
		pitch = max(FinestPitchMM, math.Sqrt(size.X*size.Y/float64(opt.MostRays)))
	}
	// One ray on every side misses both halves, so that the outside is one piece. The odd parts of
	// a pitch keep the grid from lying in the same way on either side of the middle, where inserts
	// are symmetrical and errors would add up.
	window := box
	window.Min.X, window.Min.Y = box.Min.X-1.62*pitch, box.Min.Y-1.27*pitch
	window.Max.X, window.Max.Y = box.Max.X+2*pitch, box.Max.Y+2*pitch
	nu, nv := int(math.Ceil((size.X+4*pitch)/pitch)), int(math.Ceil((size.Y+4*pitch)/pitch))
	frame, err := dexel.NewTurnedFrame(window.Expand(pitch), turned)
	if err != nil {
		return nil, fmt.Errorf("cavity: %w", err)
	}
	grid, err := dexel.NewGrid(frame, dexel.Z, window, nu, nv)
	if err != nil {
		return nil, fmt.Errorf("cavity: %w", err)
	}
	below, err := frame.Snap(fixed)
	if err != nil {
		return nil, fmt.Errorf("cavity: %w", err)
	}
	above, err := frame.Snap(moving)
	if err != nil {
		return nil, fmt.Errorf("cavity: %w", err)
	}
	r := &Room{PitchMM: pitch, Rays: nu * nv, grid: grid, nu: nu, nv: nv}
	r.state = make([]state, nu*nv)
	heights := make([]int32, 3*nu*nv)
	r.low, r.high, r.of = heights[:nu*nv:nu*nv], heights[nu*nv:2*nu*nv:2*nu*nv], heights[2*nu*nv:]
	overlaps := r.scan(below, above)
	r.clashes(overlaps)
	r.markOutside()
	r.stopBores()
	r.solids(opt)
	return r, nil
}

// Thickness is the room along z at a place seen along z, and the index of the solid it belongs
// to; -1 and 0 where there is none.
func (r *Room) Thickness(x, y float64) (solid int, mm float64) {
	k, ok := r.ray(x, y)
	if !ok || r.of[k] < 0 {
		return -1, 0
	}
	return int(r.of[k]), float64(r.high[k]-r.low[k]) * r.grid.QuantumMM()
}

// SolidAt is the index of the solid that holds the point, -1 for none; the faces of the solid
// count as in it.
func (r *Room) SolidAt(p r3.Vector) int {
	k, ok := r.ray(p.X, p.Y)
	if !ok || r.of[k] < 0 || p.Z < r.grid.Along(r.low[k]-1) || p.Z > r.grid.Along(r.high[k]+1) {
		return -1
	}
	return int(r.of[k])
}

// ray is the index of the ray nearest to a place.
func (r *Room) ray(x, y float64) (int, bool) {
	first := turned.Point(r.grid.Point(0, 0, 0))
	p := turned.Point(r3.Vector{X: x, Y: y})
	pu, pv := r.grid.PitchMM()
	i, j := math.Round((p.X-first.X)/pu), math.Round((p.Y-first.Y)/pv)
	if !(i >= 0 && j >= 0 && i < float64(r.nu) && j < float64(r.nv)) {
		return 0, false
	}
	return int(j)*r.nu + int(i), true
}

// point is the middle of the room on ray k.
func (r *Room) point(k int) r3.Vector {
	return r.grid.Point(k%r.nu, k/r.nu, int32((int64(r.low[k])+int64(r.high[k]))/2))
}

// around calls do for the neighbours of ray k in its row and column.
func (r *Room) around(k int, do func(n int)) {
	i := k % r.nu
	if i > 0 {
		do(k - 1)
	}
	if i < r.nu-1 {
		do(k + 1)
	}
	if k >= r.nu {
		do(k - r.nu)
	}
	if k < len(r.state)-r.nu {
		do(k + r.nu)
	}
}

// meet reports whether the room on two rays overlaps.
func (r *Room) meet(k, n int) bool {
	return max(r.low[k], r.low[n]) < min(r.high[k], r.high[n])
}
