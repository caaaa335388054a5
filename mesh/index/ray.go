package index

import (
	"math"
	"math/bits"
	"slices"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/tol"
)

// Ray is a line from Origin along Direction, looked at where TMin <= T <= TMax. Direction need
// not have length 1 but must not vanish.
type Ray struct {
	Origin, Direction r3.Vector
	TMin, TMax        float64
}

// At is the point of the ray at t.
func (r *Ray) At(t float64) r3.Vector { return r.Origin.Add(r.Direction.Mul(t)) }

// Hit is a crossing of a ray and a triangle.
type Hit struct {
	// T is in lengths of the ray's direction.
	T float64
	// Triangle is the index in the mesh, -1 for no hit.
	Triangle int32
	// Leaves is set where the ray runs along the triangle's outward normal: out of the metal.
	Leaves bool
}

// NoHit is what First gives beside false.
var NoHit = Hit{T: math.Inf(1), Triangle: -1}

// boxRay is a ray as the node test wants it: local coordinates, binary32.
type boxRay struct {
	inv  [3]float32 // 1/direction
	oinv [3]float32 // origin/direction
	near [3]int64   // byte offset of the near plane of an axis: 0 or 32
	tmin float32
	// shift is the T at which the local ray starts: 0 unless the origin is far from the box.
	shift float64
}

// shear is the ray as the triangle test wants it: axes turned so that the direction's largest
// component is last, and the shear that brings the direction onto that axis (Woop, Benthin,
// Wald, "Watertight Ray/Triangle Intersection", JCGT 2(1), 2013, section 3).
type shear struct {
	origin     [3]float64
	kx, ky, kz int
	sx, sy, sz float64
	tmin, tmax float64
}

type waiting struct {
	t   float32
	ref int32
}

// stack holds the nodes still to be looked at. Its size is a power of two so that masking an
// index, which never wraps, spares the check of its range.
type stack [stackSlots]waiting

const (
	stackSlots = 256
	stackMask  = stackSlots - 1
)

// The deepest tree fits; the compiler refuses a negative size.
var _ [stackSlots - stackSize]struct{}

// widestReciprocal stands for 1/0: in binary32 its product with any coordinate is finite, and a
// distance of one unit roundoff of the box still exceeds every box.
const widestReciprocal = 0x1p60

// prepare clips the ray to the tree's box and sets up both tests. It is false where the ray
// misses the box.
func (t *Tree) prepare(r *Ray, b *boxRay, s *shear) bool {
	o := [3]float64{r.Origin.X, r.Origin.Y, r.Origin.Z}
	d := [3]float64{r.Direction.X, r.Direction.Y, r.Direction.Z}
	c := [3]float64{t.centre.X, t.centre.Y, t.centre.Z}
	half := t.box.Max.Sub(t.centre)
	h := [3]float64{half.X, half.Y, half.Z}

	near, far := r.TMin, r.TMax
	for a := range 3 {
		inv := 1 / d[a]
		if !(math.Abs(inv) <= widestReciprocal) {
			inv = math.Copysign(widestReciprocal, d[a])
		}
		lo, hi := (c[a]-h[a]-t.slack-o[a])*inv, (c[a]+h[a]+t.slack-o[a])*inv
		b.near[a] = 0
		if inv < 0 {
			lo, hi = hi, lo
			b.near[a] = width * 4
		}
		if lo > near {
			near = lo
		}
		if hi < far {
			far = hi
		}
		b.inv[a] = float32(inv)
		b.oinv[a] = float32((o[a] - c[a]) * inv)
	}
	if !(near <= far) {
		return false
	}
	// Where the origin lies far off, the rounding of origin/direction would exceed the slack of
	// the boxes; the local ray then starts where the ray enters the box.
	b.shift = 0
	if reach := 2 * t.radius; math.Abs(o[0]-c[0]) > reach || math.Abs(o[1]-c[1]) > reach || math.Abs(o[2]-c[2]) > reach {
		b.shift = near
		for a := range 3 {
			b.oinv[a] = float32((o[a] + near*d[a] - c[a]) * float64(b.inv[a]))
		}
	}
	b.tmin = below(near - b.shift)

	kz := 0
	if math.Abs(d[1]) > math.Abs(d[kz]) {
		kz = 1
	}
	if math.Abs(d[2]) > math.Abs(d[kz]) {
		kz = 2
	}
	kx := (kz + 1) % 3
	ky := (kx + 1) % 3
	if d[kz] < 0 {
		kx, ky = ky, kx // keeps the turn of a triangle as seen along the ray
	}
	s.origin = o
	s.kx, s.ky, s.kz = kx, ky, kz
	s.sz = 1 / d[kz]
	s.sx, s.sy = d[kx]*s.sz, d[ky]*s.sz
	s.tmin, s.tmax = r.TMin, r.TMax
	return true
}

// timeShare widens a T rounded to binary32: four of its units, against one of rounding.
const timeShare = 4 * tol.RoundoffSTL

func below(t float64) float32 { return float32(t - math.Abs(t)*timeShare) }
func above(t float64) float32 { return float32(t + math.Abs(t)*timeShare) }

// crossing reports whether the line crosses triangle k, where, and which way.
//
// Each corner is sheared into the plane across the ray, where the ray is the origin. That
// rounds, but one corner to one point whatever the triangle, so the projected surface is still
// closed. The sign of the area that an edge spans with the origin is then found exactly:
// rounding is monotonic, so two rounded products that differ compare as the true ones do, and
// where they agree their remainders (one fused multiply-add each) are exact and compare. An
// origin on an edge is moved by (e, e*e) for an infinitesimal e (Edelsbrunner and Muecke,
// "Simulation of Simplicity", ACM TOG 9(1), 1990); all triangles see the same move, so those
// around a corner or an edge agree on which of them is crossed.
func (t *Tree) crossing(s *shear, k int32) (T float64, leaves, ok bool) {
	v := &t.tri[k].vertex
	p, q, r := &t.vertex[v[0]], &t.vertex[v[1]], &t.vertex[v[2]]
	oz := s.origin[s.kz]
	az, bz, cz := p[s.kz]-oz, q[s.kz]-oz, r[s.kz]-oz
	ox, oy := s.origin[s.kx], s.origin[s.ky]
	// The conversions keep a compiler from fusing, which would round one corner two ways.
	ax, ay := (p[s.kx]-ox)-float64(s.sx*az), (p[s.ky]-oy)-float64(s.sy*az)
	bx, by := (q[s.kx]-ox)-float64(s.sx*bz), (q[s.ky]-oy)-float64(s.sy*bz)
	cx, cy := (r[s.kx]-ox)-float64(s.sx*cz), (r[s.ky]-oy)-float64(s.sy*cz)
	u := float64(bx*cy) - float64(by*cx)
	w := float64(ax*by) - float64(ay*bx)
	e := float64(cx*ay) - float64(cy*ax)
	if (u < 0 || e < 0 || w < 0) && (u > 0 || e > 0 || w > 0) {
		return 0, false, false
	}
	if u == 0 || e == 0 || w == 0 {
		su, se, sw := turn(bx, by, cx, cy), turn(cx, cy, ax, ay), turn(ax, ay, bx, by)
		if su == 0 || su != se || se != sw {
			return 0, false, false
		}
		leaves = su > 0
	} else {
		leaves = u > 0
	}
	if sum := u + e + w; sum != 0 {
		T = (u*az + e*bz + w*cz) / sum * s.sz
	} else {
		// The triangle is seen edge on to all digits: any of its points is as good.
		T = (az + bz + cz) / 3 * s.sz
	}
	return T, leaves, T >= s.tmin && T <= s.tmax
}

// turn is the exact sign of a x b, the origin moved by (e, e*e) where that vanishes: the move
// adds (e, e*e) x (a - b). It is 0 only for a = b, an edge seen end on.
func turn(ax, ay, bx, by float64) int {
	p, q := float64(ax*by), float64(ay*bx)
	if p != q {
		return sign(p - q)
	}
	if f, g := math.FMA(ax, by, -p), math.FMA(ay, bx, -q); f != g {
		return sign(f - g)
	}
	if ay != by {
		return sign(ay - by)
	}
	return sign(bx - ax)
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// First is the crossing of least T. The flag is false, and the hit NoHit, when there is none.
func (t *Tree) First(r Ray) (Hit, bool) {
	var st stack
	return t.first(&r, &st)
}

// Testing the triangles of a leaf four at a time (leafMask) made a million rays a fifth to a quarter
// cheaper. Tried without gain: the whole walk from node to node in one assembly routine, which
// spares a call a node (2.2 M rays a second of processor time either way).
func (t *Tree) first(r *Ray, st *stack) (Hit, bool) {
	var b boxRay
	var s shear
	hit := NoHit
	if len(t.nodes) == 0 || !t.prepare(r, &b, &s) {
		return hit, false
	}
	var dist [width]float32
	limit := above(s.tmax - b.shift)
	top := 0
	ref := int32(0)
	for {
		if ref >= 0 {
			n := &t.nodes[ref]
			mask := rayNode(n, &b, limit, &dist)
			if mask != 0 {
				i := bits.TrailingZeros32(mask)
				mask &= mask - 1
				if mask == 0 {
					ref = n.child[i&7]
					continue
				}
				// The waiting are kept farthest first, so that the nearest is taken next.
				base := top
				st[top&stackMask] = waiting{dist[i&7], n.child[i&7]}
				top++
				for mask != 0 {
					i = bits.TrailingZeros32(mask)
					mask &= mask - 1
					d := dist[i&7]
					k := top
					for k > base && st[(k-1)&stackMask].t < d {
						st[k&stackMask] = st[(k-1)&stackMask]
						k--
					}
					st[k&stackMask] = waiting{d, n.child[i&7]}
					top++
				}
			}
		} else if t.firstInLeaf(ref, &s, &hit) {
			limit = above(hit.T - b.shift)
		}
		for {
			if top == 0 {
				return hit, hit.Triangle >= 0
			}
			top--
			if w := &st[top&stackMask]; w.t <= limit {
				ref = w.ref
				break
			}
		}
	}
}

// firstInLeaf lowers hit, and the ray's end with it, to the first crossing in a leaf, and says
// whether there was one.
func (t *Tree) firstInLeaf(ref int32, s *shear, hit *Hit) bool {
	first, count := leafOf(ref)
	found := false
	for mask := t.leafMask(s, first, count); mask != 0; mask &= mask - 1 {
		k := first + int32(bits.TrailingZeros32(mask))
		T, leaves, ok := t.crossing(s, k)
		if !ok {
			continue
		}
		if id := t.tri[k].id; T < hit.T || id < hit.Triangle {
			*hit = Hit{T, id, leaves}
			s.tmax = T
			found = true
		}
	}
	return found
}

func leafOf(ref int32) (first, count int32) {
	ref = ^ref
	return ref >> leafBits, ref&(leafMost-1) + 1
}

// visit calls leaf for the range of every leaf that the ray may cross, until it says stop.
func (t *Tree) visit(b *boxRay, limit float32, st *stack, leaf func(first, count int32) (stop bool)) {
	var dist [width]float32
	top := 0
	ref := int32(0)
	for {
		if ref >= 0 {
			n := &t.nodes[ref]
			for mask := rayNode(n, b, limit, &dist); mask != 0; mask &= mask - 1 {
				i := bits.TrailingZeros32(mask)
				st[top&stackMask].ref = n.child[i&7]
				top++
			}
		} else if first, count := leafOf(ref); leaf(first, count) {
			return
		}
		if top == 0 {
			return
		}
		top--
		ref = st[top&stackMask].ref
	}
}

// All appends every crossing to hits, in order of T and then of triangle.
func (t *Tree) All(r Ray, hits []Hit) []Hit {
	var b boxRay
	var s shear
	if len(t.nodes) == 0 || !t.prepare(&r, &b, &s) {
		return hits
	}
	var st stack
	start := len(hits)
	t.visit(&b, above(s.tmax-b.shift), &st, func(first, count int32) bool {
		for k := first; k < first+count; k++ {
			if T, leaves, ok := t.crossing(&s, k); ok {
				hits = append(hits, Hit{T, t.tri[k].id, leaves})
			}
		}
		return false
	})
	slices.SortFunc(hits[start:], func(x, y Hit) int {
		switch {
		case x.T < y.T:
			return -1
		case x.T > y.T:
			return 1
		}
		return int(x.Triangle) - int(y.Triangle)
	})
	return hits
}

// Any reports whether the ray crosses any triangle.
func (t *Tree) Any(r Ray) bool {
	var b boxRay
	var s shear
	if len(t.nodes) == 0 || !t.prepare(&r, &b, &s) {
		return false
	}
	var st stack
	found := false
	t.visit(&b, above(s.tmax-b.shift), &st, func(first, count int32) bool {
		for k := first; k < first+count && !found; k++ {
			_, _, found = t.crossing(&s, k)
		}
		return found
	})
	return found
}
