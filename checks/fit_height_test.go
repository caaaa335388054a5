package checks_test

import (
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
)

// The parting face is where it runs out to the side, however large a floor or a core's top is beside it.
func TestFitHeight(t *testing.T) {
	block := func(z float64, pockets ...geom.Box) *mesh.Mesh {
		return meshtest.BlockWithPockets(box(-49.98, -29.98, 0, 49.98, 29.98, z), pockets...).Mesh
	}
	// A core that takes up most of the face, or a land on a relief all around.
	stepped := func(x, y, foot, z float64) *mesh.Mesh {
		return meshtest.Grid([]float64{-49.98, -x, x, 49.98}, []float64{-29.98, -y, y, 29.98}, []float64{0, foot, z}, func(i, j, k int) bool { return k == 0 || i == 1 && j == 1 }).Mesh
	}
	for _, c := range []struct {
		name    string
		m       *mesh.Mesh
		verdict checks.Verdict
		proud   float64
	}{
		{"plain", block(40.03), checks.Pass, 0.03},
		{"0.3 too high", block(40.33), checks.Fail, 0.33},
		{"0.4 too low", block(39.6), checks.Fail, -0.4},
		// 88 by 50 of floor beside 1600 mm2 of parting face.
		{"a large floor", block(40.03, box(-44, -25, 30, 44, 25, 50)), checks.Pass, 0.03},
		{"a large floor, too high", block(40.33, box(-44, -25, 30, 44, 25, 50)), checks.Fail, 0.33},
		{"a large core", stepped(44, 25, 40.03, 52), checks.Pass, 0.03},
		{"a large core, too low", stepped(44, 25, 39.6, 52), checks.Fail, -0.4},
		{"a land on a relief of 1 mm", stepped(30, 20, 39.03, 40.03), checks.Pass, 0.03},
		{"a land that stands too high on its relief", stepped(30, 20, 39.03, 40.23), checks.Fail, 0.23},
	} {
		p := exact(c.m)
		if !p.Audit.Closed() {
			t.Fatalf("%s: the test's own solid is not sound", c.name)
		}
		s, err := checks.NewSubject(frame(t, ""), p)
		if err != nil {
			t.Fatal(err)
		}
		r := checks.ByID("fit.height").Measure(s)[0]
		if v := checks.Judge(r).Verdict; v != c.verdict {
			t.Errorf("%s: %v, want %v: %s", c.name, v, c.verdict, r.Says)
		}
		meshtest.WantNear(t, c.name, r.Value, c.proud, 1e-9)
	}
}

func TestSpecimensOfFitHeight(t *testing.T) {
	specimens(t, "fit.height",
		specimen{clean, "0.03 proud", one(t, "fit.height", "", plain()), "", 0.03, 1e-9},
		specimen{defective, "0.3 too high", one(t, "fit.height", "", meshtest.Box(nominal.Min, nominal.Max.Add(at(0, 0, 0.3))).Mesh), "", 0.33, 1e-9},
		specimen{looksWrong, "a floor larger than the parting face", one(t, "fit.height", "", pocketed(box(-44, -25, 30, 44, 25, 50))), "", 0.03, 1e-9},
	)
}
