package batch

import (
	"context"
	"path/filepath"
	"reflect"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"pocketgauge/checks"
	"pocketgauge/mesh/load"
	"pocketgauge/rules"
)

// demoPair are the two halves of one of the demo's moulds, each with the other as its partner.
func demoPair(t testing.TB) []Insert {
	t.Helper()
	demo := filepath.Join("..", "..", "testdata", "apiary")
	var list []Insert
	for _, c := range []struct {
		name, rules string
		half        rules.Half
	}{
		{"entrance-disc-fixed", "brood.yaml", rules.Fixed},
		{"entrance-disc-moving", "brood-moving.yaml", rules.Moving},
	} {
		frame, err := rules.Load(filepath.Join(demo, "rules", c.rules))
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, Insert{
			File: filepath.Join(demo, "inserts", c.name+".stl"), Name: c.name, Frame: frame, Half: c.half, Resin: "ABS",
			Load: load.Options{ChordMM: frame.Measuring.ChordMM.Value},
		})
	}
	for k := range list {
		mate := list[1-k]
		mate.Partner = nil
		list[k].Partner = &mate
	}
	return list
}

// Judged as one, the halves find what each finds by itself, and share the closed pair.
func TestHalvesAreJudgedAsEachByItself(t *testing.T) {
	pair := demoPair(t)
	var alone [2]Outcome
	for k := range pair {
		alone[k] = Judge(pair[k])
		if alone[k].Err != nil || len(alone[k].Findings) < 20 {
			t.Fatalf("%s: %d findings, error %v", pair[k].Name, len(alone[k].Findings), alone[k].Err)
		}
	}
	halves := Halves(pair)
	if halves[0].Mate() != 1 || halves[1].Mate() != 0 {
		t.Fatalf("mates at %d and %d", halves[0].Mate(), halves[1].Mate())
	}
	budget := NewBudget(1 << 40)
	var both [2]Outcome
	var wait sync.WaitGroup
	for k := range halves {
		wait.Go(func() {
			halves[k].Book(budget)
			both[k] = halves[k].Judge()
		})
	}
	wait.Wait()
	for k := range both {
		if both[k].SHA256 != alone[k].SHA256 || both[k].Overall != alone[k].Overall || !reflect.DeepEqual(both[k].Findings, alone[k].Findings) {
			t.Errorf("%s: not the same as by itself", pair[k].Name)
		}
	}
	closed := func(s *checks.Subject) *checks.Pair {
		p, err := s.Pair()
		if p == nil || err != nil {
			t.Fatalf("no pair: %v", err)
		}
		return p
	}
	if closed(both[0].Subject) != closed(both[1].Subject) {
		t.Error("the halves were closed twice")
	}
	// Control: by themselves they are.
	if closed(alone[0].Subject) == closed(alone[1].Subject) {
		t.Error("two judgements of their own share a pair")
	}
	// Booked once, and given back with the last of the two.
	most := Estimate(&pair[0]) + bytesPerModel
	if budget.used != most {
		t.Errorf("%d bytes are booked, want %d", budget.used, most)
	}
	halves[0].Done()
	if budget.used != most {
		t.Errorf("%d bytes are booked while one half is under way, want %d", budget.used, most)
	}
	halves[1].Done()
	halves[1].Close()
	if budget.used != 0 {
		t.Errorf("%d bytes are booked in the end", budget.used)
	}
}

// Only two that read each other as they read themselves are judged as one.
func TestWhoIsWhoseMate(t *testing.T) {
	pair := demoPair(t)
	other := pair[1]
	other.File = "other.stl"
	turned := pair[1]
	turned.Unit = "in"
	mates := func(list ...Insert) (at []int) {
		for _, h := range Halves(list) {
			at = append(at, h.Mate())
		}
		return at
	}
	for _, c := range []struct {
		name string
		list []Insert
		want []int
	}{
		{"a pair", pair, []int{1, 0}},
		{"a pair with another between, the second half first", []Insert{pair[1], other, pair[0]}, []int{2, -1, 0}},
		{"one half", pair[1:], []int{-1}},
		{"a second insert that names a partner which has its own", []Insert{other, pair[0], pair[1]}, []int{-1, 2, 1}},
		{"the same half twice", []Insert{pair[0], pair[1], pair[1]}, []int{1, 0, -1}},
		{"a half that is read otherwise than as a partner", []Insert{pair[0], turned}, []int{-1, -1}},
		{"no partners", []Insert{{File: "a.stl"}, {File: "b.stl"}}, []int{-1, -1}},
	} {
		if got := mates(c.list...); !slices.Equal(got, c.want) {
			t.Errorf("%s: mates at %v, want %v", c.name, got, c.want)
		}
	}
}

// Results come in order, each insert is done once, and one worker does a half and then its mate, wherever that stands.
func TestHalvesAreDoneOneAfterTheOther(t *testing.T) {
	const n = 60
	mate := func(i int) int { // i and i + 30, but for every third
		if i%3 == 0 {
			return -1
		}
		return (i + n/2) % n
	}
	for _, jobs := range []int{1, 2, 8} {
		var times [n]atomic.Int32
		var begun []int
		var mu sync.Mutex
		next := 0
		err := RunHalves(context.Background(), n, jobs, mate, func(_ context.Context, i int) int {
			times[i].Add(1)
			mu.Lock()
			begun = append(begun, i)
			mu.Unlock()
			return i * i
		}, func(i, r int) error {
			if i != next || r != i*i {
				t.Errorf("%d jobs: result %d of %d came at %d", jobs, r, i, next)
			}
			next++
			return nil
		})
		if err != nil || next != n {
			t.Fatalf("%d jobs: %d results, error %v", jobs, next, err)
		}
		for i := range times {
			if got := times[i].Load(); got != 1 {
				t.Errorf("%d jobs: %d was done %d times", jobs, i, got)
			}
		}
		if want := []int{0, 1, 31, 2, 32, 3, 4, 34}; jobs == 1 && !slices.Equal(begun[:8], want) {
			t.Errorf("done in the order %v, want %v", begun[:8], want)
		}
	}
}

func TestHalvesOfWhichOneCannotBeRead(t *testing.T) {
	pair := demoPair(t)[:1]
	gone := *pair[0].Partner
	gone.File = "gone.stl"
	pair[0].Partner = &gone
	mate := gone
	mate.Partner = &Insert{}
	*mate.Partner = pair[0]
	mate.Partner.Partner = nil
	halves := Halves([]Insert{pair[0], mate})
	if halves[0].Mate() != 1 {
		t.Fatal("no pair")
	}
	if o := halves[0].Judge(); o.Err != nil || o.Subject == nil || o.Subject.PartnerError == nil {
		t.Errorf("the half that can be read: error %v", o.Err)
	}
	if o := halves[1].Judge(); o.Err == nil || o.Subject != nil {
		t.Errorf("the half that cannot be read: error %v", o.Err)
	}
}
