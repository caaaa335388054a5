package main

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"golang.org/x/term"
)

// progress is one line on standard error that says how far a batch is. It appears only on a
// terminal and only once the batch has taken a second.
type progress struct {
	mu      sync.Mutex
	w       io.Writer
	total   int
	verb    string
	finish  int
	start   time.Time
	shown   bool
	stopped chan struct{}
	once    sync.Once
}

func newProgress(w io.Writer, total int, verb string) *progress {
	p := &progress{w: w, total: total, verb: verb, start: time.Now(), stopped: make(chan struct{})}
	if f, ok := w.(*os.File); !ok || !term.IsTerminal(int(f.Fd())) {
		p.w = nil
		return p
	}
	go p.tick()
	return p
}

func (p *progress) tick() {
	ticker := time.NewTicker(200 * time.Millisecond)
	defer ticker.Stop()
	for {
		select {
		case <-p.stopped:
			return
		case <-ticker.C:
			p.mu.Lock()
			if age := time.Since(p.start); age > time.Second {
				p.line(age)
			}
			p.mu.Unlock()
		}
	}
}

func (p *progress) line(age time.Duration) {
	rate := float64(p.finish) / age.Seconds()
	left := ""
	if p.finish > 0 {
		left = fmt.Sprintf(", %.0f s left", float64(p.total-p.finish)/rate)
	}
	fmt.Fprintf(p.w, "\r\x1b[K%d of %d %s, %.1f a second%s", p.finish, p.total, p.verb, rate, left)
	p.shown = true
}

func (p *progress) done(i int) {
	p.mu.Lock()
	p.finish = i + 1
	p.mu.Unlock()
}

// clear takes the line away so that a result can be printed where it stood.
func (p *progress) clear() {
	p.mu.Lock()
	if p.shown && p.w != nil {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.shown = false
	}
	p.mu.Unlock()
}

func (p *progress) stop() {
	p.once.Do(func() { close(p.stopped) })
	p.clear()
}
