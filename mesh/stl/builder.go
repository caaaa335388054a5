package stl

import (
	"fmt"
	"math"

	hstl "github.com/hschendel/stl"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh"
)

// builder receives the stream and welds it as it comes: one open-addressing table from the
// three coordinate bit patterns to the vertex number, half full at most.
type builder struct {
	keys  [][3]uint32 // of each vertex
	table []int32     // vertex number + 1, 0 for a free slot
	tris  [][3]int32
	solid []int32 // of each triangle
	names []string

	// recent remembers the vertices met last, by the same hash: facets come in patches, and five
	// of six corners have just been met. It fits the nearest cache where the table does not.
	recent [recentSlots]recentVertex

	facets    int // all that came, dropped ones too
	dropped   int
	badFacet  int // first facet with a coordinate that is not finite, -1 if none
	badCorner int
}

const recentSlots = 1 << 12

type recentVertex struct {
	key    [3]uint32
	number int32 // + 1, 0 for none
}

var _ hstl.Writer = (*builder)(nil)

func newBuilder() *builder { return &builder{badFacet: -1} }

// size makes room for n facets, which the caller has checked against the bytes present. A
// closed mesh has half as many vertices as facets.
func (b *builder) size(n int) {
	b.tris = make([][3]int32, 0, n)
	b.solid = make([]int32, 0, n)
	b.keys = make([][3]uint32, 0, n/2+8)
	b.grow(n)
}

func (b *builder) grow(vertices int) {
	slots := 1 << 10
	for slots < 2*vertices {
		slots *= 2
	}
	if slots <= len(b.table) {
		return
	}
	b.table = make([]int32, slots)
	for i, k := range b.keys {
		b.table[b.slot(k, hash(k))] = int32(i + 1)
	}
}

// hash mixes the three bit patterns. The multipliers are the odd 64-bit constants of the golden
// ratio and of pi.
func hash(k [3]uint32) uint64 {
	h := (uint64(k[0])*0x9e3779b97f4a7c15 + uint64(k[1])) * 0x9e3779b97f4a7c15
	return (h ^ h>>32 + uint64(k[2])) * 0x243f6a8885a308d3
}

// slot is where k is, or the free place where it belongs: high bits of the hash pick the slot,
// linear probing takes the rest.
func (b *builder) slot(k [3]uint32, h uint64) int {
	mask := len(b.table) - 1
	s := int(h>>20) & mask
	for {
		v := b.table[s]
		if v == 0 || b.keys[v-1] == k {
			return s
		}
		s = (s + 1) & mask
	}
}

func (b *builder) SetName(name string) {
	b.names = append(b.names, name)
}

func (b *builder) SetBinaryHeader([]byte) {}

func (b *builder) SetASCII(bool) {}

// SetTriangleCount trusts nothing: readers call size with a count checked against the bytes.
func (b *builder) SetTriangleCount(uint32) {}

func (b *builder) AppendTriangle(t hstl.Triangle) {
	var tri [3]int32
	for c, v := range t.Vertices {
		var k [3]uint32
		for i, x := range v {
			bits := math.Float32bits(x)
			switch {
			case bits&0x7f800000 == 0x7f800000: // all exponent bits set: infinite or NaN
				if b.badFacet < 0 {
					b.badFacet, b.badCorner = b.facets, c
				}
			case bits == 0x80000000:
				bits = 0 // -0 is +0
			}
			k[i] = bits
		}
		tri[c] = b.vertex(k)
	}
	b.facets++
	if tri[0] == tri[1] || tri[1] == tri[2] || tri[2] == tri[0] {
		b.dropped++
		return
	}
	b.tris = append(b.tris, tri)
	b.solid = append(b.solid, int32(max(len(b.names)-1, 0)))
}

func (b *builder) vertex(k [3]uint32) int32 {
	h := hash(k)
	r := &b.recent[h>>52&(recentSlots-1)]
	if r.number > 0 && r.key == k {
		return r.number - 1
	}
	if 2*(len(b.keys)+1) > len(b.table) {
		b.grow(2 * (len(b.keys) + 1))
	}
	s := b.slot(k, h)
	if b.table[s] == 0 {
		b.keys = append(b.keys, k)
		b.table[s] = int32(len(b.keys))
	}
	*r = recentVertex{k, b.table[s]}
	return b.table[s] - 1
}

// part gives up the mesh. Vertices no triangle names (those of dropped facets) stay out.
func (b *builder) part() mesh.Part {
	m := &mesh.Mesh{Triangles: b.tris}
	if b.dropped > 0 {
		b.compact()
	}
	m.Vertices = make([]r3.Vector, len(b.keys))
	for i, k := range b.keys {
		m.Vertices[i] = r3.Vector{
			X: float64(math.Float32frombits(k[0])),
			Y: float64(math.Float32frombits(k[1])),
			Z: float64(math.Float32frombits(k[2])),
		}
	}
	p := mesh.Part{Mesh: m}
	if len(b.names) > 1 {
		m.Faces = b.solid
	}
	for _, n := range b.names {
		p.Faces = append(p.Faces, mesh.Face{Label: n})
	}
	if len(b.names) > 0 {
		p.Name = b.names[0]
	}
	if len(p.Faces) == 0 {
		p.Faces = []mesh.Face{{}}
	}
	return p
}

func (b *builder) compact() {
	renumber := make([]int32, len(b.keys))
	for _, t := range b.tris {
		renumber[t[0]], renumber[t[1]], renumber[t[2]] = 1, 1, 1
	}
	n := int32(0)
	for i, used := range renumber {
		if used == 1 {
			b.keys[n] = b.keys[i]
			renumber[i] = n
			n++
		}
	}
	b.keys = b.keys[:n]
	for i, t := range b.tris {
		b.tris[i] = [3]int32{renumber[t[0]], renumber[t[1]], renumber[t[2]]}
	}
}

func (b *builder) notes() []mesh.Note {
	if b.dropped == 0 {
		return nil
	}
	return []mesh.Note{{Says: fmt.Sprintf("%d of %d facets have no area and were left out", b.dropped, b.facets)}}
}
