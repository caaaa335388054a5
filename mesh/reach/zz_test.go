package reach

import (
	"os"
	"testing"
	"time"

	"github.com/golang/geo/r3"

	"pocketgauge/mesh/difference"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/stl"
)

func TestZZ(t *testing.T) {
	for _, f := range []string{"entrance-disc-fixed.stl", "entrance-disc-moving.stl", "feeder-cap-moving.stl"} {
		data, _ := os.ReadFile("../../testdata/apiary/inserts/" + f)
		model, err := stl.Read(data)
		if err != nil {
			t.Fatal(err)
		}
		m := model.Parts[0].Mesh
		b := m.Bounds()
		z, _ := difference.BoxZone(geom.Box{Min: b.Min, Max: b.Max})
		for _, p := range []float64{0.4} {
			start := time.Now()
			cs := []Cutter{{"16", 16, 1, 60, 40}, {"10", 10, 0.5, 40, 32}, {"6", 6, 0, 30, 28}, {"4", 4, 2, 25, 25}, {"2", 2, 0, 12, 20}, {"1", 1, 0, 6, 20}}
			r, err := InSequence(m, z.Mesh(), nil, []SetUp{{r3.Vector{Z: 1}, cs}, {r3.Vector{Z: -1}, cs}, {r3.Vector{X: -1}, cs}, {r3.Vector{X: 1}, cs}, {r3.Vector{Y: -1}, cs}, {r3.Vector{Y: 1}, cs}}, Options{PitchMM: p})
			if err != nil {
				t.Fatal(err)
			}
			el := time.Since(start)
			t.Logf("%s %d tris %v pitch %v; stock %v", f, len(m.Triangles), b.Size(), p, r.Stock)
			for i, s := range r.Cut {
				t.Logf("   %d %v", i, s)
			}
			t.Logf("left %v rest %v regions %d time %v", r.Left, r.Rest, len(r.Regions), el)
			for _, g := range r.Regions[:min(18, len(r.Regions))] {
				t.Logf("      %v %v %.2f %.2f", g.Kind, g.Volume, g.Box.Size(), g.HeightMM)
			}
		}
	}
}
