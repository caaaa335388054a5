package brep

import (
	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/part21"
)

// facetBuilder gathers the triangles of a tessellated solid or shell.
//
// Faces of one solid share a COORDINATES_LIST as often as not; where each has its own, corners
// are told apart by their coordinates, which a writer rounds alike on both sides of an edge.
type facetBuilder struct {
	mesh    *mesh.Mesh
	corners map[r3.Vector]int32
	face    int32
	dropped int
}

// vertex is the vertex at a point.
func (f *facetBuilder) vertex(p r3.Vector) int32 {
	k, ok := f.corners[p]
	if !ok {
		k = int32(len(f.mesh.Vertices))
		f.mesh.Vertices = append(f.mesh.Vertices, p)
		f.corners[p] = k
	}
	return k
}

// readFacets reads the items of a TESSELLATED_SOLID or TESSELLATED_SHELL.
func (s *structure) readFacets(p *part21.Cursor, units *scale, b *Body) error {
	items := p.Instances(nil)
	if err := p.Err(); err != nil {
		return err
	}
	f := &facetBuilder{mesh: &mesh.Mesh{}, corners: map[r3.Vector]int32{}}
	for _, i := range items {
		if err := s.readFacetFace(i, units, f); err != nil {
			return err
		}
		f.face++
	}
	if f.dropped > 0 {
		s.noteAt(items[0], "%d triangles of no area that name a corner twice were left out", f.dropped)
	}
	b.Facets = f.mesh
	return nil
}

// readFacetFace reads one face. In the attribute order of ISO 10303-42, pnindex gives for each
// place that a triangle names the point of the coordinates list, and is empty where they are the
// same.
func (s *structure) readFacetFace(i part21.Instance, units *scale, f *facetBuilder) error {
	t := i.Type()
	isComplex := t == typeComplexTriangulatedFace || t == typeComplexTriangulatedSurfaceSet
	isFace := t == typeTriangulatedFace || t == typeComplexTriangulatedFace
	if !isComplex && !isFace && t != typeTriangulatedSurfaceSet {
		return notUnderstood(i, "tessellated face")
	}
	p := i.Only().Params()
	p.Skip()
	coordinates := p.Instance()
	p.Skip() // pnmax
	p.Skip() // normals
	if isFace {
		p.Skip() // geometric_link
	}
	index := p.Ints(nil)
	if err := p.Err(); err != nil {
		return err
	}
	points, err := s.coordinatesList(coordinates, units)
	if err != nil {
		return err
	}
	pick := func(k int) (int32, error) {
		if len(index) > 0 {
			if k < 1 || k > len(index) {
				return 0, i.Errorf("place %d of %d", k, len(index))
			}
			k = index[k-1]
		}
		if k < 1 || k > len(points) {
			return 0, i.Errorf("point %d of %d", k, len(points))
		}
		return f.vertex(points[k-1]), nil
	}
	add := func(a, b, c int) error {
		var t [3]int32
		for n, k := range [3]int{a, b, c} {
			v, err := pick(k)
			if err != nil {
				return err
			}
			t[n] = v
		}
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			f.dropped++
			return nil
		}
		f.mesh.Triangles = append(f.mesh.Triangles, t)
		f.mesh.Faces = append(f.mesh.Faces, f.face)
		return nil
	}
	var row []int
	if s.slot[i.Index()] != 0 {
		s.revisits += len(index)
	}
	before, revisits := len(f.mesh.Triangles), s.revisits
	if err := s.visit(i, 0); err != nil {
		return err
	}
	lists := p.List()
	for lists.More() {
		row = lists.Ints(row[:0])
		if !isComplex {
			if len(row) != 3 {
				return i.Errorf("a triangle of %d corners", len(row))
			}
			if err := add(row[0], row[1], row[2]); err != nil {
				return err
			}
			continue
		}
		// A strip: each triangle shares its first two corners with the one before, and every
		// second is turned.
		for k := 2; k < len(row); k++ {
			a, b := row[k-2], row[k-1]
			if k%2 == 1 {
				a, b = b, a
			}
			if err := add(a, b, row[k]); err != nil {
				return err
			}
		}
	}
	p.Take(&lists)
	if isComplex {
		fans := p.List()
		for fans.More() {
			row = fans.Ints(row[:0])
			for k := 2; k < len(row); k++ {
				if err := add(row[0], row[k-1], row[k]); err != nil {
					return err
				}
			}
		}
		p.Take(&fans)
	}
	if s.revisits > revisits {
		s.revisits += len(f.mesh.Triangles) - before
	}
	if err := p.Err(); err != nil {
		return err
	}
	return nil
}

// coordinatesList reads the points of a COORDINATES_LIST, which several bodies may share, once.
func (s *structure) coordinatesList(i part21.Instance, units *scale) ([]r3.Vector, error) {
	if i.Type() != typeCoordinatesList {
		return nil, notUnderstood(i, "list of coordinates")
	}
	if l, ok := s.coordinates[i.Index()]; ok {
		return l, nil
	}
	p := i.Only().Params()
	p.Skip()
	p.Skip() // npoints
	rows := p.List()
	var list []r3.Vector
	var xyz []float64
	for rows.More() {
		xyz = rows.Reals(xyz[:0])
		if rows.Err() != nil {
			break
		}
		if len(xyz) != 3 {
			return nil, i.Errorf("point %d has %d coordinates", len(list)+1, len(xyz))
		}
		v := r3.Vector{X: xyz[0], Y: xyz[1], Z: xyz[2]}.Mul(units.length)
		if !isFinite(v) {
			return nil, i.Errorf("point %d is not a number", len(list)+1)
		}
		list = append(list, v)
	}
	p.Take(&rows)
	if err := p.Err(); err != nil {
		return nil, err
	}
	s.coordinates[i.Index()] = list
	return list, nil
}
