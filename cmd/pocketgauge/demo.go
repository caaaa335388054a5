package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"pocketgauge/testdata"
)

func newDemo(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "demo DIR",
		Short: "Lay out a demo shop, ready for check",
		Long: `Writes the workspace of an imagined moulder of bee-keeping hardware into a new folder: two
frames, their rules files, and inserts of which some are sound and each other one holds one
mistake that a designer would really make.`,
		Example: `  pocketgauge demo apiary
  pocketgauge check apiary`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			n, err := layOutDemo(args[0])
			if err != nil {
				return err
			}
			fmt.Fprintf(s.out, "%d files in %s. Next: pocketgauge check %s\n", n, args[0], args[0])
			return nil
		},
	}
}

// layOutDemo writes the demo into dir, which must not exist or be empty. It is built beside and
// renamed, so that a failure leaves nothing half done.
func layOutDemo(dir string) (files int, err error) {
	if entries, err := os.ReadDir(dir); err == nil && len(entries) > 0 {
		return 0, fmt.Errorf("%s is not empty; name a new folder", dir)
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return 0, fmt.Errorf("%s: %w", dir, err)
	}
	parent := filepath.Dir(filepath.Clean(dir))
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return 0, err
	}
	temp, err := os.MkdirTemp(parent, ".demo-*")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(temp)
	err = fs.WalkDir(testdata.Apiary, testdata.ApiaryFolder, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		to := filepath.Join(temp, filepath.FromSlash(strings.TrimPrefix(path, testdata.ApiaryFolder)))
		if d.IsDir() {
			return os.MkdirAll(to, 0o755)
		}
		data, err := testdata.Apiary.ReadFile(path)
		if err != nil {
			return err
		}
		files++
		return os.WriteFile(to, data, 0o644)
	})
	if err != nil {
		return 0, fmt.Errorf("laying out the demo: %w", err)
	}
	if err := os.Chmod(temp, 0o755); err != nil {
		return 0, err
	}
	os.Remove(dir) // an empty folder may stand in the way; a missing one is fine
	if err := os.Rename(temp, dir); err != nil {
		return 0, fmt.Errorf("laying out the demo: %w", err)
	}
	return files, nil
}
