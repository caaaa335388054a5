package cache

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// Limits bound what is kept in the user's folder. The shared store is not this machine's to empty: a
// bucket has its own rules for how long things live.
type Limits struct {
	// Bytes is the most that entries may take together, Age the longest that one is kept without
	// being used. Zero sets no limit.
	Bytes int64
	Age   time.Duration
}

const (
	// usedAgain is how far a file's time may lag behind its last use: a use within it is not noted, so that
	// a run that only reads writes next to nothing.
	usedAgain = 24 * time.Hour
	// tidyEvery is how often a folder is looked through.
	tidyEvery = 24 * time.Hour
	// abandoned is the age at which a file that was being written counts as left by a run that was killed.
	abandoned = time.Hour
	// slack is the part of Bytes (a tenth) that pruning goes below it, so that a full folder is not pruned at
	// each run's end.
	slack = 10
)

// kinds are the folders in which entries lie. Nothing else in the cache's folder is ever touched.
var kinds = []string{"results", "index"}

// marker is the file whose time says when a folder was last looked through.
const marker = "tidied"

// Usage is what a folder holds, or what was taken from it.
type Usage struct {
	Results int
	Bytes   int64 // of results and index
}

type kept struct {
	file   string
	used   time.Time
	bytes  int64
	result bool
}

// Usage tells what the folder holds now.
func (c *Cache) Usage() (Usage, error) {
	var u Usage
	list, err := c.entries(time.Now())
	for _, e := range list {
		u.add(e)
	}
	return u, err
}

func (u *Usage) add(e kept) {
	u.Bytes += e.bytes
	if e.result {
		u.Results++
	}
}

// entries are all entries; those that a killed run left half written are removed on the way.
func (c *Cache) entries(now time.Time) ([]kept, error) {
	var list []kept
	for _, kind := range kinds {
		err := filepath.WalkDir(filepath.Join(c.folder, kind), func(file string, d fs.DirEntry, err error) error {
			if errors.Is(err, fs.ErrNotExist) {
				return nil // gone since it was listed, or nothing kept yet
			}
			if err != nil {
				return err
			}
			if !d.Type().IsRegular() {
				return nil
			}
			info, err := d.Info()
			if err != nil {
				return nil // another run has pruned it
			}
			if strings.HasPrefix(d.Name(), temporary) {
				if now.Sub(info.ModTime()) > abandoned {
					os.Remove(file)
				}
				return nil
			}
			list = append(list, kept{file, info.ModTime(), info.Size(), kind == "results"})
			return nil
		})
		if err != nil {
			return list, fmt.Errorf("cache: %w", err)
		}
	}
	return list, nil
}

// Prune removes what was not used for longer than the limits say, and then what was used least lately
// until the rest takes less than they allow. Other runs may read and write meanwhile: an entry is whole
// or a miss (K2), and what is missed is measured again.
func (c *Cache) Prune(l Limits, now time.Time) (Usage, error) {
	var gone Usage
	if c == nil || c.folder == "" {
		return gone, nil
	}
	list, err := c.entries(now)
	if err != nil {
		return gone, err
	}
	slices.SortFunc(list, func(a, b kept) int {
		return cmp.Or(a.used.Compare(b.used), cmp.Compare(a.file, b.file))
	})
	total := int64(0)
	for _, e := range list {
		total += e.bytes
	}
	target := total
	if l.Bytes > 0 && total > l.Bytes {
		target = l.Bytes - l.Bytes/slack
	}
	for _, e := range list {
		if total <= target && (l.Age <= 0 || now.Sub(e.used) <= l.Age) {
			break // all that follow were used later
		}
		total -= e.bytes
		if info, err := os.Stat(e.file); err != nil || !info.ModTime().Equal(e.used) {
			continue // used, written anew or removed by another run since
		}
		if err := os.Remove(e.file); err != nil {
			if !errors.Is(err, fs.ErrNotExist) {
				return gone, fmt.Errorf("cache: %w", err)
			}
			continue
		}
		gone.add(e)
	}
	return gone, nil
}

// Tidy prunes where that was not done for a day, or where this run has added more than the tenth of
// what may be kept. Its failure is told and changes nothing else.
func (c *Cache) Tidy(l Limits) {
	if c == nil || c.folder == "" {
		return
	}
	file, now := filepath.Join(c.folder, marker), time.Now()
	info, err := os.Stat(file)
	if err == nil && now.Sub(info.ModTime()) < tidyEvery && (l.Bytes <= 0 || c.added.Load() < l.Bytes/slack) {
		return
	}
	// Marked first: of several runs that end together one does the work.
	err = writeWhole(file, []byte("pocketgauge looks through this folder once a day; the time of this file says when it last did\n"))
	if err == nil {
		_, err = c.Prune(l, now)
	}
	if err != nil {
		c.say("prune", fmt.Sprintf("kept results cannot be pruned: %v", err))
	}
}

// Clear removes all entries, and nothing that this package has not made.
func (c *Cache) Clear() (Usage, error) {
	gone, err := c.Usage()
	for _, kind := range kinds {
		if e := os.RemoveAll(filepath.Join(c.folder, kind)); err == nil && e != nil {
			err = fmt.Errorf("cache: %w", e)
		}
	}
	if e := os.Remove(filepath.Join(c.folder, marker)); err == nil && e != nil && !errors.Is(e, fs.ErrNotExist) {
		err = fmt.Errorf("cache: %w", e)
	}
	return gone, err
}

// touch notes that an entry was used.
func touch(file string) {
	if info, err := os.Stat(file); err == nil {
		if now := time.Now(); now.Sub(info.ModTime()) > usedAgain {
			os.Chtimes(file, now, now) // where that is not allowed the entry ages, and is made anew some day
		}
	}
}
