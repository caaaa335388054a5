// Package measure turns meshes into numbers, each with a bound on its error.
//
// Lengths are millimetres. It knows no limit and no frame, and compares nothing.
package measure

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/parallel"
	"pocketgauge/mesh/tol"
)

// chunk is how many triangles one partial sum takes. It is fixed, so that the sums, and with
// them every last bit of the results, are the same on any number of cores.
const chunk = 1 << 14

// termRoundings is how many roundings one facet's term passes through, generously: a triple
// product of differences has 3 + 3 + 9 + 5.
const termRoundings = 20

// sums of one chunk, about the centre of the bounds.
type sums struct {
	volume6, area2 float64
	moment24       r3.Vector
	perimeter      float64
	// size6 is the sum of what the volumes' factors multiply to: no less than their absolute
	// values, and what their rounding goes by where a factor leans away.
	size6 float64
}

// Integrals are volume, area and centroid of the polyhedron m (divergence theorem over its
// tetrahedra to a common point: Lien and Kajiya, A Symbolic Method for Calculating the
// Integral Properties of Arbitrary Nonconvex Polyhedra, IEEE CG&A 1984).
//
// The bounds: let every vertex be within d of where it is meant, d = sqrt(3)*roundoff*M + chord,
// M the largest coordinate. The volume then moves by at most area*d to first order, the area
// by perimeter*d summed over the triangles, and the first moment by area*d times the reach of
// the body from its centre. A chord error bends only the area of curved faces at second order,
// for which the same bound serves.
//
// Adding up rounds too, and counts where coordinates are doubles: a sum of n terms is off by no
// more than n u times the sum of their absolute values (Higham, Accuracy and Stability of
// Numerical Algorithms, 2nd ed., section 4.2), n the longest chain of additions, here a chunk's and
// then one for each chunk; each term is good to termRoundings u of itself.
//
// Volume and centroid mean something only on a closed mesh; for others they are what the
// facets at hand enclose with the centre of the bounds, and the caller must say so.
func Integrals(m *mesh.Mesh, roundoff, chordMM float64) mesh.Measures {
	var r mesh.Measures
	r.Bounds = m.Bounds()
	if len(m.Triangles) == 0 {
		return r
	}
	centre := r.Bounds.Center()
	parts := make([]sums, (len(m.Triangles)+chunk-1)/chunk)
	parallel.Each(len(parts), func(i, _ int) {
		parts[i] = sumChunk(m, i*chunk, min((i+1)*chunk, len(m.Triangles)), centre)
	})
	var s sums
	for _, p := range parts {
		s.volume6 += p.volume6
		s.area2 += p.area2
		s.moment24 = s.moment24.Add(p.moment24)
		s.perimeter += p.perimeter
		s.size6 += p.size6
	}
	r.VolumeMM3 = s.volume6 / 6
	r.AreaMM2 = s.area2 / 2
	d := math.Sqrt(3)*roundoff*r.Bounds.MaxAbs() + chordMM
	reach := r.Bounds.Diagonal() / 2
	adding := tol.RoundoffDouble * float64(min(chunk, len(m.Triangles))+len(parts)+termRoundings)
	r.VolumeErrorMM3 = r.AreaMM2*d + adding*s.size6/6
	r.AreaErrorMM2 = s.perimeter*d + adding*r.AreaMM2
	r.BoundsErrorMM = d
	r.CentroidMM = centre
	if v := math.Abs(r.VolumeMM3); v > 0 {
		offset := s.moment24.Mul(1 / (24 * r.VolumeMM3))
		r.CentroidMM = centre.Add(offset)
		r.CentroidErrorMM = (r.VolumeErrorMM3*(reach+offset.Norm()))/v + d
	}
	return r
}

func sumChunk(m *mesh.Mesh, from, to int, centre r3.Vector) sums {
	var s sums
	for t := from; t < to; t++ {
		a, b, c := m.Corners(t)
		a, b, c = a.Sub(centre), b.Sub(centre), c.Sub(centre)
		ab, ac := b.Sub(a), c.Sub(a)
		n := ab.Cross(ac)
		v, area2 := a.Dot(n), n.Norm()
		s.volume6 += v
		s.size6 += a.Norm() * area2
		s.area2 += area2
		s.moment24 = s.moment24.Add(a.Add(b).Add(c).Mul(v))
		s.perimeter += ab.Norm() + ac.Norm() + c.Sub(b).Norm()
	}
	return s
}

// Of are the measures of a part: those of its surface where the reader integrated them, those
// of its mesh otherwise.
func Of(p *mesh.Part) mesh.Measures {
	if p.Exact != nil {
		return *p.Exact
	}
	return Integrals(p.Mesh, p.Roundoff, p.ChordMM)
}
