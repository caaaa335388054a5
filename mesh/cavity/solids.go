package cavity

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// leastRays is on how many rays a solid or a gap must be seen to be told from noise: three by
// three.
const leastRays = 9

// widths are the gaps between the halves square to their faces, in mm; -1 where there is none.
//
// Between two parallel faces that step by d from one ray to the next, pitch p away, room of length
// t along z is t p / sqrt(p^2 + d^2) wide. Only a step that both faces share is slope of the gap.
func (r *Room) widths() []float32 {
	w := make([]float32, len(r.state))
	q := r.grid.QuantumMM()
	pu, pv := r.grid.PitchMM()
	parallel.Chunks(r.nv, 16, func(_, from, to, _ int) {
		for k := from * r.nu; k < to*r.nu; k++ {
			if r.state[k]&hasGap == 0 {
				w[k] = -1
				continue
			}
			t := float64(r.high[k]-r.low[k]) * q
			if t == 0 {
				continue
			}
			slope := 0.0
			step := func(n int, pitch float64) {
				if r.state[n]&hasGap != 0 {
					d := min(absInt(r.low[n]-r.low[k]), absInt(r.high[n]-r.high[k]))
					slope = max(slope, float64(d)*q/pitch)
				}
			}
			i := k % r.nu
			if i > 0 {
				step(k-1, pu)
			}
			if i < r.nu-1 {
				step(k+1, pu)
			}
			if k >= r.nu {
				step(k-r.nu, pv)
			}
			if k < len(r.state)-r.nu {
				step(k+r.nu, pv)
			}
			w[k] = float32(t / math.Sqrt(1+slope*slope))
		}
	})
	return w
}

func absInt(x int32) int32 { return max(x, -x) }

// opensOutside reports whether the room on ray k meets what is open to the outside on a ray beside
// it.
func (r *Room) opensOutside(k int) bool {
	open := false
	r.around(k, func(n int) {
		if r.state[n]&outside == 0 {
			return
		}
		switch r.state[n] & inside {
		case metalBelow:
			open = open || r.high[k] > r.low[n]
		case metalAbove:
			open = open || r.low[k] < r.high[n]
		default:
			open = true
		}
	})
	return open
}

// basin is what is known of a connected piece of room while it grows.
type basin struct {
	widest float32
	rays   int32
	open   bool
}

func (r *Room) solids(opt Options) {
	w := r.widths()
	gap := float32(opt.GapMM)
	isRoom := func(k int) bool { return w[k] > gap }

	f := mesh.NewForest(len(w))
	for k := range w {
		if !isRoom(k) {
			continue
		}
		if k%r.nu > 0 && isRoom(k-1) && r.meet(k, k-1) {
			f.Join(int32(k), int32(k-1))
		}
		if k >= r.nu && isRoom(k-r.nu) && r.meet(k, k-r.nu) {
			f.Join(int32(k), int32(k-r.nu))
		}
	}
	basins := map[int32]*basin{}
	for k := range w {
		if !isRoom(k) {
			continue
		}
		root := f.Root(int32(k))
		b := basins[root]
		if b == nil {
			b = &basin{}
			basins[root] = b
		}
		b.widest = max(b.widest, w[k])
		b.rays++
		b.open = b.open || r.opensOutside(k)
	}
	var leaky []int32
	for k := range w {
		if isRoom(k) && basins[f.Root(int32(k))].open {
			leaky = append(leaky, int32(k))
		}
	}
	dams := r.dam(f, basins, leaky, w, float32(opt.FilmMM))

	// Number the bodies in the order of their first rays.
	body := map[int32]int32{}
	var bodies [][]int32
	for k := range w {
		if !isRoom(k) {
			continue
		}
		root := f.Root(int32(k))
		b := basins[root]
		if b.open || b.rays < leastRays || b.widest <= float32(opt.FilmMM) {
			continue
		}
		n, ok := body[root]
		if !ok {
			n = int32(len(bodies))
			body[root] = n
			bodies = append(bodies, nil)
		}
		bodies[n] = append(bodies[n], int32(k))
		r.of[k] = n
	}
	gates := r.gatesOf(len(bodies))
	for n, rays := range bodies {
		r.divide(n, rays, gates[n])
	}
	r.measure()
	r.gaps(opt, w, dams)
	r.bearing(opt, w)
}

// dam floods the room that is open to the outside in order of falling width and returns the rays on
// which a basin would have drained.
func (r *Room) dam(f mesh.Forest, basins map[int32]*basin, leaky []int32, w []float32, film float32) []int32 {
	if len(leaky) == 0 {
		return nil
	}
	for _, k := range leaky {
		delete(basins, f.Root(k))
	}
	for _, k := range leaky {
		f[k] = k
	}
	active := make([]bool, len(w))
	order := slices.Clone(leaky)
	slices.SortFunc(order, func(a, b int32) int { return cmp.Or(cmp.Compare(w[b], w[a]), cmp.Compare(a, b)) })
	var dams []int32
	for _, k := range order {
		open, cavity := r.opensOutside(int(k)), false
		var roots [4]int32
		n := 0
		r.around(int(k), func(m int) {
			if !active[m] || !r.meet(int(k), m) {
				return
			}
			root := f.Root(int32(m))
			b := basins[root]
			switch {
			case b.open:
				open = true
			case b.widest > film && b.widest >= LeakProminence*w[k] && b.rays >= leastRays:
				cavity = true
			}
			roots[n] = root
			n++
		})
		if open && cavity {
			dams = append(dams, k)
			basins[k] = &basin{open: true} // of no solid
			continue
		}
		active[k] = true
		b := &basin{widest: w[k], rays: 1, open: open}
		for _, root := range roots[:n] {
			if o := basins[root]; o != nil && f.Root(root) == root {
				if f.Root(k) == root {
					continue
				}
				b.widest, b.rays, b.open = max(b.widest, o.widest), b.rays+o.rays, b.open || o.open
				delete(basins, root)
				f.Join(k, root)
			}
		}
		delete(basins, k)
		basins[f.Root(k)] = b
	}
	return dams
}

// gatesOf numbers the holes of the fixed half that end in a body, for each body.
func (r *Room) gatesOf(bodies int) [][]gateRays {
	of := make([][]gateRays, bodies)
	for _, h := range r.holes {
		if h.throughFixed == 0 {
			continue
		}
		var rays []int32
		body := noSolid
		var x, y float64
		for _, k := range h.rays {
			if r.state[k]&metalBelow != 0 {
				continue
			}
			rays = append(rays, k)
			p := r.point(int(k))
			x, y = x+p.X, y+p.Y
			if body == noSolid {
				body = r.of[k]
			}
		}
		if body == noSolid {
			continue
		}
		n := float64(len(rays))
		at := r3.Vector{X: x / n, Y: y / n, Z: r.point(int(rays[0])).Z}
		of[body] = append(of[body], gateRays{number: len(r.Gates), rays: rays})
		r.Gates = append(r.Gates, Gate{At: at, AreaMM2: n * r.grid.CellMM2()})
	}
	return of
}

type gateRays struct {
	number int
	rays   []int32
}

// measure sums over the rays of each solid.
func (r *Room) measure() {
	type sums struct {
		quanta, rays   int64
		squares, edges float64
		x, y           float64
		box            geom.Box
	}
	q, cell := r.grid.QuantumMM(), r.grid.CellMM2()
	all := make([]sums, len(r.Solids))
	for s := range all {
		all[s].box = geom.EmptyBox()
	}
	height := func(k int, s int32) float64 {
		if r.of[k] != s {
			return 0
		}
		return float64(r.high[k] - r.low[k])
	}
	for k, s := range r.of {
		if s < 0 {
			continue
		}
		a := &all[s]
		a.quanta += int64(r.high[k] - r.low[k])
		a.rays++
		low := r.grid.Point(k%r.nu, k/r.nu, r.low[k])
		a.box = a.box.AddPoint(low)
		low.Z = r.grid.Along(r.high[k])
		a.box = a.box.AddPoint(low)
		a.x, a.y = a.x+low.X, a.y+low.Y
		r.around(k, func(n int) {
			d := float64(r.high[k]-r.low[k]) - height(n, s)
			if r.of[n] == s {
				a.squares += d * d / 2 // seen from both ends
				return
			}
			a.squares += d * d
			a.edges++
		})
	}
	for s := range all {
		a, out := &all[s], &r.Solids[s]
		out.VolumeMM3 = float64(a.quanta) * q * cell
		out.VolumeErrorMM3 = SigmaFactor*cell*q*math.Sqrt(a.squares/12) + 2*q*float64(a.rays)*cell
		out.AreaMM2 = float64(a.rays) * cell
		out.AreaErrorMM2 = SigmaFactor * cell * math.Sqrt(a.edges/12)
		out.Box = a.box
		out.Middle = r3.Vector{X: a.x / float64(a.rays), Y: a.y / float64(a.rays), Z: (a.box.Min.Z + a.box.Max.Z) / 2}
	}
}

// borderError is the error of the volume of a piece of which the lengths on all rays are known and
// the neighbours are not: every ray counts as a border on two sides.
func (r *Room) borderError(rays int, squares float64) float64 {
	return SigmaFactor*r.grid.CellMM2()*math.Sqrt(2*squares/12) + 2*r.grid.QuantumMM()*float64(rays)*r.grid.CellMM2()
}
