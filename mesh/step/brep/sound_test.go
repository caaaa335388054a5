package brep

import (
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// start and end are the vertices that a use runs between.
func (u *Use) start() *Vertex {
	if u.Forward {
		return u.Edge.Start
	}
	return u.Edge.End
}

func (u *Use) end() *Vertex {
	if u.Forward {
		return u.Edge.End
	}
	return u.Edge.Start
}

// at is the point a share of the way along a use.
func (u *Use) at(share float64) r3.Vector {
	if !u.Forward {
		share = 1 - share
	}
	return u.Edge.Curve.Point(u.Edge.T0 + share*(u.Edge.T1-u.Edge.T0))
}

// leastArea in mm2: writers leave slivers of a micrometre's width whose loops cross themselves.
const leastArea = 1e-4

const usePieces = 128

// areaVector is that of the polygon of a loop's points: twice the area along the direction from
// which it runs counter-clockwise.
func areaVector(l *Loop) r3.Vector {
	var points []r3.Vector
	for k := range l.Uses {
		for j := range usePieces {
			points = append(points, l.Uses[k].at(float64(j)/usePieces))
		}
	}
	var n r3.Vector
	if len(points) == 0 {
		return n
	}
	for k, p := range points {
		n = n.Add(p.Sub(points[0]).Cross(points[(k+1)%len(points)].Sub(points[0])))
	}
	return n
}

// soundness is what a body breaks of the promises of the package, as a list of complaints, and
// the farthest that the middle of an edge lies off a face it bounds.
func soundness(b *Body) (complaints []string, worst float64) {
	complain := func(format string, args ...any) {
		if len(complaints) < 20 {
			complaints = append(complaints, fmt.Sprintf(format, args...))
		}
	}
	for _, s := range b.Shells {
		uses := map[*Edge][2]int{}
		for _, f := range s.Faces {
			if (f.Surface == nil) != (f.Err != "") {
				complain("#%d: surface %v and error %q", f.ID, f.Surface, f.Err)
			}
			if f.Surface == nil {
				continue
			}
			var area r3.Vector
			for k := range f.Loops {
				l := &f.Loops[k]
				if (len(l.Uses) > 0) == (l.Vertex != nil) {
					complain("#%d: a loop of %d uses and vertex %v", f.ID, len(l.Uses), l.Vertex)
				}
				area = area.Add(areaVector(l))
				for n := range l.Uses {
					u := &l.Uses[n]
					e := u.Edge
					count := uses[e]
					if u.Forward {
						count[0]++
					} else {
						count[1]++
					}
					uses[e] = count
					if next := &l.Uses[(n+1)%len(l.Uses)]; u.end() != next.start() {
						complain("#%d: edge #%d does not end where #%d starts", f.ID, e.ID, next.Edge.ID)
					}
					a, b := e.Curve.Point(e.T0).Sub(e.Start.Point).Norm(), e.Curve.Point(e.T1).Sub(e.End.Point).Norm()
					if !(max(a, b) <= e.MissMM+1e-7) {
						complain("#%d: edge #%d misses its vertices by %g and %g, says %g", f.ID, e.ID, a, b, e.MissMM)
					}
					p := u.at(0.5)
					uv, d := f.Surface.Parameters(p, r2.Point{}, false)
					if !(math.Abs(f.Surface.Point(uv.X, uv.Y).Sub(p).Norm()-d) <= 1e-7) {
						complain("#%d: %T says %g of a point that is %g away", f.ID, f.Surface, d, f.Surface.Point(uv.X, uv.Y).Sub(p).Norm())
					}
					if d > worst {
						worst = d
					}
				}
			}
			// On a plane the loops of a face run around its area seen against its normal.
			if d := f.Surface.Face(); d.Kind == mesh.Plane && area.Norm() > 2*leastArea {
				normal := d.Axis
				if !f.Forward {
					normal = normal.Mul(-1)
				}
				if c := normal.Dot(area) / area.Norm(); !(c > 0.999) {
					complain("#%d: loops run round %v, the normal is %v", f.ID, area.Normalize(), normal)
				}
			}
		}
		if b.Sheet {
			continue
		}
		for e, n := range uses {
			// Where a body touches itself along an edge four faces meet there, twice two.
			if n[0] != n[1] {
				complain("edge #%d is used %d times forwards and %d times backwards", e.ID, n[0], n[1])
			}
		}
	}
	return complaints, worst
}
