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

// plainMassKG is the mass of the plain block.
const plainMassKG = 99.96 * 59.96 * nominalTop * 7.83e-6

// eyebolt is the block with a core hole for M12 straight through it, 10 mm off the middle.
func eyebolt() *meshtest.Solid {
	hole := meshtest.Regular(r2.Point{X: 10}, 5.1, 48)
	return meshtest.Prism(meshtest.Rectangle(r2.Point{X: nominal.Min.X, Y: nominal.Min.Y}, r2.Point{X: nominal.Max.X, Y: nominal.Max.Y}), [][]r2.Point{hole}, 0, nominalTop)
}

const eyeboltAsked = "bores: [{name: eyebolt, kind: thread, at: [10, 0, 40.03], into: [0, 0, -1], diameter: {least: 10, most: 10.4}}]\n"

// What cannot be weighed is not judged, and steel of no known density is asked nothing.
func TestHandlingNeedsAMass(t *testing.T) {
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
