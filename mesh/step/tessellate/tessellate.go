// Package tessellate turns the faces of a boundary representation into closed triangle meshes,
// and integrates their measures over the surfaces themselves.
//
// Lengths are millimetres, angles radians. The package reads no file and knows no units.
//
// What holds (tests cite these numbers):
//
//	T1  every edge is divided once; the faces that share it name the same vertices. A shell whose
//	    edges are each used twice, once each way, becomes a mesh of which the same is true
//	T2  a face that defeats the method is closed with flat triangles, and a Note says so with its
//	    instance number; there is no silent hole
//	T3  the mesh stands off its surface by no more than Part.ChordMM, as far as sampling tells: at
//	    middles of edges, centroids and three more points of a triangle, by the foot of the
//	    perpendicular. What is set in advance (edges, rows of points) keeps a fifth in reserve
//	T4  Part.Exact comes from the surfaces and edges, not from the triangles, but for the faces of T2
//	T5  the same Model gives the same bytes at any number of cores
//	T6  closed shells are turned with their metal inside, whatever their flags say; a Note says so
//	T7  the work for a file grows with its length (budget.go), and what measuring a triangle will take
//	    is counted before it is made: about 0.4 s of one core for the worst that was met of 3 to
//	    10 kB, 8 to 12 s a megabyte for the worst that were made. What that does not suffice for is left
//	    coarse or closed flat, and a Note says so with its instance number; the chord is never
//	    finer than tol.FinestChordPerDiagonal of the body
//
// The way of a face: its loops are followed into the parameter plane, each point in the period next
// to the one before (ring.go). Loops that wind round a period are joined by a straight cut, whose
// two sides have the same points; a pole is a side of the parameter rectangle whose points are
// one vertex (cut.go). The region is triangulated in a metric of curvature and refined (face.go,
// grid.go). Edges whose chords cross are divided finer, their faces once more; a boundary that
// crosses itself all the same is clipped corner by corner, which closes it and lets it fold
// where the file does (clip.go).
//
// Known limits:
//
//   - a band whose two loops can nowhere be joined by a straight line of the parameter plane, and
//     a loop that winds round a torus both ways at once, are closed flat
//   - two edges at one place that are not one instance of the file are sewn only in pairs, within the
//     file's uncertainty, and only where that closes their shell (sew.go): two short edges along a
//     long one, and faces in shells of their own, stay open
//   - where edges lie off their surfaces the mesh follows the edges near them; the gap counts among
//     the errors of the measures
//   - triangles of a clipped curved boundary are halved and not Delaunay: ChordMM may then be above
//     what was asked for, and says so
//   - work is counted by the price of a shape, not by a clock: a unit took 30 to 70 ns in the files
//     that were made against it, with the machine busy
//   - bodies are divided in the order of the file, each with most of the work that is left: after one
//     that takes all, the next are closed flat, or left out where no edge bounds them, with a Note
//   - an error of a measure is an estimate from two rules of different degree, not a proven bound
//   - bounds of a body that is turned by other than quarter turns are those of its mesh, with the
//     chord for their error
//
// Tried without gain: square cells of equal steps in place of staggered rows, which stand off twice
// as far in their middles; a metric of one scale on surfaces with poles, which takes up to twice
// the triangles there.
package tessellate

import (
	"fmt"
	"math"

	"github.com/golang/geo/s1"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/tol"
)

// Options steer the division. Zero values ask for the defaults of mesh/tol.
type Options struct {
	// ChordMM is the largest distance of the mesh from the surface. It is never coarser than
	// tol.ChordPerDiagonal of a body's diagonal.
	ChordMM float64
	// Angle is the largest turn of a curve or of a surface's normal over one step.
	Angle s1.Angle
}

// Model turns every occurrence of every body into a part. A body that occurs several times is
// divided once. Notes are about bodies in order.
// The error is that of a file which places more than one of its length may.
func Model(m *brep.Model, opt Options) ([]mesh.Part, []mesh.Note, error) {
	if !(opt.ChordMM > 0) {
		opt.ChordMM = tol.ChordMM
	}
	if !(opt.Angle > 0) {
		opt.Angle = s1.Angle(tol.DeflectionAngle)
	}
	return models(m, opt, newBudget(m.Bytes, opt.ChordMM))
}

func models(m *brep.Model, opt Options, work *budget) ([]mesh.Part, []mesh.Note, error) {
	shown := make([]bool, len(m.Bodies))
	for _, o := range m.Occurrences {
		shown[o.Body] = true
	}
	bodies := make([]mesh.Part, len(m.Bodies))
	var notes []mesh.Note
	for i, from := range m.Bodies {
		if !shown[i] {
			continue
		}
		if from.Facets != nil {
			bodies[i] = facets(from)
			continue
		}
		b := newBody(from, opt, work)
		b.tessellate()
		bodies[i] = b.part()
		notes = append(notes, b.notes...)
	}
	parts := make([]mesh.Part, 0, len(m.Occurrences))
	room := placedFloor + placedPerByte*m.Bytes
	for _, o := range m.Occurrences {
		p := bodies[o.Body]
		if !o.Motion.IsIdentity() {
			if room -= len(p.Mesh.Vertices); room < 0 {
				return nil, nil, fmt.Errorf("the file places its bodies so often that they come to more than %d corners of triangles", placedFloor+placedPerByte*m.Bytes)
			}
		}
		p.Name = o.Path
		if !o.Motion.IsIdentity() {
			p.Mesh = p.Mesh.Moved(o.Motion)
			p.ChordMM *= o.Motion.Scale
			if p.Exact != nil {
				q := p.Exact.Moved(o.Motion)
				if !quarterTurns(o.Motion) {
					// The box of a turned box is too wide; that of the mesh lacks the chord.
					q.Bounds, q.BoundsErrorMM = p.Mesh.Bounds(), p.ChordMM
				}
				q.BoundsErrorMM += roundings * tol.RoundoffDouble * q.Bounds.MaxAbs()
				p.Exact = &q
			}
			faces := make([]mesh.Face, len(p.Faces))
			for k, f := range p.Faces {
				f.Origin = o.Motion.Point(f.Origin)
				f.Axis = o.Motion.Direction(f.Axis)
				f.RadiusMM *= o.Motion.Scale
				f.MinorRadiusMM *= o.Motion.Scale
				faces[k] = f
			}
			p.Faces = faces
			p.Audit = mesh.NewAudit(p.Mesh)
		}
		parts = append(parts, p)
	}
	return parts, notes, nil
}

// What moved copies of bodies may come to in corners: assemblies of assemblies double with each
// level. A megabyte of text takes 16 million.
const (
	placedFloor   = 1 << 20
	placedPerByte = 16
)

// quarterTurns tells whether a motion takes axes to axes.
func quarterTurns(m geom.Motion) bool {
	for _, row := range m.Rotation {
		big := max(math.Abs(row.X), math.Abs(row.Y), math.Abs(row.Z))
		if math.Abs(row.X)+math.Abs(row.Y)+math.Abs(row.Z)-big > tol.AxesSine {
			return false
		}
	}
	return true
}

// facets is a body that is triangles in the file already.
func facets(from *brep.Body) mesh.Part {
	p := mesh.Part{Mesh: from.Facets, Roundoff: tol.RoundoffDouble, Sheet: from.Sheet}
	n := int32(0)
	for t := range from.Facets.Triangles {
		n = max(n, from.Facets.FaceOf(t)+1)
	}
	p.Faces = make([]mesh.Face, n)
	p.Audit = mesh.NewAudit(p.Mesh)
	return p
}
