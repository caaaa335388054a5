package takeoff_test

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"pocketgauge/checks"
	"pocketgauge/checks/checkstest"
	"pocketgauge/checks/takeoff"
	"pocketgauge/mesh"
	"pocketgauge/mesh/geom"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/mesh/tol"
	"pocketgauge/rules"
)

func frame(t testing.TB, more string) *rules.Frame {
	t.Helper()
	return checkstest.Bench(t, more)
}

func box(x0, y0, z0, x1, y1, z1 float64) geom.Box {
	return geom.Box{Min: r3.Vector{X: x0, Y: y0, Z: z0}, Max: r3.Vector{X: x1, Y: y1, Z: z1}}
}

// nominal fills the bench frame with 0.02 to spare on each side.
var nominal = box(-49.98, -29.98, 0, 49.98, 29.98, 40.03)

func subject(t testing.TB, f *rules.Frame, m *mesh.Mesh) *checks.Subject {
	t.Helper()
	s, err := checks.NewSubject(f, &mesh.Part{Mesh: m, Audit: mesh.NewAudit(m), Faces: []mesh.Face{{}}, Roundoff: tol.RoundoffDouble})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func of(t testing.TB, s *checks.Subject) *takeoff.Takeoff {
	t.Helper()
	off, err := takeoff.Of(s)
	if err != nil {
		t.Fatal(err)
	}
	return off
}

func within(t *testing.T, what string, f takeoff.Figure, want float64) {
	t.Helper()
	if math.Abs(f.Value-want) > f.Error || math.IsNaN(f.Value) {
		t.Errorf("%s: %.6f ±%.3g, want %.6f", what, f.Value, f.Error, want)
	}
}

// A block with a cavity of 50 x 22, 15.03 deep: floors are the cavity's floor (with the finish) and
// the parting face around it, walls the cavity's four sides.
func TestFinishOfABlockWithACavity(t *testing.T) {
	s := subject(t, frame(t, "blank: {height: 41}\n"), meshtest.BlockWithPockets(nominal, box(-25, -11, 25, 25, 11, 50)).Mesh)
	s.Finish = "B2"
	off := of(t, s)
	const w, l = 99.96, 59.96
	want := map[[2]string]float64{
		{takeoff.Floor, "B2"}: 50 * 22,
		{takeoff.Wall, "B2"}:  2 * (50 + 22) * 15.03,
		{takeoff.Floor, ""}:   w*l - 50*22,
	}
	if len(off.Finish) != len(want) {
		t.Errorf("%d kinds of surface, want %d: %v", len(off.Finish), len(want), off.Finish)
	}
	for _, a := range off.Finish {
		if v, ok := want[[2]string{a.Kind, a.Class}]; !ok || math.Abs(v-a.AreaMM2.Value) > a.AreaMM2.Error+v*0x1p-40 {
			t.Errorf("%s %q: %v mm2, want %v", a.Kind, a.Class, a.AreaMM2, v)
		}
	}
	within(t, "projected area", takeoff.Figure{Value: off.Projected.Value, Error: off.Projected.Error + 0x1p-30}, 50*22)
	// Twelve edges of the block; those of the cavity are the part's.
	within(t, "edges", takeoff.Figure{Value: off.EdgeMM.Value, Error: off.EdgeMM.Error + 0x1p-30}, 4*(w+l+40.03))
}
