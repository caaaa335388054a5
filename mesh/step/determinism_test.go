package step

import (
	"encoding/binary"
	"hash/fnv"
	"math"
	"runtime"
	"testing"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/tessellate"
	"pocketgauge/testdata/stepmake/solids"
)

// digest is a hash over everything that a reading gives.
func digest(m *mesh.Model) uint64 {
	h := fnv.New64a()
	number := func(x float64) { binary.Write(h, binary.LittleEndian, math.Float64bits(x)) }
	for i := range m.Parts {
		p := &m.Parts[i]
		h.Write([]byte(p.Name))
		for _, v := range p.Mesh.Vertices {
			number(v.X)
			number(v.Y)
			number(v.Z)
		}
		binary.Write(h, binary.LittleEndian, p.Mesh.Triangles)
		binary.Write(h, binary.LittleEndian, p.Mesh.Faces)
		number(p.ChordMM)
		if q := p.Exact; q != nil {
			for _, x := range [...]float64{q.VolumeMM3, q.VolumeErrorMM3, q.AreaMM2, q.AreaErrorMM2, q.CentroidMM.X, q.CentroidMM.Y, q.CentroidMM.Z, q.BoundsErrorMM} {
				number(x)
			}
		}
		for _, f := range p.Faces {
			h.Write([]byte(f.Label))
		}
	}
	for _, n := range m.Notes {
		h.Write([]byte(n.Place + n.Says))
	}
	return h.Sum64()
}

// The same bytes at one core and at two, for every generated solid (T5).
func TestSameAtAnyNumberOfCores(t *testing.T) {
	read := func(cores int, c solids.Case) uint64 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		m, err := Read(c.Text, c.Name, tessellate.Options{})
		if err != nil {
			return 0
		}
		return digest(m)
	}
	different := map[uint64]bool{}
	for _, c := range solids.Cases() {
		one, two := read(1, c), read(2, c)
		if one != two {
			t.Errorf("%s: %x with one core, %x with two", c.Name, one, two)
		}
		different[one] = true
	}
	// The control: the digest tells solids apart.
	if len(different) < len(solids.Cases())/2 {
		t.Errorf("only %d digests", len(different))
	}
}
