package difference

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/dexel"
	"pocketgauge/mesh/geom"
)

// skew is the turn of the sampling frame against the model. In a model of walls along its axes
// the length of metal on a ray then changes steadily from ray to ray instead of by jumps, and
// the error falls with the square of the pitch there instead of the pitch. No axis of the frame
// lies within 24 degrees of one of the model, none is square to one, and each model axis has
// one ray axis within 27 degrees, which sees faces square to it well. 35, 14 and 10 over 39 are
// a rational rotation: 35^2 + 14^2 + 10^2 = 39^2.
var skew = geom.Motion{
	Rotation: [3]r3.Vector{
		{X: -35.0 / 39, Y: -10.0 / 39, Z: -14.0 / 39},
		{X: -14.0 / 39, Y: 35.0 / 39, Z: 10.0 / 39},
		{X: 10.0 / 39, Y: 14.0 / 39, Z: -35.0 / 39},
	},
	Scale: 1,
}

// scene is two solids in one frame, ready for rays.
type scene struct {
	frame  dexel.Frame
	a, b   *dexel.Solid
	window geom.Box // in the frame's axes; what is of interest lies in it
	chain  bool
	// rounding bounds the effect of the frame on each volume.
	rounding float64
	seed     uint64
	// depth, if set, is how deep a point of a region lies; pieces are measured at their middle.
	depth func(r3.Vector) float64
}

// extent says what part of two solids a scene looks at.
type extent uint8

const (
	either extent = iota // the box around both
	common               // what their boxes have in common
	ofA
	ofB
)

// newScene snaps two meshes into one frame, turned against the model. area is that of the
// surfaces that bound what is measured. near, if not empty, is a box in the model's axes that
// limits the window further.
func newScene(a, b *mesh.Mesh, turn geom.Motion, of extent, near geom.Box, chain bool, area float64, seed uint64) (*scene, error) {
	boxA, boxB := dexel.TurnedBounds(a, turn), dexel.TurnedBounds(b, turn)
	whole := boxA.Union(boxB)
	s := &scene{chain: chain, seed: seed}
	switch of {
	case either:
		s.window = whole
	case common:
		s.window = boxA.Intersection(boxB)
	case ofA:
		s.window = boxA
	case ofB:
		s.window = boxB
	}
	if !near.IsEmpty() {
		corners := geom.EmptyBox()
		for k := range 8 {
			c := near.Min
			if k&1 == 1 {
				c.X = near.Max.X
			}
			if k&2 == 2 {
				c.Y = near.Max.Y
			}
			if k&4 == 4 {
				c.Z = near.Max.Z
			}
			corners = corners.AddPoint(turn.Point(c))
		}
		s.window = s.window.Intersection(corners)
	}
	var err error
	if turn.IsIdentity() {
		s.frame, err = dexel.NewFrame(whole)
	} else {
		s.frame, err = dexel.NewTurnedFrame(whole, turn)
	}
	if err != nil {
		return nil, err
	}
	s.rounding = s.frame.RoundingMM3(area)
	if s.window.IsEmpty() {
		s.window = geom.Box{Min: whole.Min, Max: whole.Min}
	}
	// A window needs some width for its cells.
	s.window = s.window.Expand(4 * s.frame.QuantumMM()).Intersection(whole)
	if s.a, err = s.frame.Snap(a); err != nil {
		return nil, err
	}
	if s.b, err = s.frame.Snap(b); err != nil {
		return nil, err
	}
	return s, nil
}

// leastRows is how few rows a grid may have: the spread of the row sums is the measure of their
// error, and that of 96 is known to about a tenth.
const leastRows = 96

// grid has about the given number of rays over a box in the frame's axes, square cells where
// the box is not too narrow.
func (s *scene) grid(axis dexel.Axis, over geom.Box, rays int) (*dexel.Grid, error) {
	size := over.Size()
	u := max(component(size, (int(axis)+1)%3), s.frame.QuantumMM())
	v := max(component(size, (int(axis)+2)%3), s.frame.QuantumMM())
	pitch := math.Sqrt(u * v / float64(rays))
	side := func(length float64) int {
		return int(min(max(math.Round(length/pitch), leastRows), float64(dexel.MaxSide), float64(rays/leastRows)))
	}
	return dexel.NewGrid(s.frame, axis, over, side(u), side(v))
}

// estimate is one pass of sampling.
type estimate struct {
	axis   dexel.Axis
	rays   int
	volume [kinds]float64
	err    [kinds]float64 // as stated: SigmaFactor standard deviations
	pitch  float64
	folded int
}

// best is the least error of the kinds: since A, B and what they share follow from one another,
// the best known kind gives the others.
func (e *estimate) best() kind {
	k := onlyA
	for _, o := range [...]kind{onlyB, inBoth} {
		if e.err[o] < e.err[k] {
			k = o
		}
	}
	return k
}

// measure samples all kinds on a scattered grid.
func (s *scene) measure(axis dexel.Axis, rays int) (*estimate, error) {
	g, err := s.grid(axis, s.window, rays)
	if err != nil {
		return nil, err
	}
	g = g.Scatter(mix(s.seed + uint64(axis) + uint64(rays)<<2))
	nu, nv := g.Size()
	rows := make([][kinds]int64, nv)
	folded := make([]int, g.Bands())
	buffers := make([][]piece, dexel.Workers())
	dexel.Scan(g, []*dexel.Solid{s.a, s.b}, func(band, worker int, of []dexel.Band) {
		pieces := buffers[worker]
		for j := range of[0].Rows {
			var sum [kinds]int64
			for i := range nu {
				a, b := of[0].Ray(i, j), of[1].Ray(i, j)
				if len(a)+len(b) == 0 {
					continue
				}
				var sound bool
				pieces, sound = divide(pieces[:0], a, b, s.chain)
				if !sound {
					folded[band]++
				}
				for _, p := range pieces {
					sum[p.kind] += int64(p.high) - int64(p.low)
				}
			}
			rows[of[0].Row0+j] = sum
		}
		buffers[worker] = pieces
	})
	pu, pv := g.PitchMM()
	e := &estimate{axis: axis, rays: nu * nv, pitch: max(pu, pv)}
	for _, f := range folded {
		e.folded += f
	}
	perQuantum := g.QuantumMM() * g.CellMM2()
	sums := make([]float64, nv)
	for k := range kinds {
		total := int64(0)
		for j := range rows {
			sums[j] = float64(rows[j][k]) * perQuantum
			total += rows[j][k]
		}
		e.volume[k] = float64(total) * perQuantum
		e.err[k] = RowError(sums) + unseen(pu, pv)
	}
	if s.chain {
		e.err[inBoth] = math.Inf(1)
	}
	return e, nil
}

// unseen is what may hide between the rays: a body two pitches across.
func unseen(pu, pv float64) float64 { return 8 * pu * pv * min(pu, pv) }

// RowError is the error of the sum of independent row sums, from their second differences
// (package doc). When a few rows carry most of the spread it is less certain, and the factor
// grows as Student's t does: Satterthwaite's effective number of degrees of freedom (An
// Approximate Distribution of Estimates of Variance Components, Biometrics Bull. 1946), and the
// expansion of t by Abramowitz and Stegun, 26.7.5. A single jump counts as three degrees.
func RowError(rows []float64) float64 {
	n := len(rows)
	if n < 3 {
		return math.Inf(1)
	}
	var second, fourth float64
	for j := 1; j+1 < n; j++ {
		d := rows[j-1] - 2*rows[j] + rows[j+1]
		second += d * d
		fourth += d * d * d * d
	}
	if second == 0 {
		return 0
	}
	// Each difference shares rows with its neighbours, which halves what they tell.
	freedom := 1.5 * second * second / fourth
	const z = SigmaFactor
	t := z + (z*z*z+z)/(4*freedom) + (5*z*z*z*z*z+16*z*z*z+3*z)/(96*freedom*freedom)
	return t * math.Sqrt(second/6*float64(n)/float64(n-2))
}

// firstRays is the number of rays of the pass that chooses the axis.
const firstRays = 1 << 16

// settle samples along the three axes, and then along the best of them until the stated error
// is under share of the larger difference or the rays are spent.
//
// The error of a pass falls with the pitch to the power 3/2 or faster, so it falls at least
// with the power 3/4 of the number of rays; that tells how many are needed, and the second pass
// is nearly always the last.
func (s *scene) settle(share float64, mostRays int) (*estimate, error) {
	var passes []*estimate
	var best *estimate
	for _, axis := range [...]dexel.Axis{dexel.Z, dexel.X, dexel.Y} {
		e, err := s.measure(axis, min(firstRays, mostRays))
		if err != nil {
			return nil, err
		}
		passes = append(passes, e)
		if best == nil || e.err[e.best()] < best.err[best.best()] {
			best = e
		}
	}
	for {
		target := share * max(best.volume[onlyA], best.volume[onlyB])
		excess := best.err[best.best()] / target
		if !(excess > 1) || best.rays*3/2 > mostRays {
			break
		}
		need := float64(best.rays) * math.Pow(excess, 4.0/3) * 1.2
		e, err := s.measure(best.axis, int(min(max(need, float64(2*best.rays)), float64(mostRays))))
		if err != nil {
			return nil, err
		}
		if e.err[e.best()] >= best.err[best.best()] {
			break
		}
		best = e
	}
	// The other axes must not contradict the chosen one: what they differ by beyond their own
	// stated errors is added. That is zero for nearly all solids; it catches a body so thin
	// across the chosen rays that few hit it.
	for k := range kinds {
		for _, e := range passes {
			if e.axis != best.axis && !math.IsInf(best.err[k], 1) {
				best.err[k] = max(best.err[k], math.Abs(e.volume[k]-best.volume[k])-e.err[k])
			}
		}
	}
	return best, nil
}

func (e *estimate) String() string {
	return fmt.Sprintf("rays %.2g mm apart", e.pitch)
}
