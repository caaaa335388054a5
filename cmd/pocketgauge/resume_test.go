package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// stopper ends a run when so many lines of output have come.
type stopper struct {
	bytes.Buffer
	lines int
	stop  func()
}

func (s *stopper) Write(p []byte) (int, error) {
	n, err := s.Buffer.Write(p)
	if s.stop != nil && bytes.Count(s.Bytes(), []byte("\n")) >= s.lines {
		s.stop()
	}
	return n, err
}

// A run that is stopped ends cleanly, writes no report, and is taken up where it was: what comes out in
// the end is what an undisturbed run gives.
func TestStoppedRunIsTakenUp(t *testing.T) {
	dir := t.TempDir()
	models := scriptModels()
	names := []string{"clean.stl", "wide.stl", "broken.stl"}
	const n = 24
	for i := range n {
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("m%02d.stl", i)), models[names[i%len(names)]], 0o644); err != nil {
			t.Fatal(err)
		}
	}
	rules := filepath.Join(dir, "bench.yaml")
	if err := os.WriteFile(rules, []byte(scriptFrame), 0o644); err != nil {
		t.Fatal(err)
	}
	report := filepath.Join(dir, "r.json")
	args := []string{"check", "--rules", rules, "--format", "jsonl", "--jobs", "2", "--report", "json=" + report, dir}
	t.Setenv("POCKETGAUGE_CACHE", "off")
	var whole bytes.Buffer
	if status := run(context.Background(), args, streams{in: strings.NewReader(""), out: &whole, err: &whole}); status != statusPartial {
		t.Fatalf("exit status %d\n%s", status, &whole)
	}
	want, err := os.ReadFile(report)
	if err != nil {
		t.Fatal(err)
	}
	os.Remove(report)

	t.Setenv("POCKETGAUGE_CACHE", t.TempDir())
	for _, lines := range []int{1, 5, 9, 16} {
		ctx, stop := context.WithCancel(context.Background())
		out := &stopper{lines: lines, stop: stop}
		var messages bytes.Buffer
		status := run(ctx, args, streams{in: strings.NewReader(""), out: out, err: &messages})
		stop()
		if status != statusPartial || !strings.Contains(messages.String(), "what was judged is kept") {
			t.Errorf("stopped after %d lines: exit status %d, %s", lines, status, &messages)
		}
		if got := bytes.Count(out.Bytes(), []byte("\n")); got < lines || got == n {
			t.Errorf("%d lines of a run stopped after %d", got, lines)
		}
		if !bytes.HasPrefix(whole.Bytes(), out.Bytes()) {
			t.Error("what was printed is not the beginning of the whole")
		}
		if _, err := os.Stat(report); err == nil {
			t.Error("a stopped run has written its report")
		}
	}
	var out bytes.Buffer
	run(context.Background(), args, streams{in: strings.NewReader(""), out: &out, err: &out})
	if !bytes.Equal(out.Bytes(), whole.Bytes()) {
		t.Errorf("taken up:\n%s", difference(whole.Bytes(), out.Bytes()))
	}
	if got, err := os.ReadFile(report); err != nil || !bytes.Equal(got, want) {
		t.Errorf("the report of the run taken up differs (%v)", err)
	}
}

func TestProgressSaysRateAndTimeLeft(t *testing.T) {
	for _, c := range []struct {
		done, total int
		age         time.Duration
		want        string
	}{
		{0, 10, time.Second, "0 of 10 judged"},
		{1, 3, 30 * time.Second, "1 of 3 judged, 30.0 s each, 60 s left"},
		{5, 10, 2 * time.Second, "5 of 10 judged, 2.5 a second, 2 s left"},
		{100, 2000, 100 * time.Second, "100 of 2000 judged, 1.0 a second, 32 min left"},
		{10, 10, time.Second, "10 of 10 judged, 10.0 a second, 0 s left"},
	} {
		if got := progressWords(c.done, c.total, "judged", c.age); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
