package cavity_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/cavity"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/meshtest"
)

// The folder of large meshes is named by the same variable as for the other benchmarks.
func BenchmarkMillionFacets(b *testing.B) {
	dir := os.Getenv("POCKETGAUGE_BENCH_DATA")
	if dir == "" {
		b.Skip("POCKETGAUGE_BENCH_DATA names no folder")
	}
	model, _, err := load.File(filepath.Join(dir, "insert_1m.stl"), load.Options{})
	if err != nil {
		b.Fatal(err)
	}
	fixed := model.Parts[0].Mesh
	top := fixed.Bounds().Max.Z
	moving := fixed.Moved(geom.Translate(r3.Vector{Z: 2 * top}).After(geom.Rotate(r3.Vector{Y: 1}, 3.141592653589793)))
	for b.Loop() {
		r, err := cavity.Between(fixed, moving, cavity.Options{GapMM: gap, FlushMM: 0.005})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(r.Rays), "rays")
		b.ReportMetric(float64(len(r.Solids)), "solids")
	}
}

func BenchmarkTwoCavities(b *testing.B) {
	fixed, moving := block(lower, pockets(5)...), meshtest.BlockWithPockets(upper).Mesh
	for b.Loop() {
		if _, err := cavity.Between(fixed, moving, cavity.Options{GapMM: gap, FlushMM: 0.005}); err != nil {
			b.Fatal(err)
		}
	}
}
