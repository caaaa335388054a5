package checks_test

import (
	"testing"
)

// No insert by itself says anything of waivers; whoever applies them to a whole run does (checks/waive, whose tests hold every state).
func TestWaiverStateSaysNothingOfOneInsert(t *testing.T) {
	wantNone(t, "clean", of(t, subject(t, frame(t, whole), cleanSolid().Mesh), "waiver.state"))
	wantNone(t, "defective", of(t, subject(t, frame(t, whole), plain()), "waiver.state"))
}
