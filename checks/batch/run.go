// Package batch works through many models over all cores: order in, order out, and one bad
// model never stops the rest.
package batch

import (
	"context"
	"sync"
)

// Run calls do for 0 to n-1 on up to jobs goroutines and hands each result to emit, on the
// caller's goroutine, in the order of the index whatever finishes first.
//
// At most jobs results beyond the next one to emit are held, so memory stays in proportion to
// jobs. When ctx ends no new work starts; what is under way is waited for and Run returns
// ctx's error. emit returning an error ends the run the same way.
func Run[T any](ctx context.Context, n, jobs int, do func(ctx context.Context, i int) T, emit func(i int, result T) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	jobs = max(1, min(jobs, n))
	slots := make([]chan T, n)
	for i := range slots {
		slots[i] = make(chan T, 1)
	}
	// ahead keeps workers from running far in front of emit.
	ahead := make(chan struct{}, 2*jobs)
	next := make(chan int)
	var wg sync.WaitGroup
	wg.Go(func() {
		defer close(next)
		for i := range n {
			select {
			case ahead <- struct{}{}:
			case <-ctx.Done():
				return
			}
			select {
			case next <- i:
			case <-ctx.Done():
				return
			}
		}
	})
	for range jobs {
		wg.Go(func() {
			for i := range next {
				slots[i] <- do(ctx, i)
			}
		})
	}
	defer wg.Wait()
	defer cancel()
	for i := range n {
		if err := ctx.Err(); err != nil {
			return err // a select between the two would choose by chance
		}
		select {
		case r := <-slots[i]:
			slots[i] = nil
			if err := emit(i, r); err != nil {
				return err
			}
			<-ahead
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
}
