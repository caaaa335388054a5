package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// heard is a stream that a test may read while it is written.
type heard struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.Write(p)
}

func (h *heard) take() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	s := h.b.String()
	h.b.Reset()
	return s
}

func TestWatchJudgesAgainWhatIsSaved(t *testing.T) {
	dir := t.TempDir()
	models := scriptModels()
	save := func(name string, data []byte) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	save("inserts/a.stl", models["clean.stl"])
	save("inserts/b.stl", models["clean.stl"])
	save("bench.yaml", []byte(scriptFrame))
	save("pocketgauge.yaml", []byte("inserts:\n  - {models: inserts/**, rules: bench.yaml}\n"))
	ctx, stop := context.WithCancel(context.Background())
	var out, messages heard
	status := make(chan int)
	go func() {
		status <- run(ctx, []string{"check", "--watch", dir}, streams{in: strings.NewReader(""), out: &out, err: &messages})
	}()
	// round waits until the program waits, and gives what it has said since.
	var said strings.Builder
	round := func() (printed, told string) {
		t.Helper()
		for range 6000 {
			said.WriteString(messages.take())
			if strings.Contains(said.String(), "waiting for a change") || strings.Contains(said.String(), "did you mean") {
				told = said.String()
				said.Reset()
				return out.take(), told
			}
			time.Sleep(10 * time.Millisecond)
		}
		t.Fatalf("nothing was judged: %s %s", out.take(), said.String())
		return "", ""
	}
	if printed, _ := round(); !strings.Contains(printed, "2 inserts: 2 pass") {
		t.Errorf("at first: %s", printed)
	}
	// A plain save: only what changed is printed.
	save("inserts/b.stl", models["wide.stl"])
	if printed, _ := round(); !strings.Contains(printed, "FAIL") || strings.Contains(printed, "a.stl") || !strings.Contains(printed, "2 inserts: 1 pass, 1 fail") {
		t.Errorf("after a save: %s", printed)
	}
	// Written beside and renamed over, as editors and CAD programs do.
	save("inserts/.b.stl.new", models["clean.stl"])
	if err := os.Rename(filepath.Join(dir, "inserts/.b.stl.new"), filepath.Join(dir, "inserts/b.stl")); err != nil {
		t.Fatal(err)
	}
	if printed, _ := round(); !strings.Contains(printed, "2 inserts: 2 pass") {
		t.Errorf("after a rename: %s", printed)
	}
	// Back to what was judged before: nothing is measured, and yet it comes out otherwise than last.
	save("inserts/b.stl", models["wide.stl"])
	if printed, _ := round(); !strings.Contains(printed, "FAIL") || strings.Contains(printed, "a.stl") {
		t.Errorf("after going back: %s", printed)
	}
	save("inserts/b.stl", models["clean.stl"])
	if printed, _ := round(); !strings.Contains(printed, "PASS") || strings.Contains(printed, "a.stl") {
		t.Errorf("after mending it once more: %s", printed)
	}
	// A slip of the pen in the rules is told, and mending it goes on.
	save("bench.yaml", []byte(strings.Replace(scriptFrame, "depth:", "dept:", 1)))
	if _, told := round(); !strings.Contains(told, `did you mean "depth"`) {
		t.Errorf("after a slip: %s", told)
	}
	save("bench.yaml", []byte(strings.Replace(scriptFrame, "width: 100,", "width: 99.9,", 1)))
	if printed, _ := round(); !strings.Contains(printed, "2 inserts: 2 fail") {
		t.Errorf("after mending: %s", printed)
	}
	// A new folder with a model in it.
	save("inserts/new/c.stl", models["clean.stl"])
	printed := ""
	for range 3 { // the folder may be told of before the model lies in it
		p, _ := round()
		if printed += p; strings.Contains(printed, "3 inserts") {
			break
		}
	}
	if !strings.Contains(printed, "3 inserts: 3 fail") {
		t.Errorf("after a new folder: %s", printed)
	}
	stop()
	if got := <-status; got != statusRejected {
		t.Errorf("exit status %d, want that of the last round", got)
	}
}
