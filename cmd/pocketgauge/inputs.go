package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"pocketgauge/rules"
)

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
		found, err := rules.Files(os.DirFS(a), ".")
		if err != nil {
			return nil, fmt.Errorf("folder %s: %w", a, err)
		}
		before := len(files)
		for _, name := range found {
			if rules.IsModelName(name) {
				files = append(files, filepath.Join(a, filepath.FromSlash(name)))
			}
		}
		if len(files) == before {
			return nil, noModels(a)
		}
	}
	return files, nil
}

func noModels(folder string) error {
	return fmt.Errorf("folder %s holds no model (%s)", folder, strings.Join(rules.ModelSuffixes, " "))
}
