package checks_test

import (
	"testing"

	"pocketgauge/checks"
)

// pressed is what one check makes of a pair whose cavity is 50 x 22 and 15.03 deep, in a press of 25 to 40 MPa.
func pressed(t *testing.T, id, more, resin string) []checks.Finding {
	t.Helper()
	s := closed(t, "press: {cavity_pressure: {least: 25 MPa, most: 40 MPa}, "+more+"}\n", pocketed(detail), plain())
	s.Resin = s.Frame.Resin(resin)
	return of(t, s, id)
}

// Rules that know no press ask nothing of it, and a pair is judged with its fixed half.
func TestPressIsAskedOnce(t *testing.T) {
	s := closed(t, "press: {cavity_pressure: {most: 40 MPa}, clamp_force: 60 kN, shot_volume: 30 cm3, frame_height: 260, daylight: 300, shut_height: {least: 1}}\n", pocketed(detail), plain())
	for _, id := range []string{"press.clamp", "press.shot", "press.height", "press.daylight"} {
		wantNone(t, "no press in the rules", of(t, closed(t, "", pocketed(detail), plain()), id))
		wantNone(t, "moving half", of(t, s.Partner, id))
	}
	// A clamp force without a pressure to hold against it.
	if list := of(t, closed(t, "press: {clamp_force: 60 kN}\n", pocketed(detail), plain()), "press.clamp"); len(list) != 1 || list[0].Verdict != checks.NotJudged {
		t.Errorf("no pressure is known: %+v", list)
	}
}
