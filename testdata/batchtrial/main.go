// Command batchtrial makes a large batch of models and puts the program through what a batch must
// stand: a first run within its memory, a second one that only reads, and runs that are killed at
// random and taken up again.
//
//	go build -o pocketgauge ./cmd/pocketgauge
//	go run ./testdata/batchtrial --make --count 2000 DIR
//	go run ./testdata/batchtrial --program ./pocketgauge --memory 2GiB DIR
//
// It is run by hand: it takes minutes to an hour, and gigabytes of disk. It prints what it measured and
// exits 1 where bytes differ.
package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	make := flag.Bool("make", false, "make the models instead of trying the program")
	count := flag.Int("count", 2000, "with --make: how many models")
	program := flag.String("program", "./pocketgauge", "the program to try")
	memory := flag.String("memory", "2GiB", "what is given to --memory")
	kills := flag.Int("kills", 5, "how many times the disturbed run is killed")
	seed := flag.Uint64("seed", 1, "of the times at which it is killed")
	flag.Parse()
	if flag.NArg() < 1 {
		fmt.Fprintln(os.Stderr, "usage: batchtrial [flags] DIR [-- flags of check]")
		os.Exit(2)
	}
	dir := flag.Arg(0)
	var err error
	if *make {
		err = makeBatch(dir, *count)
	} else {
		err = trial(dir, *program, *memory, *kills, *seed, flag.Args()[1:])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "batchtrial:", err)
		os.Exit(1)
	}
}
