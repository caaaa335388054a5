package batch

import (
	"context"
	"errors"
	"testing"
	"time"
)

func TestResultsComeInOrderWhateverFinishesFirst(t *testing.T) {
	const n = 200
	for _, jobs := range []int{1, 3, 64} {
		var got []int
		err := Run(context.Background(), n, jobs, func(_ context.Context, i int) int {
			if i%7 == 0 {
				time.Sleep(time.Millisecond) // the early ones finish late
			}
			return i * i
		}, func(i, r int) error {
			got = append(got, r)
			return nil
		})
		if err != nil || len(got) != n {
			t.Fatalf("jobs %d: %d results, error %v", jobs, len(got), err)
		}
		for i, r := range got {
			if r != i*i {
				t.Fatalf("jobs %d: result %d is %d, want %d", jobs, i, r, i*i)
			}
		}
	}
}

func TestCancelledRunStopsAndSaysSo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	emitted := 0
	err := Run(ctx, 1000, 2, func(ctx context.Context, i int) int { return i }, func(i, _ int) error {
		emitted++
		if i == 10 {
			cancel()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want context.Canceled", err)
	}
	if emitted < 11 || emitted == 1000 {
		t.Errorf("%d results came out of a run cancelled at the 11th", emitted)
	}
}

func TestEmitErrorEndsTheRun(t *testing.T) {
	broken := errors.New("pipe closed")
	err := Run(context.Background(), 50, 4, func(context.Context, int) int { return 0 }, func(i, _ int) error {
		if i == 3 {
			return broken
		}
		return nil
	})
	if !errors.Is(err, broken) {
		t.Errorf("error %v, want %v", err, broken)
	}
}
