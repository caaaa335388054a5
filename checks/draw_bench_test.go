package checks_test

import (
	"fmt"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest/corpus"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

// What the families draw, make and bore and the edge break cost on an insert of a million facets, beside the tree and the
// sorting of surfaces that all families share.
func BenchmarkDrawMakeBore(b *testing.B) {
	m := corpus.Mesh(b, "insert_1m.stl")
	box := m.Bounds()
	c := box.Center()
	c.Z = box.Min.Z
	m = m.Moved(geom.Translate(c.Mul(-1)))
	size := box.Size()
	f, err := rules.LoadFS(mapFS(fmt.Sprintf(`frame: Bench
pocket:
  outline: {rectangle: {width: %g, length: %g}}
  depth: %g
  clearance: {least: 0.01, most: 0.04}
  edge_break: {least: 0.5}
bores:
  - {name: thread, kind: thread, at: [10, 5, 0], into: [0, 0, 1], diameter: {least: 6.6, most: 7}}
`, size.X+0.04, size.Y+0.04, size.Z-0.03)), "f.yaml")
	if err != nil {
		b.Fatal(err)
	}
	part := partOf(m, tol.RoundoffSTL, 0)
	for b.Loop() {
		b.StopTimer()
		s, err := checks.NewSubject(f, part)
		if err != nil {
			b.Fatal(err)
		}
		s.Tree()
		s.Surfaces()
		b.StartTimer()
		for _, id := range []string{"fit.edge-break", "bore.present", "bore.whole", "draw.draft", "draw.zero-draft", "draw.undercut", "make.cutter", "make.reach", "make.bottom-radius", "make.drill"} {
			checks.ByID(id).Measure(s)
		}
	}
}
