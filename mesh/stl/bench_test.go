package stl

import (
	"os"
	"path/filepath"
	"testing"

	"pocketgauge/mesh"
	"pocketgauge/mesh/measure"
	"pocketgauge/mesh/meshtest"
)

// benchFile is the 1 M facet insert where POCKETGAUGE_BENCH_DATA names its folder, else a sphere.
func benchFile(b *testing.B) []byte {
	b.Helper()
	if dir := os.Getenv("POCKETGAUGE_BENCH_DATA"); dir != "" {
		data, err := os.ReadFile(filepath.Join(dir, "insert_1m.stl"))
		if err != nil {
			b.Fatal(err)
		}
		return data
	}
	return meshtest.BinarySTL("sphere", meshtest.Sphere(40, 512, 256).Mesh)
}

func BenchmarkLoadBinary(b *testing.B) {
	data := benchFile(b)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(data); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkWeld is the reading without the audit.
func BenchmarkWeld(b *testing.B) {
	data := benchFile(b)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		w := newBuilder()
		w.size(int(count(data)))
		if err := readBinary(data, w); err != nil {
			b.Fatal(err)
		}
		if w.facets == 0 {
			b.Fatal("no facets")
		}
	}
}

func BenchmarkAudit(b *testing.B) {
	m, err := Read(benchFile(b))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if a := mesh.NewAudit(m.Parts[0].Mesh); !a.Closed() {
			b.Fatal("not closed")
		}
	}
}

func BenchmarkIntegrals(b *testing.B) {
	m, err := Read(benchFile(b))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if q := measure.Integrals(m.Parts[0].Mesh, m.Parts[0].Roundoff, 0); q.VolumeMM3 <= 0 {
			b.Fatal("no volume")
		}
	}
}
