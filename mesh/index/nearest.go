package index

import (
	"math"
	"math/bits"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/tol"
)

// Foot is the point of the surface nearest to a given one.
type Foot struct {
	Point    r3.Vector
	Distance float64
	// Triangle is the index in the mesh, -1 for none. Where several triangles are equally near
	// (a corner, an edge) it is one of them, always the same one.
	Triangle int32
}

// NoFoot is what Nearest gives beside false.
var NoFoot = Foot{Distance: math.Inf(1), Triangle: -1}

// squareShare is by how much a node's squared distance, computed in binary32, is lowered before
// it is compared: its relative error is at most six units (a difference, a square, two sums),
// of which the difference's own is worth two; the boxes' slack covers what is absolute.
const squareShare = 16 * tol.RoundoffSTL

// Nearest is the surface point nearest to p among those at most reach away.
func (t *Tree) Nearest(p r3.Vector, reach float64) (Foot, bool) {
	var st stack
	return t.nearest(p, reach, math.Inf(1), &st)
}

// nearest is Nearest where some surface point is known whose squared distance is at most bound. That
// spares the walk and changes no answer: what it passes over has no point as near.
//
// Tried: to let points go down in a convoy as rays do, which took a tenth longer, for the nodes near
// a surface point and its neighbours are in the cache; and to look at the boxes of the four
// triangles of a leaf together, in one 256-bit register an axis, before the triangles: no gain.
func (t *Tree) nearest(p r3.Vector, reach, bound float64, st *stack) (Foot, bool) {
	if len(t.nodes) == 0 || !(reach >= 0) {
		return NoFoot, false
	}
	q := [3]float64{p.X, p.Y, p.Z}
	local := [3]float32{float32(p.X - t.centre.X), float32(p.Y - t.centre.Y), float32(p.Z - t.centre.Z)}
	best := reach * reach
	limit := squareLimit(min(best, bound))
	var at [3]float64
	id := int32(-1)
	var dist [width]float32
	top := 0
	ref := int32(0)
	for {
		if ref >= 0 {
			n := &t.nodes[ref]
			mask := pointNode(n, &local, limit, &dist)
			if mask != 0 {
				i := bits.TrailingZeros32(mask)
				mask &= mask - 1
				if mask == 0 {
					ref = n.child[i&7]
					continue
				}
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
		} else {
			first, count := leafOf(ref)
			for k := first; k < first+count; k++ {
				v := &t.tri[k].vertex
				foot, d := footOnTriangle(&q, &t.vertex[v[0]], &t.vertex[v[1]], &t.vertex[v[2]])
				if d < best || id < 0 && d == best {
					best, at, id = d, foot, t.tri[k].id
					limit = squareLimit(best)
				}
			}
		}
		for {
			if top == 0 {
				if id < 0 {
					return NoFoot, false
				}
				return Foot{r3.Vector{X: at[0], Y: at[1], Z: at[2]}, math.Sqrt(best), id}, true
			}
			top--
			if w := &st[top&stackMask]; w.t <= limit {
				ref = w.ref
				break
			}
		}
	}
}

func squareLimit(d2 float64) float32 {
	if d2 > math.MaxFloat32/2 {
		return math.MaxFloat32
	}
	return float32(d2 * (1 + squareShare))
}

// footOnTriangle is the nearest point of triangle abc to p and its squared distance.
//
// The plane of the triangle falls into seven regions: nearest a corner, an edge, or inside. They
// are told apart by the signs of the projections on the edges at each corner and of the three
// sub-areas, both got from six dot products (Ericson, "Real-Time Collision Detection", 2005,
// section 5.1.5). Inside, the point goes down the normal: as the ratio of two such areas it would be
// off by a unit of rounding over the squared sine of the sharpest angle, half a micrometre in ten
// millimetres at 1e-6. One without area, or with an angle of less than 1.5e-8, is as good as its
// edges.
func footOnTriangle(p, a, b, c *[3]float64) (foot [3]float64, d2 float64) {
	abx, aby, abz := b[0]-a[0], b[1]-a[1], b[2]-a[2]
	acx, acy, acz := c[0]-a[0], c[1]-a[1], c[2]-a[2]
	apx, apy, apz := p[0]-a[0], p[1]-a[1], p[2]-a[2]
	ab2 := abx*abx + aby*aby + abz*abz
	ac2 := acx*acx + acy*acy + acz*acz
	abac := abx*acx + aby*acy + abz*acz
	d1 := abx*apx + aby*apy + abz*apz
	d2a := acx*apx + acy*apy + acz*apz
	d3, d4 := d1-ab2, d2a-abac // the same at b
	d5, d6 := d1-abac, d2a-ac2 // and at c
	var v, w float64
	switch {
	case d1 <= 0 && d2a <= 0:
	case d3 >= 0 && d4 <= d3:
		v = 1
	case d6 >= 0 && d5 <= d6:
		w = 1
	default:
		vc, vb, va := d1*d4-d3*d2a, d5*d2a-d1*d6, d3*d6-d5*d4
		switch {
		case vc <= 0 && d1 >= 0 && d3 <= 0:
			v = d1 / (d1 - d3)
		case vb <= 0 && d2a >= 0 && d6 <= 0:
			w = d2a / (d2a - d6)
		case va <= 0 && d4-d3 >= 0 && d5-d6 >= 0:
			w = (d4 - d3) / ((d4 - d3) + (d5 - d6))
			v = 1 - w
		default:
			nx, ny, nz := aby*acz-abz*acy, abz*acx-abx*acz, abx*acy-aby*acx
			n2 := nx*nx + ny*ny + nz*nz
			if !(n2 > sliverShare*ab2*ac2) {
				return footOnEdges(p, a, b, c)
			}
			up := (apx*nx + apy*ny + apz*nz) / n2
			return [3]float64{p[0] - up*nx, p[1] - up*ny, p[2] - up*nz}, up * up * n2
		}
		if v != v || w != w {
			return footOnEdges(p, a, b, c) // two corners are one point
		}
	}
	fx, fy, fz := v*abx+w*acx, v*aby+w*acy, v*abz+w*acz
	ex, ey, ez := apx-fx, apy-fy, apz-fz
	return [3]float64{a[0] + fx, a[1] + fy, a[2] + fz}, ex*ex + ey*ey + ez*ez
}

// sliverShare is the squared sine of the angle under which a triangle is taken for its edges. Its
// normal errs by a unit of rounding over the sine, its edges miss a point of it by the sine: at the
// root of a unit both are the same.
const sliverShare = 2 * tol.RoundoffDouble

// footOnEdges is footOnTriangle for a triangle without area.
func footOnEdges(p, a, b, c *[3]float64) (foot [3]float64, d2 float64) {
	d2 = math.Inf(1)
	for _, e := range [3][2]*[3]float64{{a, b}, {b, c}, {c, a}} {
		from, to := e[0], e[1]
		x, y, z := to[0]-from[0], to[1]-from[1], to[2]-from[2]
		s := 0.0
		if long := x*x + y*y + z*z; long > 0 {
			s = max(0, min(1, (x*(p[0]-from[0])+y*(p[1]-from[1])+z*(p[2]-from[2]))/long))
		}
		f := [3]float64{from[0] + s*x, from[1] + s*y, from[2] + s*z}
		dx, dy, dz := p[0]-f[0], p[1]-f[1], p[2]-f[2]
		if d := dx*dx + dy*dy + dz*dz; d < d2 {
			foot, d2 = f, d
		}
	}
	return foot, d2
}
