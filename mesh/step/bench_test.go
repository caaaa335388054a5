package step

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pocketgauge/mesh"
	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/step/tessellate"
	"pocketgauge/testdata/stepmake/solids"
)

// benchText is the largest STEP file of the corpus, or a generated solid.
func benchText(b *testing.B) []byte {
	b.Helper()
	var best string
	var size int64
	if root := os.Getenv("POCKETGAUGE_CORPUS"); root != "" {
		filepath.Walk(root, func(path string, info os.FileInfo, err error) error {
			name := strings.ToLower(path)
			if err == nil && info.Size() > size && (strings.HasSuffix(name, ".step") || strings.HasSuffix(name, ".stp")) {
				best, size = path, info.Size()
			}
			return nil
		})
	}
	if best == "" {
		for _, c := range solids.Cases() {
			if c.Name == "tube_window" {
				return c.Text
			}
		}
		b.Fatal("no text")
	}
	b.Logf("%s", best)
	text, err := os.ReadFile(best)
	if err != nil {
		b.Fatal(err)
	}
	return text
}

func parse(b *testing.B, text []byte) *part21.File {
	f, err := part21.Parse(text, part21.Limits{Keywords: brep.Keywords()})
	if err != nil {
		b.Fatal(err)
	}
	return f
}

func BenchmarkScan(b *testing.B) {
	text := benchText(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		parse(b, text)
	}
}

func BenchmarkResolve(b *testing.B) {
	text := benchText(b)
	f := parse(b, text)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := brep.Read(f); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTessellate divides at 0.05 mm; integration is part of it. See BenchmarkIntegrate of
// package tessellate for that alone.
func BenchmarkTessellate(b *testing.B) {
	text := benchText(b)
	m, err := brep.Read(parse(b, text))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	triangles := 0
	for b.Loop() {
		parts, _, err := tessellate.Model(m, tessellate.Options{ChordMM: 0.05})
		if err != nil {
			b.Fatal(err)
		}
		triangles = count(parts)
	}
	b.ReportMetric(float64(triangles)*float64(b.N)/b.Elapsed().Seconds(), "triangles/s")
}

// BenchmarkRead is everything from text to measured parts.
func BenchmarkRead(b *testing.B) {
	text := benchText(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(text, "bench", tessellate.Options{ChordMM: 0.05}); err != nil {
			b.Fatal(err)
		}
	}
}

func count(parts []mesh.Part) int {
	n := 0
	for i := range parts {
		n += len(parts[i].Mesh.Triangles)
	}
	return n
}
