package measure

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/outline"
)

// Bare is the widest disc of a region on which nothing bears.
type Bare struct {
	At       r3.Vector
	RadiusMM float64
	// PitchMM is the grid's: RadiusMM may be short or long by as much.
	PitchMM float64
}

// WidestBare looks, on a grid of share times the region's wider side, for the grid point of the
// region that is furthest from any of the given triangles and from the region's line.
//
// Distances on the grid are taken by the two-pass chamfer sweep of Borgefors (Distance
// Transformations in Digital Images, CVGIP 34, 1986) with steps 1 and sqrt 2, which is at most
// 8 % over the true distance: good for pointing at a place, and sampled, as PitchMM says.
func WidestBare(m *mesh.Mesh, triangles []int32, r *outline.Region, share float64) Bare {
	b := r.Bounds()
	pitch := share * max(b.X.Length(), b.Y.Length())
	nx, ny := int(b.X.Length()/pitch)+3, int(b.Y.Length()/pitch)+3
	x0, y0 := b.X.Lo-pitch, b.Y.Lo-pitch
	dist := make([]float64, nx*ny)
	for j := range ny {
		for i := range nx {
			q := r2.Point{X: x0 + float64(i)*pitch, Y: y0 + float64(j)*pitch}
			if d, _ := r.Clearance(q); d > 0 {
				dist[j*nx+i] = math.Inf(1)
			}
		}
	}
	for _, t := range triangles {
		a, c, d := m.Corners(int(t))
		coverGrid(dist, nx, ny, x0, y0, pitch, r2.Point{X: a.X, Y: a.Y}, r2.Point{X: c.X, Y: c.Y}, r2.Point{X: d.X, Y: d.Y})
	}
	chamfer(dist, nx, ny)
	best := Bare{PitchMM: pitch}
	for k, d := range dist {
		if d*pitch > best.RadiusMM {
			best.RadiusMM = d * pitch
			best.At = r3.Vector{X: x0 + float64(k%nx)*pitch, Y: y0 + float64(k/nx)*pitch}
		}
	}
	return best
}

// coverGrid sets the grid points within the triangle to 0.
func coverGrid(dist []float64, nx, ny int, x0, y0, pitch float64, a, b, c r2.Point) {
	if b.Sub(a).Cross(c.Sub(a)) < 0 {
		b, c = c, b
	}
	i0, i1 := int((min(a.X, b.X, c.X)-x0)/pitch), int((max(a.X, b.X, c.X)-x0)/pitch)+1
	j0, j1 := int((min(a.Y, b.Y, c.Y)-y0)/pitch), int((max(a.Y, b.Y, c.Y)-y0)/pitch)+1
	for j := max(j0, 0); j <= min(j1, ny-1); j++ {
		for i := max(i0, 0); i <= min(i1, nx-1); i++ {
			q := r2.Point{X: x0 + float64(i)*pitch, Y: y0 + float64(j)*pitch}
			if b.Sub(a).Cross(q.Sub(a)) >= 0 && c.Sub(b).Cross(q.Sub(b)) >= 0 && a.Sub(c).Cross(q.Sub(c)) >= 0 {
				dist[j*nx+i] = 0
			}
		}
	}
}

func chamfer(d []float64, nx, ny int) {
	relax := func(k, o int, step float64) { d[k] = min(d[k], d[o]+step) }
	for j := 1; j < ny; j++ {
		for i := 1; i < nx-1; i++ {
			k := j*nx + i
			relax(k, k-1, 1)
			relax(k, k-nx, 1)
			relax(k, k-nx-1, math.Sqrt2)
			relax(k, k-nx+1, math.Sqrt2)
		}
	}
	for j := ny - 2; j >= 0; j-- {
		for i := nx - 2; i >= 1; i-- {
			k := j*nx + i
			relax(k, k+1, 1)
			relax(k, k+nx, 1)
			relax(k, k+nx+1, math.Sqrt2)
			relax(k, k+nx-1, math.Sqrt2)
		}
	}
}
