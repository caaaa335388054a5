package step

import (
	"testing"

	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/step/tessellate"
	"pocketgauge/testdata/stepmake/solids"
)

// fuzzBytes keeps an input to what a second can read; time and memory grow with the text.
const fuzzBytes = 1 << 16

// What a text may take of the processor, several times what package tessellate promises (T7): the
// counters of coverage, the collector and a machine that others use as well take their part.
const (
	secondsFloor   = 1.5
	secondsPerByte = 20.0 / (1 << 20)
)

// Any bytes give a model that keeps the invariants of a mesh, or an error, in bounded time.
func FuzzRead(f *testing.F) {
	for i, c := range solids.Cases() {
		if i%4 == 0 {
			f.Add(c.Text)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > fuzzBytes {
			return
		}
		began := meshtest.CPUSeconds()
		m, err := Read(data, "fuzz", tessellate.Options{ChordMM: 0.5})
		most := secondsFloor + secondsPerByte*float64(len(data))
		took := meshtest.CPUSeconds() - began
		// Neighbours on the machine take caches and half of each core: the least of some runs counts.
		for again := 0; again < 3 && took > most; again++ {
			began = meshtest.CPUSeconds()
			_, _ = Read(data, "fuzz", tessellate.Options{ChordMM: 0.5})
			took = min(took, meshtest.CPUSeconds()-began)
		}
		if took > most {
			t.Errorf("%d bytes took %.2f s of the processor", len(data), took)
		}
		if err != nil {
			return
		}
		for i := range m.Parts {
			checkMesh(t, m.Parts[i].Mesh, len(m.Parts[i].Faces))
		}
	})
}
