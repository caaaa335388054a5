// Command pocketgauge tells whether a mould insert fits the frame it is made for.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

// gcPercent lets the heap grow to three times what is live before it is collected. One model is
// read, measured and dropped at a time, fresh memory is dear.
const gcPercent = 200

func main() {
	debug.SetGCPercent(gcPercent)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go func() {
		// A second signal ends the program at once.
		<-ctx.Done()
		stop()
	}()
	status := run(ctx, os.Args[1:], streams{in: os.Stdin, out: os.Stdout, err: os.Stderr})
	stop()
	os.Exit(status)
}

// streams are what a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
}
