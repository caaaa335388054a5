package parallel

import (
	"runtime"
	"strings"
	"testing"
)

func TestEveryItemOnceAtAnyNumberOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, cores := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(cores)
		for _, n := range []int{0, 1, 5, 1000} {
			seen := make([]int, n)
			Chunks(n, 13, func(k, from, to, worker int) {
				if from != 13*k || worker < 0 || worker >= cores {
					t.Errorf("chunk %d begins at %d on worker %d of %d", k, from, worker, cores)
				}
				for i := from; i < to; i++ {
					seen[i]++
				}
			})
			for i, times := range seen {
				if times != 1 {
					t.Fatalf("%d cores: item %d of %d was done %d times", cores, i, n, times)
				}
			}
		}
	}
}

func TestPanicReachesTheCaller(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, cores := range []int{1, 3} {
		runtime.GOMAXPROCS(cores)
		func() {
			defer func() {
				r := recover()
				if text, ok := r.(string); !ok || !strings.Contains(text, "broken facet") {
					t.Errorf("%d cores: recovered %v, want the panic of item 40", cores, r)
				}
			}()
			Each(100, func(i, _ int) {
				if i == 40 {
					panic("broken facet")
				}
			})
		}()
	}
}
