package step

import (
	"testing"

	"pocketgauge/mesh/step/tessellate"
	"pocketgauge/testdata/stepmake/solids"
)

// fuzzBytes keeps an input to what a second can read; time and memory grow with the text.
const fuzzBytes = 1 << 16

// Any bytes give a model that keeps the invariants of a mesh, or an error.
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
		m, err := Read(data, "fuzz", tessellate.Options{ChordMM: 0.5})
		if err != nil {
			return
		}
		for i := range m.Parts {
			checkMesh(t, m.Parts[i].Mesh, len(m.Parts[i].Faces))
		}
	})
}
