// Package corpus reads large meshes for benchmarks from a folder that is not part of the project.
// It stands apart from meshtest because it needs mesh/stl, whose own tests need meshtest.
package corpus

import (
	"os"
	"path/filepath"
	"testing"

	"pocketgauge/mesh"
	"pocketgauge/mesh/stl"
)

// Mesh is the named STL file of the folder in POCKETGAUGE_BENCH_DATA; it skips, saying why, where
// there is none.
func Mesh(tb testing.TB, name string) *mesh.Mesh {
	tb.Helper()
	folder := os.Getenv("POCKETGAUGE_BENCH_DATA")
	if folder == "" {
		tb.Skip("POCKETGAUGE_BENCH_DATA names no folder of meshes")
	}
	data, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		tb.Skip(err)
	}
	model, err := stl.Read(data)
	if err != nil {
		tb.Fatal(err)
	}
	return model.Parts[0].Mesh
}
