package difference

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/dexel"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/tol"
)

// Between compares two closed solids. A mesh that is not closed is an error that wraps
// ErrNotClosed.
func Between(a, b *mesh.Mesh, opt Options) (*Result, error) {
	opt = opt.withDefaults()
	sa, err := newSolid(a, "solid A")
	if err != nil {
		return nil, err
	}
	sb, err := newSolid(b, "solid B")
	if err != nil {
		return nil, err
	}
	r := &Result{VolumeA: sa.volume, VolumeB: sb.volume, TurnedA: sa.turned, TurnedB: sb.turned}
	apart := sa.box.Intersection(sb.box)
	if s := apart.Size(); s.X == 0 || s.Y == 0 || s.Z == 0 {
		r.fill(inBoth, Quantity{})
		r.Method, r.Exact = "apart", true
		return r, r.describe(sa, sb, opt, dexel.Z)
	}
	// Vertices were stored with a roundoff that is not known here; that of STL is the coarsest,
	// and what it leaves is measured and goes into the error.
	slack := tol.Noise(sb.box.Union(sa.box), tol.RoundoffSTL)
	if planes, off, ok := sb.convexPlanes(slack); ok {
		// A cut that falls into too many pieces is left to sampling.
		if c, err := sa.clip(planes); err == nil {
			return r, r.clipped(c, off*sb.area, sa, sb, "B", opt)
		}
	}
	if planes, off, ok := sa.convexPlanes(slack); ok {
		if c, err := sb.clip(planes); err == nil {
			return r, r.clipped(c, off*sa.area, sa, sb, "A", opt)
		}
	}
	restA, restB, shared := withoutShared(sa.Mesh, sb.Mesh)
	if len(restA.Triangles)+len(restB.Triangles) == 0 {
		r.fill(onlyA, Quantity{})
		r.Method, r.Exact = "the same facets", true
		return r, nil
	}
	// With few facets in common the places of change would be everywhere, and the direct
	// comparison says more: it also finds bodies that overlap within one mesh.
	if 4*shared > len(a.Triangles)+len(b.Triangles) {
		return r, r.changed(restA, restB, sa, sb, opt)
	}
	return r, r.sampled(sa, sb, opt)
}

// fill sets the three volumes from the one that is known: A = AOnly + Both, B = BOnly + Both.
func (r *Result) fill(k kind, q Quantity) {
	q.MM3 = max(q.MM3, 0)
	var both float64
	switch k {
	case onlyA:
		both = r.VolumeA.MM3 - q.MM3
	case onlyB:
		both = r.VolumeB.MM3 - q.MM3
	case inBoth:
		both = q.MM3
	}
	rounding := r.VolumeA.ErrorMM3 + r.VolumeB.ErrorMM3
	bound := func(v float64, known bool) Quantity {
		if known {
			return q
		}
		return Quantity{v, q.ErrorMM3 + rounding}
	}
	r.AOnly = bound(r.VolumeA.MM3-both, k == onlyA)
	r.BOnly = bound(r.VolumeB.MM3-both, k == onlyB)
	r.Both = bound(both, k == inBoth)
	for _, v := range []*Quantity{&r.AOnly, &r.BOnly, &r.Both} {
		if v.MM3 < 0 {
			// A volume cannot be negative; what it fell below zero by is within its error on
			// sound meshes, and is stated as such on others.
			v.ErrorMM3 = max(v.ErrorMM3, -v.MM3)
			v.MM3 = 0
		}
	}
}

func (r *Result) clipped(c *Clip, planeError float64, sa, sb *solid, convex string, opt Options) error {
	r.fill(inBoth, Quantity{c.Volume.MM3, c.Volume.ErrorMM3 + planeError})
	r.Exact = true
	r.Method = "clip at the planes of convex " + convex
	inner, name := &r.AOnly, "A"
	if convex == "A" {
		inner, name = &r.BOnly, "B"
	}
	if inner.MM3 <= inner.ErrorMM3 {
		r.Method += ", " + name + " lies inside"
	}
	return r.describe(sa, sb, opt, dexel.Z)
}

// describe finds the regions of both differences by rays over everything.
func (r *Result) describe(sa, sb *solid, opt Options, axis dexel.Axis) error {
	if opt.MostRegions < 0 {
		return nil
	}
	var wanted [kinds]bool
	wanted[onlyA] = r.AOnly.MM3 > r.AOnly.ErrorMM3
	wanted[onlyB] = r.BOnly.MM3 > r.BOnly.ErrorMM3 && !opt.RegionsOfA
	// Each difference lies in its own solid.
	for k, s := range [...]*solid{onlyA: sa, onlyB: sb} {
		if !wanted[k] {
			continue
		}
		l := looker{a: sa.Mesh, b: sb.Mesh, area: sa.area + sb.area, opt: opt}
		sc, err := l.scene([...]extent{onlyA: ofA, onlyB: ofB}[k], s.box)
		if err != nil {
			return err
		}
		var only [kinds]bool
		only[k] = true
		if err := r.gather(&l, sc, only); err != nil {
			return err
		}
	}
	r.finish(opt)
	return nil
}

// sampled compares by rays over both solids.
func (r *Result) sampled(sa, sb *solid, opt Options) error {
	l := looker{a: sa.Mesh, b: sb.Mesh, area: sa.area + sb.area, opt: opt}
	// Where the boxes have little in common, only that is looked at, and it gives the rest.
	of, near := either, geom.EmptyBox()
	if meet := sa.box.Intersection(sb.box); meet.VolumeMM3()*2 < sa.box.Union(sb.box).VolumeMM3() {
		of, near = common, meet
	}
	sc, err := l.scene(of, near)
	if err != nil {
		return err
	}
	e, err := sc.settle(opt.Share, opt.MostRays)
	if err != nil {
		return err
	}
	r.Method = "dexels, " + e.String()
	r.FoldedRays = e.folded
	if e.folded > 0 {
		// The signed volumes count metal twice where bodies overlap: only what was seen is said.
		if of == common {
			if sc, err = l.scene(either, geom.EmptyBox()); err != nil {
				return err
			}
			if e, err = sc.settle(opt.Share, opt.MostRays); err != nil {
				return err
			}
		}
		r.AOnly = Quantity{e.volume[onlyA], e.err[onlyA] + sc.rounding}
		r.BOnly = Quantity{e.volume[onlyB], e.err[onlyB] + sc.rounding}
		r.Both = Quantity{e.volume[inBoth], e.err[inBoth] + sc.rounding}
	} else {
		k := inBoth
		if of == either {
			k = e.best()
		}
		r.fill(k, Quantity{e.volume[k], e.err[k] + sc.rounding})
	}
	if opt.MostRegions < 0 {
		return nil
	}
	if of == common {
		if sc, err = l.scene(either, geom.EmptyBox()); err != nil {
			return err
		}
	}
	if err := r.gatherAlong(&l, sc, [kinds]bool{onlyA: true, onlyB: !opt.RegionsOfA}, e.axis); err != nil {
		return err
	}
	r.finish(opt)
	return nil
}

// changed compares two solids of which most facets are the same: each place of change is
// sampled on its own, and their independent errors add in squares.
func (r *Result) changed(restA, restB *mesh.Mesh, sa, sb *solid, opt Options) error {
	places := windows(append(setBoxes(restA, nil), setBoxes(restB, nil)...))
	slices.SortFunc(places, func(x, y geom.Box) int { return byPlace(x.Min, y.Min) })
	var volume, variance [2]float64
	rounding := 0.0
	for _, w := range places {
		l := looker{a: within(restA, w), b: within(restB, w), chain: true, opt: opt}
		l.area = areaOf(l.a) + areaOf(l.b)
		sc, err := l.scene(either, geom.EmptyBox())
		if err != nil {
			return err
		}
		e, err := sc.settle(opt.Share, max(opt.MostRays/len(places), firstRays))
		if err != nil {
			return err
		}
		for k := range volume {
			volume[k] += e.volume[k]
			variance[k] += e.err[k] * e.err[k]
		}
		rounding += sc.rounding
		if opt.MostRegions >= 0 {
			if err := r.gatherAlong(&l, sc, [kinds]bool{onlyA: true, onlyB: !opt.RegionsOfA}, e.axis); err != nil {
				return err
			}
		}
	}
	k := onlyA
	if variance[onlyB] < variance[onlyA] {
		k = onlyB
	}
	r.fill(k, Quantity{volume[k], math.Sqrt(variance[k]) + rounding})
	r.Method = fmt.Sprintf("shared facets cancelled, dexels at %d places of change", len(places))
	r.finish(opt)
	return nil
}

func areaOf(m *mesh.Mesh) float64 {
	s := 0.0
	for t := range m.Triangles {
		s += m.AreaVector(t).Norm()
	}
	return s
}

// looker makes scenes of two solids.
type looker struct {
	a, b  *mesh.Mesh
	chain bool
	area  float64
	opt   Options
	level *scene // in the model's axes, made when first asked for
}

// scene is a skew scene of the two.
func (l *looker) scene(of extent, near geom.Box) (*scene, error) {
	return newScene(l.a, l.b, skew, of, near, l.chain, l.area, l.opt.Seed)
}

// aligned is the scene in the model's own axes.
func (l *looker) aligned() (*scene, error) {
	if l.level != nil {
		return l.level, nil
	}
	var err error
	l.level, err = newScene(l.a, l.b, geom.Identity(), either, geom.EmptyBox(), l.chain, l.area, l.opt.Seed)
	return l.level, err
}

// gather finds regions along the axis that sees them best.
func (r *Result) gather(l *looker, sc *scene, wanted [kinds]bool) error {
	best, axis := math.Inf(1), dexel.Z
	for _, x := range [...]dexel.Axis{dexel.Z, dexel.X, dexel.Y} {
		e, err := sc.measure(x, max(min(firstRays, l.opt.RegionRays)/4, leastRows*leastRows))
		if err != nil {
			return err
		}
		s := 0.0
		for k, w := range wanted {
			if w {
				s += e.err[k]
			}
		}
		if s < best {
			best, axis = s, x
		}
	}
	return r.gatherAlong(l, sc, wanted, axis)
}

func (r *Result) gatherAlong(l *looker, sc *scene, wanted [kinds]bool, axis dexel.Axis) error {
	list, rest, err := sc.regions(axis, wanted, l.opt.NoiseMM, l.opt.RegionRays)
	if err != nil {
		return err
	}
	r.RestA += rest[onlyA]
	r.RestB += rest[onlyB]
	r.RestBoth += rest[inBoth]
	// Only so many can be reported: the list is in order of volume.
	kept := list[:0]
	var count [kinds]int
	for _, f := range list {
		if count[f.kind]++; count[f.kind] > l.opt.MostRegions {
			*[...]*float64{onlyA: &r.RestA, onlyB: &r.RestB, inBoth: &r.RestBoth}[f.kind] += f.VolumeMM3
			continue
		}
		kept = append(kept, f)
	}
	list = kept
	if !wanted[inBoth] {
		level, err := l.aligned()
		if err != nil {
			return err
		}
		if err := level.thicken(list); err != nil {
			return err
		}
	}
	for i := range list {
		f := &list[i]
		switch f.kind {
		case onlyA:
			r.RegionsA = append(r.RegionsA, f.Region)
		case onlyB:
			r.RegionsB = append(r.RegionsB, f.Region)
		case inBoth:
			r.RegionsBoth = append(r.RegionsBoth, f.Region)
		}
	}
	return nil
}

// finish orders the regions, keeps as many as were asked for, and where the total is known
// better than the sum of its regions gives the largest what the others leave of it.
func (r *Result) finish(opt Options) {
	for _, l := range [...]struct {
		list  *[]Region
		rest  *float64
		total Quantity
	}{{&r.RegionsA, &r.RestA, r.AOnly}, {&r.RegionsB, &r.RestB, r.BOnly}, {&r.RegionsBoth, &r.RestBoth, r.Both}} {
		list := *l.list
		slices.SortStableFunc(list, func(x, y Region) int {
			return cmp.Or(cmp.Compare(y.VolumeMM3, x.VolumeMM3), byPlace(x.Box.Min, y.Box.Min))
		})
		if len(list) > 0 {
			left, slack := l.total.MM3-*l.rest, l.total.ErrorMM3+*l.rest
			for _, x := range list[1:] {
				left -= x.VolumeMM3
				slack += x.ErrorMM3
			}
			if slack < list[0].ErrorMM3 && left > 0 {
				list[0].VolumeMM3, list[0].ErrorMM3 = left, slack
			}
		}
		if len(list) > opt.MostRegions {
			for _, x := range list[opt.MostRegions:] {
				*l.rest += x.VolumeMM3
			}
			list = list[:opt.MostRegions]
		}
		*l.list = list
	}
}

func byPlace(p, q r3.Vector) int {
	return cmp.Or(cmp.Compare(p.Z, q.Z), cmp.Compare(p.Y, q.Y), cmp.Compare(p.X, q.X))
}

// InZone measures the metal of a in a zone: Both is what lies in it, AOnly what does not, BOnly
// the part of the zone that is free. RegionsBoth are the intrusions; the other regions are not
// looked for.
func InZone(a *mesh.Mesh, z *Zone, opt Options) (*Result, error) {
	opt = opt.withDefaults()
	sa, sz, c, err := z.clip(a)
	if err != nil {
		return nil, err
	}
	r := &Result{VolumeA: sa.volume, VolumeB: sz.volume, TurnedA: sa.turned, Exact: true, Method: "clip at the zone's planes"}
	both, marks := c.Volume, c.inside
	r.fill(inBoth, both)
	if opt.MostRegions < 0 || both.MM3 <= both.ErrorMM3 {
		return r, nil
	}
	overlap := sa.box.Intersection(sz.box)
	places := []geom.Box{overlap}
	if slices.Contains(marks, true) {
		boxes := setBoxes(sa.Mesh, func(t int) bool { return marks[t] })
		for i := range boxes {
			boxes[i] = boxes[i].Intersection(overlap)
		}
		places = windows(boxes)
		slices.SortFunc(places, func(x, y geom.Box) int { return byPlace(x.Min, y.Min) })
	}
	// Surface inside the zone bounds every intrusion, but not the whole of one that holds a
	// corner of the zone; then the places do not account for the volume, and all is searched.
	for _, search := range [][]geom.Box{places, {overlap}} {
		r.RegionsBoth, r.RestBoth = nil, 0
		for _, w := range search {
			l := looker{a: sa.Mesh, b: sz.Mesh, area: sa.area + sz.area, opt: opt}
			sc, err := l.scene(common, w)
			if err != nil {
				return nil, err
			}
			sc.depth = z.depth
			if err := r.gather(&l, sc, [kinds]bool{inBoth: true}); err != nil {
				return nil, err
			}
		}
		sum, slack := r.RestBoth, r.RestBoth
		for _, x := range r.RegionsBoth {
			sum += x.VolumeMM3
			slack += x.ErrorMM3
		}
		if math.Abs(sum-both.MM3) <= slack+both.ErrorMM3 || len(search) == 1 && search[0] == overlap {
			break
		}
	}
	for i := range r.RegionsBoth {
		z.deepen(&r.RegionsBoth[i], sa.Mesh)
	}
	r.finish(opt)
	return r, nil
}

// deepen raises the depth of an intrusion to that of the metal's vertices in it.
func (z *Zone) deepen(r *Region, a *mesh.Mesh) {
	for _, p := range a.Vertices {
		if r.Box.Contains(p) {
			if d := z.depth(p); d > r.DepthMM {
				r.DepthMM, r.DeepestPoint = d, p
			}
		}
	}
}

// depth is the distance of p inside the zone from its boundary, 0 outside. Seams between the
// zone's pieces are no boundary; for a zone that is not convex the distance is to the planes of
// the piece that holds p, which may be more than to the boundary round a corner.
func (z *Zone) depth(p r3.Vector) float64 {
	best := 0.0
	for k, planes := range z.pieces {
		d := math.Inf(1)
		inside := true
		for i, pl := range planes {
			h := -pl.above(p)
			if h < 0 {
				inside = false
				break
			}
			if !z.seams[k][i] {
				d = min(d, h)
			}
		}
		if inside {
			best = max(best, d)
		}
	}
	return best
}
