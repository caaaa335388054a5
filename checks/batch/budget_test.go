package batch

import (
	"os"
	"path/filepath"
	"reflect"
	"sync"
	"sync/atomic"
	"testing"
)

func TestBudgetIsNeverOverdrawn(t *testing.T) {
	const whole = 100
	b := NewBudget(whole)
	var used, most, alone atomic.Int64
	var wg sync.WaitGroup
	for i := range 200 {
		bytes := int64(1 + i*7%60)
		if i%50 == 0 {
			bytes = 5 * whole // bigger than all: by itself
		}
		wg.Go(func() {
			b.Acquire(bytes)
			defer b.Release(bytes)
			now := used.Add(min(bytes, whole))
			for {
				m := most.Load()
				if now <= m || most.CompareAndSwap(m, now) {
					break
				}
			}
			if bytes > whole {
				alone.Add(1)
			}
			used.Add(-min(bytes, whole))
		})
	}
	wg.Wait()
	if most.Load() > whole || most.Load() == 0 || alone.Load() != 4 {
		t.Errorf("%d of %d were taken at once, %d big ones came through", most.Load(), whole, alone.Load())
	}
	if b.used != 0 || len(b.queue) != 0 {
		t.Errorf("%d left booked, %d left waiting", b.used, len(b.queue))
	}
}

// Who asks first gets first: small ones do not pass by a big one for ever.
func TestBigModelIsNotPassedBy(t *testing.T) {
	b := NewBudget(10)
	b.Acquire(6)
	big := make(chan struct{})
	go func() { b.Acquire(10); close(big) }()
	for { // until it stands in the queue
		b.mu.Lock()
		n := len(b.queue)
		b.mu.Unlock()
		if n == 1 {
			break
		}
	}
	small := make(chan struct{})
	go func() { b.Acquire(1); close(small) }()
	for {
		b.mu.Lock()
		n := len(b.queue)
		b.mu.Unlock()
		if n == 2 {
			break
		}
	}
	select {
	case <-small:
		t.Error("a small one went first")
	default:
	}
	b.Release(6)
	<-big
	b.Release(10)
	<-small
}

// Whatever field of an insert names another, that one's files are read too.
func TestFilesAreThoseOfInsertsNamedToo(t *testing.T) {
	in := &Insert{File: "a.stl"}
	want := 1
	v := reflect.ValueOf(in).Elem()
	for i := range v.NumField() {
		if v.Field(i).Type() == reflect.TypeFor[*Insert]() {
			v.Field(i).Set(reflect.ValueOf(&Insert{File: "b.stl"}))
			want++
		}
	}
	if got := in.Files(); len(got) != want || got[0] != "a.stl" {
		t.Errorf("%v, want %d files", got, want)
	}
}

func TestEstimateGrowsWithTheFile(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, n int) *Insert {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, make([]byte, n), 0o644); err != nil {
			t.Fatal(err)
		}
		return &Insert{File: file}
	}
	none, small, packed := Estimate(&Insert{File: filepath.Join(dir, "gone")}), Estimate(write("a.stl", 1000)), Estimate(write("a.step.gz", 1000))
	if none != bytesPerModel || small != none+9000 || packed != none+72000 {
		t.Errorf("%d, %d, %d", none, small, packed)
	}
}
