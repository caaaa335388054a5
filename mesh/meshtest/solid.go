package meshtest

import (
	"math"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
)

// Solid is a closed mesh and what is known of it. The error fields of True and Faceted are 0.
type Solid struct {
	Name          string
	Mesh          *mesh.Mesh
	True, Faceted mesh.Measures
	// ChordMM bounds how far the mesh stands off the true body; 0 where that has flat faces only.
	ChordMM float64
}

// Moved is the solid carried by a motion.
//
// The box of a turned body is not the turned box: the faceted box is taken from the vertices,
// and the true one, which has no closed form for every shape, is the faceted one widened by the
// chord, with the chord as its stated error.
func (s *Solid) Moved(m geom.Motion) *Solid {
	r := *s
	r.Mesh = s.Mesh.Moved(m)
	r.ChordMM = s.ChordMM * m.Scale
	r.True, r.Faceted = s.True.Moved(m), s.Faceted.Moved(m)
	r.Faceted.Bounds = r.Mesh.Bounds()
	r.True.Bounds = r.Faceted.Bounds.Expand(r.ChordMM)
	r.True.BoundsErrorMM = r.ChordMM
	return &r
}

// With is the two solids as one; they must be apart, or o wholly inside s and turned inside out
// (see InsideOut) to be a void in it.
func (s *Solid) With(o *Solid) *Solid {
	m := &mesh.Mesh{}
	m.Vertices = append(append(m.Vertices, s.Mesh.Vertices...), o.Mesh.Vertices...)
	m.Triangles = append(m.Triangles, s.Mesh.Triangles...)
	n := int32(len(s.Mesh.Vertices))
	for _, t := range o.Mesh.Triangles {
		m.Triangles = append(m.Triangles, [3]int32{t[0] + n, t[1] + n, t[2] + n})
	}
	return &Solid{
		Name: s.Name + " with " + o.Name, Mesh: m, ChordMM: math.Max(s.ChordMM, o.ChordMM),
		True: joined(s.True, o.True), Faceted: joined(s.Faceted, o.Faceted),
	}
}

func joined(a, b mesh.Measures) mesh.Measures {
	v := a.VolumeMM3 + b.VolumeMM3
	c := a.CentroidMM.Mul(a.VolumeMM3).Add(b.CentroidMM.Mul(b.VolumeMM3)).Mul(1 / v)
	box := a.Bounds.Union(b.Bounds)
	return mesh.Measures{VolumeMM3: v, AreaMM2: a.AreaMM2 + b.AreaMM2, CentroidMM: c, Bounds: box}
}

// InsideOut is the solid with every facet turned over: its volume is negative.
func (s *Solid) InsideOut() *Solid {
	r := *s
	r.Name = s.Name + " inside out"
	r.Mesh = Inverted(s.Mesh)
	r.True.VolumeMM3, r.Faceted.VolumeMM3 = -s.True.VolumeMM3, -s.Faceted.VolumeMM3
	return &r
}

// Without is the mesh with one triangle taken away: it is open along three edges.
func (s *Solid) Without(triangle int) *mesh.Mesh {
	m := *s.Mesh
	m.Triangles = append(append([][3]int32{}, s.Mesh.Triangles[:triangle]...), s.Mesh.Triangles[triangle+1:]...)
	return &m
}

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }
