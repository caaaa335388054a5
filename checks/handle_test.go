package checks_test

import (
	"testing"

	"github.com/golang/geo/r2"

	"pocketgauge/checks"
	"pocketgauge/mesh"
	"pocketgauge/mesh/meshtest"
)

const steelOf7830 = "steel: {grade: \"1.2311\"}\nsteels: [{grade: \"1.2311\", density: 7.83 g/cm3}]\n"

func handled(t *testing.T, more string, m *mesh.Mesh) *checks.Subject {
	t.Helper()
	s, err := checks.NewSubject(frame(t, steelOf7830+more), exact(m))
	if err != nil {
		t.Fatal(err)
	}
	s.Steel = s.Frame.SteelGrade("1.2311")
	return s
}

func TestHandling(t *testing.T) {
	const mass = 99.96 * 59.96 * nominalTop * 7.83e-6 // kg
	want(t, "light enough", of(t, handled(t, "handling: {mass: 2 kg}\n", plain()), "handle.mass"), "", checks.Pass, mass, 1e-9)
	want(t, "too heavy", of(t, handled(t, "handling: {mass: 1.8 kg}\n", plain()), "handle.mass"), "", checks.Fail, mass, 1e-9)
	// The default is the load constant of NIOSH, 23 kg.
	want(t, "by hand", of(t, handled(t, "", plain()), "handle.thread"), "", checks.Pass, mass, 1e-9)
	want(t, "no thread", of(t, handled(t, "handling: {lifting_thread_above: 1.5 kg}\n", plain()), "handle.thread"), "", checks.Fail, mass, 1e-9)
	wantNone(t, "no limit", of(t, handled(t, "", plain()), "handle.mass"))

	// A core hole for M12 that the rules name, 10 mm off the middle, straight through.
	hole := meshtest.Regular(r2.Point{X: 10}, 5.1, 48)
	m := meshtest.Prism(meshtest.Rectangle(r2.Point{X: nominal.Min.X, Y: nominal.Min.Y}, r2.Point{X: nominal.Max.X, Y: nominal.Max.Y}), [][]r2.Point{hole}, 0, nominalTop)
	threads := func(tilt string) string {
		return "handling: {lifting_thread_above: 1.5 kg, lifting_thread: M12, tilt: " + tilt + "}\nbores: [{name: eyebolt, kind: thread, at: [10, 0, 40.03], into: [0, 0, -1], diameter: {least: 10, most: 10.4}}]\n"
	}
	s := handled(t, threads("12"), m.Mesh)
	want(t, "a thread", of(t, s, "handle.thread"), "", checks.Pass, m.Faceted.VolumeMM3*7.83e-6, 1e-9)
	off := 10 - m.Faceted.CentroidMM.X
	want(t, "hangs straight", of(t, s, "handle.tilt"), "", checks.Pass, off, 1e-6)
	want(t, "hangs askew", of(t, handled(t, threads("8"), m.Mesh), "handle.tilt"), "", checks.Fail, off, 1e-6)
	// Looks wrong and is right: an insert that a hand may lift need not hang straight.
	wantNone(t, "light", of(t, handled(t, "handling: {tilt: 8}\n", m.Mesh), "handle.tilt"))
	// A hole through of another kind and size is no thread.
	want(t, "a hole is no thread", of(t, handled(t, "handling: {lifting_thread_above: 1.5 kg, lifting_thread: M12}\n", m.Mesh), "handle.thread"), "", checks.Fail, m.Faceted.VolumeMM3*7.83e-6, 1e-9)
	unknown := handled(t, "", plain())
	unknown.Steel = nil
	for _, id := range []string{"handle.mass", "handle.thread", "handle.tilt"} {
		wantNone(t, "no density", of(t, unknown, id))
	}
	open := handled(t, "handling: {mass: 2 kg}\n", meshtest.Box(nominal.Min, nominal.Max).Without(0))
	if list := of(t, open, "handle.mass"); len(list) != 1 || list[0].Verdict != checks.NotJudged {
		t.Errorf("an open surface weighs %+v", list)
	}
}
