package cavity

import (
	"container/heap"
	"math"
	"slices"
)

// runnerWidths: what is no wider than this many times the room at the gate, and hangs together
// with it, is runner. Runners are cut with one cutter, and taper by less than this.
const runnerWidths = 1.3

// leastShare: a piece left beside a runner smaller than this share of the largest is part of the
// runner: a corner or a slug well.
const leastShare = 0.04

// divide turns a body of room into parts and the runner that feeds them, and appends them to
// r.Solids.
//
// Seen along z, the body is opened (eroded, then dilated) by a disc a little wider than the room
// around the gate. What that takes away and hangs together with the gate is the runner; where the
// opening leaves the gate standing, the gate is on the part and there is no runner.
func (r *Room) divide(body int, rays []int32, gates []gateRays) {
	whole := func() {
		s := int32(len(r.Solids))
		for _, k := range rays {
			r.of[k] = s
		}
		r.Solids = append(r.Solids, Solid{Kind: Part, Body: body, Gates: numbers(gates)})
	}
	if len(gates) == 0 {
		whole()
		return
	}
	p := newPlan(rays, r.nu)
	toEdge := p.distance(p.in, false)
	reach := 0.0
	for _, g := range gates {
		for _, k := range g.rays {
			if c, ok := p.cell(int(k)); ok && p.in[c] {
				reach = max(reach, toEdge[c])
			}
		}
	}
	reach = runnerWidths*reach + 1
	core := make([]bool, len(p.in))
	some := false
	for c := range core {
		core[c] = p.in[c] && toEdge[c] > reach
		some = some || core[c]
	}
	if !some {
		whole()
		return
	}
	toCore := p.distance(core, true)
	opened := func(c int) bool { return p.in[c] && toCore[c] <= reach }
	runner := make([]bool, len(p.in))
	var queue []int
	for _, g := range gates {
		for _, k := range g.rays {
			c, ok := p.cell(int(k))
			if !ok || !p.in[c] {
				continue
			}
			if opened(c) {
				whole()
				return
			}
			if !runner[c] {
				runner[c] = true
				queue = append(queue, c)
			}
		}
	}
	start := slices.Clone(queue)
	for len(queue) > 0 {
		c := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		p.around(c, func(n int) {
			if p.in[n] && !runner[n] && !opened(n) {
				runner[n] = true
				queue = append(queue, n)
			}
		})
	}
	pieces := p.pieces(func(c int) bool { return p.in[c] && !runner[c] })
	largest := 0
	for _, piece := range pieces {
		largest = max(largest, len(piece))
	}
	var parts [][]int
	for _, piece := range pieces {
		if float64(len(piece)) < leastShare*float64(largest) {
			for _, c := range piece {
				runner[c] = true
			}
			continue
		}
		parts = append(parts, piece)
	}
	way := p.way(runner, start)
	pitch, _ := r.grid.PitchMM()
	for _, part := range parts {
		s := int32(len(r.Solids))
		nearest := math.Inf(1)
		for _, c := range part {
			r.of[p.ray(c)] = s
			p.around(c, func(n int) { nearest = min(nearest, way[n]) })
		}
		out := Solid{Kind: Part, Body: body, Gates: numbers(gates)}
		if !math.IsInf(nearest, 1) {
			out.FlowMM = nearest * pitch
			out.FlowErrorMM = wayShare*out.FlowMM + 2*pitch
		}
		r.Solids = append(r.Solids, out)
	}
	s := int32(len(r.Solids))
	for c := range runner {
		if runner[c] {
			r.of[p.ray(c)] = s
		}
	}
	r.Solids = append(r.Solids, Solid{Kind: Runner, Body: body, Gates: numbers(gates)})
}

func numbers(gates []gateRays) []int {
	var list []int
	for _, g := range gates {
		list = append(list, g.number)
	}
	return list
}

// plan is the window of the grid around one body, with a border of one cell.
type plan struct {
	in             []bool
	width, height  int
	firstU, firstV int
	nu             int
}

func newPlan(rays []int32, nu int) *plan {
	lowU, highU, lowV, highV := math.MaxInt, 0, math.MaxInt, 0
	for _, k := range rays {
		i, j := int(k)%nu, int(k)/nu
		lowU, highU, lowV, highV = min(lowU, i), max(highU, i), min(lowV, j), max(highV, j)
	}
	p := &plan{firstU: lowU - 1, firstV: lowV - 1, width: highU - lowU + 3, height: highV - lowV + 3, nu: nu}
	p.in = make([]bool, p.width*p.height)
	for _, k := range rays {
		c, _ := p.cell(int(k))
		p.in[c] = true
	}
	return p
}

func (p *plan) cell(k int) (int, bool) {
	i, j := k%p.nu-p.firstU, k/p.nu-p.firstV
	if i < 0 || j < 0 || i >= p.width || j >= p.height {
		return 0, false
	}
	return j*p.width + i, true
}

func (p *plan) ray(c int) int { return (c/p.width+p.firstV)*p.nu + c%p.width + p.firstU }

func (p *plan) around(c int, do func(n int)) {
	i := c % p.width
	if i > 0 {
		do(c - 1)
	}
	if i < p.width-1 {
		do(c + 1)
	}
	if c >= p.width {
		do(c - p.width)
	}
	if c < len(p.in)-p.width {
		do(c + p.width)
	}
}

// pieces are the connected pieces of the cells that are wanted, in the order of their first cells.
func (p *plan) pieces(wanted func(c int) bool) [][]int {
	seen := make([]bool, len(p.in))
	var list [][]int
	for c := range p.in {
		if seen[c] || !wanted(c) {
			continue
		}
		piece := []int{c}
		seen[c] = true
		for n := 0; n < len(piece); n++ {
			p.around(piece[n], func(m int) {
				if !seen[m] && wanted(m) {
					seen[m] = true
					piece = append(piece, m)
				}
			})
		}
		list = append(list, piece)
	}
	return list
}

// distance is, for every cell, the distance in cells to the nearest cell of which set holds value:
// the exact transform of Felzenszwalb and Huttenlocher (Distance Transforms of Sampled Functions,
// Theory of Computing 8, 2012), rows after columns.
func (p *plan) distance(set []bool, value bool) []float64 {
	const far = 1e12
	d := make([]float64, len(set))
	for c, s := range set {
		if s != value {
			d[c] = far
		}
	}
	longest := max(p.width, p.height)
	line, out := make([]float64, longest), make([]float64, longest)
	at, border := make([]int, longest), make([]float64, longest+1)
	for i := range p.width {
		for j := range p.height {
			line[j] = d[j*p.width+i]
		}
		lowerEnvelope(line[:p.height], out, at, border)
		for j := range p.height {
			d[j*p.width+i] = out[j]
		}
	}
	for j := range p.height {
		row := d[j*p.width : (j+1)*p.width]
		copy(line, row)
		lowerEnvelope(line[:p.width], out, at, border)
		for i := range row {
			row[i] = math.Sqrt(out[i])
		}
	}
	return d
}

// lowerEnvelope sets out[q] to the least of (q-p)^2 + f[p] over all p.
func lowerEnvelope(f, out []float64, at []int, border []float64) {
	k := 0
	at[0] = 0
	border[0], border[1] = math.Inf(-1), math.Inf(1)
	cross := func(q, p int) float64 {
		return ((f[q] + float64(q*q)) - (f[p] + float64(p*p))) / float64(2*q-2*p)
	}
	for q := 1; q < len(f); q++ {
		s := cross(q, at[k])
		for s <= border[k] {
			k--
			s = cross(q, at[k])
		}
		k++
		at[k] = q
		border[k], border[k+1] = s, math.Inf(1)
	}
	k = 0
	for q := range f {
		for border[k+1] < float64(q) {
			k++
		}
		d := float64(q - at[k])
		out[q] = d*d + f[at[k]]
	}
}

// wayShare is how much longer than the straight way a chain of steps to the eight neighbours and
// the eight knight's moves may be: at the worst angle, 13.3 degrees, 2.7 %.
const wayShare = 0.028

// way is the length, in cells, of the shortest way from the start through the wanted cells, to each
// of them; infinite elsewhere.
func (p *plan) way(wanted []bool, start []int) []float64 {
	d := make([]float64, len(wanted))
	for c := range d {
		d[c] = math.Inf(1)
	}
	// From the middle of the gate, not from its rim.
	if len(start) == 0 {
		return d
	}
	x, y := 0.0, 0.0
	for _, c := range start {
		x, y = x+float64(c%p.width), y+float64(c/p.width)
	}
	x, y = x/float64(len(start)), y/float64(len(start))
	q := &queue{}
	for _, c := range start {
		d[c] = math.Hypot(float64(c%p.width)-x, float64(c/p.width)-y)
		q.list = append(q.list, stop{d[c], c})
	}
	heap.Init(q)
	for q.Len() > 0 {
		s := heap.Pop(q).(stop)
		if s.way > d[s.cell] {
			continue
		}
		i, j := s.cell%p.width, s.cell/p.width
		for _, m := range moves {
			u, v := i+m.u, j+m.v
			if u < 0 || v < 0 || u >= p.width || v >= p.height {
				continue
			}
			n := v*p.width + u
			if next := s.way + m.length; wanted[n] && next < d[n] {
				d[n] = next
				heap.Push(q, stop{next, n})
			}
		}
	}
	return d
}

var moves = func() (list []struct {
	u, v   int
	length float64
}) {
	for u := -2; u <= 2; u++ {
		for v := -2; v <= 2; v++ {
			if a, b := u*u, v*v; a+b == 1 || a+b == 2 || a+b == 5 {
				list = append(list, struct {
					u, v   int
					length float64
				}{u, v, math.Sqrt(float64(a + b))})
			}
		}
	}
	return list
}()

type stop struct {
	way  float64
	cell int
}

type queue struct{ list []stop }

func (q *queue) Len() int { return len(q.list) }
func (q *queue) Less(i, j int) bool {
	a, b := q.list[i], q.list[j]
	return a.way < b.way || a.way == b.way && a.cell < b.cell
}
func (q *queue) Swap(i, j int) { q.list[i], q.list[j] = q.list[j], q.list[i] }
func (q *queue) Push(x any)    { q.list = append(q.list, x.(stop)) }
func (q *queue) Pop() any {
	last := q.list[len(q.list)-1]
	q.list = q.list[:len(q.list)-1]
	return last
}
