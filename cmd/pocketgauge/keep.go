package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"sync/atomic"

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
}

func (k *keeping) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.BoolVar(&k.none, "no-cache", false, "measure everything anew and keep nothing")
	f.BoolVar(&k.rehash, "rehash", false, "read every model's bytes even where its size and times are unchanged")
	f.StringVar(&k.store, "store", "", "also keep results in this folder or bucket URL, for other machines to use")
}

// judge turns inserts into outcomes, or takes them from where they were kept.
type judge struct {
	cache   *cache.Cache
	program string
	budget  *batch.Budget
	// reused counts the outcomes that were not measured in this run.
	reused atomic.Int64
}

func (k *keeping) open(ctx context.Context, s streams) (*judge, error) {
	j := &judge{}
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

func (j *judge) close() error { return j.cache.Close() }

// insert is the outcome of one insert, before waivers. It is the same bytes whether it was measured
// now or kept: a fresh one goes through the same form.
func (j *judge) insert(ctx context.Context, in *batch.Insert) report.Insert {
	var key cache.Key
	var model string
	keyed := false
	if j.cache != nil {
		var err error
		key, model, err = j.cache.KeyOf(j.program, in)
		keyed = err == nil
	}
	if keyed {
		if body, ok := j.cache.Get(ctx, key); ok {
			if r, err := decoded(body, in); err == nil && r.SHA256 == model {
				j.reused.Add(1)
				return r
			}
		}
	}
	if j.budget != nil {
		n := batch.Estimate(in)
		j.budget.Acquire(n)
		defer j.budget.Release(n)
	}
	o := batch.Judge(*in)
	fresh := report.NewInsert(&o)
	body, err := json.Marshal(&fresh)
	if err != nil {
		return fresh // a number that JSON knows not; it will be said when the report is written
	}
	if keyed && o.SHA256 == model && lasting(o.Err) {
		// What was read meanwhile must still be what the key was made from.
		if again, _, err := j.cache.KeyOf(j.program, in); err == nil && again == key {
			j.cache.Put(ctx, key, body)
		}
	}
	if r, err := decoded(body, in); err == nil {
		return r
	}
	return fresh
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
