package dexel

import (
	"fmt"

	"pocketgauge/mesh"
	"pocketgauge/mesh/parallel"
)

// Span is an interval of metal along a ray, in quanta.
type Span struct{ Low, High int32 }

// Field is a solid kept as crossings on a grid.
type Field struct {
	Grid  *Grid
	Tally Tally
	bands []Band
	rows  int
}

// NewField converts a solid. The memory is 4 bytes a ray and 4 a crossing.
func NewField(g *Grid, s *Solid) *Field {
	return g.Refill(nil, s)
}

// Refill is NewField in the memory of an earlier field that is no longer needed, nil for none.
func (g *Grid) Refill(old *Field, s *Solid) *Field {
	f := &Field{Grid: g, bands: make([]Band, g.Bands()), rows: g.bandRows()}
	var kept []Band
	if old != nil {
		kept = old.bands
		old.bands = nil
	}
	f.Tally = Scan(g, []*Solid{s}, func(band, _ int, of []Band) {
		b := of[0]
		var memory Band
		if band < len(kept) {
			memory = kept[band]
		}
		b.start = append(memory.start[:0], b.start...)
		b.crossings = append(memory.crossings[:0], b.crossings...)
		f.bands[band] = b
	})[0]
	return f
}

// FieldOf converts a mesh on an nu by nv grid over its own box, rays along axis.
func FieldOf(m *mesh.Mesh, axis Axis, nu, nv int) (*Field, error) {
	box := m.Bounds()
	f, err := NewFrame(box)
	if err != nil {
		return nil, fmt.Errorf("dexels of a mesh of %d triangles: %w", len(m.Triangles), err)
	}
	s, err := f.Snap(m)
	if err != nil {
		return nil, err
	}
	g, err := NewGrid(f, axis, box, nu, nv)
	if err != nil {
		return nil, err
	}
	return NewField(g, s), nil
}

// Crossings of ray i in row j. The slice is the field's own.
func (f *Field) Crossings(i, j int) []Crossing {
	k := j / f.rows
	return f.bands[k].Ray(i, j-k*f.rows)
}

// Spans appends the metal on ray i of row j to dst: disjoint, in order, none empty.
func (f *Field) Spans(dst []Span, i, j int) []Span { return Metal(dst, f.Crossings(i, j)) }

// Metal appends the intervals where the winding number of the crossings is not zero. A last
// interval that does not end, on an odd ray, is left out.
func Metal(dst []Span, crossings []Crossing) []Span {
	winding := int32(0)
	var low int32
	for _, c := range crossings {
		before := winding
		winding += c.Turn()
		switch {
		case before == 0:
			low = c.At()
		case winding == 0 && c.At() > low:
			if n := len(dst); n > 0 && dst[n-1].High == low {
				dst[n-1].High = c.At()
			} else {
				dst = append(dst, Span{low, c.At()})
			}
		}
	}
	return dst
}

// LengthQuanta is the total length of metal on all rays. Times the quantum and the cell's
// area it is the volume that the grid sees; it says nothing of the error of sampling.
func (f *Field) LengthQuanta() int64 {
	parts := make([]int64, len(f.bands))
	parallel.Each(len(f.bands), func(k, _ int) {
		var sum int64
		var spans [64]Span
		b := &f.bands[k]
		for r := range len(b.start) - 1 {
			c := b.crossings[b.start[r]:b.start[r+1]]
			if len(c) == 2 && c[0].Turn() == 1 && c[1].Turn() == -1 {
				sum += int64(c[1].At()) - int64(c[0].At())
				continue
			}
			for _, s := range Metal(spans[:0], c) {
				sum += int64(s.High) - int64(s.Low)
			}
		}
		parts[k] = sum
	})
	var total int64
	for _, p := range parts {
		total += p
	}
	return total
}

// VolumeMM3 is LengthQuanta as a volume.
func (f *Field) VolumeMM3() float64 {
	return float64(f.LengthQuanta()) * f.Grid.QuantumMM() * f.Grid.CellMM2()
}
