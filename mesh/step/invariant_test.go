package step

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/tessellate"
	"pocketgauge/testdata/stepmake/solids"
)

// checkMesh holds a mesh to M1 to M3.
func checkMesh(t *testing.T, m *mesh.Mesh, faces int) {
	t.Helper()
	for i, v := range m.Vertices {
		if !(v.X-v.X == 0 && v.Y-v.Y == 0 && v.Z-v.Z == 0) {
			t.Fatalf("vertex %d is %v", i, v)
		}
	}
	for i, tri := range m.Triangles {
		for k, v := range tri {
			if v < 0 || int(v) >= len(m.Vertices) || v == tri[(k+1)%3] {
				t.Fatalf("triangle %d is %v", i, tri)
			}
		}
		if f := m.FaceOf(i); f < 0 || int(f) >= max(faces, 1) {
			t.Fatalf("triangle %d is of face %d of %d", i, f, faces)
		}
	}
}

// Files with numbers changed at random: whatever surfaces and edges that makes, the mesh keeps its
// invariants, and where the file's edges are each used twice it closes (T1, T2).
func TestSpoiltNumbers(t *testing.T) {
	const seed = 7
	rng := rand.New(rand.NewPCG(seed, 1))
	spoilt, open := 0, 0
	for _, c := range solids.Cases() {
		if c.Err != "" || len(c.Text) > 1<<15 || c.Solids[0].Open {
			continue
		}
		for range 4 {
			text := spoil(rng, c.Text)
			m, err := Read(text, c.Name, tessellate.Options{ChordMM: 0.2})
			if err != nil {
				continue
			}
			spoilt++
			for i := range m.Parts {
				checkMesh(t, m.Parts[i].Mesh, len(m.Parts[i].Faces))
				if !m.Parts[i].Audit.Closed() && len(m.Parts[i].Mesh.Triangles) > 0 {
					open++
				}
			}
		}
	}
	t.Logf("seed %d: %d spoilt files, %d of their parts open", seed, spoilt, open)
	if spoilt < 100 {
		t.Errorf("only %d spoilt files were read", spoilt)
	}
	// A whole sphere whose radius no longer agrees with its seam may be left without edges.
	if open*20 > spoilt {
		t.Errorf("%d of %d are open", open, spoilt)
	}
}

// spoil changes one real number of the text.
func spoil(rng *rand.Rand, text []byte) []byte {
	var places [][2]int
	for i := 0; i < len(text); i++ {
		if text[i] != '.' || i == 0 || text[i-1] < '0' || text[i-1] > '9' {
			continue
		}
		a, b := i, i+1
		for a > 0 && (text[a-1] >= '0' && text[a-1] <= '9' || text[a-1] == '-') {
			a--
		}
		for b < len(text) && (text[b] >= '0' && text[b] <= '9') {
			b++
		}
		places = append(places, [2]int{a, b})
	}
	p := places[rng.IntN(len(places))]
	x := [...]float64{0, 1, -1, 0.5, 3, 17, 1e-7, 1e9, rng.NormFloat64(), 10 * rng.NormFloat64()}[rng.IntN(10)]
	out := append([]byte(nil), text[:p[0]]...)
	s := strconv.FormatFloat(x, 'f', 9, 64)
	out = append(out, s...)
	return append(out, text[p[1]:]...)
}
