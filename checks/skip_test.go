package checks_test

import (
	"slices"
	"testing"

	"pocketgauge/checks"
)

// Leaving checks out changes nothing of what is left: the same readings as in a whole run.
func TestChecksLeftOutChangeNothingElse(t *testing.T) {
	s := func() *checks.Subject {
		_, subject := run(t, frame(t, whole), exact(cleanSolid().Mesh))
		return subject
	}
	all, _ := checks.Run(s())
	skip := []string{"fit.height", "fit.placement", "file.unit", "steel.wall"}
	got, _ := checks.RunWithout(s(), skip)
	var want []checks.Finding
	for _, f := range all {
		if !slices.Contains(skip, f.Check.ID) {
			want = append(want, f)
		}
	}
	if len(got) != len(want) || len(got) == len(all) {
		t.Fatalf("%d findings of %d, want %d", len(got), len(all), len(want))
	}
	for i := range got {
		if got[i].Check != want[i].Check || got[i].Value != want[i].Value || got[i].Verdict != want[i].Verdict {
			t.Errorf("%s is %g, %v; in a whole run %s is %g, %v", got[i].Check.ID, got[i].Value, got[i].Verdict, want[i].Check.ID, want[i].Value, want[i].Verdict)
		}
	}
}
