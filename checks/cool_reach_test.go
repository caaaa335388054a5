package checks_test

import (
	"math"
	"testing"

	"pocketgauge/checks"
)

func TestReach(t *testing.T) {
	const water = "cooling: {waterline_diameters: [8], cover: {most: 9}, pitch: {most: 12}, reach: "
	far := math.Hypot(10, 40.03-12) - 4 // from the line to the upper edges of the groove
	amid := math.Hypot(40, 30-12) - 4   // from both lines to the middle of its floor, amid facets
	wantCool(t, []coolCase{
		{"within", water + "26 mm}\n", drilled(-10, 10, 30, line{0, 12, 8}), "cool.reach", "", far, 1e-4, checks.Pass, ""},
		{"beyond", water + "25 mm}\n", drilled(-10, 10, 30, line{0, 12, 8}), "cool.reach", "", far, 1e-4, checks.Fail, ""},
		{"farthest amid a facet", water + "39 mm}\n", drilled(-10, 10, 30, line{-40, 12, 8}, line{40, 12, 8}), "cool.reach", "", amid, 0.01, checks.Fail, "39.8"},
		{"not asked", "cooling: {waterline_diameters: [8]}\n", drilled(-10, 10, 30, line{0, 12, 8}), "cool.reach", "", 0, 0, noLimit, ""},
	})
	// Every vertex of the detail has its distance, and no other.
	s, err := checks.NewSubject(frame(t, ports), exact(drilled(-10, 10, 30, line{0, 12, 8})))
	if err != nil {
		t.Fatal(err)
	}
	for v, d := range s.CoolingReach().VertexMM {
		p := s.Part.Mesh.Vertices[v]
		detail := math.Abs(p.X) == 10
		if want := math.Hypot(p.X, p.Z-12) - 4; detail != !math.IsNaN(float64(d)) || detail && math.Abs(float64(d)-want) > 1e-5 {
			t.Errorf("vertex %v: %g, want %g", p, d, want)
		}
	}
	// Water that is not there is not measured.
	list, _ := run(t, frame(t, water+"26 mm}\n"), exact(drilled(-10, 10, 30)))
	if f := find(t, list, "cool.reach", ""); f.Verdict != checks.NotJudged || f.Why == "" {
		t.Errorf("no water: %v", f.Verdict)
	}
}

func TestSpecimensOfCoolReach(t *testing.T) {
	const rule = "cooling: {waterline_diameters: [8], cover: {most: 9}, pitch: {most: 12}, reach: "
	m := drilled(-10, 10, 30, line{0, 12, 8})
	far := math.Hypot(10, 40.03-12) - 4 // from the line to the upper edges of the groove
	specimens(t, "cool.reach",
		specimen{clean, "within 26 mm", by(t, rule+"26 mm}\n", m), "", far, 1e-4},
		specimen{defective, "within 25 mm", by(t, rule+"25 mm}\n", m), "", far, 1e-4},
		specimen{looksWrong, "the side of the block lies 50 mm off, and is no detail", by(t, rule+"30 mm}\n", m), "", far, 1e-4},
	)
}
