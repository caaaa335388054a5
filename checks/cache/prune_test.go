package cache

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

func keyOf(i int) Key { return sha256.Sum256(fmt.Append(nil, i)) }

// filled has ten results of 1,000 bytes and their seal; the i-th was used i days before now.
func filled(t *testing.T, now time.Time) (c *Cache, each int64) {
	t.Helper()
	c = open(t, Options{Folder: t.TempDir(), Tell: func(s string) { t.Error(s) }})
	for i := range 10 {
		c.Put(context.Background(), keyOf(i), bytes.Repeat([]byte{byte(i)}, 1000))
		file := c.file("results", keyOf(i))
		used := now.Add(-time.Duration(i) * 24 * time.Hour)
		if err := os.Chtimes(file, used, used); err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(file)
		if err != nil {
			t.Fatal(err)
		}
		each = info.Size()
	}
	return c, each
}

func left(c *Cache) []int {
	var list []int
	for i := range 10 {
		if _, err := os.Stat(c.file("results", keyOf(i))); err == nil {
			list = append(list, i)
		}
	}
	return list
}

func TestPruneByAgeAndSize(t *testing.T) {
	now := time.Now().Truncate(time.Second)
	for _, c := range []struct {
		name   string
		limits func(each int64) Limits
		want   string
	}{
		{"no limit", func(int64) Limits { return Limits{} }, "[0 1 2 3 4 5 6 7 8 9]"},
		{"room enough", func(each int64) Limits { return Limits{Bytes: 10 * each, Age: 9 * 24 * time.Hour} }, "[0 1 2 3 4 5 6 7 8 9]"},
		{"a day too old", func(int64) Limits { return Limits{Age: 8 * 24 * time.Hour} }, "[0 1 2 3 4 5 6 7 8]"},
		// Five fit; pruned to nine tenths of that, four and a half, four are left.
		{"half the room", func(each int64) Limits { return Limits{Bytes: 5 * each} }, "[0 1 2 3]"},
		{"both", func(each int64) Limits { return Limits{Bytes: 8 * each, Age: 2 * 24 * time.Hour} }, "[0 1 2]"},
		{"no room", func(int64) Limits { return Limits{Bytes: 1} }, "[]"},
	} {
		cache, each := filled(t, now)
		gone, err := cache.Prune(c.limits(each), now)
		if got := fmt.Sprint(left(cache)); err != nil || got != c.want {
			t.Errorf("%s: left are %s, want %s; %v", c.name, got, c.want, err)
		}
		if n := 10 - len(left(cache)); gone.Results != n || gone.Bytes != int64(n)*each {
			t.Errorf("%s: says that %d results of %d bytes are gone, %d are", c.name, gone.Results, gone.Bytes, n)
		}
		if u, err := cache.Usage(); err != nil || u.Results != len(left(cache)) || u.Bytes != int64(u.Results)*each {
			t.Errorf("%s: holds %+v, %v", c.name, u, err)
		}
	}
}

// What is used stays young, and what a killed run left half written goes.
func TestUseKeepsAnEntry(t *testing.T) {
	now := time.Now()
	c, _ := filled(t, now)
	if _, ok := c.Get(context.Background(), keyOf(9)); !ok {
		t.Fatal("an entry is gone")
	}
	dir := filepath.Dir(c.file("results", keyOf(9)))
	for name, age := range map[string]time.Duration{".new-fresh": 0, ".new-left": 2 * time.Hour} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("half"), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(filepath.Join(dir, name), now.Add(-age), now.Add(-age)); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := c.Prune(Limits{Age: 7*24*time.Hour + time.Hour}, now); err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(left(c)); got != "[0 1 2 3 4 5 6 7 9]" {
		t.Errorf("left are %s", got)
	}
	_, fresh := os.Stat(filepath.Join(dir, ".new-fresh"))
	_, old := os.Stat(filepath.Join(dir, ".new-left"))
	if fresh != nil || old == nil {
		t.Errorf("a file being written: %v, one left behind: %v", fresh, old)
	}
}

// A folder is looked through once a day, and at once after a run that added much.
func TestTidyOnceADay(t *testing.T) {
	c, each := filled(t, time.Now())
	c.added.Store(0)
	limits := Limits{Bytes: 5 * each}
	c.Tidy(limits)
	if n := len(left(c)); n != 4 {
		t.Errorf("%d are left, want 4", n)
	}
	c.Put(context.Background(), keyOf(9), []byte("small"))
	limits.Bytes = 2 * each
	c.added.Store(limits.Bytes/10 - 1)
	c.Tidy(limits)
	if n := len(left(c)); n != 5 {
		t.Errorf("%d are left within the day, want 5", n)
	}
	c.added.Store(limits.Bytes / 10)
	c.Tidy(limits)
	if n := len(left(c)); n > 2 {
		t.Errorf("%d are left after much was added, want 2 at most", n)
	}
}

// K1 and K2 hold while another run prunes: a reader sees what was put, or nothing.
func TestPruneBesideReadersAndWriters(t *testing.T) {
	folder := t.TempDir()
	one := open(t, Options{Folder: folder, Tell: func(s string) { t.Error(s) }})
	two := open(t, Options{Folder: folder, Tell: func(s string) { t.Error(s) }})
	var wg sync.WaitGroup
	hits := 0
	wg.Go(func() {
		for n := range 400 {
			i := n % 20
			body := bytes.Repeat([]byte{byte(i)}, 2000)
			one.Put(context.Background(), keyOf(i), body)
			if got, ok := one.Get(context.Background(), keyOf(i)); ok {
				hits++
				if !bytes.Equal(got, body) {
					t.Error("not what was put")
				}
			}
		}
	})
	wg.Go(func() {
		for range 100 {
			if _, err := two.Prune(Limits{Bytes: 10_000}, time.Now()); err != nil {
				t.Error(err)
			}
		}
	})
	wg.Wait()
	if hits == 0 {
		t.Error("nothing was ever there to read")
	}
}

func TestClearTakesOnlyEntries(t *testing.T) {
	c, each := filled(t, time.Now())
	c.Tidy(Limits{})
	mine := filepath.Join(c.folder, "notes.txt")
	if err := os.WriteFile(mine, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	gone, err := c.Clear()
	if err != nil || gone.Results != 10 || gone.Bytes != 10*each {
		t.Errorf("%+v, %v", gone, err)
	}
	entries, err := os.ReadDir(c.folder)
	if err != nil || len(entries) != 1 || entries[0].Name() != "notes.txt" {
		t.Errorf("left are %v, %v", entries, err)
	}
	if gone, err = c.Clear(); err != nil || gone.Results != 0 {
		t.Errorf("an empty folder: %+v, %v", gone, err)
	}
}
