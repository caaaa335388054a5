package batch_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/batch"
	"pocketgauge/checks/checkstest"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/load"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

func frame(t *testing.T, more string) *rules.Frame {
	t.Helper()
	return checkstest.Bench(t, "judge: {steel.wall: \"off\", draw.zero-draft: \"off\"} # the notch has upright walls\n"+more)
}

// block fits the bench frame, and its notch tells every turn from every other.
func block() *meshtest.Solid {
	outer := geom.Box{Min: r3.Vector{X: -49.98, Y: -29.98}, Max: r3.Vector{X: 49.98, Y: 29.98, Z: 40.03}}
	return meshtest.BlockWithPockets(outer, geom.Box{Min: r3.Vector{X: 10, Y: 5, Z: 30}, Max: r3.Vector{X: 30, Y: 20, Z: 50}})
}

func save(t *testing.T, m *mesh.Mesh) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "block.stl")
	if err := os.WriteFile(name, meshtest.BinarySTL("block", m), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

func placed(how string) rules.Placement {
	return rules.Placement{How: rules.Text{Set: true, Value: how}}
}

func TestModelsArePlacedAsTheyAreAsked(t *testing.T) {
	want := block().Faceted.CentroidMM
	turn := placed(rules.ByMotion)
	turn.Turn.At = r3.Vector{Z: math.Pi / 2}
	turn.Move.At = r3.Vector{X: 3, Y: -2, Z: 7}
	// The inverse of a quarter about z and that move.
	back := geom.Rotate(r3.Vector{Z: 1}, -math.Pi/2).After(geom.Translate(r3.Vector{X: -3, Y: 2, Z: -7}))
	for _, c := range []struct {
		name      string
		drawn     geom.Motion
		unit      string
		placement rules.Placement
	}{
		{"as drawn", geom.Identity(), "", rules.Placement{}},
		{"as modelled, said", geom.Identity(), "mm", placed(rules.AsModelled)},
		{"in inches", geom.ScaleBy(1 / 25.4), "in", rules.Placement{}},
		{"seated", geom.Translate(r3.Vector{X: 120, Y: -70, Z: 33}), "", placed(rules.Seated)},
		{"turned and moved", back, "", turn},
	} {
		in := batch.Insert{File: save(t, block().Mesh.Moved(c.drawn)), Frame: frame(t, ""), Unit: c.unit, Placement: c.placement}
		s, digest, err := batch.Read(in)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		// Stored in binary32 at up to 150 mm.
		meshtest.WantNearVector(t, c.name, s.Measures().CentroidMM, want, 2e-5)
		if len(digest) != 64 || s.StatedUnit != c.unit {
			t.Errorf("%s: digest %q, unit %q", c.name, digest, s.StatedUnit)
		}
	}
	// Control: the same model without its placement lies elsewhere.
	s, _, err := batch.Read(batch.Insert{File: save(t, block().Mesh.Moved(back)), Frame: frame(t, "")})
	if err != nil || s.Measures().CentroidMM.Sub(want).Norm() < 1 {
		t.Errorf("not placed, the centroid is at %v (%v)", s.Measures().CentroidMM, err)
	}
	// A quarter turn leaves upright faces upright, to the last bit of what was stored.
	in := batch.Insert{File: save(t, block().Mesh.Moved(geom.Identity())), Frame: frame(t, ""), Placement: turn}
	s, _, err = batch.Read(in)
	if err != nil {
		t.Fatal(err)
	}
	side := float64(float32(29.98)) + 3
	if x := s.Part.Mesh.Bounds().Max.X; x != side {
		t.Errorf("a turned side lies at %.17g, want %.17g", x, side)
	}
}

func TestOutcomeOfGoodAndBadInserts(t *testing.T) {
	good := batch.Judge(batch.Insert{File: save(t, block().Mesh), Frame: frame(t, "")})
	if good.Err != nil || good.Overall != checks.Pass || good.Subject == nil || len(good.SHA256) != 64 {
		t.Errorf("good insert: %v, %v", good.Err, good.Overall)
	}
	system := placed(rules.BySystem)
	system.System = rules.Text{Set: true, Value: "SEAT"}
	broken := filepath.Join(t.TempDir(), "broken.stl")
	if err := os.WriteFile(broken, meshtest.BinarySTL("x", block().Mesh)[:200], 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, code, says string
		in               batch.Insert
	}{
		{"missing", "missing", "cannot open", batch.Insert{File: "gone.stl"}},
		{"cut short", "truncated", "the file ends", batch.Insert{File: broken}},
		{"no such body", "body", `no body is named "core"`, batch.Insert{File: save(t, block().Mesh), Body: "core"}},
		{"no such system", "placement", `no coordinate system "SEAT"`, batch.Insert{File: save(t, block().Mesh), Placement: system}},
		{"odd placement", "placement", `"sideways" is not known`, batch.Insert{File: save(t, block().Mesh), Placement: placed("sideways")}},
	} {
		c.in.Frame = frame(t, "")
		o := batch.Judge(c.in)
		var e *load.Error
		if !errors.As(o.Err, &e) || e.Code != c.code || !strings.Contains(e.Says, c.says) {
			t.Errorf("%s: %v, want code %q and %q", c.name, o.Err, c.code, c.says)
		}
		if o.Subject != nil || len(o.Findings) > 0 || o.Overall == checks.Pass {
			t.Errorf("%s: judged all the same: %v", c.name, o.Overall)
		}
	}
}

func TestPanicWhileMeasuringIsAnErrorAboutTheFile(t *testing.T) {
	err := batch.Guard("a.stl", func() error { panic("index out of range") })
	var e *load.Error
	if !errors.As(err, &e) || e.File != "a.stl" || e.Code != "internal" || !strings.Contains(e.Says, "index out of range") {
		t.Errorf("%v", err)
	}
	said := fmt.Errorf("a plain error")
	if err := batch.Guard("a.stl", func() error { return said }); err != said {
		t.Errorf("%v", err)
	}
}
