package render

import (
	"math"
	"testing"

	"github.com/fogleman/fauxgl"
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// block is an insert in the small: a block with a pocket, a slot and a step.
func block() *mesh.Mesh {
	box := func(a, b, c, d, e, f float64) geom.Box { return geom.Box{Min: vec(a, b, c), Max: vec(d, e, f)} }
	return meshtest.BlockWithPockets(box(-50, -40, 0, 50, 40, 30),
		box(-20, -20, 20, 20, 20, 40), box(-60, -5, 10, -40, 5, 18), box(0, 0, 15, 30, 10, 40)).Mesh
}

func libraryTriangles(m *mesh.Mesh) []*fauxgl.Triangle {
	var list []*fauxgl.Triangle
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		list = append(list, fauxgl.NewTriangleForPoints(fauxgl.V(a.X, a.Y, a.Z), fauxgl.V(b.X, b.Y, b.Z), fauxgl.V(c.X, c.Y, c.Z)))
	}
	return list
}

// libraryMatrix carries points to the library's cube from -1 to 1, y up.
func libraryMatrix(c Camera, opt Options) fauxgl.Matrix {
	w, h := float64(opt.WidthPX), float64(opt.HeightPX)
	return fauxgl.Scale(fauxgl.V(2/w, -2/h, 1e-4)).Mul(fauxgl.Translate(fauxgl.V(-w/2, -h/2, 0)).Mul(c.matrix))
}

// covered counts the samples that a mesh covers.
func covered(m *mesh.Mesh, c Camera, w, h int) (int, []int32) {
	p := project(m, c.matrix, w, h)
	list := p.bin(h, 0)
	var b band
	b.reset(0, h, w, true)
	for _, t := range list.list {
		b.draw(p, t)
	}
	n := 0
	for _, t := range b.seen {
		if t != nothing {
			n++
		}
	}
	return n, b.seen
}

// A box seen from direction d covers |dx| Ay Az + |dy| Ax Az + |dz| Ax Ay: the sum of its faces'
// areas by their slant (Cauchy). Samples count it to within half the length of its edge.
func TestSilhouetteOfABoxHasItsProjectedArea(t *testing.T) {
	rng := meshtest.Random(t)
	for range 40 {
		size := vec(5+30*rng.Float64(), 5+30*rng.Float64(), 5+30*rng.Float64())
		d := vec(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()).Normalize()
		m := meshtest.Box(r3.Vector{}, size).Mesh
		const n = 700
		c := newCamera(d, m.Vertices, viewFrame{w: n, h: n, margin: 4})
		got, _ := covered(m, c, n, n)
		want := (math.Abs(d.X)*size.Y*size.Z + math.Abs(d.Y)*size.X*size.Z + math.Abs(d.Z)*size.X*size.Y) * c.PixelsPerMM * c.PixelsPerMM
		meshtest.WantNear(t, "samples covered", float64(got), want, 4*n*0.5)
		if wrong := want * 1.02; math.Abs(float64(got)-wrong) <= 4*n*0.5 && want*0.02 > 4*n {
			t.Errorf("the tolerance would not tell a box 2 %% larger")
		}
	}
}

// Every sample within the silhouette must be covered, whatever the triangles: a sphere of many
// small facets has no hole, and its area is the disc's.
func TestNoGapBetweenNeighbours(t *testing.T) {
	s := meshtest.Sphere(20, 90, 60)
	const n = 400
	c := newCamera(vec(0.3, -0.5, 0.4), s.Mesh.Vertices, viewFrame{w: n, h: n, margin: 4})
	got, seen := covered(s.Mesh, c, n, n)
	meshtest.WantNear(t, "samples covered", float64(got), math.Pi*400*c.PixelsPerMM*c.PixelsPerMM, 0.004*float64(got))
	for y := range n {
		first, last, count := -1, -1, 0
		for x := range n {
			if seen[y*n+x] != nothing {
				if first < 0 {
					first = x
				}
				last = x
				count++
			}
		}
		if first >= 0 && count != last-first+1 {
			t.Errorf("row %d: %d samples covered between %d and %d", y, count, first, last)
		}
	}
}

// The library's rasteriser is the second method: both cover the same samples but for some on
// the outline, where the two round differently.
func TestSilhouetteAgreesWithTheLibrarys(t *testing.T) {
	opt, _ := Options{WidthPX: 300, Bare: true}.filled()
	for name, m := range map[string]*mesh.Mesh{"block": block(), "torus": meshtest.Torus(30, 10, 60, 30).Mesh} {
		s := Scene{Mesh: m}
		c := s.camera(opt)
		n, seen := covered(m, c, opt.WidthPX, opt.HeightPX)
		dc := fauxgl.NewContext(opt.WidthPX, opt.HeightPX)
		dc.ClearColorBufferWith(fauxgl.Black)
		dc.Shader = fauxgl.NewSolidColorShader(libraryMatrix(c, opt), fauxgl.White)
		dc.Cull = fauxgl.CullNone
		dc.DrawTriangles(libraryTriangles(m))
		differ := 0
		for i, k := range seen {
			if (k != nothing) != (dc.ColorBuffer.Pix[4*i] == 255) {
				differ++
			}
		}
		if n < 10000 || differ > 60 {
			t.Errorf("%s: %d samples covered, %d differ", name, n, differ)
		}
		// Control: moved by two pixels they differ along the whole outline.
		c.matrix = c.matrix.Translate(fauxgl.V(2, 0, 0))
		_, moved := covered(m, c, opt.WidthPX, opt.HeightPX)
		differ = 0
		for i, k := range moved {
			if (k != nothing) != (dc.ColorBuffer.Pix[4*i] == 255) {
				differ++
			}
		}
		if differ < 300 {
			t.Errorf("%s: moved by two pixels only %d samples differ", name, differ)
		}
	}
}

// Of two faces one behind the other the nearer is seen, and its depth is that of the point.
func TestDepthIsThatOfTheNearestSurface(t *testing.T) {
	m := block()
	const n = 256
	c := newCamera(DefaultToEye, m.Vertices, viewFrame{w: n, h: n, margin: 4})
	p := project(m, c.matrix, n, n)
	list := p.bin(n, 0)
	var b band
	b.reset(0, n, n, true)
	for _, k := range list.list {
		b.draw(p, k)
	}
	back := c.matrix.Inverse()
	checked := 0
	for y := 3; y < n; y += 9 {
		for x := 3; x < n; x += 9 {
			k := b.seen[y*n+x]
			if k == nothing {
				continue
			}
			at := back.MulPosition(fauxgl.V(float64(x)+0.5, float64(y)+0.5, float64(b.depth[y*n+x])))
			corner, _, _ := m.Corners(int(k))
			normal := m.AreaVector(int(k)).Normalize()
			meshtest.WantNear(t, "distance of a sample from its triangle's plane", vec(at.X, at.Y, at.Z).Sub(corner).Dot(normal), 0, 1e-4)
			// Nothing of the block lies between there and the eye.
			if d := nearest(m, vec(at.X, at.Y, at.Z).Add(c.ToEye.Mul(1e-3)), c.ToEye); d >= 0 {
				t.Errorf("sample %d, %d: a facet %g mm before it is not seen", x, y, d)
			}
			checked++
		}
	}
	if checked < 200 {
		t.Errorf("only %d samples checked", checked)
	}
}

// nearest is the distance along a ray to the first facet, -1 where there is none (Moeller and
// Trumbore, Fast Minimum Storage Ray/Triangle Intersection, 1997).
func nearest(m *mesh.Mesh, from, along r3.Vector) float64 {
	best := -1.0
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		e, f := b.Sub(a), c.Sub(a)
		q := along.Cross(f)
		det := e.Dot(q)
		if math.Abs(det) < 1e-9 {
			continue
		}
		s := from.Sub(a)
		u := s.Dot(q) / det
		w := s.Cross(e)
		v := along.Dot(w) / det
		d := f.Dot(w) / det
		if u > 1e-6 && v > 1e-6 && u+v < 1-1e-6 && d > 0 && (best < 0 || d < best) {
			best = d
		}
	}
	return best
}
