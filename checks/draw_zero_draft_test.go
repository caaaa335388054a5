package checks_test

import (
	"strings"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/meshtest"
	"pocketgauge/rules"
)

func TestDrawZeroDraft(t *testing.T) {
	const depth = 15.0
	x := inset(2, depth)
	// The right wall is upright: a trapezoid between the mouth's side of 22 and the floor's.
	in := [4]float64{x, x, 0, x}
	want := (22 + 22 - 2*x) / 2 * depth
	area := func(limit string, in [4]float64) checks.Finding {
		f, err := rules.LoadFS(mapFS(strings.Replace(base, uprightWalls, "draw: {draft: {zero_draft_area: "+limit+"}}", 1)), "f.yaml")
		if err != nil {
			t.Fatal(err)
		}
		s, err := checks.NewSubject(f, exact(taperedPocket(mouth, depth, in)))
		if err != nil {
			t.Fatal(err)
		}
		c := checks.ByID("draw.zero-draft")
		r := c.Measure(s)[0]
		return checks.Finding{Check: c, Reading: r, Judged: checks.Judge(r)}
	}
	f := area("0 mm2", in)
	if f.Verdict != checks.Fail || f.At.X != mouth.Max.X {
		t.Errorf("an upright wall: %v at %v (%s)", f.Verdict, f.At, f.Says)
	}
	meshtest.WantNear(t, "area of the upright wall", f.Value, want, 1e-9)
	if f := area("400 mm2", in); f.Verdict != checks.Pass {
		t.Errorf("an upright wall within what is let pass: %v", f.Verdict)
	}
	for _, deg := range []float64{0.5, 0.1, -0.1} { // what leans over is another check's
		x := inset(deg, depth)
		if f := area("0 mm2", [4]float64{x, x, x, x}); f.Verdict != checks.Pass || f.Value != 0 {
			t.Errorf("walls of %g deg: %v, %g mm2", deg, f.Verdict, f.Value)
		}
	}
}

func TestSpecimensOfDrawZeroDraft(t *testing.T) {
	f, err := rules.LoadFS(mapFS(strings.Replace(base, uprightWalls, "draw: {draft: {zero_draft_area: 0 mm2}}", 1)), "f.yaml")
	if err != nil {
		t.Fatal(err)
	}
	x := inset(2, 15)
	walls := func(right float64) []checks.Finding {
		return of(t, subject(t, f, taperedPocket(mouth, 15, [4]float64{x, x, right, x})), "draw.zero-draft")
	}
	specimens(t, "draw.zero-draft",
		specimen{clean, "two degrees all around", walls(x), "", 0, 0},
		specimen{defective, "the right wall, a trapezoid, is upright", walls(0), "", (22 + 22 - 2*x) / 2 * 15, 1e-9},
		specimen{looksWrong, "a tenth of a degree is little, and is draft", walls(inset(0.1, 15)), "", 0, 0},
	)
}
