package tessellate

import (
	"math"
	"testing"

	"github.com/golang/geo/s1"

	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/meshtest/corpus"
	"pocketgauge/mesh/tol"
)

// BenchmarkIntegrate integrates over faces that are already divided, at 0.05 mm those of
// corpus.STEP, or else a torus at 0.002 mm. Dividing them is not timed.
func BenchmarkIntegrate(b *testing.B) {
	text, chord := corpus.STEP(b), 0.05
	if text == nil {
		text, chord = caseText(b, "torus_seams"), 0.002
	}
	took := 0.0
	triangles := 0
	for b.Loop() {
		took, triangles = 0, 0
		for _, from := range brepOf(b, text).Bodies {
			body := newBody(from, Options{ChordMM: chord, Angle: s1.Angle(tol.DeflectionAngle)}, newBudget(len(text), chord))
			for i := range body.edges {
				body.edges[i].stale = true
			}
			body.divideEdges()
			w := &worker{body: body, most: math.MaxInt64}
			for _, f := range body.faces {
				if r := w.face(f, true, 1<<60); r.closing {
					continue
				}
				began := meshtest.CPUSeconds()
				var s integrals
				w.integrate(f.surface, true, &s)
				took += meshtest.CPUSeconds() - began
				triangles += len(w.cover)
			}
		}
	}
	b.ReportMetric(took*1000, "integral-cpu-ms")
	b.ReportMetric(float64(triangles)/took, "triangles/cpu-s")
}
