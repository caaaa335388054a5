package meshtest

import (
	"fmt"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

// Box is the box between two corners.
func Box(lo, hi r3.Vector) *Solid {
	s := Grid([]float64{lo.X, hi.X}, []float64{lo.Y, hi.Y}, []float64{lo.Z, hi.Z}, func(i, j, k int) bool { return true })
	s.Name = fmt.Sprintf("box %v to %v", lo, hi)
	return s
}

// HollowBox is a box with a box-shaped void that no bore reaches.
func HollowBox(outer, void geom.Box) *Solid {
	s := Grid(
		[]float64{outer.Min.X, void.Min.X, void.Max.X, outer.Max.X},
		[]float64{outer.Min.Y, void.Min.Y, void.Max.Y, outer.Max.Y},
		[]float64{outer.Min.Z, void.Min.Z, void.Max.Z, outer.Max.Z},
		func(i, j, k int) bool { return i != 1 || j != 1 || k != 1 })
	s.Name = "hollow box"
	return s
}

// LBlock is a box of the given size from the origin without the quarter of high x and high y
// beyond (notchX, notchY).
func LBlock(size r3.Vector, notchX, notchY float64) *Solid {
	s := Grid([]float64{0, notchX, size.X}, []float64{0, notchY, size.Y}, []float64{0, size.Z},
		func(i, j, k int) bool { return i == 0 || j == 0 })
	s.Name = "L-block"
	return s
}

// BlockWithPockets is a box with boxes taken away. A pocket may reach out of the block (a slot)
// or end inside it; pockets may overlap. Two pockets that touch only along an edge leave a
// non-manifold edge, as such a body has.
func BlockWithPockets(block geom.Box, pockets ...geom.Box) *Solid {
	xs, ys, zs := []float64{block.Min.X, block.Max.X}, []float64{block.Min.Y, block.Max.Y}, []float64{block.Min.Z, block.Max.Z}
	for _, p := range pockets {
		p = p.Intersection(block)
		if p.IsEmpty() {
			continue
		}
		xs = append(xs, p.Min.X, p.Max.X)
		ys = append(ys, p.Min.Y, p.Max.Y)
		zs = append(zs, p.Min.Z, p.Max.Z)
	}
	xs, ys, zs = ascending(xs), ascending(ys), ascending(zs)
	s := Grid(xs, ys, zs, func(i, j, k int) bool {
		c := vec((xs[i]+xs[i+1])/2, (ys[j]+ys[j+1])/2, (zs[k]+zs[k+1])/2)
		for _, p := range pockets {
			if p.Contains(c) {
				return false
			}
		}
		return true
	})
	s.Name = fmt.Sprintf("block with %d pockets", len(pockets))
	return s
}

// Grid is the body of those cells of a rectilinear grid that metal names; xs, ys and zs ascend.
// It covers every block with pockets, slots and voids whose faces follow the axes, and its
// volume is the sum of its cells'.
func Grid(xs, ys, zs []float64, metal func(i, j, k int) bool) *Solid {
	nx, ny, nz := len(xs)-1, len(ys)-1, len(zs)-1
	full := func(i, j, k int) bool {
		return i >= 0 && j >= 0 && k >= 0 && i < nx && j < ny && k < nz && metal(i, j, k)
	}
	m := &mesh.Mesh{}
	index := map[[3]int]int32{}
	at := func(g [3]int) int32 {
		v, ok := index[g]
		if !ok {
			v = int32(len(m.Vertices))
			index[g] = v
			m.Vertices = append(m.Vertices, vec(xs[g[0]], ys[g[1]], zs[g[2]]))
		}
		return v
	}
	var volume, area float64
	var moment r3.Vector
	for k := range nz {
		for j := range ny {
			for i := range nx {
				if !full(i, j, k) {
					continue
				}
				d := [3]float64{xs[i+1] - xs[i], ys[j+1] - ys[j], zs[k+1] - zs[k]}
				v := d[0] * d[1] * d[2]
				volume += v
				moment = moment.Add(vec(xs[i]+d[0]/2, ys[j]+d[1]/2, zs[k]+d[2]/2).Mul(v))
				for axis := range 3 {
					for side := range 2 {
						n := [3]int{i, j, k}
						n[axis] += 2*side - 1
						if full(n[0], n[1], n[2]) {
							continue
						}
						u, w := (axis+1)%3, (axis+2)%3
						area += d[u] * d[w]
						var q [4]int32
						for c, step := range [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
							g := [3]int{i, j, k}
							g[axis] += side
							g[u] += step[0]
							g[w] += step[1]
							q[c] = at(g)
						}
						if side == 0 {
							q[1], q[3] = q[3], q[1]
						}
						m.Triangles = append(m.Triangles, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
					}
				}
			}
		}
	}
	q := mesh.Measures{VolumeMM3: volume, AreaMM2: area, CentroidMM: moment.Mul(1 / volume), Bounds: m.Bounds()}
	return &Solid{Name: "grid", Mesh: m, True: q, Faceted: q}
}
