package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// modelSuffixes are the names by which models in a folder are found. Only the search goes by
// name: what a found or named file is, its content tells.
var modelSuffixes = []string{".stl", ".stp", ".step", ".p21", ".stp.gz", ".step.gz", ".p21.gz", ".stpz"}

func looksLikeModel(name string) bool {
	lower := strings.ToLower(name)
	return slices.ContainsFunc(modelSuffixes, func(s string) bool { return strings.HasSuffix(lower, s) })
}

// modelFiles lists the files named, and the models in the folders named, in the order of the
// arguments and by path within a folder. A named file that does not exist is listed too: its
// error belongs in the report.
func modelFiles(args []string) ([]string, error) {
	var files []string
	for _, a := range args {
		info, err := os.Stat(a)
		if err != nil || !info.IsDir() {
			files = append(files, a)
			continue
		}
		before := len(files)
		err = filepath.WalkDir(a, func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() && path != a && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			if !d.IsDir() && looksLikeModel(d.Name()) {
				files = append(files, path)
			}
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("folder %s: %w", a, err)
		}
		if len(files) == before {
			return nil, fmt.Errorf("folder %s holds no model (%s)", a, strings.Join(modelSuffixes, " "))
		}
	}
	return files, nil
}
