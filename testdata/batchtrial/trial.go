package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"time"
)

// ran is one run of the program.
type ran struct {
	out    []byte
	status int
	wall   time.Duration
	peakMB float64
}

func check(ctx context.Context, dir, program, memory, cache string, more []string) (ran, error) {
	cmd := exec.CommandContext(ctx, program, append([]string{"check", "--format", "json", "--memory", memory, dir}, more...)...)
	cmd.Env = append(os.Environ(), "POCKETGAUGE_CACHE="+cache)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, os.Stderr
	start := time.Now()
	err := cmd.Run()
	r := ran{out: out.Bytes(), wall: time.Since(start)}
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		return r, err
	}
	r.status, r.peakMB = cmd.ProcessState.ExitCode(), peakMB(cmd.ProcessState)
	return r, nil
}

func trial(dir, program, memory string, kills int, seed uint64, more []string) error {
	program, err := filepath.Abs(program)
	if err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "batchtrial-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	whole, err := check(context.Background(), dir, program, memory, filepath.Join(work, "a"), more)
	if err != nil {
		return err
	}
	var judged struct{ Inserts []json.RawMessage }
	if err := json.Unmarshal(whole.out, &judged); err != nil {
		return err
	}
	rate := func(r ran) float64 { return float64(len(judged.Inserts)) / r.wall.Seconds() }
	fmt.Printf("first run: %d models in %.1f s, %.1f a second, peak %.0f MiB, exit status %d, %d bytes\n", len(judged.Inserts), whole.wall.Seconds(), rate(whole), whole.peakMB, whole.status, len(whole.out))
	same := func(what string, r ran) error {
		if !bytes.Equal(r.out, whole.out) || r.status != whole.status {
			return fmt.Errorf("%s: status %d and %d bytes, the first run gave status %d and %d bytes, not the same ones", what, r.status, len(r.out), whole.status, len(whole.out))
		}
		return nil
	}
	for range 3 {
		warm, err := check(context.Background(), dir, program, memory, filepath.Join(work, "a"), more)
		if err != nil {
			return err
		}
		fmt.Printf("warm run: %.2f s, %.0f a second, peak %.0f MiB\n", warm.wall.Seconds(), rate(warm), warm.peakMB)
		if err := same("warm run", warm); err != nil {
			return err
		}
	}
	random := rand.New(rand.NewPCG(seed, 0))
	spent := time.Duration(0)
	for i := range kills {
		// All of them before the run would end by itself, if it is no faster than the first.
		after := time.Duration(random.Float64() * (0.9*float64(whole.wall) - float64(spent)) / float64(kills-i))
		ctx, cancel := context.WithTimeout(context.Background(), after)
		r, err := check(ctx, dir, program, memory, filepath.Join(work, "b"), more)
		cancel()
		if err != nil {
			return err
		}
		spent += r.wall
		if r.status >= 0 {
			fmt.Printf("ended by itself after %.1f s, before it could be killed\n", r.wall.Seconds())
		} else {
			fmt.Printf("killed after %.1f s\n", r.wall.Seconds())
		}
	}
	last, err := check(context.Background(), dir, program, memory, filepath.Join(work, "b"), more)
	if err != nil {
		return err
	}
	fmt.Printf("taken up after %d kills: the rest in %.1f s, peak %.0f MiB\n", kills, last.wall.Seconds(), last.peakMB)
	if err := same("taken up", last); err != nil {
		return err
	}
	fmt.Println("all the same bytes")
	return nil
}
