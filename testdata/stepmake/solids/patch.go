package solids

import (
	"fmt"
	"math"
	"strings"
)

// grid writes rows of control points.
func (f *file) grid(net [][]vec) string {
	var rows []string
	for _, row := range net {
		rows = append(rows, f.points(row...).String())
	}
	return "(" + strings.Join(rows, ",") + ")"
}

// The lid of a block a by b by c is z = c + e 4s(1-s) 4t(1-t), s = x/a, t = y/b: 0 above its plane
// on all four sides. 2s(1-s) is the middle Bernstein polynomial, so that the net is flat but for
// its middle point, 4e higher. int 4s(1-s) ds = 2/3, hence V = abc + 4/9 e ab. Its area is
// integrated.
const (
	blockA, blockB, blockC = 12.0, 9.0, 7.0
	bumpE                  = 2.5
)

func lidNet() [][]vec {
	var net [][]vec
	for i := range 3 {
		var row []vec
		for j := range 3 {
			z := blockC
			if i == 1 && j == 1 {
				z += 4 * bumpE
			}
			row = append(row, at(blockA*float64(i)/2, blockB*float64(j)/2, z))
		}
		net = append(net, row)
	}
	return net
}

// across applies a change of a row of a net to its rows and then its columns.
func across(net [][]vec, change func(q [3]vec) []vec) [][]vec {
	flip := func(n [][]vec) [][]vec {
		t := make([][]vec, len(n[0]))
		for j := range t {
			for i := range n {
				t[j] = append(t[j], n[i][j])
			}
		}
		return t
	}
	for range 2 {
		var changed [][]vec
		for _, row := range net {
			changed = append(changed, change([3]vec(row)))
		}
		net = flip(changed)
	}
	return net
}

func lids() (names []string, all []func(f *file) (id, bool)) {
	put := func(name string, g func(f *file) (id, bool)) { names, all = append(names, name), append(all, g) }
	put("bezier_surface", func(f *file) (id, bool) {
		return f.add("BEZIER_SURFACE('',2,2,%s,.UNSPECIFIED.,.F.,.F.,.F.)", f.grid(lidNet())), true
	})
	put("uniform_surface", func(f *file) (id, bool) {
		net := across(lidNet(), func(q [3]vec) []vec { u := uniform(q); return u[:] })
		return f.add("UNIFORM_SURFACE('',2,2,%s,.UNSPECIFIED.,.F.,.F.,.F.)", f.grid(net)), true
	})
	put("quasi_uniform_surface", func(f *file) (id, bool) {
		return f.add("QUASI_UNIFORM_SURFACE('',2,2,%s,.UNSPECIFIED.,.F.,.F.,.F.)", f.grid(across(lidNet(), halved))), true
	})
	put("b_spline_surface_with_knots", func(f *file) (id, bool) {
		return f.add("B_SPLINE_SURFACE_WITH_KNOTS('',2,2,%s,.UNSPECIFIED.,.F.,.F.,.F.,(3,1,3),(3,1,3),(0.,1.,2.),(-3.,0.,3.),.UNSPECIFIED.)", f.grid(across(lidNet(), halved))), true
	})
	put("b_spline_surface_bicubic", func(f *file) (id, bool) {
		return f.add("B_SPLINE_SURFACE_WITH_KNOTS('',3,3,%s,.UNSPECIFIED.,.F.,.F.,.F.,(4,4),(4,4),(0.,1.),(0.,1.),.UNSPECIFIED.)", f.grid(across(lidNet(), raised))), true
	})
	put("b_spline_surface_turned", func(f *file) (id, bool) {
		// u and v exchanged: the normal points into the block and the face says so.
		net := lidNet()
		turned := make([][]vec, 3)
		for j := range 3 {
			for i := range 3 {
				turned[j] = append(turned[j], net[i][j])
			}
		}
		return f.add("B_SPLINE_SURFACE_WITH_KNOTS('',2,2,%s,.UNSPECIFIED.,.F.,.F.,.F.,(3,3),(3,3),(0.,1.),(0.,1.),.UNSPECIFIED.)", f.grid(turned)), false
	})
	put("rational_bezier_surface", func(f *file) (id, bool) {
		// Weights 1, 2, 4 by 1, 3, 9 change the parameters and not the surface.
		return f.add("(BEZIER_SURFACE()BOUNDED_SURFACE()B_SPLINE_SURFACE(2,2,%s,.UNSPECIFIED.,.F.,.F.,.F.)GEOMETRIC_REPRESENTATION_ITEM()"+
			"RATIONAL_B_SPLINE_SURFACE(((1.,3.,9.),(2.,6.,18.),(4.,12.,36.)))REPRESENTATION_ITEM('')SURFACE())", f.grid(lidNet())), true
	})
	return names, all
}

func bumpArea() float64 {
	g := func(s float64) float64 { return 4 * s * (1 - s) }
	d := func(s float64) float64 { return 4 - 8*s }
	const n = 600 // Simpson in each direction
	sum := 0.0
	for i := 0; i <= n; i++ {
		for j := 0; j <= n; j++ {
			w := 1.0
			for _, k := range [2]int{i, j} {
				if k > 0 && k < n {
					w *= float64(2 + 2*(k&1))
				}
			}
			s, t := float64(i)/n, float64(j)/n
			zx, zy := bumpE*d(s)*g(t)/blockA, bumpE*g(s)*d(t)/blockB
			sum += w * math.Sqrt(1+zx*zx+zy*zy)
		}
	}
	return sum / (9 * n * n) * blockA * blockB
}

func liddedBlock(lid func(f *file) (id, bool)) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		corners := boxCorners(origin, at(blockA, blockB, blockC))
		f.lid = lid
		faces := f.polyhedron(corners, boxLoops)
		f.lid = nil
		s := Solid{
			VolumeMM3: blockA*blockB*blockC + 4.0/9*bumpE*blockA*blockB,
			AreaMM2:   blockA*blockB + 2*(blockA+blockB)*blockC + bumpArea(),
			Max:       at(blockA, blockB, blockC+bumpE),
		}
		return ids{f.solid(faces...)}, s
	}
}

// octant of a ball as a rational biquadratic patch whose one side is the pole: the product of two
// quarter circles. V = pi r^3/6, A = pi r^2/2 + 3 pi r^2/4.
func octant(r float64) func(f *file) (ids, Solid) {
	return func(f *file) (ids, Solid) {
		// u along the equator from x to y, v from the equator to the pole.
		equator := [3]vec{at(r, 0, 0), at(r, r, 0), at(0, r, 0)}
		weights := [3]float64{1, root, 1}
		var net [][]vec
		var w []string
		for i, p := range equator {
			net = append(net, []vec{p, p.Add(at(0, 0, r)), at(0, 0, r)})
			w = append(w, fmt.Sprintf("(%v,%v,%v)", real(weights[i]), real(weights[i]*root), real(weights[i])))
		}
		patch := f.add("(BOUNDED_SURFACE()B_SPLINE_SURFACE(2,2,%s,.SPHERICAL_SURF.,.F.,.F.,.F.)"+
			"B_SPLINE_SURFACE_WITH_KNOTS((3,3),(3,3),(0.,1.),(0.,1.),.UNSPECIFIED.)GEOMETRIC_REPRESENTATION_ITEM()"+
			"RATIONAL_B_SPLINE_SURFACE((%s))REPRESENTATION_ITEM('')SURFACE())", f.grid(net), strings.Join(w, ","))
		ends := [3]vec{at(r, 0, 0), at(0, r, 0), at(0, 0, r)}
		center := f.vertex(origin)
		var v, arcs, spokes [3]id
		for k := range 3 {
			v[k] = f.vertex(ends[k])
			spokes[k] = f.straight(center, v[k], origin, ends[k])
		}
		for k := range 3 {
			n := (k + 1) % 3
			arcs[k] = f.edge(v[k], v[n], f.circle(origin, ends[k].Cross(ends[n]), ends[k], r), true)
		}
		faces := ids{f.face(patch, true, f.bound(outer, use{arcs[0], true}, use{arcs[1], true}, use{arcs[2], true}))}
		for k := range 3 {
			n := (k + 1) % 3
			faces = append(faces, f.flat(origin, ends[n].Cross(ends[k]), ends[k],
				f.bound(outer, use{spokes[n], true}, use{arcs[k], false}, use{spokes[k], false})))
		}
		return ids{f.solid(faces...)}, Solid{
			VolumeMM3: math.Pi * r * r * r / 6, AreaMM2: math.Pi*r*r/2 + 3*math.Pi*r*r/4, Max: at(r, r, r),
		}
	}
}
