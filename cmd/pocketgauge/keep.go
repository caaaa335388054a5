package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/cache"
	"pocketgauge/checks/report"
	"pocketgauge/mesh/load"
)

// keeping says whether and where results are kept from one run to the next.
type keeping struct {
	none, rehash bool
	store        string
	limits       keptLimits
}

// keptLimits bound the folder of kept results.
type keptLimits struct {
	size string
	days int
}

func (l *keptLimits) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&l.size, "cache-size", "2GiB", "`SIZE` that kept results may take; those used least lately go (0: no limit)")
	f.IntVar(&l.days, "cache-days", 90, "`DAYS` after which a kept result goes that was not used (0: never)")
}

func (l *keptLimits) read() (cache.Limits, error) {
	if l.days < 0 || l.days > mostDays {
		return cache.Limits{}, fmt.Errorf("--cache-days %d: a number of days up to %d, or 0 to keep all", l.days, mostDays)
	}
	out := cache.Limits{Age: time.Duration(l.days) * 24 * time.Hour}
	if l.size == "0" {
		return out, nil
	}
	var err error
	if out.Bytes, err = parseBytes(l.size); err != nil {
		return out, fmt.Errorf("--cache-size: %w", err)
	}
	return out, nil
}

// mostDays is a century: more would not fit into a time.Duration some day.
const mostDays = 36_500

func (k *keeping) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.BoolVar(&k.none, "no-cache", false, "measure everything anew and keep nothing")
	f.BoolVar(&k.rehash, "rehash", false, "read every model's bytes even where its size and times are unchanged")
	k.limits.flags(cmd)
	f.StringVar(&k.store, "store", "", "also keep results in this `FOLDER` or bucket URL, for other machines to use")
}

// judge turns inserts into outcomes, or takes them from where they were kept.
type judge struct {
	cache   *cache.Cache
	limits  cache.Limits
	program string
	budget  *batch.Budget

	// memo are the results of this run, where a watch is to know them again though none are kept.
	mu   sync.Mutex
	memo map[cache.Key][]byte
}

// remember lets outcomes be known again within this run where none are kept.
func (j *judge) remember(ctx context.Context) error {
	if j.cache != nil {
		return nil
	}
	c, err := cache.Open(ctx, cache.Options{})
	j.cache, j.memo = c, map[cache.Key][]byte{}
	return err
}

func (j *judge) get(ctx context.Context, k cache.Key) ([]byte, bool) {
	if j.memo == nil {
		return j.cache.Get(ctx, k)
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	body, ok := j.memo[k]
	return body, ok
}

func (j *judge) put(ctx context.Context, k cache.Key, body []byte) {
	if j.memo == nil {
		j.cache.Put(ctx, k, body)
		return
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	j.memo[k] = body
}

func (k *keeping) open(ctx context.Context, s streams) (*judge, error) {
	j := &judge{}
	var err error
	if j.limits, err = k.limits.read(); err != nil {
		return nil, err
	}
	if k.none {
		if k.store != "" {
			return nil, errors.New("--store keeps results, --no-cache keeps none; leave one out")
		}
		return j, nil
	}
	folder := cache.Folder()
	if folder == "" && k.store == "" {
		return j, nil
	}
	c, err := cache.Open(ctx, cache.Options{Folder: folder, Store: k.store, Rehash: k.rehash, Tell: func(what string) { fmt.Fprintln(s.err, "pocketgauge:", what) }})
	if err != nil {
		return nil, err
	}
	// Another build may measure otherwise: the program's own bytes are part of every key.
	self, err := os.Executable()
	if err == nil {
		j.program, err = c.Digest(self)
	}
	if err != nil {
		fmt.Fprintln(s.err, "pocketgauge: results are not kept, for the program cannot read itself:", err)
		return j, c.Close()
	}
	j.cache = c
	return j, nil
}

func (j *judge) close() error {
	if j.memo == nil {
		j.cache.Tidy(j.limits)
	}
	return j.cache.Close()
}

// task is one insert to judge.
type task struct {
	in   *batch.Insert
	half batch.Half
	// mate is where the other half stands among the tasks, -1 for nowhere.
	mate int
	// key is taken once.
	key func() keyed
}

// keyed is what the result of a task is kept under, where it can be kept.
type keyed struct {
	key cache.Key
	// model is the digest of the insert's own model.
	model string
	ok    bool
}

func (j *judge) tasks(inserts []batch.Insert) []task {
	halves := batch.Halves(inserts)
	list := make([]task, len(inserts))
	for i := range list {
		t := &list[i]
		t.in, t.half, t.mate = &inserts[i], halves[i], halves[i].Mate()
		t.key = sync.OnceValue(func() (k keyed) {
			if j.cache != nil {
				var err error
				k.key, k.model, err = j.cache.KeyOf(j.program, t.in)
				k.ok = err == nil
			}
			return k
		})
	}
	return list
}

// insert is the outcome of one of the tasks, before waivers. It is the same bytes whether it was measured
// now or kept: a fresh one goes through the same form. kept is set where it was not measured now.
func (j *judge) insert(ctx context.Context, tasks []task, i int) (r report.Insert, kept bool) {
	t := &tasks[i]
	defer t.half.Done()
	in, k := t.in, t.key()
	if k.ok {
		if body, ok := j.get(ctx, k.key); ok {
			if r, err := decoded(body, in); err == nil && r.SHA256 == k.model {
				return r, true
			}
		}
	}
	if t.mate >= 0 {
		tasks[t.mate].key() // before either half is read
	}
	t.half.Book(j.budget)
	o := t.half.Judge()
	fresh := report.NewInsert(&o)
	body, err := json.Marshal(&fresh)
	if err != nil {
		return fresh, false // a number that JSON knows not; it will be said when the report is written
	}
	if k.ok && o.SHA256 == k.model && lasting(o.Err) {
		// What was read meanwhile must still be what the key was made from.
		if again, _, err := j.cache.KeyOf(j.program, in); err == nil && again == k.key {
			j.put(ctx, k.key, body)
		}
	}
	if r, err := decoded(body, in); err == nil {
		return r, false
	}
	return fresh, false
}

// decoded is a kept outcome, under the names that the insert has in this run.
func decoded(body []byte, in *batch.Insert) (report.Insert, error) {
	var r report.Insert
	err := json.Unmarshal(body, &r)
	r.File, r.Name = in.File, in.Name
	return r, err
}

// lasting tells whether an outcome comes of the bytes alone: a file that could not be opened may open
// the next time, and a panic is to be seen again.
func lasting(err error) bool {
	if err == nil {
		return true
	}
	var e *load.Error
	if !errors.As(err, &e) {
		return false
	}
	switch e.Code {
	case "missing", "open", "internal":
		return false
	}
	return true
}
