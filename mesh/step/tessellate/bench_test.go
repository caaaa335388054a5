package tessellate

import (
	"math"
	"testing"

	"github.com/golang/geo/s1"

	"pocketgauge/mesh/step/brep"
	"pocketgauge/mesh/step/part21"
	"pocketgauge/mesh/tol"
	"pocketgauge/testdata/stepmake/solids"
)

func bodyOf(tb testing.TB, name string, chord float64) *body {
	tb.Helper()
	for _, c := range solids.Cases() {
		if c.Name != name {
			continue
		}
		f, err := part21.Parse(c.Text, part21.Limits{Keywords: brep.Keywords()})
		if err != nil {
			tb.Fatal(err)
		}
		m, err := brep.Read(f)
		if err != nil {
			tb.Fatal(err)
		}
		return newBody(m.Bodies[0], Options{ChordMM: chord, Angle: s1.Angle(tol.DeflectionAngle)}, newBudget(m.Bytes, chord))
	}
	tb.Fatalf("no solid %s", name)
	return nil
}

// BenchmarkIntegrate integrates over a torus that is already divided.
func BenchmarkIntegrate(b *testing.B) {
	body := bodyOf(b, "torus_seams", 0.002)
	w := &worker{body: body, most: math.MaxInt64}
	for i := range body.edges {
		body.edges[i].stale = true
	}
	body.divideEdges()
	f := body.faces[0]
	if _, err := w.onSurface(f, true); err != nil {
		b.Fatal(err)
	}
	plan := w.plan.Triangles()
	b.ReportAllocs()
	for b.Loop() {
		var s integrals
		w.integrate(f.surface, nil, plan, false, true, &s)
	}
	b.ReportMetric(float64(len(plan))*float64(b.N)/b.Elapsed().Seconds(), "triangles/s")
}
