package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"

	"pocketgauge/rules"
)

// quiet is how long nothing must have changed before the inserts are judged again: programs save a file
// in several steps, or write beside it and rename.
const quiet = 300 * time.Millisecond

// watch calls round, and again whenever a model or a YAML file in one of the folders has changed, until
// ctx ends. Folders are watched and not files, so that a file which is replaced by renaming is seen.
// folders is asked anew after each round; those it gives as true are watched with what lies below them. An error of round is for the one who mends it to read; it ends
// nothing.
func watch(ctx context.Context, folders func() map[string]bool, round func() error, tell func(error)) error {
	watcher, err := fsnotify.NewWatcher()
	if err != nil {
		return fmt.Errorf("--watch: %w", err)
	}
	defer watcher.Close()
	watched := map[string]bool{}
	again := func() (fresh bool, err error) {
		for root, deep := range folders() {
			dirs := []string{root}
			if deep {
				dirs = foldersBelow(root)
			}
			for _, dir := range dirs {
				if watched[dir] {
					continue
				}
				if err := watcher.Add(dir); err != nil {
					return fresh, fmt.Errorf("--watch %s: %w", dir, err)
				}
				watched[dir], fresh = true, true
			}
		}
		return fresh, nil
	}
	// Watched before the first round: what changes while it runs is judged in the next.
	if _, err := again(); err != nil {
		return err
	}
	due := time.NewTimer(0)
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-due.C:
			if err := round(); err != nil {
				if ctx.Err() != nil {
					return nil
				}
				tell(err)
			}
			fresh, err := again()
			if err != nil {
				return err
			}
			if fresh {
				due.Reset(quiet) // what was saved into a new folder before it was watched
			}
		case e, ok := <-watcher.Events:
			if !ok {
				return errors.New("--watch: the system stopped telling of changes")
			}
			if e.Has(fsnotify.Remove) {
				delete(watched, e.Name)
			}
			if concerns(e) {
				due.Reset(quiet)
			}
		case err := <-watcher.Errors:
			// Too many changes at once to be told one by one: judge anew.
			if !errors.Is(err, fsnotify.ErrEventOverflow) {
				return fmt.Errorf("--watch: %w", err)
			}
			due.Reset(quiet)
		}
	}
}

// concerns tells whether a change may change an outcome. Reading a file changes nothing, and hidden
// files are how programs write beside a file.
func concerns(e fsnotify.Event) bool {
	base := strings.ToLower(filepath.Base(e.Name))
	if e.Op == fsnotify.Chmod || rules.Hidden(base) {
		return false
	}
	ext := filepath.Ext(base)
	return ext == "" || ext == ".yaml" || ext == ".yml" || rules.IsModelName(base) // a folder has no ending, as a rule
}

// foldersBelow are a folder and those below it, but for hidden ones.
func foldersBelow(root string) []string {
	var list []string
	filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return nil // what cannot be read cannot be watched, and the round says what is missing
		}
		if name != root && rules.Hidden(d.Name()) {
			return fs.SkipDir
		}
		list = append(list, name)
		return nil
	})
	return list
}
