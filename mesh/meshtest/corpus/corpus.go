// Package corpus reads large meshes and STEP files for benchmarks from a folder that is not part of the project.
// It stands apart from meshtest because it needs mesh/stl, whose own tests need meshtest.
package corpus

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
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

// MeshOrShell is Mesh, or a shell of a million facets, with a word on why, where no folder is named.
// Not a full sphere: to its centre every facet is nearest.
func MeshOrShell(tb testing.TB, name string) *mesh.Mesh {
	tb.Helper()
	if os.Getenv("POCKETGAUGE_BENCH_DATA") == "" {
		tb.Logf("POCKETGAUGE_BENCH_DATA is not set: a synthetic shell stands for %s", name)
		return meshtest.Sphere(50, 700, 350).With(meshtest.Sphere(45, 700, 350).InsideOut()).Mesh
	}
	return Mesh(tb, name)
}

// STEP is the text of insert_cad_32.step of the folder in POCKETGAUGE_BENCH_DATA, or else of the
// largest STEP file below that in POCKETGAUGE_CORPUS, or else nil: the caller then makes do with one
// of its own. It logs which.
func STEP(tb testing.TB) []byte {
	tb.Helper()
	var best string
	var size int64
	if root := os.Getenv("POCKETGAUGE_CORPUS"); root != "" {
		_ = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return nil // what cannot be looked at is no candidate
			}
			switch strings.ToLower(filepath.Ext(path)) {
			case ".step", ".stp", ".p21":
				if info, err := d.Info(); err == nil && info.Size() > size {
					best, size = path, info.Size()
				}
			}
			return nil
		})
	}
	if folder := os.Getenv("POCKETGAUGE_BENCH_DATA"); folder != "" {
		if path := filepath.Join(folder, "insert_cad_32.step"); exists(path) {
			best = path
		}
	}
	if best == "" {
		tb.Log("neither POCKETGAUGE_BENCH_DATA nor POCKETGAUGE_CORPUS names a folder with a STEP file")
		return nil
	}
	text, err := os.ReadFile(best)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Logf("%s, %d bytes", filepath.Base(best), len(text))
	return text
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
