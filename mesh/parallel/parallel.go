// Package parallel spreads loops over all cores.
//
// Which core takes which index is not determined, so callers write to places of their own and
// combine them in order afterwards; then results are the same at any number of cores. A panic in
// the body of a loop is raised again on the caller's goroutine, where it can be turned into an
// error; on a goroutine of its own it would end the program and the batch with it.
package parallel

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// Each calls do for 0 to n-1 and returns when all are done. worker tells the goroutines apart: it
// is under GOMAXPROCS, and no two calls at once share it.
func Each(n int, do func(i, worker int)) {
	workers := min(runtime.GOMAXPROCS(0), n)
	if workers <= 1 {
		for i := range n {
			do(i, 0)
		}
		return
	}
	var next atomic.Int64
	var wait sync.WaitGroup
	var failed atomic.Pointer[string]
	for w := range workers {
		wait.Go(func() {
			defer func() {
				if r := recover(); r != nil {
					says := fmt.Sprintf("%v\n%s", r, debug.Stack())
					failed.CompareAndSwap(nil, &says)
				}
			}()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i, w)
			}
		})
	}
	wait.Wait()
	if says := failed.Load(); says != nil {
		panic(*says)
	}
}

// Chunks cuts n items into runs of size, the last one shorter, and calls do for each: number k,
// items from to to-1. The cuts depend on nothing but n and size.
func Chunks(n, size int, do func(k, from, to, worker int)) {
	Each((n+size-1)/size, func(k, worker int) {
		do(k, k*size, min(n, (k+1)*size), worker)
	})
}
