package place

import (
	"testing"

	"github.com/golang/geo/r3"
)

func TestTwentyFourDifferentRotations(t *testing.T) {
	turns := Turns()
	if len(turns) != 24 {
		t.Fatalf("%d turns, want 24", len(turns))
	}
	seen := map[[3]r3.Vector]bool{}
	for i, turn := range turns {
		r := turn.Motion.Rotation
		if det := r[0].Dot(r[1].Cross(r[2])); det != 1 {
			t.Errorf("turn %d (%s) has determinant %g, want 1: a mirror is no turn", i, turn.Says, det)
		}
		if seen[r] {
			t.Errorf("turn %d (%s) repeats an earlier one", i, turn.Says)
		}
		seen[r] = true
		if i > 0 && turn.Rank < turns[i-1].Rank {
			t.Errorf("turn %d comes before a simpler one", i)
		}
	}
	if !turns[0].Motion.IsIdentity() || turns[0].Says != "" {
		t.Error("the first turn should be none")
	}
}

func TestMotionsInWords(t *testing.T) {
	turns := Turns()
	for _, c := range []struct {
		turn  Turn
		scale float64
		move  r3.Vector
		want  string
	}{
		{turns[0], 1, r3.Vector{Z: -5}, "Move it -5.000 mm along z."},
		{turns[1], 1, r3.Vector{}, "Turn it a quarter about z."},
		{turns[0], 25.4, r3.Vector{X: 1, Y: 0.0001}, "Scale it by 25.4 (it is drawn in inches), then move it 1.000 mm along x."},
		{turns[0], 1, r3.Vector{}, ""},
	} {
		if got := InWords(c.turn, c.scale, c.move); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
