package main

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"golang.org/x/term"
)

// progress is one line on standard error that says how far a batch is. On a terminal it appears once
// the batch has taken a second and is written over; in a log a line is added every half minute.
type progress struct {
	mu      sync.Mutex
	w       io.Writer
	total   int
	verb    string
	finish  int
	start   time.Time
	log     bool
	shown   bool
	stopped chan struct{}
	once    sync.Once
}

func newProgress(w io.Writer, total int, verb string) *progress {
	p := &progress{w: w, total: total, verb: verb, start: time.Now(), stopped: make(chan struct{})}
	if f, ok := w.(*os.File); !ok || !term.IsTerminal(int(f.Fd())) {
		p.log = true
	}
	go p.tick()
	return p
}

func (p *progress) tick() {
	every := 200 * time.Millisecond
	if p.log {
		every = logged
	}
	ticker := time.NewTicker(every)
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
	said := progressWords(p.finish, p.total, p.verb, age)
	if p.log {
		fmt.Fprintf(p.w, "%s\n", said)
		return
	}
	fmt.Fprintf(p.w, "\r\x1b[K%s", said)
	p.shown = true
}

// logged is how often a log is told.
const logged = 30 * time.Second

// progressWords is how far a batch is, how fast, and how long it will take at that rate.
func progressWords(done, total int, verb string, age time.Duration) string {
	said := fmt.Sprintf("%d of %d %s", done, total, verb)
	if done == 0 {
		return said
	}
	rate := float64(done) / age.Seconds()
	if rate < 1 {
		said += fmt.Sprintf(", %.1f s each", 1/rate)
	} else {
		said += fmt.Sprintf(", %.1f a second", rate)
	}
	left := time.Duration(float64(total-done) / rate * float64(time.Second)).Round(time.Second)
	if left < 2*time.Minute {
		return fmt.Sprintf("%s, %.0f s left", said, left.Seconds())
	}
	return fmt.Sprintf("%s, %.0f min left", said, left.Minutes())
}

func (p *progress) done(i int) {
	p.mu.Lock()
	p.finish = i + 1
	p.mu.Unlock()
}

// clear takes the line away so that a result can be printed where it stood.
func (p *progress) clear() {
	p.mu.Lock()
	if p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.shown = false
	}
	p.mu.Unlock()
}

func (p *progress) stop() {
	p.once.Do(func() { close(p.stopped) })
	p.clear()
}
