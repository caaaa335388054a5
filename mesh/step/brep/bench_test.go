package brep

import (
	"os"
	"testing"

	"pocketgauge/mesh/step/part21"
)

// benchmarkFile is the file that POCKETGAUGE_STEP names: a large one shows the cost of a face.
func benchmarkFile(b *testing.B) []byte {
	name := os.Getenv("POCKETGAUGE_STEP")
	if name == "" {
		b.Skip("POCKETGAUGE_STEP names no file")
	}
	text, err := os.ReadFile(name)
	if err != nil {
		b.Fatal(err)
	}
	return text
}

func BenchmarkScan(b *testing.B) {
	text := benchmarkFile(b)
	b.SetBytes(int64(len(text)))
	for range b.N {
		if _, err := part21.Parse(text, part21.Limits{Keywords: Keywords()}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkResolve(b *testing.B) {
	text := benchmarkFile(b)
	f, err := part21.Parse(text, part21.Limits{Keywords: Keywords()})
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	b.ResetTimer()
	faces := 0
	for range b.N {
		m, err := Read(f)
		if err != nil {
			b.Fatal(err)
		}
		_, faces, _ = counts(m)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(max(faces, 1)), "ns/face")
}
