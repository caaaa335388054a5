package index

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/parallel"
)

// A ref is a triangle while the tree is being built: its box on a grid of 2^15 cells an axis,
// low corner and complemented high corner as three 16-bit lanes each, the top lane of each
// holding half of the triangle's index. Complementing makes both ends of a box a minimum, and
// lanes whose top bit is free let one subtraction compare all three axes (see minLanes). The
// grid only decides where to split; the boxes of the finished nodes are made from the corners.
type ref struct{ low, high uint64 }

const (
	gridCells = 1<<15 - 1
	laneTops  = 0x0000_8000_8000_8000
	laneMask  = 0x0000_7fff_7fff_7fff
	idShift   = 48

	// leafTriangles is the most a leaf holds. Measured on a million triangles at 1, 2, 3, 4 and 6:
	// rays and balls differ by less than the noise from 2 to 6 and are a tenth slower at 1; the
	// build takes twice the time and memory at 3 and under.
	leafTriangles = 4
	// taskTriangles is the size under which a subtree is one task of one core.
	taskTriangles = 1 << 14
	// depthOfHeuristic is the depth of wide nodes from which ranges are halved by count, which
	// bounds the depth, and with it the stack, for any input.
	depthOfHeuristic = 12
	// stackSize is (depthOfHeuristic + log8 of 2^31 triangles) nodes, seven waiting at each.
	stackSize = (depthOfHeuristic + 11) * (width - 1)

	mostBins = 16
	fewBins  = 8
)

func (r ref) id() int32 { return int32(uint32(r.low>>idShift) | uint32(r.high>>idShift)<<16) }

// minLanes is the lane-wise minimum of three 15-bit lanes; the top lane is a's.
func minLanes(a, b uint64) uint64 {
	ge := ((a | laneTops) - b&laneMask) & laneTops // the top bit of a lane survives where a >= b
	take := ge - ge>>15                            // 0x7fff in those lanes
	return b&take | a&^take
}

// Build makes the tree. Time n log n, memory about 60 bytes a triangle while it runs.
func Build(m *mesh.Mesh) *Tree {
	t := &Tree{mesh: m, vertex: vertexArrays(m.Vertices)}
	n := len(m.Triangles)
	t.tri = make([]corners, n, n+leafTriangles-1) // leafMask reads four from any
	if n == 0 {
		t.box = geom.EmptyBox()
		return t
	}
	t.box = boxOfTriangles(m)
	t.centre = t.box.Center()
	size := t.box.Size()
	t.radius = max(size.X, size.Y, size.Z) / 2
	t.slack = boxSlack(t.radius)

	b := &builder{t: t, refs: make([]ref, n)}
	b.makeRefs()
	b.run()
	return t
}

func boxOfTriangles(m *mesh.Mesh) geom.Box {
	const chunk = 1 << 15
	boxes := make([]geom.Box, (len(m.Triangles)+chunk-1)/chunk)
	parallel.Chunks(len(m.Triangles), chunk, func(k, from, to, _ int) {
		inf := math.Inf(1)
		lo, hi := [3]float64{inf, inf, inf}, [3]float64{-inf, -inf, -inf}
		vertex := vertexArrays(m.Vertices)
		for _, tri := range m.Triangles[from:to] {
			for _, v := range tri {
				for a, x := range vertex[v] {
					if x < lo[a] {
						lo[a] = x
					}
					if x > hi[a] {
						hi[a] = x
					}
				}
			}
		}
		boxes[k] = geom.Box{Min: r3.Vector{X: lo[0], Y: lo[1], Z: lo[2]}, Max: r3.Vector{X: hi[0], Y: hi[1], Z: hi[2]}}
	})
	box := geom.EmptyBox()
	for _, b := range boxes {
		box = box.Union(b)
	}
	return box
}

type builder struct {
	t    *Tree
	refs []ref
	// cell is the size of a grid cell by axis, in millimetres.
	cell [3]float64
}

func (b *builder) makeRefs() {
	t := b.t
	lo := [3]float64{t.box.Min.X, t.box.Min.Y, t.box.Min.Z}
	size := t.box.Size()
	scale := [3]float64{}
	for a, s := range [3]float64{size.X, size.Y, size.Z} {
		b.cell[a] = s / gridCells
		if s > 0 {
			scale[a] = gridCells / s
		}
	}
	parallel.Chunks(len(b.refs), 1<<14, func(_, from, to, _ int) {
		for i := from; i < to; i++ {
			tri := t.mesh.Triangles[i]
			p, q, r := &t.vertex[tri[0]], &t.vertex[tri[1]], &t.vertex[tri[2]]
			var low, high uint64
			for a := range 3 {
				x0 := int32((p[a] - lo[a]) * scale[a])
				x1 := int32((q[a] - lo[a]) * scale[a])
				x2 := int32((r[a] - lo[a]) * scale[a])
				low |= uint64(clampCell(min(x0, x1, x2))) << (16 * a)
				high |= uint64(gridCells-clampCell(max(x0, x1, x2))) << (16 * a)
			}
			low |= uint64(uint16(i)) << idShift
			high |= uint64(uint16(i>>16)) << idShift
			b.refs[i] = ref{low, high}
		}
	})
}

func clampCell(x int32) uint32 { return uint32(min(max(x, 0), gridCells)) }

// span is a run of refs with their common box.
type span struct {
	from, to  int
	low, high uint64
}

func (s span) count() int { return s.to - s.from }

// halfArea of a box in lanes, in square millimetres.
func (b *builder) halfArea(low, high uint64) float64 {
	x := float64(int32(gridCells-high&0x7fff)-int32(low&0x7fff)+1) * b.cell[0]
	y := float64(int32(gridCells-high>>16&0x7fff)-int32(low>>16&0x7fff)+1) * b.cell[1]
	z := float64(int32(gridCells-high>>32&0x7fff)-int32(low>>32&0x7fff)+1) * b.cell[2]
	return x*y + y*z + z*x
}

type bin struct {
	low, high uint64
	count     int
}

const emptyLanes = laneMask

type bins [3][mostBins]bin

// binning says how a centroid maps to a bin: the sum of a box's ends, less the base, times the
// factor, shifted.
type binning struct {
	axes   [3]bool
	base   [3]uint32
	factor [3]uint32
	n      int
}

const factorBits = 16

func (b *builder) binningOf(s span) binning {
	g := binning{n: mostBins}
	small := s.count() <= 64
	if small {
		g.n = fewBins
	}
	longest, most := -1, 0.0
	for a := range 3 {
		lo := uint32(s.low >> (16 * a) & 0x7fff)
		hi := gridCells - uint32(s.high>>(16*a)&0x7fff)
		extent := 2*(hi-lo) + 1
		g.base[a] = 2 * lo
		// The product stays under 2^32: extent*(n<<16)/extent <= 16<<16, and rounding is down.
		g.factor[a] = uint32(g.n<<factorBits) / (extent + 1)
		g.axes[a] = hi > lo && !small
		if mm := float64(hi-lo) * b.cell[a]; hi > lo && mm > most {
			longest, most = a, mm
		}
	}
	// Small ranges are split along their longest side only: there, setting up and sweeping the
	// bins of the other two axes would cost more than looking at the triangles.
	if small && longest >= 0 {
		g.axes[longest] = true
	}
	return g
}

func (g *binning) bin(a int, r ref) int {
	shift := 16 * a
	sum := uint32(r.low>>shift&0x7fff) + gridCells - uint32(r.high>>shift&0x7fff) - g.base[a]
	return int(sum * g.factor[a] >> factorBits & (mostBins - 1))
}

func (g *binning) fill(out *bins, refs []ref) {
	for a := range 3 {
		if !g.axes[a] {
			continue
		}
		for k := range g.n {
			out[a][k] = bin{low: emptyLanes, high: emptyLanes}
		}
	}
	if g.axes[0] && g.axes[1] && g.axes[2] {
		for _, r := range refs {
			for a := range 3 {
				c := &out[a][g.bin(a, r)]
				c.low = minLanes(c.low, r.low)
				c.high = minLanes(c.high, r.high)
				c.count++
			}
		}
		return
	}
	for a := range 3 {
		if !g.axes[a] {
			continue
		}
		row := &out[a]
		for _, r := range refs {
			c := &row[g.bin(a, r)]
			c.low = minLanes(c.low, r.low)
			c.high = minLanes(c.high, r.high)
			c.count++
		}
	}
}

// merge adds the bins of another part of the same span.
func (g *binning) merge(into, from *bins) {
	for a := range 3 {
		if !g.axes[a] {
			continue
		}
		for k := range g.n {
			c, d := &into[a][k], &from[a][k]
			c.low, c.high, c.count = minLanes(c.low, d.low), minLanes(c.high, d.high), c.count+d.count
		}
	}
}

// split divides a span at the cheapest of the bin borders, or in the middle of its order where
// all centroids share a bin.
func (b *builder) split(s span, byCount bool) (left, right span) {
	if !byCount {
		g := b.binningOf(s)
		var all bins
		if s.count() >= 4*taskTriangles {
			b.fillParallel(&g, &all, s)
		} else {
			g.fill(&all, b.refs[s.from:s.to])
		}
		if axis, at := b.cheapest(&g, &all); axis >= 0 {
			return b.partition(s, &g, &all, axis, at)
		}
	}
	mid := s.from + s.count()/2
	return b.spanOf(s.from, mid), b.spanOf(mid, s.to)
}

func (b *builder) fillParallel(g *binning, all *bins, s span) {
	const chunk = taskTriangles
	parts := make([]bins, (s.count()+chunk-1)/chunk)
	parallel.Chunks(s.count(), chunk, func(k, from, to, _ int) { g.fill(&parts[k], b.refs[s.from+from:s.from+to]) })
	*all = parts[0]
	for k := 1; k < len(parts); k++ {
		g.merge(all, &parts[k])
	}
}

func (b *builder) cheapest(g *binning, all *bins) (axis, at int) {
	axis = -1
	best := math.Inf(1)
	var rightCost [mostBins]float64
	for a := range 3 {
		if !g.axes[a] {
			continue
		}
		low, high, n := uint64(emptyLanes), uint64(emptyLanes), 0
		for k := g.n - 1; k > 0; k-- {
			c := &all[a][k]
			if c.count > 0 {
				low, high, n = minLanes(low, c.low), minLanes(high, c.high), n+c.count
			}
			rightCost[k] = math.Inf(1)
			if n > 0 {
				rightCost[k] = b.halfArea(low, high) * float64(n)
			}
		}
		low, high, n = emptyLanes, emptyLanes, 0
		for k := 0; k < g.n-1; k++ {
			c := &all[a][k]
			if c.count == 0 {
				continue // the same split as the one before
			}
			low, high, n = minLanes(low, c.low), minLanes(high, c.high), n+c.count
			if cost := b.halfArea(low, high)*float64(n) + rightCost[k+1]; cost < best {
				best, axis, at = cost, a, k+1
			}
		}
	}
	return axis, at
}

func (b *builder) partition(s span, g *binning, all *bins, axis, at int) (left, right span) {
	refs := b.refs
	i, j := s.from, s.to-1
	for {
		for i <= j && g.bin(axis, refs[i]) < at {
			i++
		}
		for i <= j && g.bin(axis, refs[j]) >= at {
			j--
		}
		if i > j {
			break
		}
		refs[i], refs[j] = refs[j], refs[i]
		i++
		j--
	}
	left = span{s.from, i, emptyLanes, emptyLanes}
	right = span{i, s.to, emptyLanes, emptyLanes}
	for k := range g.n {
		c := &all[axis][k]
		side := &left
		if k >= at {
			side = &right
		}
		side.low, side.high = minLanes(side.low, c.low), minLanes(side.high, c.high)
	}
	return left, right
}

func (b *builder) spanOf(from, to int) span {
	s := span{from, to, emptyLanes, emptyLanes}
	for _, r := range b.refs[from:to] {
		s.low, s.high = minLanes(s.low, r.low), minLanes(s.high, r.high)
	}
	return s
}

// branch is a node of the upper, binary tree that is split before the cores share the rest.
type branch struct {
	span
	left, right *branch
}

// run splits the upper tree, then lets the cores build the subtrees under it in their order and
// join the upper tree's wide nodes to them. Subtrees are appended in the order of the tree, so
// the numbering does not depend on which core finished first.
func (b *builder) run() {
	root := &branch{span: b.spanOfAll()}
	var wg sync.WaitGroup
	b.grow(root, &wg, 0)
	wg.Wait()

	var tasks []*branch
	gatherTasks(root, &tasks)
	t := b.t
	// A node for 14 triangles is what models of a hundred thousand and more take.
	t.nodes = make([]node, 0, len(b.refs)/14+64)
	top := &topBuilder{b: b, task: make(map[*branch]int, len(tasks)), done: make([]subtree, len(tasks))}
	for i, s := range tasks {
		top.task[s] = i
	}
	// The upper wide nodes come first; their number does not depend on the subtrees.
	t.nodes = t.nodes[:top.countNodes(root)]

	var turn sync.Mutex
	arrived := sync.NewCond(&turn)
	next := 0
	var take atomic.Int64
	for range min(runtime.GOMAXPROCS(0), len(tasks)) {
		wg.Go(func() {
			w := &subtreeBuilder{builder: b}
			for {
				i := int(take.Add(1)) - 1
				if i >= len(tasks) {
					return
				}
				w.nodes = w.nodes[:0]
				ref, box := w.build(tasks[i].span, 1)
				turn.Lock()
				for next != i {
					arrived.Wait()
				}
				base := int32(len(t.nodes))
				t.nodes = append(t.nodes, w.nodes...)
				next++
				arrived.Broadcast()
				turn.Unlock()
				// Only this core knows of the nodes just appended; a growing append copies
				// them, so their children are made absolute under no lock but before use.
				top.done[i] = subtree{ref, box, base, int32(len(w.nodes))}
			}
		})
	}
	wg.Wait()
	parallel.Chunks(len(tasks), 1, func(k, _, _, _ int) {
		d := &top.done[k]
		for i := d.base; i < d.base+d.count; i++ {
			for c, child := range t.nodes[i].child {
				if child >= 0 && t.nodes[i].plane[0][c] != emptyEdge {
					t.nodes[i].child[c] = child + d.base
				}
			}
		}
		if d.ref >= 0 {
			d.ref += d.base
		}
	})
	top.emit(root)
}

func (b *builder) spanOfAll() span {
	return span{0, len(b.refs), 0, 0} // the grid is the box of all
}

func (b *builder) grow(s *branch, wg *sync.WaitGroup, depth int) {
	if s.count() <= taskTriangles {
		return
	}
	// A branch is at most three levels of a wide node; past the depth of the heuristic halve.
	l, r := b.split(s.span, depth >= 3*depthOfHeuristic/2)
	s.left, s.right = &branch{span: l}, &branch{span: r}
	wg.Go(func() { b.grow(s.left, wg, depth+1) })
	b.grow(s.right, wg, depth+1)
}

func gatherTasks(s *branch, out *[]*branch) {
	if s.left == nil {
		*out = append(*out, s)
		return
	}
	gatherTasks(s.left, out)
	gatherTasks(s.right, out)
}

// subtree is what a task made: the reference to its root, its box, and where its nodes are.
type subtree struct {
	ref         int32
	box         box32
	base, count int32
}

// topBuilder makes the wide nodes over the subtrees.
type topBuilder struct {
	b    *builder
	task map[*branch]int
	done []subtree
	used int32
}

// gather opens the branches under s, largest first, until a wide node is full.
func (top *topBuilder) gather(s *branch) []*branch {
	kids := []*branch{s}
	for len(kids) < width {
		widest, area := -1, -1.0
		for i, k := range kids {
			if k.left == nil {
				continue
			}
			if a := top.b.halfArea(k.low, k.high); a > area {
				widest, area = i, a
			}
		}
		if widest < 0 {
			break
		}
		k := kids[widest]
		kids[widest] = k.left
		kids = append(kids, k.right)
	}
	return kids
}

func (top *topBuilder) countNodes(s *branch) int {
	if s.left == nil {
		return 1 // only asked of the root: a root that is one subtree still gets a node over it
	}
	n := 1
	for _, k := range top.gather(s) {
		if k.left != nil {
			n += top.countNodes(k)
		}
	}
	return n
}

func (top *topBuilder) emit(s *branch) (int32, box32) {
	at := top.used
	top.used++
	var n node
	n.clear()
	all := emptyBox32()
	for i, k := range top.gather(s) {
		var ref int32
		var box box32
		if k.left == nil {
			d := &top.done[top.task[k]]
			ref, box = d.ref, d.box
		} else {
			ref, box = top.emit(k)
		}
		n.set(i, ref, box)
		all.add(box)
	}
	top.b.t.nodes[at] = n
	return at, all
}

// box32 is a box in the local coordinates of the nodes.
type box32 struct{ lo, hi [3]float32 }

func emptyBox32() box32 {
	return box32{[3]float32{emptyEdge, emptyEdge, emptyEdge}, [3]float32{-emptyEdge, -emptyEdge, -emptyEdge}}
}

func (b *box32) add(o box32) {
	for a := range 3 {
		if o.lo[a] < b.lo[a] {
			b.lo[a] = o.lo[a]
		}
		if o.hi[a] > b.hi[a] {
			b.hi[a] = o.hi[a]
		}
	}
}

func (n *node) clear() {
	for a := range 3 {
		for i := range width {
			n.plane[2*a][i], n.plane[2*a+1][i] = emptyEdge, -emptyEdge
		}
	}
}

func (n *node) set(i int, ref int32, box box32) {
	for a := range 3 {
		n.plane[2*a][i], n.plane[2*a+1][i] = box.lo[a], box.hi[a]
	}
	n.child[i] = ref
}

// subtreeBuilder builds one subtree at a time on one core; child indices are relative to it.
type subtreeBuilder struct {
	*builder
	nodes []node
}

func (w *subtreeBuilder) build(s span, depth int) (int32, box32) {
	if s.count() <= leafTriangles {
		return w.leaf(s)
	}
	var kids [width]span
	var area [width]float64
	kids[0] = s
	area[0] = 1
	used := 1
	for used < width {
		widest, most := -1, -1.0
		for i := range used {
			if kids[i].count() > leafTriangles && area[i] > most {
				widest, most = i, area[i]
			}
		}
		if widest < 0 {
			break
		}
		l, r := w.split(kids[widest], depth >= depthOfHeuristic)
		kids[widest], kids[used] = l, r
		area[widest], area[used] = w.halfArea(l.low, l.high), w.halfArea(r.low, r.high)
		if depth >= depthOfHeuristic {
			// Opening by count keeps the halving balanced: eight equal parts a node.
			area[widest], area[used] = float64(l.count()), float64(r.count())
		}
		used++
	}
	at := int32(len(w.nodes))
	w.nodes = append(w.nodes, node{})
	w.nodes[at].clear()
	all := emptyBox32()
	for i := range used {
		ref, box := w.build(kids[i], depth+1)
		w.nodes[at].set(i, ref, box)
		all.add(box)
	}
	return at, all
}

func (w *subtreeBuilder) leaf(s span) (int32, box32) {
	t := w.t
	inf := math.Inf(1)
	lo, hi := [3]float64{inf, inf, inf}, [3]float64{-inf, -inf, -inf}
	for i := s.from; i < s.to; i++ {
		id := w.refs[i].id()
		tri := t.mesh.Triangles[id]
		t.tri[i] = corners{tri, id}
		for _, v := range tri {
			for a, x := range t.vertex[v] {
				if x < lo[a] {
					lo[a] = x
				}
				if x > hi[a] {
					hi[a] = x
				}
			}
		}
	}
	var box box32
	for a, c := range [3]float64{t.centre.X, t.centre.Y, t.centre.Z} {
		box.lo[a] = float32(lo[a] - c - t.slack)
		box.hi[a] = float32(hi[a] - c + t.slack)
	}
	return ^int32(s.from<<leafBits | (s.count() - 1)), box
}
