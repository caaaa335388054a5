package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"pocketgauge/checks/report"
	"pocketgauge/checks/waive"
	"pocketgauge/rules"
)

// waiving is where waivers come from and on which day they are looked at.
type waiving struct {
	file, day string
}

func (v *waiving) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&v.file, "waivers", "", "`FILE` of accepted findings (default: "+rules.WaiverFile+" beside the workspace file)")
	f.StringVar(&v.day, "on", "", "the `DAY` on which waivers are looked at, such as 2027-03-31 (default: today)")
}

// books are the waivers of a run: those of each insert's workspace, or the one file named.
type books struct {
	list []*waive.Book
	of   map[string]*waive.Book // by folder; nil where a folder has none
	one  string                 // the folder of the one file named, "" where none is
}

// open reads the waivers that the work asks for.
func (v *waiving) open(w *work) (*books, error) {
	day := time.Now()
	if v.day != "" {
		var err error
		if day, err = waive.ParseDay(v.day); err != nil {
			return nil, fmt.Errorf("--on: %w", err)
		}
	}
	b := &books{of: map[string]*waive.Book{}}
	if v.file != "" {
		book, err := waive.Open(v.file, day, w.ownRules())
		if err != nil {
			return nil, err
		}
		b.one = filepath.Dir(v.file)
		b.list = append(b.list, book)
		return b, nil
	}
	for i := range w.origins {
		folder := w.origins[i].folder
		if _, seen := b.of[folder]; seen || !w.origins[i].workspace {
			continue
		}
		b.of[folder] = nil
		file := filepath.Join(filepath.FromSlash(folder), rules.WaiverFile)
		if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
			continue
		}
		book, err := waive.Open(filepath.ToSlash(file), day, w.ownRules())
		if err != nil {
			return nil, err
		}
		b.of[folder] = book
		b.list = append(b.list, book)
	}
	return b, nil
}

// apply waives what is accepted of one insert.
func (b *books) apply(in *report.Insert, from origin) {
	if b.one != "" {
		b.list[0].Apply(in, pathFrom(b.one, in.File))
		return
	}
	if book := b.of[from.folder]; book != nil {
		book.Apply(in, from.model)
	}
}

// states is what became of every waiver.
func (b *books) states(whole bool) []report.Waiver {
	var list []report.Waiver
	for _, book := range b.list {
		list = append(list, book.States(whole)...)
	}
	return list
}
