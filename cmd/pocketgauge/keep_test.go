package main

import (
	"context"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/cache"
)

// Where the result of one half is kept, the other is judged by itself, to the same result; and a half whose mate
// changed since its result was kept is judged anew.
func TestOneHalfIsKept(t *testing.T) {
	ctx := context.Background()
	w, err := (&selection{}).inserts([]string{filepath.Join("..", "..", "testdata", "apiary")}, &settings{})
	if err != nil {
		t.Fatal(err)
	}
	pair := slices.DeleteFunc(w.inserts, func(in batch.Insert) bool { return !strings.HasPrefix(in.Name, "Entrance disc") })
	if len(pair) != 2 {
		t.Fatalf("%d halves", len(pair))
	}
	open := func(folder string) *judge {
		c, err := cache.Open(ctx, cache.Options{Folder: folder})
		if err != nil {
			t.Fatal(err)
		}
		return &judge{cache: c, program: "one build", budget: batch.NewBudget(1 << 40)}
	}
	judged := func(folder string, inserts []batch.Insert, which ...int) (list []any, kept []bool) {
		j := open(folder)
		defer j.close()
		tasks := j.tasks(inserts)
		for _, i := range which {
			r, k := j.insert(ctx, tasks, i)
			list, kept = append(list, r), append(kept, k)
		}
		return list, kept
	}
	together, kept := judged(t.TempDir(), pair, 0, 1)
	if !slices.Equal(kept, []bool{false, false}) {
		t.Fatalf("kept %v in an empty store", kept)
	}
	folder := t.TempDir()
	judged(folder, pair, 1)
	again, kept := judged(folder, pair, 0, 1)
	if !slices.Equal(kept, []bool{false, true}) {
		t.Errorf("kept %v after the second half was judged, want the second", kept)
	}
	if !reflect.DeepEqual(again, together) {
		t.Error("a half whose mate is kept is judged otherwise than with its mate")
	}
	// The mate is read in another unit now: neither result holds.
	changed := slices.Clone(pair)
	mate := *changed[0].Partner
	changed[1].Unit, mate.Unit = "in", "in"
	changed[0].Partner = &mate
	if _, kept := judged(folder, changed, 0, 1); !slices.Equal(kept, []bool{false, false}) {
		t.Errorf("kept %v after a half changed", kept)
	}
}
